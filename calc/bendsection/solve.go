// Package bendsection is the calculator "bend-section": what blended skin does at a bend, in the plane of the bend.
//
// Start at Solve. A strip of flesh of one depth, two segments long, turns at a joint; each surface point is blended
// linearly between staying with the first segment and turning with the second. Radians inside, any one unit of
// length. Not covered: skin in space, and blends that rotate instead of averaging.
package bendsection

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Calculator is the catalogue's entry "bend-section".
type Calculator struct{}

// Strip is the rest shape and how it is weighted. x runs along the segments with the joint at 0, y to the back.
type Strip struct {
	Depth    float64 // back surface to inside surface
	Pivot    float64 // depth fraction of the pivot, 0 at the back, 1 on the inside
	Flex     float64 // radians, toward the inside
	Blend    float64 // width of the weight ramp; 0 is a hard edge
	Length   float64 // of each side
	Passes   int
	Strength float64
}

// perSide is how many intervals each side's surface is divided into: even, so that the ends of most ramps and the joint
// itself are points of it.
const perSide = 96

// Surfaces returns the skinned outer (back) and inner surface, from the first segment's end to the second's, each with
// 2·perSide + 1 points; the joint is the middle one.
func (s Strip) Surfaces() (outer, inner []plane.Vec) {
	outer, inner = make([]plane.Vec, 0, 2*perSide+1), make([]plane.Vec, 0, 2*perSide+1)
	turn := plane.TurnAbout(plane.Vec{Y: s.Depth/2 - s.Pivot*s.Depth}, -s.Flex)
	corner := s.corner()
	for i := -perSide; i <= perSide; i++ {
		x := s.Length * float64(i) / perSide
		w := s.weight(x)
		switch i { // a hard edge has both its corners at the joint, so what they weigh cannot be told from where they lie
		case corner:
			x, w = s.Blend/2, 1
		case -corner:
			x, w = -s.Blend/2, 0
		}
		for _, side := range []struct {
			y    float64
			list *[]plane.Vec
		}{{s.Depth / 2, &outer}, {-s.Depth / 2, &inner}} {
			rest := plane.Vec{X: x, Y: side.y}
			*side.list = append(*side.list, rest.Lerp(turn.Apply(rest), w))
		}
	}
	for range s.Passes {
		smooth(outer, s.Strength)
		smooth(inner, s.Strength)
	}
	return outer, inner
}

// corner is the point, counted from the joint, that moves to where the ramp ends: there the surface has a corner, and cut off
// it would cost up to an interval of length. It is none of them where smoothing wants them evenly divided.
func (s Strip) corner() int {
	if s.smoothed() {
		return 2 * perSide
	}
	return max(1, min(perSide-1, int(math.Round(perSide*s.Blend/2/s.Length))))
}

// weight is the share of the second segment at x: a straight ramp of width Blend centred on the joint.
func (s Strip) weight(x float64) float64 {
	switch {
	case s.Blend > 0:
		return math.Max(0, math.Min(1, 0.5+x/s.Blend))
	case x < 0:
		return 0
	case x > 0:
		return 1
	}
	return 0.5
}

// smooth moves every inner point toward the mean of its neighbours, all at once; the ends stay. The rest surface is
// straight and evenly divided, so it is its own smoothing and leaves no detail to put back.
func smooth(line []plane.Vec, strength float64) {
	previous := line[0]
	for i := 1; i < len(line)-1; i++ {
		here := line[i]
		mean := previous.Add(line[i+1]).Scale(0.5)
		line[i] = here.Lerp(mean, strength)
		previous = here
	}
}

// Solve implements catalog.Calculator.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	s := Read(v)
	if s.Blend > 2*s.Length {
		return catalog.Result{}, &catalog.InputError{Field: "blend", Given: quantity.Entry(s.Blend, quantity.Length),
			Allowed: "must be at most twice the length of a side, which is " + quantity.Entry(2*s.Length, quantity.Length)}
	}
	outer, inner := s.Surfaces()
	r := catalog.NewResult()
	rest := 2 * s.Length
	r.Numbers["thickness_ratio"] = outer[perSide].Sub(inner[perSide]).Len() / s.Depth
	r.Numbers["area_ratio"] = s.area(outer, inner) / (rest * s.Depth)
	r.Numbers["inside_length_ratio"] = s.length(inner) / rest
	r.Numbers["outside_length_ratio"] = s.length(outer) / rest
	r.Numbers["overlap"] = 0
	if s.fold(inner) > 0 {
		r.Numbers["overlap"] = 1
		r.Warn("overlap", "overlap", "The inside surface folds through itself. A wider blend or a pivot nearer the inside opens it; smoothing after skinning opens a small fold only, in many passes, and costs area.")
	}
	r.Numbers["half_cosine"] = math.Cos(s.Flex / 2)
	r.Numbers["inside_lever"] = (1 - s.Pivot) * s.Depth
	return r, nil
}

