package propose

import (
	"math"
	"strconv"

	"centrode/calc/body"
	"centrode/calc/centre"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Say puts the proposal into one sentence.
func (p *Proposal) Say(b *body.Body) string {
	text := b.Joints[p.Joint].Name + " belongs at " + Place(p.Pivot, 2) + ", " + length(p.Offset.Len(), 2) +
		" from where it is; turning about it leaves " + length(p.Left, 3) + " against " + length(p.Now, 3) + " now"
	if p.Known {
		text += ", and its standard deviation is " + length(p.Sigma, 3)
		if p.Determined == centre.Line {
			text += " across the axis"
		}
	}
	return text + "."
}

// Place prints a place for a person.
func Place(v rigid.Vec, digits int) string {
	return quantity.Centimetres.Point(v.X, v.Y, v.Z, digits)
}

func length(v float64, digits int) string { return quantity.Format(v, quantity.Length, digits) }

// Row is one number of a proposal in words.
type Row struct{ ID, Label, Text string }

// Rows lists the numbers behind a proposal for a person.
func (p *Proposal) Rows(b *body.Body) []Row {
	rows := []Row{
		{"current", "Current pivot", Place(b.At(p.Joint), 3)},
		{"pivot", "Candidate pivot", Place(p.Pivot, 3)},
		{"offset", "Distance between them", length(p.Offset.Len(), 3)},
		{"now", "Left about the current pivot", length(p.Now, 4)},
		{"left", "Left about the candidate pivot", length(p.Left, 4)},
	}
	if !p.FromKeys {
		rows = append(rows, Row{"noise", "Noise floor", length(p.Noise, 4)})
	}
	sigma := "not known"
	if p.Known {
		sigma = length(p.Sigma, 4)
	}
	rows = append(rows, Row{"sigma", "Standard deviation of the pivot", sigma})
	open := "none: the pivot is one point"
	if p.Determined == centre.Line {
		open = "along (" + quantity.Number(p.Axis.X, 3) + ", " + quantity.Number(p.Axis.Y, 3) + ", " + quantity.Number(p.Axis.Z, 3) + ")"
	}
	rows = append(rows, Row{"open", "Undetermined direction", open})
	widest := 0.0
	for _, a := range p.Angles {
		widest = math.Max(widest, math.Abs(a))
	}
	used := strconv.Itoa(p.Landmarks) + " of " + strconv.Itoa(p.Held)
	if p.Landmarks == 0 {
		used = "none: found from keys alone"
	}
	return append(rows, Row{"turn", "Widest turn", quantity.Format(widest*180/math.Pi, quantity.Angle, 1)}, Row{"landmarks", "Vertices used", used})
}

// JSON is the proposal for programs: numbers unrounded, in cm and degrees. What is not known is null.
func (p *Proposal) JSON(b *body.Body) *jsontree.Value {
	text, place := jsontree.NewString, func(v rigid.Vec) *jsontree.Value { return jsontree.NewNumbers(v.X, v.Y, v.Z) }
	number := func(v float64, known bool) *jsontree.Value {
		if !known {
			v = math.NaN() // written as null
		}
		return jsontree.NewNumber(v)
	}
	angles, warnings := jsontree.NewArray(), jsontree.NewArray()
	for _, a := range p.Angles {
		angles.Append(jsontree.NewNumber(a * 180 / math.Pi))
	}
	for _, w := range p.Warnings {
		warnings.Append(text(w))
	}
	axis := number(0, false)
	if p.Determined == centre.Line {
		axis = place(p.Axis)
	}
	return jsontree.NewObject().Set("format", text("centrode-fit-1")).Set("file", text(b.Name)).Set("joint", text(b.Joints[p.Joint].Name)).
		Set("current", place(b.At(p.Joint))).Set("pivot", place(p.Pivot)).Set("offset", place(p.Offset)).
		Set("determined", text(p.Kind())).Set("axis", axis).
		Set("residual_rms", number(p.Left, true)).Set("current_rms", number(p.Now, true)).Set("free_rms", number(p.Noise, !p.FromKeys)).
		Set("sigma", number(p.Sigma, p.Known)).Set("slide", number(p.Slide, len(p.Angles) == 1 && !p.FromKeys)).
		Set("segment", number(p.size, true)).Set("vertices", jsontree.NewInt(p.Landmarks)).Set("angles", angles).
		Set("warnings", warnings).Set("say", text(p.Say(b)))
}
