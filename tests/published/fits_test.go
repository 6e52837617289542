package published

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// cells writes a table as a person would type it: rows divided by semicolons, numbers by commas.
func cells(rows [][]float64) string {
	var lines []string
	for _, row := range rows {
		var words []string
		for _, x := range row {
			words = append(words, quantity.Shortest(x))
		}
		lines = append(lines, strings.Join(words, ","))
	}
	return strings.Join(lines, ";")
}

// posed is the landmark table: the rest pose 0 and the poses after it, points in the plane or in space, weights by
// landmark (nil for equal ones).
func posed(kind string, weights []float64, poses ...[][]float64) []catalog.Entry {
	var rows [][]float64
	for i, points := range poses {
		for k, point := range points {
			row := append([]float64{float64(i)}, point...)
			for len(row) < 4 {
				row = append(row, 0)
			}
			if weights != nil {
				row = append(row, weights[k])
			}
			rows = append(rows, row)
		}
	}
	return given("kind", kind, "landmarks", cells(rows))
}

// three expects a vector of three outputs.
func (p publishedCase) three(name, calculator string, in []catalog.Entry, output string, want []float64) []check {
	var checks []check
	for i, w := range want {
		checks = append(checks, p.expect(name+" "+letters[i], calculator, in, of(output+"_"+letters[i]), w))
	}
	return checks
}

// word expects an output in words.
func (p publishedCase) word(name, calculator string, in []catalog.Entry, output, word string) check {
	return p.expect(name, calculator, in, of(output+"="+word), 1)
}

// component reads a·f(angle) of a single pose: a rotation is the same about −a by −angle.
func component(letter string, f func(float64) float64) reading {
	return func(n map[string]float64) float64 {
		return of("axis_"+letter)(n) * f(of("poses.angle.1")(n)*math.Pi/180)
	}
}

func cosine(n map[string]float64) float64 { return math.Cos(of("poses.angle.1")(n) * math.Pi / 180) }

// turns expects a single pose to turn by the angle about the axis, whichever way round either is told. Half a turn has no
// sense, so its axis is told by the products of its components.
func (p publishedCase) turns(name string, in []catalog.Entry, axis []float64, degrees float64) []check {
	checks := []check{p.expect(name+" cosine of the turn", "pose-fit", in, cosine, math.Cos(degrees*math.Pi/180))}
	if degrees == 180 {
		for i, pair := range [][2]int{{0, 0}, {0, 1}, {1, 1}, {1, 2}, {2, 2}} {
			product := func(n map[string]float64) float64 {
				return of("axis_"+letters[pair[0]])(n) * of("axis_"+letters[pair[1]])(n)
			}
			checks = append(checks, p.expect(name+" axis product "+strconv.Itoa(i+1), "pose-fit", in, product, axis[pair[0]]*axis[pair[1]]))
		}
		return checks
	}
	for i, a := range axis {
		checks = append(checks, p.expect(name+" axis·sine "+letters[i], "pose-fit", in, component(letters[i], math.Sin), a*math.Sin(degrees*math.Pi/180)))
	}
	return checks
}

// poleFits: two points and where they went give back the pole; so does one key that turns and translates as the motion.
func poleFits(p publishedCase) []check {
	in := posed("hinge", nil, [][]float64{p.vector("point_a"), p.vector("point_b")}, [][]float64{p.vector("point_a_moved"), p.vector("point_b_moved")})
	pole, t := append(p.vector("pole"), 0), p.vector("translation")
	checks := p.three("fitted pole", "pose-fit", in, "pivot", pole)
	checks = append(checks, p.turns("fitted", in, alongZ, p.number("angle_deg"))...)
	checks = append(checks, p.expect("fit leaves nothing", "pose-fit", in, of("residual_rms"), 0), p.word("fit determines a line", "pose-fit", in, "determined", "line"))
	key := given("keys", cells([][]float64{{0, 0, p.number("angle_deg"), t[0], t[1], 0}}))
	return append(checks, p.three("pole from a key", "key-fit", key, "offset", pole)...)
}

// nearestOrigin reads a coordinate of the point of the fitted line that is nearest the origin.
func nearestOrigin(letter string) reading {
	return func(n map[string]float64) float64 {
		along := 0.0
		for _, l := range letters {
			along += of("axis_"+l)(n) * of("pivot_"+l)(n)
		}
		return of("pivot_"+letter)(n) - along*of("axis_"+letter)(n)
	}
}

