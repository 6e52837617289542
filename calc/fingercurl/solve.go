package fingercurl

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Calculator is the catalogue's entry "finger-curl".
type Calculator struct{}

// jointNames are the ids that belong to one joint.
type jointNames struct {
	depth, pivot, shift, flex   string // fields
	squash, stretch             string // outputs
	level, under, halfTan, turn string // workings
	pulpX, pulpY                string // workings: the pulp once this joint and all beyond it have turned
	words                       string
}

var joints = [3]jointNames{
	{"mcp_depth", "mcp_pivot", "mcp_shift", "mcp_flex", "mcp_squash", "mcp_stretch",
		"mcp_level", "mcp_under", "mcp_half_tan", "mcp_radians", "mcp_pulp_x", "mcp_pulp_y", "knuckle"},
	{"pip_depth", "pip_pivot", "pip_shift", "pip_flex", "pip_squash", "pip_stretch",
		"pip_level", "pip_under", "pip_half_tan", "pip_radians", "pip_pulp_x", "pip_pulp_y", "middle joint"},
	{"dip_depth", "dip_pivot", "dip_shift", "dip_flex", "dip_squash", "dip_stretch",
		"dip_level", "dip_under", "dip_half_tan", "dip_radians", "dip_pulp_x", "dip_pulp_y", "end joint"},
}

var surfaceNames = [4]string{"palm", "proximal", "middle", "distal"}

// Solve implements catalog.Calculator. It refuses nothing that Prepare lets through.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	f := read(v)
	r := catalog.Result{Numbers: make(map[string]float64, 64), Tables: make(map[string]catalog.Rows, 1)}
	pose := f.Pose()
	put(r, "tip", pose.Tip)
	put(r, "pulp", pose.Pulp)
	put(r, "foot", pose.Foot())
	r.Numbers["pulp_gap"] = pose.PulpGap()
	total := 0.0
	for i := range joints {
		solveJoint(r, f, i, v.Numbers[joints[i].flex])
		total += v.Numbers[joints[i].flex]
	}
	r.Numbers["total_flex"] = total
	solvePath(r, f)
	rod, held := LargestRod(pose.Surface)
	solveRod(r, rod, held)
	warn(&r, f, pose, rod, v)
	return r, nil
}

// solveJoint puts what one joint gives; the squash has no value at a flex of exactly 180 degrees.
func solveJoint(r catalog.Result, f Finger, i int, degrees float64) {
	name := joints[i]
	r.Numbers[name.level] = f.restPivot(i).Y
	r.Numbers[name.under] = f.Under(i)
	r.Numbers[name.turn] = f.Flex[i]
	r.Numbers[name.stretch] = f.Stretch(i)
	if degrees != 180 {
		r.Numbers[name.halfTan] = halfTangent(degrees)
		r.Numbers[name.squash] = f.Squash(i, r.Numbers[name.halfTan])
	}
}

// solvePath puts the pulp's way through the three turns and its path in a common pivot depth.
func solvePath(r catalog.Result, f Finger) {
	pulp := f.restPulp()
	put(r, "rest_pulp", pulp)
	for i := len(joints) - 1; i >= 0; i-- {
		pulp = plane.TurnAbout(f.restPivot(i), -f.Flex[i]).Apply(pulp)
		r.Numbers[joints[i].pulpX], r.Numbers[joints[i].pulpY] = pulp.X, pulp.Y
	}
	r.Numbers["palm_level"] = -f.Depth[0] / 2
	start, step := f.PulpPath()
	put(r, "path_start", start)
	put(r, "path_step", step)
	if depth, ok := f.DepthToTouch(); ok {
		r.Numbers["depth_to_touch"] = depth
	}
}

func solveRod(r catalog.Result, rod Rod, held bool) {
	n := rod.Count
	names, xs, ys := make([]string, n), make([]float64, n), make([]float64, n)
	for i, touch := range rod.Touches[:n] {
		names[i], xs[i], ys[i] = surfaceNames[touch.Surface], touch.At.X, touch.At.Y
	}
	r.Tables["contacts"] = catalog.Rows{Len: n, Texts: map[string][]string{"surface": names},
		Numbers: map[string][]float64{"x": xs, "y": ys}}
	if held {
		r.Numbers["curl_radius"] = rod.Radius
		put(r, "curl", rod.Centre)
	}
}

// read takes the finger from prepared values.
func read(v catalog.Values) Finger {
	n := v.Numbers
	f := Finger{
		Palm:   n["palm_length"],
		Length: [3]float64{n["proximal"], n["middle"], n["distal"]},
		Depth:  [4]float64{3: n["tip_depth"]},
	}
	for i, name := range joints {
		f.Depth[i], f.Pivot[i], f.Shift[i] = n[name.depth], n[name.pivot], n[name.shift]
		f.Flex[i] = n[name.flex] * math.Pi / 180
	}
	return f
}

func put(r catalog.Result, name string, p plane.Vec) {
	r.Numbers[name+"_x"], r.Numbers[name+"_y"] = p.X, p.Y
}

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	gap := r.Numbers["pulp_gap"]
	text := "The pulp just touches the palm"
	switch {
	case gap >= shown:
		text = "The pulp stops " + v.Units.Format(gap, quantity.Length, 2) + " short of the palm"
	case gap <= -shown:
		text = "The pulp would end " + v.Units.Format(-gap, quantity.Length, 2) + " inside the palm"
	default:
		return text + "."
	}
	if depth, ok := r.Numbers["depth_to_touch"]; ok {
		return text + "; at a common pivot depth of " + quantity.Number(depth, 2) + " it would just touch."
	}
	return text + "; no common pivot depth from the back to the palm-side surface makes it just touch."
}

// Verdict implements catalog.Judged: whether rotation alone brings the pulp to the palm.
func (Calculator) Verdict(v catalog.Values, r catalog.Result) catalog.Verdict {
	gap := r.Numbers["pulp_gap"]
	switch {
	case gap >= shown:
		return catalog.Verdict{Text: "No. The pulp stops " + v.Units.Format(gap, quantity.Length, 2) + " short of the palm."}
	case gap <= -shown:
		return catalog.Verdict{Good: true, Text: "Yes, with room to spare: it would go " + v.Units.Format(-gap, quantity.Length, 2) + " into the palm."}
	}
	return catalog.Verdict{Good: true, Text: "Yes. The pulp just touches the palm."}
}

// shown is the smallest gap in cm that does not print as 0.00.
const shown = 0.005
