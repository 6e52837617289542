package rigid

// SignedAxes lists the six names of a joint's own axes.
func SignedAxes() []string { return []string{"+x", "-x", "+y", "-y", "+z", "-z"} }

// ParseAxis reads a name such as "+x" or "-z"; ok is false for anything but the six.
func ParseAxis(name string) (axis Vec, ok bool) {
	if len(name) != 2 || name[0] != '+' && name[0] != '-' {
		return Vec{}, false
	}
	sign := 1.0
	if name[0] == '-' {
		sign = -1
	}
	switch name[1] {
	case 'x':
		return Vec{X: sign}, true
	case 'y':
		return Vec{Y: sign}, true
	case 'z':
		return Vec{Z: sign}, true
	}
	return Vec{}, false
}

// Frame returns the rotation that turns the unit axis aim into the direction of along, and the unit axis side, which is
// perpendicular to aim, as near to toward as that allows. ok is false when along has no length or toward lies along it.
func Frame(aim, side, along, toward Vec) (r Rot, ok bool) {
	a := along.Unit()
	b := toward.Sub(a.Scale(a.Dot(toward)))
	if a == (Vec{}) || b.Len() <= 1e-12*toward.Len() {
		return Identity(), false
	}
	b = b.Unit()
	// One more projection: the first leaves the rounding of a long component along a.
	b = b.Sub(a.Scale(a.Dot(b))).Unit()
	from := FromColumns(aim, side, aim.Cross(side))
	return FromColumns(a, b, a.Cross(b)).Mul(from.Transpose()), true
}
