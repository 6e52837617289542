package character

import (
	"math"

	"centrode/calc/rigid"
)

// limb is a tube along a chain of joints, with round ends.
type limb struct {
	path   []rigid.Vec // cm
	side   rigid.Vec   // across the limb: the axis of its hinges
	girth  []girth     // by the way along the path; between them it runs smoothly
	around int
	step   float64 // cm from ring to ring
	bends  []bend  // rising
	root   int     // what the beginning hangs on
	cap    float64 // how far the round ends reach beyond the path, cm; 0 for as far as the tube is thick
	box    bool    // a beam and no limb
}

// girth is the half-width and half-depth of the tube at a way along the path, cm.
type girth struct{ at, wide, high float64 }

// bend is where a joint of the limb lies on the way along the path, and over how much on either side its share fades in.
type bend struct {
	at, blend float64
	joint     int
}

// addTo puts the tube into the surface.
func (l limb) addTo(s *surface) {
	length := l.length()
	n := int(math.Ceil(length / l.step))
	var list []section
	first, last := l.at(0), l.at(length)
	for k := 1; k < rounds; k++ {
		list = append(list, l.cut(first, -1, k))
	}
	for k := range n + 1 {
		list = append(list, l.at(length*float64(k)/float64(n)))
	}
	for k := rounds - 1; k > 0; k-- {
		list = append(list, l.cut(last, 1, k))
	}
	s.loft(list, l.around, l.box, l.cut(first, -1, 0).centre, l.cut(last, 1, 0).centre)
}

// rounds is the number of rings of a round end.
const rounds = 5

// cut is ring k of a round end, a quarter of an ellipse: k = 0 is the point beyond the path, k = rounds the ring itself.
func (l limb) cut(c section, way float64, k int) section {
	reach := l.cap
	if reach == 0 {
		reach = math.Min(c.wide, c.high)
	}
	angle := float64(k) / rounds * math.Pi / 2
	c.centre = c.centre.Add(c.side.Cross(c.up).Scale(way * reach * math.Cos(angle)))
	c.wide, c.high = c.wide*math.Sin(angle), c.high*math.Sin(angle)
	return c
}

func (l limb) length() float64 {
	sum := 0.0
	for i := 1; i < len(l.path); i++ {
		sum += l.path[i].Sub(l.path[i-1]).Len()
	}
	return sum
}

// at is the ring at a way along the path. About a corner the ring turns over as much of the way as the tube is thick.
func (l limb) at(way float64) section {
	wide, high := l.thickness(way)
	centre, along, begin := l.path[0], l.path[1].Sub(l.path[0]).Unit(), 0.0
	for i := 1; i < len(l.path); i++ {
		segment := l.path[i].Sub(l.path[i-1])
		if i > 1 {
			turned := smooth((way-begin)/(2*high) + 0.5)
			along = along.Scale(1 - turned).Add(segment.Unit().Scale(turned)).Unit()
		}
		if way >= begin || i == 1 {
			centre = l.path[i-1].Add(segment.Unit().Scale(way - begin))
		}
		begin += segment.Len()
	}
	up := along.Cross(l.side).Unit()
	return section{centre: centre, side: up.Cross(along), up: up, wide: wide, high: high, bond: l.bond(way)}
}

func (l limb) thickness(way float64) (wide, high float64) {
	g := l.girth
	if way <= g[0].at {
		return g[0].wide, g[0].high
	}
	for i := 1; i < len(g); i++ {
		if way <= g[i].at {
			u := smooth((way - g[i-1].at) / (g[i].at - g[i-1].at))
			return g[i-1].wide + u*(g[i].wide-g[i-1].wide), g[i-1].high + u*(g[i].high-g[i-1].high)
		}
	}
	return g[len(g)-1].wide, g[len(g)-1].high
}

// bond is what the ring hangs on: the joint passed last, or in a bend two of them.
func (l limb) bond(way float64) bond {
	b := bond{l.root, l.root, 1}
	for _, next := range l.bends {
		share := smooth((way-next.at)/(2*next.blend) + 0.5)
		switch {
		case share >= 1:
			b = bond{next.joint, next.joint, 1}
		case share > 0:
			return bond{next.joint, b.first, share}
		}
	}
	return b
}
