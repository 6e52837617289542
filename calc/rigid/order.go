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

// Rot returns the rotation of the three angles (radians, about x, y, z) in this order: the product of three turns written
// out. The odd orders xzy, yxz and zyx are the even ones seen in a mirror, where every angle has the other sign.
func (o Order) Rot(angles Vec) Rot {
	a := [3]float64{angles.X, angles.Y, angles.Z}
	i, j, k := o[0]%3, o[1]%3, o[2]%3
	si, ci := math.Sincos(a[i])
	sj, cj := math.Sincos(a[j])
	sk, ck := math.Sincos(a[k])
	if (i+1)%3 != j {
		si, sj, sk = -si, -sj, -sk
	}
	var r Rot
	r[i][i], r[i][j], r[i][k] = cj*ck, si*sj*ck-ci*sk, ci*sj*ck+si*sk
	r[j][i], r[j][j], r[j][k] = cj*sk, si*sj*sk+ci*ck, ci*sj*sk-si*ck
	r[k][i], r[k][j], r[k][k] = -sj, si*cj, ci*cj
	return r
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
