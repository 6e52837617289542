package plane

import "math"

// Circle is a whole circle. The functions below answer circles that touch given features; a radius they answer may be
// zero, negative or not finite where the features admit no honest circle, so callers test it before use.
type Circle struct {
	Centre Vec
	Radius float64
}

// TouchingLines returns the one circle at signed distance Radius from all three lines: it touches each of them from
// its positive side when Radius is above 0. It solves N·c − r = D for the three lines at once (Cramer's rule). There is
// none (Radius NaN or infinite) when two of the normals are equal; otherwise the system is regular, because three
// different points of the unit circle never lie on one line.
func TouchingLines(a, b, c Line) Circle {
	u, v := b.N.Sub(a.N), c.N.Sub(a.N) // subtracting the first equation leaves two without r
	p, q := b.D-a.D, c.D-a.D
	det := u.Cross(v)
	centre := Vec{(p*v.Y - q*u.Y) / det, (u.X*q - v.X*p) / det}
	return Circle{centre, a.Signed(centre)}
}

// TouchingLinesThrough returns the two circles that pass through p at signed distance Radius from both lines.
//
// Their centres lie on the bisector c = c0 + t·u, along which the radius is r0 + t·ρ, and (1 − ρ²)t² + … = 0 follows
// from |c − p|² = r². Both have a radius of NaN when the normals are equal or no such circle exists.
func TouchingLinesThrough(a, b Line, p Vec) [2]Circle {
	w := a.N.Sub(b.N)
	length := w.Len()
	w = w.Scale(1 / length)
	u := w.Perp()
	c0 := p.Sub(w.Scale(w.Dot(p) - (a.D-b.D)/length)) // the point of the bisector nearest to p keeps the numbers small
	r0, slope, across := a.Signed(c0), a.N.Dot(u), a.N.Dot(w)
	away := c0.Sub(p)
	t := halfRoots(across*across, -r0*slope, away.Dot(away), r0*r0) // 1 − slope² = across², without cancellation
	return [2]Circle{
		{c0.Add(u.Scale(t[0])), r0 + t[0]*slope},
		{c0.Add(u.Scale(t[1])), r0 + t[1]*slope},
	}
}

// TouchingLineThrough returns the two circles through p and q at signed distance Radius from the line. When the line
// is parallel to p→q there is one, and the other is not finite; both have a radius of NaN when p = q or p and q lie on
// different sides of the line.
func TouchingLineThrough(a Line, p, q Vec) [2]Circle {
	v := q.Sub(p)
	length := v.Len()
	v = v.Scale(1 / length)
	u, middle, half := v.Perp(), p.Lerp(q, 0.5), length/2
	r0, slope, along := a.Signed(middle), a.N.Dot(u), a.N.Dot(v)
	t := halfRoots(along*along, -r0*slope, half*half, r0*r0) // 1 − slope² = along², without cancellation
	return [2]Circle{
		{middle.Add(u.Scale(t[0])), r0 + t[0]*slope},
		{middle.Add(u.Scale(t[1])), r0 + t[1]*slope},
	}
}

// Circumcircle returns the circle through three points; its radius is NaN or infinite when they lie on one line.
func Circumcircle(p, q, r Vec) Circle {
	u, v := q.Sub(p), r.Sub(p)
	twice := 2 * u.Cross(v)
	uu, vv := u.Dot(u), v.Dot(v)
	to := Vec{(uu*v.Y - vv*u.Y) / twice, (vv*u.X - uu*v.X) / twice}
	return Circle{p.Add(to), to.Len()}
}

// halfRoots returns the two real roots of a·t² + 2b·t + (c − d) = 0, the second of which survives a = 0; a, c and d are not
// negative. A discriminant that is negative only by rounding, that of c − d included, counts as 0; a truly negative one gives
// NaN. Neither root loses digits to cancellation.
func halfRoots(a, b, c, d float64) [2]float64 {
	disc := b*b - a*(c-d)
	if disc < 0 && disc > -1e-14*(b*b+a*(c+d)) {
		disc = 0
	}
	q := -(b + math.Copysign(math.Sqrt(disc), b))
	if q == 0 { // b = 0 and disc = 0: a double root at 0, or every t when a = 0 too
		return [2]float64{}
	}
	return [2]float64{q / a, (c - d) / q}
}
