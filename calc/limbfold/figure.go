package limbfold

import (
	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Figure implements catalog.Calculator: the chain at rest, stretched and folded, all from one base.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	f := figure.Figure{Title: "A chain of segments at rest, stretched and folded", Desc: c.Say(v, r)}
	chain, err := read(v.Tables["segments"])
	if err != nil {
		return f
	}
	reach := 1.05 * r.Numbers["total_length"]
	f.View = figure.Rect{Min: plane.Vec{X: -reach, Y: -reach}, Max: plane.Vec{X: reach, Y: reach}}
	degrees := func(id string) []float64 {
		fold := make([]float64, len(chain))
		for i, a := range r.Tables["extremes"].Numbers[id] {
			fold[i] = a * 3.141592653589793 / 180
		}
		return fold
	}
	rest, far, near := Joints(chain, make([]float64, len(chain))), Joints(chain, degrees("at_max")), Joints(chain, degrees("at_min"))
	f.Marks = append(f.Marks, figure.Circle{Role: figure.Guide, Radius: r.Numbers["span_max"]}, figure.Circle{Role: figure.Guide, Radius: r.Numbers["span_min"]})
	f.Marks = append(f.Marks, drawn(near, figure.Flesh, "The chain folded")...)
	f.Marks = append(f.Marks, drawn(rest, figure.Bone, "The chain at rest")...)
	f.Marks = append(f.Marks, drawn(far, figure.Candidate, "The chain stretched")...)
	end := far[len(far)-1]
	f.Marks = append(f.Marks,
		figure.Marker{Name: "Base", Role: figure.Bone, Shape: figure.Ring},
		figure.Dimension{Role: figure.Candidate, A: plane.Vec{}, B: end, Offset: 0.12 * reach, Text: quantity.Format(r.Numbers["span_max"], quantity.Length, 1)},
		figure.Dimension{Role: figure.Guide, A: plane.Vec{}, B: near[len(near)-1], Offset: -0.1 * reach, Text: quantity.Format(r.Numbers["span_min"], quantity.Length, 1)})
	return f
}

func drawn(points []plane.Vec, role figure.Role, name string) []figure.Mark {
	marks := []figure.Mark{figure.Polyline{Name: name, Role: role, Points: points}}
	for _, p := range points[1:] {
		marks = append(marks, figure.Marker{Role: role, Shape: figure.Dot, At: p})
	}
	return marks
}
