package hingearc

import (
	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// far bounds lengths: ten kilometres on either side of the origin.
const far = 1e6

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	return catalog.Spec{
		ID:       "hinge-arc",
		Title:    "The sweep of a hinge",
		Purpose:  "Compares the arc, the reach and the first contact of a limb's tip when it turns about the current and about a candidate pivot.",
		Compares: true,
		Groups: []catalog.Group{
			{ID: "pivots", Label: "The hinge"},
			{ID: "limb", Label: "The limb at rest"},
			{ID: "sweep", Label: "The sweep"},
			{ID: "flesh", Label: "Flesh, for the first contact"},
		},
		Fields:   fields(),
		Outputs:  outputs(),
		Workings: workings(),
		Steps:    steps(),
		Presets:  presets(),
		Sources:  []string{"weisstein_circularsegment", "craig2005"},
		Cautions: []string{
			"For drawn and animated characters. On a machine, a puppet or a worn device a moved hinge also moves loads, pinch points and clearances: that is a licensed engineer's decision under local codes.",
			"Flesh is taken as a round tip against a parent of even thickness; real flesh gives way before and after the first contact.",
		},
	}
}()

func fields() []catalog.Field {
	return []catalog.Field{
		place("candidate_x", "Candidate pivot x", "pivots", 0, "Where the hinge is proposed to be, along x."),
		place("candidate_y", "Candidate pivot y", "pivots", -1.5, "Where the hinge is proposed to be, along y."),
		place("pivot_x", "Current pivot x", "pivots", 0, "Where the hinge is now, along x."),
		place("pivot_y", "Current pivot y", "pivots", 0, "Where the hinge is now, along y."),
		place("tip_x", "Tip x", "limb", 16, "The point whose travel is measured, at rest, along x: a wrist, a toe, the end of a lever."),
		place("tip_y", "Tip y", "limb", 0, "The point whose travel is measured, at rest, along y."),
		place("root_x", "Root x", "limb", -20, "The far end of the parent segment, along x; the parent does not move."),
		place("root_y", "Root y", "limb", 0, "The far end of the parent segment, along y."),
		turn("from_angle", "Sweep from", 0, "Where the sweep begins, counted from rest; counter-clockwise is positive."),
		turn("to_angle", "Sweep to", 150, "Where the sweep ends, counted from rest; less than the start for a clockwise sweep."),
		thick("parent_radius", "Parent flesh", 5, "Half the thickness of the parent segment, from its line to its skin."),
		thick("child_radius", "Tip flesh", 4.5, "Half the thickness of the moving segment at its tip."),
		{ID: "parent_end", Label: "Parent ends at", Group: "flesh", DefaultChoice: "placement",
			Help: "The parent segment runs from the root to the hinge. Choose the current pivot for both when the parent's flesh stays where it is although the hinge moves.",
			Choices: []catalog.Choice{
				{ID: "placement", Label: "the pivot of each placement"},
				{ID: "current", Label: "the current pivot in both"},
			}},
	}
}

func place(id, label, group string, initial float64, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: group, Kind: quantity.Length,
		Default: initial, Min: -far, Max: far, SlideMin: -40, SlideMax: 40, Step: 0.1}
}

// turn is an angle field; two full turns either way leave room for a wheel or a screw and keep the drawing readable.
func turn(id, label string, initial float64, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: "sweep", Kind: quantity.Angle,
		Default: initial, Min: -720, Max: 720, SlideMin: -180, SlideMax: 180, Step: 1}
}

func thick(id, label string, initial float64, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: "flesh", Kind: quantity.Length,
		Default: initial, Min: 0, Max: far, SlideMin: 0, SlideMax: 12, Step: 0.1}
}

