package rigid

import "math"

// Order is a rotation order: the axes (0 = x, 1 = y, 2 = z) in the order in which they are turned about, each fixed.
// The order xyz means R = Rz·Ry·Rx. Read as moving axes it is the same product the other way round: z, y', x”.
type Order [3]int

// Orders lists the six orders by name.
func Orders() []string { return []string{"xyz", "xzy", "yxz", "yzx", "zxy", "zyx"} }

// ParseOrder reads a name such as "zxy"; ok is false for anything but the six.
func ParseOrder(name string) (Order, bool) {
	if len(name) != 3 {
		return Order{0, 1, 2}, false
	}
	var o Order
	seen := [3]bool{}
	for i := range 3 {
		axis := int(name[i]) - 'x'
		if axis < 0 || axis > 2 || seen[axis] {
			return Order{0, 1, 2}, false
		}
		seen[axis] = true
		o[i] = axis
	}
	return o, true
}

// about returns the rotation by angle about the coordinate axis.
func about(axis int, angle float64) Rot {
	sin, cos := math.Sincos(angle)
	i, j := (axis+1)%3, (axis+2)%3
	var r Rot
	r[axis][axis] = 1
	r[i][i], r[i][j] = cos, -sin
	r[j][i], r[j][j] = sin, cos
	return r
}

// Rot returns the rotation of the three angles (radians, about x, y, z) in this order.
func (o Order) Rot(angles Vec) Rot {
	a := [3]float64{angles.X, angles.Y, angles.Z}
	r := about(o[0], a[o[0]])
	r.turnRows(o[1], a[o[1]])
	r.turnRows(o[2], a[o[2]])
	return r
}

// turnRows puts a rotation by angle about the coordinate axis in front: it mixes the two other rows.
func (r *Rot) turnRows(axis int, angle float64) {
	sin, cos := math.Sincos(angle)
	p, q := &r[(axis+1)%3], &r[(axis+2)%3]
	for j := range 3 {
		p[j], q[j] = cos*p[j]-sin*q[j], sin*p[j]+cos*q[j]
	}
}

// Angles returns the angles about x, y, z (radians) that make r in this order: the middle one in [−π/2, π/2], the others
// in (−π, π]. Where the middle angle is ±π/2 only a sum of the other two counts; the last turned is then set to 0.
// The middle angle is an arctangent of both its sine and cosine, so it keeps its digits near ±π/2.
func (o Order) Angles(r Rot) Vec {
	i, j, k := o[0], o[1], o[2]
	sign := 1.0 // +1 for even orders xyz, yzx, zxy
	if (i+1)%3 != j {
		sign = -1
	}
	var a [3]float64
	cosMiddle := math.Sqrt(r[i][i]*r[i][i] + r[j][i]*r[j][i])
	a[j] = math.Atan2(-sign*r[k][i], cosMiddle)
	if cosMiddle > 1e-12 {
		a[i] = math.Atan2(sign*r[k][j], r[k][k])
		// Taken after undoing the first turn, so that what the first angle lost near the singular place the last makes up.
		sin, cos := math.Sincos(a[i])
		a[k] = math.Atan2(sin*r[i][k]-sign*cos*r[i][j], cos*r[j][j]-sign*sin*r[j][k])
	} else {
		a[i] = math.Atan2(-sign*r[j][k], r[j][j])
	}
	return Vec{a[0], a[1], a[2]}
}

// Middle returns the middle angle of the order among angles, in radians: the one that makes it singular at ±π/2.
func (o Order) Middle(angles Vec) float64 { return [3]float64{angles.X, angles.Y, angles.Z}[o[1]] }
