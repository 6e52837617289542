package fingercurl

import (
	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	return catalog.Spec{
		ID:      "finger-curl",
		Title:   "How tightly a finger closes",
		Purpose: "Tells how near a fingertip's pulp comes to the palm by rotation alone, what the folds cost in flesh, and how thick a rod the curl holds.",
		Groups: []catalog.Group{
			{ID: "pivots", Label: "Pivot depth: 0 at the back, 0.5 in the middle, 1 at the palm side"},
			{ID: "flex", Label: "Flexion"},
			{ID: "lengths", Label: "Lengths along the finger"},
			{ID: "depths", Label: "Flesh from back to palm side"},
			{ID: "shifts", Label: "Pivots moved along the finger"},
		},
		Fields:   fields(),
		Outputs:  outputs(),
		Answers:  []catalog.Table{contacts()},
		Workings: workings(),
		Steps:    steps(),
		Presets:  presets(),
		Sources:  []string{"buryanov2010", "sanchobru_model", "reider_exam", "matheass_polygon"},
		Cautions: []string{
			"For drawn and animated characters. A grip for a real hand, an orthosis or a mechanical finger needs its own measurement, licensed practice and local codes; pinching moving parts injure.",
			"Before moving a pivot under painted weights, save the weights and any animation: moving a bound joint can lose both.",
		},
	}
}()

// fields lists the inputs. The lengths are the index finger of buryanov2010, Table I: metacarpal 68.12, proximal 39.78,
// middle 22.38, distal 15.82 plus 3.84 mm of soft tissue. The depths are drawn through the thickness of the index
// finger's segments at their middles, 20.2, 17.4 and 15.4 mm for a hand 88 mm broad (sanchobru_model, derived; the model
// does not say whether breadth or depth), and carried on straight to the knuckle and the tip; a palm is often thicker.
// The flexion is a fist within the published ranges 80 to 90, about 110, and 70 to 90 (reider_exam).
func fields() []catalog.Field {
	return []catalog.Field{
		fraction("mcp_pivot", "Knuckle pivot depth (MCP)", "Where the knuckle's pivot lies in the flesh there: its distance from the back surface divided by the knuckle depth."),
		fraction("pip_pivot", "Middle joint pivot depth (PIP)", "The pivot's distance from the back surface divided by the depth at the middle joint."),
		fraction("dip_pivot", "End joint pivot depth (DIP)", "The pivot's distance from the back surface divided by the depth at the end joint."),
		flexion("mcp_flex", "Knuckle flexion (MCP)", 90, "How far the finger turns at the knuckle, toward the palm; negative bends it back."),
		flexion("pip_flex", "Middle joint flexion (PIP)", 105, "How far the middle joint turns, toward the palm; 0 is straight."),
		flexion("dip_flex", "End joint flexion (DIP)", 70, "How far the end joint turns, toward the palm; 0 is straight."),
		length("palm_length", "Palm length", 6.81, 15, "From the knuckle back to where the palm's surface ends, measured along the model from the side."),
		length("proximal", "First segment (proximal)", 3.98, 8, "From the knuckle to the middle joint, measured along the straight finger between the joint lines; creases do not lie on them."),
		length("middle", "Middle segment (middle)", 2.24, 8, "From the middle joint to the end joint, measured along the straight finger."),
		length("distal", "End segment (distal)", 1.97, 8, "From the end joint to the very tip, flesh included."),
		depth("mcp_depth", "Knuckle depth (MCP)", 2.2, "Thickness of the flesh at the knuckle, from back to palm side: measure the model from the side, square to the finger."),
		depth("pip_depth", "Middle joint depth (PIP)", 1.85, "Thickness from back to palm side at the middle joint, measured from the side."),
		depth("dip_depth", "End joint depth (DIP)", 1.65, "Thickness from back to palm side at the end joint, measured from the side."),
		depth("tip_depth", "Tip depth", 1.45, "Thickness at the fingertip, nail to pulp. The pulp lies half of it short of the tip."),
		shift("mcp_shift", "Knuckle pivot shift (MCP)", "How far the pivot lies from the knuckle's station toward the tip; negative toward the wrist."),
		shift("pip_shift", "Middle joint pivot shift (PIP)", "How far the pivot lies from the middle joint's station toward the tip; negative toward the wrist."),
		shift("dip_shift", "End joint pivot shift (DIP)", "How far the pivot lies from the end joint's station toward the tip; negative toward the wrist."),
	}
}

