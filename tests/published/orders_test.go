package published

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// joint is reseat with one joint of the given world orientation, moved by the offset.
func joint(order string, q, at, offset []float64, keys [][]float64) []catalog.Entry {
	words := []string{"joint", ""}
	for _, x := range slices.Concat(at, q) {
		words = append(words, quantity.Shortest(x))
	}
	in := given("joints", strings.Join(words, ","), "move", "joint", "orient", "keep", "order", order,
		"to_x", at[0]+offset[0], "to_y", at[1]+offset[1], "to_z", at[2]+offset[2])
	if keys != nil {
		in = append(in, given("keys", cells(keys))...)
	}
	return in
}

// orderChecks: an order name says about which fixed axes the turns are made, the first letter first. Read as moving axes
// the same letters mean the reversed name, so both matrices of a case are checked.
func orderChecks(p publishedCase) []check {
	order, angles := p.Inputs["order"].(string), []float64{p.number("rx_deg"), p.number("ry_deg"), p.number("rz_deg")}
	fixed := p.oneOrder("fixed axes", order, angles, p.rows("rotation_fixed_axes_first_letter_first"), p.vector("quaternion_xyzw_fixed"))
	moving := p.oneOrder("moving axes", reversed(order), angles, p.rows("rotation_moving_axes_first_letter_first"), p.vector("quaternion_xyzw_moving"))
	return append(fixed, moving...)
}

func reversed(order string) string { return string([]byte{order[2], order[1], order[0]}) }

// oneOrder checks one reading of a case at every calculator that takes or gives a rotation order.
func (p publishedCase) oneOrder(name, order string, angles []float64, r [][]float64, q []float64) []check {
	if q[3] < 0 { // the calculators write the one of q and −q whose w is not negative
		q = []float64{-q[0], -q[1], -q[2], -q[3]}
	}
	checks := p.anglesOf(name+": reseat", "reseat", joint(order, q, origin, origin, nil), "joints", angles, q)
	checks = append(checks, p.anglesOf(name+": hinge-plane", "hinge-plane", bentChain(order, r), "joints", angles, q)...)
	checks = append(checks, p.carried(name, order, angles, r)...)
	return append(checks, p.hidden(name, order, angles, r)...)
}

// anglesOf expects the first row of the table to have the angles and the quaternion.
func (p publishedCase) anglesOf(name, calculator string, in []catalog.Entry, table string, angles, q []float64) []check {
	var checks []check
	for i, want := range angles {
		checks = append(checks, p.expect(name+" r"+letters[i], calculator, in, of(table+".r"+letters[i]+".1"), want))
	}
	for i, want := range q {
		id := "q" + []string{"x", "y", "z", "w"}[i]
		checks = append(checks, p.expect(name+" "+id, calculator, in, of(table+"."+id+".1"), want))
	}
	return checks
}

// bentChain is three points whose middle joint has the orientation R when x aims and z is the hinge: the outgoing
// segment along R·x, the incoming one in the plane square to R·z.
func bentChain(order string, r [][]float64) []catalog.Entry {
	var first, last []float64
	for i := range 3 {
		first = append(first, -(2*r[i][0] - 1.5*r[i][1]))
		last = append(last, 3*r[i][0])
	}
	return given("points", cells([][]float64{first, origin, last}), "aim_axis", "+x", "hinge_axis", "+z", "order", order)
}

// carried: a key with these angles and no translation, about a pivot moved by d, needs t' = R·d − d. With d along each
// axis that is a column of the matrix.
func (p publishedCase) carried(name, order string, angles []float64, r [][]float64) []check {
	var checks []check
	for j, d := range basis {
		in := joint(order, []float64{0, 0, 0, 1}, origin, d, [][]float64{slices.Concat(angles, origin)})
		for i, l := range letters {
			checks = append(checks, p.expect(name+": reseat column "+strconv.Itoa(j+1)+l, "reseat", in, func(n map[string]float64) float64 {
				return of("keys.t"+l+".1")(n) + d[i]
			}, r[i][j]))
		}
	}
	return checks
}

// hidden: a key with these angles that translates by (I − R)·d hides the part of d across the axis of R.
func (p publishedCase) hidden(name, order string, angles []float64, r [][]float64) []check {
	d, t := []float64{1.5, -2, 0.75}, make([]float64, 3)
	axis := unit([]float64{r[2][1] - r[1][2], r[0][2] - r[2][0], r[1][0] - r[0][1]})
	along := 0.0
	for i := range 3 {
		t[i] = d[i] - r[i][0]*d[0] - r[i][1]*d[1] - r[i][2]*d[2]
		along += axis[i] * d[i]
	}
	in := given("order", order, "keys", cells([][]float64{slices.Concat(angles, t)}))
	want := []float64{d[0] - along*axis[0], d[1] - along*axis[1], d[2] - along*axis[2]}
	return p.three(name+": key-fit offset", "key-fit", in, "offset", want)
}

func unit(v []float64) []float64 {
	length := math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2])
	return []float64{v[0] / length, v[1] / length, v[2] / length}
}

// decompositions: one rotation in all six orders.
func decompositions(p publishedCase) []check {
	axis, half := unit(p.vector("axis")), p.number("angle_deg")*math.Pi/360
	q := []float64{axis[0] * math.Sin(half), axis[1] * math.Sin(half), axis[2] * math.Sin(half), math.Cos(half)}
	var checks []check
	for _, order := range []string{"xyz", "xzy", "yxz", "yzx", "zxy", "zyx"} {
		want := p.Outputs[order].(map[string]any)
		in := joint(order, q, origin, origin, nil)
		for _, l := range letters {
			checks = append(checks, p.expect(order+" r"+l, "reseat", in, of("joints.r"+l+".1"), want["r"+l+"_deg"].(float64)))
		}
	}
	return checks
}

func bindChecks(p publishedCase) []check {
	in := joint("xyz", p.vector("quaternion_xyzw"), p.vector("position"), origin, nil)
	var checks []check
	for k, want := range p.vector("column_major") {
		id := "m" + strconv.Itoa(k)
		checks = append(checks, p.expect(id, "reseat", in, of("joints."+id+".1"), want))
	}
	return checks
}