func outputs() []catalog.Output {
	list := []catalog.Output{
		{ID: "shift_length", Label: "Shift of the tip", Help: "How far apart the two tips are at the end of the sweep: 2 · pivot shift · |sin(to/2)|.", Kind: quantity.Length, Digits: 3},
		{ID: "shift_x", Label: "Shift x", Help: "Candidate tip minus current tip at the end of the sweep, along x.", Kind: quantity.Length, Digits: 3},
		{ID: "shift_y", Label: "Shift y", Help: "Candidate tip minus current tip at the end of the sweep, along y.", Kind: quantity.Length, Digits: 3},
	}
	for _, o := range []catalog.Output{
		{Pair: "radius", Label: "Radius", Help: "Distance from pivot to tip.", Kind: quantity.Length, Digits: 3},
		{Pair: "arc_length", Label: "Arc length", Help: "Length of the tip's whole path: radius times turn; turns past the first are counted.", Kind: quantity.Length, Digits: 3},
		{Pair: "chord", Label: "Chord", Help: "Straight distance from the start of the path to its end.", Kind: quantity.Length, Digits: 3},
		{Pair: "sagitta", Label: "Sagitta", Help: "How far the middle of the path bulges from the middle of the chord: what in-between poses on a straight line would miss. Twice the radius after a full turn.", Kind: quantity.Length, Digits: 3},
		{Pair: "reach_from", Label: "Reach at the start", Help: "Distance from root to tip where the sweep begins.", Kind: quantity.Length, Digits: 3},
		{Pair: "reach_to", Label: "Reach at the end", Help: "Distance from root to tip where the sweep ends.", Kind: quantity.Length, Digits: 3},
		{Pair: "reach_min", Label: "Least reach", Help: "The nearest the tip comes to the root anywhere in the sweep.", Kind: quantity.Length, Digits: 3},
		{Pair: "reach_max", Label: "Greatest reach", Help: "The farthest the tip gets from the root anywhere in the sweep.", Kind: quantity.Length, Digits: 3},
		{Pair: "contact_angle", Label: "First contact at", Help: "The first angle of the sweep at which the tip's flesh touches the parent's, whose segment runs from the root to the pivot of the placement.", Kind: quantity.Angle, Digits: 1},
		{Pair: "tip_x", Label: "Tip ends at x", Help: "Where the tip is at the end of the sweep, along x.", Kind: quantity.Length, Digits: 3},
		{Pair: "tip_y", Label: "Tip ends at y", Help: "Where the tip is at the end of the sweep, along y.", Kind: quantity.Length, Digits: 3},
	} {
		list = append(list, side(o, "current"), side(o, "candidate"))
	}
	return list
}

func workings() []catalog.Output {
	list := []catalog.Output{
		{ID: "sweep", Label: "Turn of the sweep", Kind: quantity.Angle, Digits: 1},
		{ID: "touch", Label: "Distance of contact", Kind: quantity.Length, Digits: 2},
		{ID: "pivot_shift", Label: "Shift of the pivot", Kind: quantity.Length, Digits: 3},
		{ID: "half_sine", Label: "Sine of half the end angle", Digits: 4},
	}
	for _, o := range []catalog.Output{
		{Pair: "parent", Label: "Length of the parent", Kind: quantity.Length, Digits: 3},
		{Pair: "straight", Label: "Angle at which the limb is straight", Kind: quantity.Angle, Digits: 1},
	} {
		list = append(list, side(o, "current"), side(o, "candidate"))
	}
	return list
}

// side is the half of a pair that belongs to the placement.
func side(o catalog.Output, placement string) catalog.Output {
	o.ID, o.Side = placement+"_"+o.Pair, placement
	return o
}

