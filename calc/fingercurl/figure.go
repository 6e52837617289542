package fingercurl

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Figure implements catalog.Calculator: the finger from the side, flexed, over its faint outline at rest. What the
// pivots move is drawn as the candidate, so that two runs can be laid over each other.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	f := read(v)
	d := drawing{f, f.Pose(), r, v.Units}
	return figure.Figure{
		Title:   "A finger closing on its palm, seen from the side",
		Desc:    c.Say(v, r) + d.rodWords(),
		View:    d.view(),
		Marks:   append(append(append(d.flesh(), d.rod()...), d.skeleton()...), d.gap()...),
		Handles: d.handles(),
	}
}

type drawing struct {
	f     Finger
	pose  Pose
	r     catalog.Result
	units quantity.Units
}

func (d drawing) rodWords() string {
	if radius, ok := d.r.Numbers["curl_radius"]; ok {
		return " The curl holds a rod " + d.units.Format(2*radius, quantity.Length, 2) + " thick."
	}
	return " The curl holds no rod."
}

// view covers every flexion that the sliders offer, from straight to 120° at each joint, from the lengths alone, so that
// no pose changes the scale. A finger bent back may leave it.
func (d drawing) view() figure.Rect {
	f := d.f
	thick := math.Max(math.Max(f.Depth[0], f.Depth[1]), math.Max(f.Depth[2], f.Depth[3]))
	reach := f.stations()[3] + thick/2
	return figure.Rect{
		Min: plane.Vec{X: -math.Max(f.Palm, reach/2+thick), Y: -reach},
		Max: plane.Vec{X: reach, Y: thick/2 + 0.1*reach},
	}
}

// flesh draws the palm, the finger at rest as a hairline, the flexed segments, and where neighbours overlap.
func (d drawing) flesh() []figure.Mark {
	half := d.f.Depth[0] / 2
	palm := []plane.Vec{{X: -d.f.Palm, Y: -half}, {Y: -half}, {Y: half}, {X: -d.f.Palm, Y: half}}
	names := [4]string{"The palm", "First segment", "Middle segment", "End segment"}
	marks := []figure.Mark{
		figure.Polyline{Name: "The finger at rest", Role: figure.Guide, Points: d.restOutline(), Hair: true},
		figure.Region{Name: names[0], Role: figure.Flesh, Points: palm},
	}
	outlines := [4][]plane.Vec{palm}
	for k := 1; k < 4; k++ {
		outlines[k] = d.moved(k, d.segmentOutline(k))
		marks = append(marks, figure.Region{Name: names[k], Role: figure.Flesh, Points: outlines[k]})
	}
	for k := 1; k < 4; k++ {
		if both := plane.Overlap(outlines[k-1], outlines[k]); plane.Area(both) > 1e-4 {
			marks = append(marks, figure.Region{Name: "Squashed flesh at the " + joints[k-1].words, Role: figure.Caution, Points: both, Hatch: true})
		}
	}
	return append(marks, figure.Polyline{Name: "The palm's surface", Role: figure.Bone, Points: []plane.Vec{palm[0], palm[1]}})
}

// segmentOutline returns segment k at rest, counter-clockwise; the last ends in a half circle whose lowest point is the
// pulp, when it is long enough for one.
func (d drawing) segmentOutline(k int) []plane.Vec {
	x, a, b := d.f.stations(), d.f.Depth[k-1]/2, d.f.Depth[k]/2
	if k < 3 || b > d.f.Length[2] {
		return []plane.Vec{{X: x[k-1], Y: -a}, {X: x[k], Y: -b}, {X: x[k], Y: b}, {X: x[k-1], Y: a}}
	}
	outline := []plane.Vec{{X: x[2], Y: -a}}
	const steps = 16 // of a half circle: the sagitta of each is half a percent of its radius
	for n := range steps + 1 {
		outline = append(outline, plane.Vec{X: x[3] - b}.Add(plane.Polar(b, math.Pi*(float64(n)/steps-0.5))))
	}
	return append(outline, plane.Vec{X: x[2], Y: a})
}

// restOutline runs along the palm side from the knuckle, around the tip, and back to it.
func (d drawing) restOutline() []plane.Vec {
	x, half := d.f.stations(), func(k int) float64 { return d.f.Depth[k] / 2 }
	line := []plane.Vec{{Y: -half(0)}, {X: x[1], Y: -half(1)}}
	line = append(line, d.segmentOutline(3)...)
	return append(line, plane.Vec{X: x[1], Y: half(1)}, plane.Vec{Y: half(0)})
}

func (d drawing) moved(k int, points []plane.Vec) []plane.Vec {
	out := make([]plane.Vec, len(points))
	for i, p := range points {
		out[i] = d.pose.Motion[k].Apply(p)
	}
	return out
}

// skeleton draws the line from pivot to pivot to tip, the palm-side surfaces and the pulp.
func (d drawing) skeleton() []figure.Mark {
	p := d.pose
	marks := []figure.Mark{figure.Polyline{Name: "From pivot to pivot to the tip", Role: figure.Candidate,
		Points: []plane.Vec{p.Pivot[knuckle], p.Pivot[middleJoint], p.Pivot[endJoint], p.Tip}}}
	for k := 1; k < 4; k++ {
		marks = append(marks, figure.Polyline{Name: "Palm-side surface, " + surfaceNames[k], Role: figure.Candidate, Hair: true,
			Points: []plane.Vec{p.Surface[k].A, p.Surface[k].B}})
	}
	return append(marks, figure.Marker{Name: "Pulp", Role: figure.Candidate, Shape: figure.Dot, At: p.Pulp})
}

// gap draws the distance from the pulp to the nearest point of the palm; a pulp inside the palm is a caution.
func (d drawing) gap() []figure.Mark {
	foot, size := d.pose.Foot(), d.r.Numbers["pulp_gap"]
	if math.Abs(size) < shown {
		return []figure.Mark{figure.Label{Role: figure.Candidate, At: foot, Text: "touches", Away: plane.Vec{X: -1, Y: -1}}}
	}
	mark := figure.Dimension{Name: "Gap between pulp and palm", Role: figure.Candidate, A: d.pose.Pulp, B: foot,
		Text: d.units.Format(math.Abs(size), quantity.Length, 2)}
	if size < 0 {
		mark.Name, mark.Role, mark.Text = "Pulp inside the palm", figure.Caution, mark.Text+" inside"
	}
	return []figure.Mark{mark}
}

// rod draws the largest rod with its diameter and contacts.
func (d drawing) rod() []figure.Mark {
	radius, ok := d.r.Numbers["curl_radius"]
	if !ok {
		return nil
	}
	centre := plane.Vec{X: d.r.Numbers["curl_x"], Y: d.r.Numbers["curl_y"]}
	across := plane.Vec{X: radius}
	marks := []figure.Mark{
		figure.Circle{Name: "The largest rod held", Role: figure.Target, Centre: centre, Radius: radius},
		figure.Marker{Name: "Rod centre", Role: figure.Target, Shape: figure.Cross, At: centre},
		figure.Dimension{Name: "Diameter of the rod", Role: figure.Target, A: centre.Sub(across), B: centre.Add(across),
			Text: "⌀ " + d.units.Format(2*radius, quantity.Length, 2)},
	}
	touches := d.r.Tables["contacts"]
	for i, surface := range touches.Texts["surface"] {
		marks = append(marks, figure.Marker{Name: "Contact with the surface: " + surface, Role: figure.Target, Shape: figure.Dot,
			At: plane.Vec{X: touches.Numbers["x"][i], Y: touches.Numbers["y"][i]}})
	}
	return marks
}