// Read turns prepared values into a strip.
func Read(v catalog.Values) Strip {
	n := v.Numbers
	return Strip{n["depth"], n["pivot"], n["flex"] * math.Pi / 180, n["blend"], n["length"], int(n["passes"]), n["strength"]}
}

// area is the signed area between the two surfaces.
func (s Strip) area(outer, inner []plane.Vec) float64 {
	last := len(outer) - 1
	return (s.swept(inner) - s.swept(outer) + inner[last].Cross(outer[last]) + outer[0].Cross(inner[0])) / 2
}

// smoothed reports whether the surfaces are the points alone. Before smoothing each is known between them as well: two straight
// parts and, from corner to corner, the parabola that a straight ramp of weights makes of a straight surface.
func (s Strip) smoothed() bool { return s.Passes > 0 && s.Strength > 0 }

// ramp returns the ends of the parabola a + u·b + u²·bow, u from 0 to 1, its chord and its bow. The two sides mirror each other, so the
// chord is also how fast it runs at the joint, and lies across the bow.
func (s Strip) ramp(line []plane.Vec) (from, to, chord, bow plane.Vec) {
	from, to = line[perSide-s.corner()], line[perSide+s.corner()]
	return from, to, to.Sub(from), from.Add(to).Scale(0.5).Sub(line[perSide]).Scale(4)
}

// swept is twice the area that the line from the origin sweeps along the surface, counter-clockwise positive.
func (s Strip) swept(line []plane.Vec) float64 {
	last := line[len(line)-1]
	if !s.smoothed() {
		from, to, chord, bow := s.ramp(line)
		return line[0].Cross(from) + from.Cross(to) + chord.Cross(bow)/3 + to.Cross(last)
	}
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += line[i-1].Cross(line[i])
	}
	return sum
}

// length is that of the surface. Along the parabola it is the mean over t from 0 to 1 of √(chord² + (t·bow)²), by Simpson's rule: to
// 1e-12 of it for most bends, to 1e-6 where it all but turns on the spot.
func (s Strip) length(line []plane.Vec) float64 {
	if !s.smoothed() {
		const steps = 512
		from, to, chord, bow := s.ramp(line)
		squares, more := chord.Dot(chord), bow.Dot(bow)
		sum := chord.Len() + math.Sqrt(squares+more)
		for i := 1; i < steps; i++ {
			t := float64(i) / steps
			sum += float64(2+2*(i%2)) * math.Sqrt(squares+more*t*t)
		}
		return from.Sub(line[0]).Len() + sum/(3*steps) + line[len(line)-1].Sub(to).Len()
	}
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += line[i].Sub(line[i-1]).Len()
	}
	return sum
}

// fold returns how many points on either side of the joint lie past the bisector of the bend on the inside surface: from
// the joint to the last of them, the two sides have run through each other. 0 means that the inside does not fold.
//
// The surface mirrors itself about the bisector, before and after smoothing, so where one side stays on its own side of it
// the two cannot meet; and where it does not, they have passed each other, even when both are too short to cross.
func (s Strip) fold(inner []plane.Vec) int {
	const slack = 1e-9 // of the depth: rounding must not fold what only touches
	pivot := plane.Vec{Y: s.Depth/2 - s.Pivot*s.Depth}
	across := plane.Polar(1, -s.Flex/2) // from the first segment's side to the second's
	for i := range perSide {
		if inner[i].Sub(pivot).Dot(across) > slack*s.Depth {
			return perSide - i
		}
	}
	// A fold may lie between two points. Before smoothing a place on the ramp lies past the bisector just when the blend is
	// narrower than the squash, 2h·tan(θ/2) (TestTheInsideFoldsWhenTheBlendIsNarrowerThanTheSquash).
	squash := 2 * (1 - s.Pivot) * s.Depth * math.Sin(s.Flex/2)
	if !s.smoothed() && squash-s.Blend*math.Cos(s.Flex/2) > slack*s.Depth {
		return 1
	}
	return 0
}

// Say implements catalog.Calculator.
func (Calculator) Say(_ catalog.Values, r catalog.Result) string {
	n := r.Numbers
	area := "none" // where more overlaps than is left
	if n["area_ratio"] > 0 {
		area = quantity.Number(100*n["area_ratio"], 0) + "\u00a0%"
	}
	text := "The bend keeps " + quantity.Number(100*n["thickness_ratio"], 0) + "\u00a0% of its thickness at the joint and " + area + " of its area"
	if n["overlap"] == 1 {
		return text + "; the inside folds through itself."
	}
	return text + "; the inside does not fold through itself."
}
