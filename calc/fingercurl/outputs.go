package fingercurl

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// outputs lists the answers: what the pose reaches, what the curl holds, what the folds cost, where the tip is.
func outputs() []catalog.Output {
	return []catalog.Output{
		cm("pulp_gap", "Gap between pulp and palm", 2, "Distance from the pulp to the palm's surface; negative when the pulp lies inside the palm."),
		{ID: "depth_to_touch", Label: "Pivot depth that just touches", Help: "The one depth fraction from 0 (back) to 1 (palm side) that, used at all three pivots, makes the gap 0; the largest if several.", Kind: quantity.Ratio, Digits: 3},
		{ID: "total_flex", Label: "Total flexion", Help: "Sum of the three flexions.", Kind: quantity.Angle, Digits: 1},
		cm("curl_radius", "Radius of the largest rod held", 3, "Largest circle that the palm-side surfaces touch all around; none when the curl is open."),
		cm("curl_x", "Rod centre x", 3, "Along the palm from the knuckle, toward the rest finger's tip."),
		cm("curl_y", "Rod centre y", 3, "Toward the back of the hand; negative on the palm side."),
		cm("mcp_squash", "Squash at the knuckle", 2, "Palm-side surface lost in the fold: 2 · h · tan(flexion/2), h the flesh between pivot and palm side. Negative: a gap opens."),
		cm("pip_squash", "Squash at the middle joint", 2, "Palm-side surface lost in the fold: 2 · h · tan(flexion/2). Negative: a gap opens."),
		cm("dip_squash", "Squash at the end joint", 2, "Palm-side surface lost in the fold: 2 · h · tan(flexion/2). Negative: a gap opens."),
		cm("mcp_stretch", "Stretch at the knuckle", 2, "How much longer the back's skin becomes over the joint: pivot depth in cm times flexion in radians."),
		cm("pip_stretch", "Stretch at the middle joint", 2, "How much longer the back's skin becomes over the joint: pivot depth in cm times flexion in radians."),
		cm("dip_stretch", "Stretch at the end joint", 2, "How much longer the back's skin becomes over the joint: pivot depth in cm times flexion in radians."),
		cm("pulp_x", "Pulp x", 2, "Where the fingertip's pad is, along the palm from the knuckle."),
		cm("pulp_y", "Pulp y", 2, "Where the fingertip's pad is, toward the back of the hand from mid-depth at the knuckle."),
		cm("tip_x", "Tip x", 2, "Where the very tip is, along the palm from the knuckle."),
		cm("tip_y", "Tip y", 2, "Where the very tip is, toward the back of the hand from mid-depth at the knuckle."),
	}
}

func cm(id, label string, digits int, help string) catalog.Output {
	return catalog.Output{ID: id, Label: label, Help: help, Kind: quantity.Length, Digits: digits}
}

func contacts() catalog.Table {
	return catalog.Table{ID: "contacts", Label: "Where the rod touches", Help: "One row for each palm-side surface that the largest rod touches; empty when the curl is open.",
		Columns: []catalog.Column{
			{ID: "surface", Label: "Surface", Help: "palm, proximal, middle or distal", Text: true},
			{ID: "x", Label: "x", Kind: quantity.Length, Digits: 3},
			{ID: "y", Label: "y", Kind: quantity.Length, Digits: 3},
		}, MaxRows: 4}
}

// workings lists the intermediate values that the steps show.
func workings() []catalog.Output {
	list := []catalog.Output{
		cm("palm_level", "Level of the palm's surface", 3, "y of the palm's surface: half the knuckle depth toward the palm side."),
		cm("rest_pulp_x", "Pulp at rest x", 3, "Half the tip's depth short of the tip."),
		cm("rest_pulp_y", "Pulp at rest y", 3, "Half the tip's depth toward the palm side."),
		cm("foot_x", "Foot of the pulp x", 3, "The point of the palm's surface nearest to the pulp."), cm("foot_y", "Foot of the pulp y", 3, ""),
		cm("path_start_x", "Pulp x with all pivots at the back", 3, ""), cm("path_start_y", "Pulp y with all pivots at the back", 3, ""),
		cm("path_step_x", "Change of pulp x from back to palm side", 3, ""), cm("path_step_y", "Change of pulp y from back to palm side", 3, ""),
	}
	for _, j := range joints {
		list = append(list,
			cm(j.level, "Pivot level, "+j.words, 3, "y of the pivot at rest."),
			cm(j.under, "Flesh under the pivot, "+j.words, 3, "h = (1 − pivot) · depth."),
			catalog.Output{ID: j.halfTan, Label: "Tangent of half the flexion, " + j.words, Digits: 4},
			catalog.Output{ID: j.turn, Label: "Flexion in radians, " + j.words, Digits: 4},
			cm(j.pulpX, "Pulp x after the turn of the "+j.words, 3, ""),
			cm(j.pulpY, "Pulp y after the turn of the "+j.words, 3, ""))
	}
	return list
}

