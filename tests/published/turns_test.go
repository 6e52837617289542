package published

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
)

// turn is a rotation in space about an axis through the candidate pivot at offset, applied to a point.
func turn(axis []float64, degrees float64, offset, point []float64) []catalog.Entry {
	return given("axis_x", axis[0], "axis_y", axis[1], "axis_z", axis[2], "angle", degrees,
		"offset_x", offset[0], "offset_y", offset[1], "offset_z", offset[2],
		"point_x", point[0], "point_y", point[1], "point_z", point[2])
}

var (
	origin  = []float64{0, 0, 0}
	alongZ  = []float64{0, 0, 1}
	basis   = [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	letters = []string{"x", "y", "z"}
)

// coordinates expects the named output vector to be want, one check a coordinate.
func (p publishedCase) coordinates(name string, in []catalog.Entry, output string, want []float64) []check {
	var checks []check
	for i, w := range want {
		checks = append(checks, p.expect(name+" "+letters[i], "pivot-offset", in, of(output+"_"+letters[i]), w))
	}
	return checks
}

// matrix expects the turn to have the printed matrix: it carries each basis vector to a column.
func (p publishedCase) matrix(axis []float64, degrees float64) []check {
	var checks []check
	rows := p.rows("rotation")
	for j, e := range basis {
		column := []float64{rows[0][j], rows[1][j], rows[2][j]}
		checks = append(checks, p.coordinates("column "+strconv.Itoa(j+1), turn(axis, degrees, origin, e), "current", column)...)
	}
	return checks
}

func turnChecks(p publishedCase) []check {
	axis, angle := p.vector("axis"), p.number("angle_deg")
	return append(p.matrix(axis, angle),
		p.coordinates("rotated", turn(axis, angle, origin, p.vector("vector")), "current", p.vector("rotated"))...)
}

func matrixChecks(p publishedCase) []check { return p.matrix(p.vector("axis"), p.number("angle_deg")) }

func owedChecks(p publishedCase) []check {
	in := turn(p.vector("axis"), p.number("angle_deg"), p.vector("offset"), p.vector("point"))
	checks := []check{
		p.expect("owed length", "pivot-offset", in, of("owed_length"), p.number("owed_length")),
		p.expect("lever", "pivot-offset", in, of("lever"), p.number("lever")),
	}
	for _, name := range []string{"owed", "current", "candidate"} {
		checks = append(checks, p.coordinates(name, in, name, p.vector(name))...)
	}
	return checks
}

// poleChecks: a planar motion x' = R x + t is a pure turn about its pole. So a turn about the pole as candidate pivot
// owes exactly t, carries both points where the motion does, and moves a point along an arc about the pole.
func poleChecks(p publishedCase) []check {
	angle, t := p.number("angle_deg"), p.vector("translation")
	pole := append(p.vector("pole"), 0)
	var checks []check
	for _, name := range []string{"point_a", "point_b"} {
		in := turn(alongZ, angle, pole, append(p.vector(name), 0))
		checks = append(checks, p.coordinates(name, in, "candidate", p.vector(name+"_moved"))...)
		if name == "point_a" {
			checks = append(checks, p.coordinates("owed", in, "owed", t)...)
		}
	}
	a := p.vector("point_a")
	in := given("pivot_x", pole[0], "pivot_y", pole[1], "tip_x", a[0], "tip_y", a[1], "from_angle", 0.0, "to_angle", angle)
	moved := p.vector("point_a_moved")
	return append(checks,
		p.expect("distance to the pole", "hinge-arc", in, of("current_radius"), p.number("distance_a_to_pole")),
		p.expect("displacement", "hinge-arc", in, of("current_chord"), p.number("displacement_a")),
		p.expect("tip x", "hinge-arc", in, of("current_tip_x"), moved[0]),
		p.expect("tip y", "hinge-arc", in, of("current_tip_y"), moved[1]))
}

// less takes the slide along the axis off a point or a translation: what remains is a turn about the axis.
func less(v, axis []float64, slide float64) []float64 {
	return []float64{v[0] - slide*axis[0], v[1] - slide*axis[1], v[2] - slide*axis[2]}
}

// screwed expects a turn about the axis through centre, and the slide along it, to carry the points.
func (p publishedCase) screwed(axis, centre []float64) []check {
	var checks []check
	slide, after := p.number("slide"), p.rows("points_after")
	for i, point := range p.rows("points_before") {
		in := turn(axis, p.number("angle_deg"), centre, point)
		checks = append(checks, p.coordinates("point "+strconv.Itoa(i+1), in, "candidate", less(after[i], axis, slide))...)
	}
	return checks
}

func screwChecks(p publishedCase) []check {
	axis, centre, angle := p.vector("axis"), p.vector("axis_point_nearest_origin"), p.number("angle_deg")
	checks := append(p.matrix(axis, angle), p.screwed(axis, centre)...)
	in := turn(axis, angle, centre, origin)
	return append(checks, p.coordinates("owed", in, "owed", less(p.vector("translation"), axis, p.number("slide")))...)
}

func screwEquationChecks(p publishedCase) []check {
	return p.screwed(p.vector("axis"), p.vector("axis_point"))
}

// lineChecks: the translations of the case are what its offset owes at each angle.
func lineChecks(p publishedCase) []check {
	var checks []check
	translations := p.rows("translations")
	for i, angle := range p.vector("angles_deg") {
		in := turn(p.vector("axis"), angle, p.vector("offset"), origin)
		checks = append(checks, p.coordinates("key "+strconv.Itoa(i+1), in, "owed", translations[i])...)
	}
	return checks
}

// blendChecks: a point at distance 1, blended between rest and turned, comes nearer the axis.
func blendChecks(p publishedCase) []check {
	var checks []check
	factors := p.vector("radius_factor")
	for i, pair := range p.rows("angle_deg_weight_pairs") {
		angle, w := pair[0], pair[1]
		in := turn(alongZ, angle, origin, basis[0])
		checks = append(checks, p.expect("pair "+strconv.Itoa(i+1), "pivot-offset", in, func(n map[string]float64) float64 {
			x, y := 1-w+w*of("current_x")(n), w*of("current_y")(n)
			return math.Sqrt(x*x + y*y)
		}, factors[i]))
	}
	return checks
}

// stripChecks: each vertex of the published strip lies between its rest and its turn about the second joint.
func stripChecks(p publishedCase) []check {
	var checks []check
	joint := append(p.vector("joint_1_position"), 0)
	weights := p.vector("weight_of_joint_1")
	for _, angle := range p.vector("rotation_about_z_deg") {
		suffix := strconv.FormatFloat(angle, 'g', -1, 64)
		positions := p.rows("positions_at_" + suffix)
		for i, v := range p.rows("vertices") {
			w := weights[i]
			if w == 0 {
				continue // never leaves its place, so nothing is computed
			}
			in := turn(alongZ, angle, joint, append(v, 0))
			for k := range 2 {
				checks = append(checks, p.expect("vertex "+strconv.Itoa(i+1)+letters[k]+" at "+suffix, "pivot-offset", in,
					func(n map[string]float64) float64 { return (1-w)*v[k] + w*of("candidate_"+letters[k])(n) }, positions[i][k]))
			}
		}
		checks = append(checks, p.expect("width at "+suffix, "hinge-arc", arc(0.5, angle),
			func(n map[string]float64) float64 { return 2 * apothem(n) }, p.number("width_at_joint_"+suffix)))
	}
	return checks
}
