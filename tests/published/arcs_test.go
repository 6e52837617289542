package published

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
)

// arc is a tip at radius from a hinge at the origin, swept by degrees.
func arc(radius any, degrees float64) []catalog.Entry {
	return given("pivot_x", 0.0, "pivot_y", 0.0, "tip_x", radius, "tip_y", 0.0, "from_angle", 0.0, "to_angle", degrees)
}

// apothem is the distance from the centre to the chord: what the sagitta leaves of the radius; negative past a half turn.
func apothem(n map[string]float64) float64 { return of("current_radius")(n) - of("current_sagitta")(n) }

func arcChecks(p publishedCase) []check {
	in := arc(p.number("radius"), p.number("angle_deg"))
	return []check{
		p.expect("arc", "hinge-arc", in, of("current_arc_length"), p.number("arc")),
		p.expect("chord", "hinge-arc", in, of("current_chord"), p.number("chord")),
		p.expect("sagitta", "hinge-arc", in, of("current_sagitta"), p.number("sagitta")),
		p.expect("apothem", "hinge-arc", in, apothem, p.number("apothem_of_chord")),
		p.expect("arc over chord", "hinge-arc", in, func(n map[string]float64) float64 {
			return of("current_arc_length")(n) / of("current_chord")(n)
		}, p.number("arc_over_chord")),
		p.expect("radius from chord and sagitta", "hinge-arc", in, radiusFromChord, p.number("radius")),
	}
}

// radiusFromChord is the printed inverse, r = c²/(8 s) + s/2.
func radiusFromChord(n map[string]float64) float64 {
	c, s := of("current_chord")(n), of("current_sagitta")(n)
	return c*c/(8*s) + s/2
}

// polygonChecks: a side of a regular polygon is the chord of 360/n on its circumscribed circle, and a finger of equal
// links hinged at its palm side, each flexed by 360/n, holds its inscribed circle.
func polygonChecks(p publishedCase) []check {
	side, joints := p.number("link_length"), p.number("joints")
	in := arc(p.number("circumradius"), p.number("turn_per_joint_deg"))
	checks := []check{
		p.expect("side", "hinge-arc", in, of("current_chord"), side),
		p.expect("apothem", "hinge-arc", in, apothem, p.number("apothem")),
	}
	if joints <= 6 { // four links of more sides span less than half a turn and hold nothing
		checks = append(checks, p.expect("held rod", "finger-curl", links(side, 360/joints), of("curl_radius"), p.number("apothem")))
	}
	return checks
}

// links is a finger of equal links, palm included, hinged on the palm side.
func links(length, flex float64) []catalog.Entry {
	return given("palm_length", length, "proximal", length, "middle", length, "distal", length,
		"mcp_depth", 1.0, "pip_depth", 1.0, "dip_depth", 1.0, "tip_depth", 1.0,
		"mcp_pivot", 1.0, "pip_pivot", 1.0, "dip_pivot", 1.0, "mcp_shift", 0.0, "pip_shift", 0.0, "dip_shift", 0.0,
		"mcp_flex", flex, "pip_flex", flex, "dip_flex", flex)
}

func hexagonChecks(p publishedCase) []check {
	radii := p.vector("inradius")
	unit, six := arc(1.0, 60), arc(p.number("circumradius_second"), 60)
	return []check{
		p.expect("inradius of circumradius 1", "hinge-arc", unit, apothem, radii[0]),
		p.expect("area of circumradius 1", "hinge-arc", unit, hexagonArea, p.number("area_first")),
		p.expect("inradius of side 6", "hinge-arc", six, apothem, radii[1]),
		p.expect("side of circumradius 6", "hinge-arc", six, of("current_chord"), 6),
		p.expect("rod in links of 6", "finger-curl", links(6, 60), of("curl_radius"), radii[1]),
	}
}

// hexagonArea is six triangles on the sides.
func hexagonArea(n map[string]float64) float64 { return 3 * of("current_chord")(n) * apothem(n) }

func jawChecks(p publishedCase) []check {
	var checks []check
	chords := p.vector("condyle_chord_mm")
	for i, angle := range p.vector("rotation_deg") {
		below := strconv.FormatFloat(p.number("centre_below_condyle_mm"), 'g', -1, 64) + " mm"
		checks = append(checks, p.expect("chord of "+strconv.FormatFloat(angle, 'g', -1, 64)+" deg", "hinge-arc", arc(below, angle), millimetres("current_chord"), chords[i]))
	}
	return checks
}

// millimetres reads a length, which is in cm, in mm.
func millimetres(id string) reading {
	return func(n map[string]float64) float64 { return 10 * of(id)(n) }
}

// reachChecks: two links and the angle between them; 0 is straight.
func reachChecks(p publishedCase) []check {
	limb := func(from, to float64) []catalog.Entry {
		return given("root_x", -p.number("l1"), "root_y", 0.0, "pivot_x", 0.0, "pivot_y", 0.0, "tip_x", p.number("l2"), "tip_y", 0.0, "from_angle", from, "to_angle", to)
	}
	var checks []check
	angles, distances := p.vector("flexion_deg"), p.vector("distance")
	for i, angle := range angles {
		checks = append(checks, p.expect("at "+strconv.FormatFloat(angle, 'g', -1, 64)+" deg", "hinge-arc", limb(-30, angle), of("current_reach_to"), distances[i]))
	}
	whole := limb(-90, 270)
	return append(checks,
		p.expect("greatest", "hinge-arc", whole, of("current_reach_max"), p.number("reach_max")),
		p.expect("least", "hinge-arc", whole, of("current_reach_min"), p.number("reach_min_unlimited")),
		p.expect("fold ratio", "hinge-arc", limb(0, angles[len(angles)-1]), foldRatio, p.number("fold_ratio")))
}

func foldRatio(n map[string]float64) float64 {
	return of("current_reach_min")(n) / of("current_reach_max")(n)
}

func inverseChecks(p publishedCase) []check {
	in := given("root_x", -p.number("l1"), "root_y", 0.0, "pivot_x", 0.0, "pivot_y", 0.0, "tip_x", p.number("l2"), "tip_y", 0.0, "from_angle", 0.0, "to_angle", p.number("flexion_deg"))
	return []check{
		p.expect("distance", "hinge-arc", in, of("current_reach_to"), p.number("distance")),
		p.expect("first link from the target line", "hinge-arc", in, func(n map[string]float64) float64 {
			return -math.Atan2(of("current_tip_y")(n), of("current_tip_x")(n)+p.number("l1")) * 180 / math.Pi
		}, p.number("first_link_from_target_line_deg")),
	}
}

func wedgeChecks(p publishedCase) []check {
	in := given("mcp_depth", p.number("depth"), "mcp_pivot", p.number("pivot"), "mcp_flex", p.number("flex_deg"))
	return []check{
		p.expect("squash", "finger-curl", in, of("mcp_squash"), p.number("squash")),
		p.expect("squash as derived", "finger-curl", in, func(n map[string]float64) float64 {
			return 2 * of("mcp_under")(n) * of("mcp_half_tan")(n)
		}, p.number("squash")),
		p.expect("stretch", "finger-curl", in, of("mcp_stretch"), p.number("stretch")),
	}
}
