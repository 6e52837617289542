package published

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
)

// chain is limb-fold: one row a segment, length, rest, fold_min, fold_max.
func chain(segments ...[]float64) []catalog.Entry { return given("segments", cells(segments)) }

// stiff is a chain that cannot fold: its rest is its only pose.
func stiff(lengths []float64, turn float64) []catalog.Entry {
	var segments [][]float64
	for i, length := range lengths {
		rest := turn
		if i == 0 {
			rest = 0
		}
		segments = append(segments, []float64{length, rest, 0, 0})
	}
	return chain(segments...)
}

// reachChains: two links at each angle, and their extremes when nothing limits them.
func reachChains(p publishedCase) []check {
	links := []float64{p.number("l1"), p.number("l2")}
	var checks []check
	angles, distances := p.vector("flexion_deg"), p.vector("distance")
	for i, angle := range angles {
		checks = append(checks, p.expect("span at "+strconv.FormatFloat(angle, 'g', -1, 64)+" deg", "limb-fold", stiff(links, angle), of("span_rest"), distances[i]))
	}
	free := chain([]float64{links[0], 0, 0, 0}, []float64{links[1], 0, -180, 180})
	limited := chain([]float64{links[0], 0, 0, 0}, []float64{links[1], 0, 0, angles[len(angles)-1]})
	return append(checks,
		p.expect("longest span", "limb-fold", free, of("span_max"), p.number("reach_max")),
		p.expect("shortest span", "limb-fold", free, of("span_min"), p.number("reach_min_unlimited")),
		p.expect("fold", "limb-fold", limited, of("fold"), p.number("fold_ratio")))
}

func inverseChains(p publishedCase) []check {
	links := []float64{p.number("l1"), p.number("l2")}
	return []check{p.expect("span", "limb-fold", stiff(links, p.number("flexion_deg")), of("span_rest"), p.number("distance"))}
}

// zigzagChecks: the angle at the longest span is told to a thousandth of a degree only, since the reference's search stops
// where the span is flat to 1e-12.
func zigzagChecks(p publishedCase) []check {
	var segments [][]float64
	for i, length := range p.vector("lengths") {
		segments = append(segments, []float64{length, p.vector("rest_deg")[i], p.vector("fold_min_deg")[i], p.vector("fold_max_deg")[i]})
	}
	in := chain(segments...)
	var checks []check
	for _, id := range []string{"total_length", "span_rest", "span_max", "span_min", "extension", "fold"} {
		c := p.expect(id, "limb-fold", in, of(id), p.number(id))
		if c.tol = 1e-9; id == "span_max" {
			c.tol = 1e-8
		}
		checks = append(checks, c)
	}
	for _, end := range []string{"at_max", "at_min"} {
		for i, want := range p.vector(end + "_deg") {
			c := p.expect(end+" of segment "+strconv.Itoa(i+1), "limb-fold", in, of("extremes."+end+"."+strconv.Itoa(i+1)), want)
			c.tol, c.reason = 1e-3, "the reference's search stops where the span is flat to 1e-12"
			checks = append(checks, c)
		}
	}
	return checks
}

// polygonChains: k links of a regular polygon span the chord 2·R·sin(k·π/n), and its corners bend by 360/n in one plane.
func polygonChains(p publishedCase) []check {
	n := int(p.number("joints"))
	side, turn, radius := p.number("link_length"), p.number("turn_per_joint_deg"), p.number("circumradius")
	var checks []check
	for k := 2; k <= min(n-1, 6); k++ {
		links := make([]float64, k)
		for i := range links {
			links[i] = side
		}
		checks = append(checks, p.expect("span of "+strconv.Itoa(k)+" links", "limb-fold", stiff(links, turn), of("span_rest"), 2*radius*sinTurns(k, n)))
	}
	corners := given("points", cells(corners(n, radius)))
	for i := 1; i+1 < n; i++ {
		checks = append(checks, p.expect("bend at corner "+strconv.Itoa(i+1), "hinge-plane", corners, of("joints.bend."+strconv.Itoa(i)), turn))
	}
	return append(checks,
		p.expect("normal", "hinge-plane", corners, of("normal_z"), 1),
		p.expect("out of plane", "hinge-plane", corners, of("offplane_max"), 0))
}

// blendSections: at the joint both segments count a half, whatever the depth of the pivot.
func blendSections(p publishedCase) []check {
	var checks []check
	factors := p.vector("radius_factor")
	for i, pair := range p.rows("angle_deg_weight_pairs") {
		if pair[1] != 0.5 {
			continue
		}
		for _, pivot := range []float64{0, 0.5, 1} {
			in := given("flex", pair[0], "pivot", pivot, "depth", 3.0, "blend", 4.0, "length", 6.0)
			name := "thickness at " + strconv.FormatFloat(pair[0], 'g', -1, 64) + " deg, pivot " + strconv.FormatFloat(pivot, 'g', -1, 64)
			checks = append(checks, p.expect(name, "bend-section", in, of("thickness_ratio"), factors[i]))
		}
	}
	return checks
}

// stripSections: the published strip is 1 wide, 1 long on either side of the joint, with a ramp over its whole length.
func stripSections(p publishedCase) []check {
	var checks []check
	for _, angle := range p.vector("rotation_about_z_deg") {
		suffix := strconv.FormatFloat(angle, 'g', -1, 64)
		in := given("depth", 1.0, "pivot", 0.5, "length", 1.0, "blend", 2.0, "flex", angle)
		checks = append(checks, p.expect("thickness at "+suffix, "bend-section", in, of("thickness_ratio"), p.number("width_at_joint_"+suffix)))
	}
	return checks
}

// sinTurns is sin(k·π/n).
func sinTurns(k, n int) float64 { return math.Sin(float64(k) * math.Pi / float64(n)) }

// corners are the corners of a regular polygon, counter-clockwise.
func corners(n int, radius float64) [][]float64 {
	var points [][]float64
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		points = append(points, []float64{radius * cos, radius * sin, 0})
	}
	return points
}