// screwFits: three points and where they went give back the screw.
func screwFits(p publishedCase) []check {
	in := posed("ball", nil, p.rows("points_before"), p.rows("points_after"))
	axis, slide, angle := p.vector("axis"), p.number("slide"), p.number("angle_deg")
	checks := p.turns("fitted", in, axis, angle)
	for i, l := range letters {
		checks = append(checks, p.expect("fitted slide "+l, "pose-fit", in, func(n map[string]float64) float64 {
			return of("slide")(n) * of("axis_"+l)(n)
		}, slide*axis[i]))
	}
	point, given := p.field("axis_point_nearest_origin"), p.field("axis_point")
	if point == nil { // any point of the line is given: take off what lies along the line
		at := numbers(given)
		along := axis[0]*at[0] + axis[1]*at[1] + axis[2]*at[2]
		point = []any{at[0] - along*axis[0], at[1] - along*axis[1], at[2] - along*axis[2]}
	}
	for i, want := range numbers(point) {
		checks = append(checks, p.expect("fitted axis point "+letters[i], "pose-fit", in, nearestOrigin(letters[i]), want))
	}
	return append(checks, p.expect("noise floor", "pose-fit", in, of("free_rms"), 0))
}

// basisFits: the basis vectors and the columns of a printed matrix give back its axis and angle.
func basisFits(p publishedCase) []check {
	rows := p.rows("rotation")
	var columns [][]float64
	for j := range 3 {
		columns = append(columns, []float64{rows[0][j], rows[1][j], rows[2][j]})
	}
	return p.turns("fitted", posed("ball", nil, basis, columns), unit(p.vector("axis")), p.number("angle_deg"))
}

// owedFits: x' = R·x + owed is a turn about the offset, so three points moved that way give back the line through it, at
// the lever's distance from the current pivot.
func owedFits(p publishedCase) []check {
	axis, degrees, owed := unit(p.vector("axis")), p.number("angle_deg"), p.vector("owed")
	r := rotation(axis, degrees)
	var moved [][]float64
	for _, e := range basis {
		var point []float64
		for i := range 3 {
			point = append(point, r[i][0]*e[0]+r[i][1]*e[1]+r[i][2]*e[2]+owed[i])
		}
		moved = append(moved, point)
	}
	in := posed("ball", nil, basis, moved)
	return append(p.turns("fitted", in, axis, degrees), p.expect("distance of the fitted line", "pose-fit", in, func(n map[string]float64) float64 {
		squares := 0.0
		for _, l := range letters {
			at := nearestOrigin(l)(n)
			squares += at * at
		}
		return math.Sqrt(squares)
	}, p.number("lever")))
}

// rotation is Rodrigues' matrix, written out here so that the inputs owe nothing to the calculators.
func rotation(a []float64, degrees float64) [][]float64 {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	k := [][]float64{{0, -a[2], a[1]}, {a[2], 0, -a[0]}, {-a[1], a[0], 0}}
	r := [][]float64{{cos, 0, 0}, {0, cos, 0}, {0, 0, cos}}
	for i := range 3 {
		for j := range 3 {
			r[i][j] += sin*k[i][j] + (1-cos)*a[i]*a[j]
		}
	}
	return r
}

// rigidFits: the best rigid motion of noisy points, as the axis and angle of its matrix, and what it leaves.
func rigidFits(p publishedCase) []check {
	var weights []float64
	if p.field("weights") != nil {
		weights = p.vector("weights")
	}
	in := posed("ball", weights, p.rows("points_before"), p.rows("points_after"))
	checks := []check{p.expect("noise floor", "pose-fit", in, of("free_rms"), p.number("residual_rms"))}
	checks = append(checks, p.skew(in, p.rows("rotation"))...)
	if p.field("angle_deg") != nil {
		checks = append(checks, p.expect("angle", "pose-fit", in, of("poses.angle.1"), p.number("angle_deg")))
	}
	return append(checks, p.owedTranslation(in)...)
}

// skew expects the trace and the skew part of a rotation matrix: 1 + 2 cos θ and 2 sin θ·a.
func (p publishedCase) skew(in []catalog.Entry, r [][]float64) []check {
	trace := func(n map[string]float64) float64 { return 1 + 2*cosine(n) }
	checks := []check{p.expect("trace", "pose-fit", in, trace, r[0][0]+r[1][1]+r[2][2])}
	for i, l := range letters {
		j, k := (i+1)%3, (i+2)%3
		checks = append(checks, p.expect("skew part "+l, "pose-fit", in, func(n map[string]float64) float64 {
			return 2 * component(l, math.Sin)(n)
		}, r[k][j]-r[j][k]))
	}
	return checks
}

// owedTranslation: the motion x' = R x + t of the case moves the fitted pivot p by (R − I)·p + t, which is what the pose
// still owes.
func (p publishedCase) owedTranslation(in []catalog.Entry) []check {
	r, t := p.rows("rotation"), p.vector("translation")
	var checks []check
	for i, l := range letters {
		checks = append(checks, p.expect("owed at the pivot "+l, "pose-fit", in, func(n map[string]float64) float64 {
			moved := t[i] - of("poses.owed_"+l+".1")(n)
			for j, m := range letters {
				moved += r[i][j] * of("pivot_"+m)(n)
			}
			return moved - of("pivot_"+l)(n)
		}, 0))
	}
	return checks
}