func steps() []catalog.Step {
	return []catalog.Step{
		{Say: "The radius is the distance from pivot to tip, for the current and for the candidate pivot.",
			TeX: `r = |x - p| = \slot{current_radius}\ \text{cm},\quad \slot{candidate_radius}\ \text{cm}`},
		{Say: "The tip's path is an arc of that radius through the turn of the sweep.",
			TeX: `s = r\,|\theta|,\ \theta = \slot{sweep}^\circ:\quad \slot{current_arc_length}\ \text{cm},\quad \slot{candidate_arc_length}\ \text{cm}`},
		{Say: "The chord joins the ends of the path.",
			TeX: `c = 2\,r\,\left|\sin\tfrac{\theta}{2}\right| = \slot{current_chord}\ \text{cm},\quad \slot{candidate_chord}\ \text{cm}`},
		{Say: "The sagitta is the bulge of the path over its chord.",
			TeX: `h = r\left(1 - \cos\tfrac{\theta}{2}\right) = \slot{current_sagitta}\ \text{cm},\quad \slot{candidate_sagitta}\ \text{cm}`},
		{Say: "With the parent's length and the angle at which the limb is straight, the reach follows at every angle; this is the reach at the end.",
			TeX: `d = \sqrt{e^2 + r^2 + 2\,e\,r\cos(\varphi - \varphi_s)},\quad e = \slot{current_parent}\ \text{cm},\ \slot{candidate_parent}\ \text{cm},\quad \varphi_s = \slot{current_straight}^\circ,\ \slot{candidate_straight}^\circ:\quad d = \slot{current_reach_to}\ \text{cm},\quad \slot{candidate_reach_to}\ \text{cm}`},
		{Say: "Inside the sweep the reach is greatest where the limb is straight and least where it is folded; elsewhere an end of the sweep decides.",
			TeX: `e + r \ge d \ge |e - r|:\quad d_{\max} = \slot{current_reach_max}\ \text{cm},\ \slot{candidate_reach_max}\ \text{cm},\quad d_{\min} = \slot{current_reach_min}\ \text{cm},\ \slot{candidate_reach_min}\ \text{cm}`},
		{Say: "The tip first touches where its distance to the parent segment falls to the two flesh radii together; angles in degrees.",
			TeX: `\operatorname{dist}(\varphi) = \slot{parent_radius} + \slot{child_radius} = \slot{touch}\ \text{cm}:\quad \varphi = \slot{current_contact_angle},\quad \slot{candidate_contact_angle}`},
		{Say: "Moving the pivot moves the end of the path by a chord of its own.",
			TeX: `|\Delta| = 2\,|p' - p|\,\left|\sin\tfrac{\varphi}{2}\right| = 2 \cdot \slot{pivot_shift} \cdot \slot{half_sine} = \slot{shift_length}\ \text{cm}`},
	}
}

func presets() []catalog.Preset {
	return []catalog.Preset{
		{ID: "thick-arm", Label: "The Lockmaster's thick arm", Note: "invented"},
		{ID: "slim-elbow", Label: "An adult elbow, 170 cm tall", Note: "drillis1966: upper arm 0.186 and forearm 0.146 of stature; flesh, candidate and sweep invented",
			Values: []catalog.Entry{{ID: "root_x", Text: "-31.62 cm"}, {ID: "tip_x", Text: "24.82 cm"}, {ID: "candidate_y", Text: "0.8 cm"},
				{ID: "to_angle", Text: "146 deg"}, {ID: "parent_radius", Text: "4 cm"}, {ID: "child_radius", Text: "2.5 cm"}}},
		{ID: "wide-jaw", Label: "The Lockmaster's wide jaw", Note: "invented",
			Values: []catalog.Entry{{ID: "root_x", Text: "-3 cm"}, {ID: "root_y", Text: "6 cm"}, {ID: "tip_x", Text: "11 cm"}, {ID: "tip_y", Text: "-4 cm"},
				{ID: "candidate_x", Text: "-0.2 cm"}, {ID: "candidate_y", Text: "-3.2 cm"}, {ID: "from_angle", Text: "0 deg"}, {ID: "to_angle", Text: "-34 deg"},
				{ID: "parent_radius", Text: "2 cm"}, {ID: "child_radius", Text: "1 cm"}}},
		{ID: "crane-jib", Label: "Gantry's jib", Note: "invented",
			Values: []catalog.Entry{{ID: "root_y", Text: "-6 m"}, {ID: "root_x", Text: "0 cm"}, {ID: "tip_x", Text: "9 m"}, {ID: "candidate_x", Text: "40 cm"}, {ID: "candidate_y", Text: "0 cm"},
				{ID: "from_angle", Text: "-30 deg"}, {ID: "to_angle", Text: "70 deg"}, {ID: "parent_radius", Text: "50 cm"}, {ID: "child_radius", Text: "20 cm"}}},
	}
}