// steps is the derivation, in the order of the computation.
func steps() []catalog.Step {
	return []catalog.Step{
		{Say: "Each pivot lies on its joint's station, a fraction of the depth below the back.",
			TeX: each(`y_{\mathrm{@}} &= d_{\mathrm{@}}\left(\tfrac12 - p_{\mathrm{@}}\right) = \slot{@_depth}\left(0.5 - \slot{@_pivot}\right) = \slot{@_level}\ \text{cm}`)},
		{Say: "What is left of the depth is flesh under the pivot.",
			TeX: each(`h_{\mathrm{@}} &= (1 - p_{\mathrm{@}})\,d_{\mathrm{@}} = (1 - \slot{@_pivot}) \cdot \slot{@_depth} = \slot{@_under}\ \text{cm}`)},
		{Say: "Two palm-side surfaces that fold about the pivot cross on the bisector of the fold, and each loses h · tan(flexion/2).",
			TeX: each(`s_{\mathrm{@}} &= 2\,h_{\mathrm{@}} \tan\tfrac{\varphi_{\mathrm{@}}}{2} = 2 \cdot \slot{@_under} \cdot \slot{@_half_tan} = \slot{@_squash}\ \text{cm}`)},
		{Say: "The back's skin follows an arc about the pivot.",
			TeX: each(`e_{\mathrm{@}} &= p_{\mathrm{@}}\,d_{\mathrm{@}}\,\varphi_{\mathrm{@}} = \slot{@_pivot} \cdot \slot{@_depth} \cdot \slot{@_radians} = \slot{@_stretch}\ \text{cm}`)},
		{Say: "The three turns add up.",
			TeX: `\varphi = \slot{mcp_flex}^\circ + \slot{pip_flex}^\circ + \slot{dip_flex}^\circ = \slot{total_flex}^\circ`},
		{Say: "Each joint turns all that is beyond it about its pivot at rest, c, by minus its flexion; the end joint's turn comes first.",
			TeX: `T_i(x) = c_i + R(-\varphi_i)\,(x - c_i), \qquad q = T_{\mathrm{mcp}}\,T_{\mathrm{pip}}\,T_{\mathrm{dip}}\,q_0`},
		{Say: "So the pulp goes from its place at rest through the three turns.",
			TeX: `\begin{aligned} q_0 &= (\slot{rest_pulp_x},\ \slot{rest_pulp_y}) \\ T_{\mathrm{dip}}\,q_0 &= (\slot{dip_pulp_x},\ \slot{dip_pulp_y}) \\ ` +
				`T_{\mathrm{pip}}\,T_{\mathrm{dip}}\,q_0 &= (\slot{pip_pulp_x},\ \slot{pip_pulp_y}) \\ q &= (\slot{mcp_pulp_x},\ \slot{mcp_pulp_y})\ \text{cm} \end{aligned}`},
		{Say: "The foot u is the point of the palm's surface nearest to the pulp, and the gap its distance; it counts negative when the pulp lies above that surface, inside the palm.",
			TeX: `u = (\slot{foot_x},\ \slot{foot_y}), \qquad |g| = \sqrt{(q_x - u_x)^2 + (q_y - u_y)^2}, \qquad g = \slot{pulp_gap}\ \text{cm}`},
		{Say: "With one depth fraction p at all three pivots the pulp moves on a straight line as p grows, because every pivot does and no turn depends on it.",
			TeX: `q(p) = (\slot{path_start_x},\ \slot{path_start_y}) + p\,(\slot{path_step_x},\ \slot{path_step_y})`},
		{Say: "That line meets the palm's level at one fraction, which counts when it lies from 0 to 1 and the pulp is then on the palm.",
			TeX: `y_{\mathrm{palm}} = -\tfrac12\,d_{\mathrm{mcp}} = \slot{palm_level}\ \text{cm}, \qquad p = \frac{y_{\mathrm{palm}} - \slot{path_start_y}}{\slot{path_step_y}} \;\Rightarrow\; \slot{depth_to_touch}`},
		{Say: "The largest rod is equally far from the surfaces it touches, nearer to none, and its contacts surround its centre.",
			TeX: `|c - u_1| = |c - u_2| = \dots = r = \slot{curl_radius}\ \text{cm}, \qquad c = (\slot{curl_x},\ \slot{curl_y})\ \text{cm}`},
	}
}

// each writes a line of TeX for every joint, with its short name in place of @.
func each(line string) string {
	text := `\begin{aligned} `
	for i, short := range [...]string{"mcp", "pip", "dip"} {
		if i > 0 {
			text += ` \\ `
		}
		text += strings.ReplaceAll(line, "@", short)
	}
	return text + ` \end{aligned}`
}
