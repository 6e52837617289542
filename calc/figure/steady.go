package figure

import (
	"math"

	"centrode/calc/plane"
)

// Snug returns a view that holds the box with a little air and whose edges lie on a grid of some twentieth of it, so that it keeps still
// while a reader drags: an edge moves only when the content has come within an eightieth of the box of it, or has left a whole step
// free. A view fitted exactly would run away under the pointer, and a coarser grid would leave the sheet half empty. The box may have
// no size.
func Snug(box Rect) Rect {
	size := Extent(box.size(), box.far())
	step, air := Coarse(size/25), size/80
	down := func(v float64) float64 { return math.Floor((v-air)/step) * step }
	up := func(v float64) float64 { return math.Ceil((v+air)/step) * step }
	return Rect{Min: plane.Vec{X: down(box.Min.X), Y: down(box.Min.Y)}, Max: plane.Vec{X: up(box.Max.X), Y: up(box.Max.Y)}}
}

// Extent returns a size to draw at: size itself, or, where numbers as large as far can hardly hold so small a difference,
// one that they hold: a drawing of a single point is 1 wide, or a fiftieth of far. A size of which a part is no number is that of a point.
func Extent(size, far float64) float64 {
	if size > 1e-9*far && size > 1e-290 {
		return size
	}
	return math.Max(1, far/50)
}

// size returns the longer side of the box.
func (r Rect) size() float64 { return math.Max(r.Max.X-r.Min.X, r.Max.Y-r.Min.Y) }

// far returns how far from the origin the box goes along an axis.
func (r Rect) far() float64 {
	return max(math.Abs(r.Min.X), math.Abs(r.Max.X), math.Abs(r.Min.Y), math.Abs(r.Max.Y))
}

// Coarse returns the least 1, 2 or 5 times a power of ten that is at least v; v is above 0. Only products and quotients,
// whose bits agree on every machine. For steps that must not follow every small change.
func Coarse(v float64) float64 {
	power := 1.0
	for power > v && power > 1e-300 {
		power /= 10
	}
	for power*10 <= v && power < 1e300 {
		power *= 10
	}
	for _, factor := range [...]float64{1, 2, 5} {
		if power*factor >= v {
			return power * factor
		}
	}
	return power * 10
}

// Levels are round values between the least and the greatest for contour lines, at most so many and one more, without those
// that all but lie on a limit, which has a line of its own.
func Levels(least, most, limit float64, about int) []float64 {
	if !(most > least) {
		return nil
	}
	step := Coarse((most - least) / float64(about))
	var list []float64
	first := math.Floor(least/step) + 1
	if !(math.Abs(first) < 1e15) { // the values differ by rounding alone: one more step would be no other number
		return nil
	}
	for k := first; k*step < most && len(list) <= about; k++ {
		if level := k * step; math.Abs(level-limit) > step/4 {
			list = append(list, level)
		}
	}
	return list
}

// Hull returns the box around the points, each widened by radius; the zero Rect for no points.
func Hull(radius float64, points ...plane.Vec) Rect {
	if len(points) == 0 {
		return Rect{}
	}
	box := Rect{Min: points[0], Max: points[0]}
	for _, p := range points[1:] {
		box = box.Union(Rect{Min: p, Max: p})
	}
	air := plane.Vec{X: radius, Y: radius}
	return Rect{Min: box.Min.Sub(air), Max: box.Max.Add(air)}
}

// Union returns the box around both.
func (r Rect) Union(o Rect) Rect {
	return Rect{
		Min: plane.Vec{X: min(r.Min.X, o.Min.X), Y: min(r.Min.Y, o.Min.Y)},
		Max: plane.Vec{X: max(r.Max.X, o.Max.X), Y: max(r.Max.Y, o.Max.Y)},
	}
}