func fraction(id, label, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: "pivots", Kind: quantity.Ratio,
		Default: 0.5, Min: -0.5, Max: 1.5, SlideMin: 0, SlideMax: 1, Step: 0.05}
}

func flexion(id, label string, initial float64, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: "flex", Kind: quantity.Angle,
		Default: initial, Min: -45, Max: 180, SlideMin: 0, SlideMax: 120, Step: 1}
}

func length(id, label string, initial, comfortable float64, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: "lengths", Kind: quantity.Length,
		Default: initial, Min: 0, Max: 100, MinOpen: true, SlideMin: 0.5, SlideMax: comfortable, Step: 0.05}
}

func depth(id, label string, initial float64, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: "depths", Kind: quantity.Length,
		Default: initial, Min: 0, Max: 30, MinOpen: true, SlideMin: 0.25, SlideMax: 5, Step: 0.05}
}

func shift(id, label, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: "shifts", Kind: quantity.Length,
		Default: 0, Min: -10, Max: 10, SlideMin: -1, SlideMax: 1, Step: 0.05}
}

// presets are starting points. Lengths of the three fingers are Table I of buryanov2010, the flesh beyond the end bone
// added to the last; depths of the middle and little finger are drawn through sanchobru_model like the default's.
func presets() []catalog.Preset {
	return []catalog.Preset{
		{ID: "index-fist", Label: "Index finger, fist, pivots at mid-depth", Note: "buryanov2010"},
		{ID: "index-quarter", Label: "Index finger, fist, pivots a quarter of the depth from the back", Note: "buryanov2010",
			Values: list("mcp_pivot", "0.25", "pip_pivot", "0.25", "dip_pivot", "0.25")},
		{ID: "middle-fist", Label: "Middle finger, fist", Note: "buryanov2010",
			Values: list("palm_length", "6.46 cm", "proximal", "4.46 cm", "middle", "2.63 cm", "distal", "2.14 cm",
				"mcp_depth", "2.0 cm", "pip_depth", "1.8 cm", "dip_depth", "1.65 cm", "tip_depth", "1.5 cm")},
		{ID: "little-fist", Label: "Little finger, fist", Note: "buryanov2010",
			Values: list("palm_length", "5.37 cm", "proximal", "3.27 cm", "middle", "1.81 cm", "distal", "1.97 cm",
				"mcp_depth", "1.75 cm", "pip_depth", "1.5 cm", "dip_depth", "1.35 cm", "tip_depth", "1.25 cm")},
		{ID: "straight", Label: "Index finger, straight", Note: "buryanov2010",
			Values: list("mcp_flex", "0 deg", "pip_flex", "0 deg", "dip_flex", "0 deg")},
		{ID: "square", Label: "Four equal links closed into a square", Note: "matheass_polygon",
			Values: list("palm_length", "4 cm", "proximal", "4 cm", "middle", "4 cm", "distal", "4 cm",
				"mcp_depth", "1 cm", "pip_depth", "1 cm", "dip_depth", "1 cm", "tip_depth", "1 cm",
				"mcp_pivot", "1", "pip_pivot", "1", "dip_pivot", "1",
				"mcp_flex", "90 deg", "pip_flex", "90 deg", "dip_flex", "90 deg")},
	}
}

// list pairs ids with texts.
func list(pairs ...string) []catalog.Entry {
	var entries []catalog.Entry
	for i := 0; i+1 < len(pairs); i += 2 {
		entries = append(entries, catalog.Entry{ID: pairs[i], Text: pairs[i+1]})
	}
	return entries
}