// mirrorFits: a mirror image in the plane is met by the best proper rotation, not by a reflection nor by turning the plane
// over. The mirror is as large as the points, so pose-fit finds no pivot, but the map tells what is left at the pole.
func mirrorFits(p publishedCase) []check {
	landmarks := posed("ball", nil, p.rows("points_before"), p.rows("points_after"))
	r, t := p.rows("rotation"), p.vector("translation_rigid")
	// The pole of the rigid fit: (I − R)·p = t.
	c, s := 1-r[0][0], r[1][0]
	x, y := (c*t[0]-s*t[1])/(c*c+s*s), (s*t[0]+c*t[1])/(c*c+s*s)
	field := append(landmarks, given("min_u", x-3, "max_u", x+3, "min_v", y-3, "max_v", y+3, "cells", 3.0)...)
	return []check{
		p.expect("noise floor", "pose-fit", landmarks, of("free_rms"), p.number("residual_rms_rigid")),
		p.word("determined", "pose-fit", landmarks, "determined", "none"),
		p.expect("left at the pole", "placement-map", field, of("cells.rms.5"), p.number("residual_rms_rigid")),
		p.expect("best place u", "placement-map", field, of("best_u"), x),
		p.expect("best place v", "placement-map", field, of("best_v"), y),
	}
}

func ballFits(p publishedCase) []check {
	poses := [][][]float64{p.rows("rest")}
	for _, pose := range p.field("poses").([]any) {
		poses = append(poses, matrixRows(pose))
	}
	in := posed("ball", nil, poses...)
	checks := p.three("pivot", "pose-fit", in, "pivot", p.vector("pivot"))
	return append(checks,
		p.expect("residual", "pose-fit", in, of("residual_rms"), p.number("residual_rms")),
		p.expect("noise floor", "pose-fit", in, of("free_rms"), p.number("free_rms")),
		p.word("determined", "pose-fit", in, "determined", "point"))
}

func planarFits(p publishedCase) []check {
	rest, poses := p.rows("rest"), [][][]float64{p.rows("rest")}
	var checks []check
	for i, pose := range p.field("poses").([]any) {
		points := matrixRows(pose)
		poses = append(poses, points)
		single := posed("hinge", nil, rest, points)
		name := "pole of pose " + strconv.Itoa(i+1)
		checks = append(checks, p.three(name, "pose-fit", single, "pivot", append(p.rows("pole_of_each_pose")[i], 0))...)
	}
	in := posed("hinge", nil, poses...)
	checks = append(checks, p.three("pivot", "pose-fit", in, "pivot", append(p.vector("pivot"), 0))...)
	for i, angle := range p.vector("angles_deg") {
		checks = append(checks, p.expect("angle "+strconv.Itoa(i+1), "pose-fit", in, of("poses.angle."+strconv.Itoa(i+1)), angle))
	}
	return append(checks,
		p.expect("residual", "pose-fit", in, of("residual_rms"), p.number("residual_rms")),
		p.expect("noise floor", "pose-fit", in, of("free_rms"), p.number("free_rms")))
}

func matrixRows(v any) [][]float64 {
	var rows [][]float64
	for _, row := range v.([]any) {
		rows = append(rows, numbers(row))
	}
	return rows
}

func keyFits(p publishedCase) []check {
	var rows [][]float64
	for i, angles := range p.rows("rotations_deg") {
		rows = append(rows, slices.Concat(angles, p.rows("translations")[i]))
	}
	in := given("order", "xyz", "keys", cells(rows))
	checks := p.three("offset", "key-fit", in, "offset", p.vector("offset"))
	for _, id := range []string{"before_rms", "after_rms", "removed"} {
		checks = append(checks, p.expect(id, "key-fit", in, of(id), p.number(id)))
	}
	for i, left := range p.rows("left") {
		for k, want := range left {
			row := "." + strconv.Itoa(i+1)
			checks = append(checks, p.expect("left "+letters[k]+row, "key-fit", in, of("keys.left_"+letters[k]+row), want))
		}
	}
	return append(checks, p.word("determined", "key-fit", in, "determined", "point"))
}

func lineFits(p publishedCase) []check {
	var rows [][]float64
	for i, angle := range p.vector("angles_deg") {
		rows = append(rows, slices.Concat([]float64{0, 0, angle}, p.rows("translations")[i]))
	}
	in := given("keys", cells(rows))
	checks := p.three("offset", "key-fit", in, "offset", p.vector("offset"))
	checks = append(checks, p.word("determined", "key-fit", in, "determined", "line"), p.expect("nothing is left", "key-fit", in, of("after_rms"), 0))
	for i, l := range letters {
		checks = append(checks, p.expect("axis "+l, "key-fit", in, func(n map[string]float64) float64 { return math.Abs(of("axis_" + l)(n)) }, math.Abs(p.vector("axis")[i])))
	}
	return checks
}
