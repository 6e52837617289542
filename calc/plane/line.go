package plane

// Line is the oriented line of all x with N·x = D. N has unit length; the positive side is the one N points at.
type Line struct {
	N Vec
	D float64
}

// LineThrough returns the line through p whose unit normal is n.
func LineThrough(p, n Vec) Line { return Line{n, n.Dot(p)} }

// Signed returns the distance of p from the line: positive on the side that N points at, negative on the other.
func (l Line) Signed(p Vec) float64 { return l.N.Dot(p) - l.D }

// Undo returns the point that the motion carries to p: R⁻¹·(p − T).
func (m Motion) Undo(p Vec) Vec {
	p = p.Sub(m.T)
	return Vec{m.Cos*p.X + m.Sin*p.Y, m.Cos*p.Y - m.Sin*p.X}
}
