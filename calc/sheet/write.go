package sheet

import (
	"math"

	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// AppendJSON appends the sheet as its file, on one line. What is not set is left out.
func (s Sheet) AppendJSON(b []byte) []byte {
	o := jsontree.NewObject().Set("format", jsontree.NewString(Format))
	for _, t := range s.texts() {
		setText(o, t.name, *t.text)
	}
	entries := jsontree.NewArray()
	for _, e := range s.Entries {
		entries.Append(e.object())
	}
	return o.Set("entries", entries).AppendTo(b)
}

// AppendJSON appends the entry as it stands among the entries of a file.
func (e Entry) AppendJSON(b []byte) []byte { return e.object().AppendTo(b) }

// text is one of the sheet's own texts with its name in the file and its longest length in characters.
type text struct {
	name string
	text *string
	most int
}

func (s *Sheet) texts() []text {
	return []text{{"title", &s.Title, MaxLine}, {"character", &s.Character, MaxLine}, {"reviewer", &s.Reviewer, MaxLine},
		{"date", &s.Date, MaxLine}, {"reasons", &s.Reasons, MaxReasons}}
}

func (e Entry) object() *jsontree.Value {
	o := jsontree.NewObject()
	setText(o, "title", e.Title)
	setText(o, "joint", e.Joint)
	if m := e.Measured; m.File != "" {
		o.Set("measured", jsontree.NewString(m.File)).Set("current", point(m.Current)).Set("candidate", point(m.Candidate))
		if m.Parent != nil {
			o.Set("parent", point(*m.Parent))
		}
		if m.Child != nil {
			o.Set("child", point(*m.Child))
		}
	} else {
		o.Set("calculator", jsontree.NewString(e.Calculator)).Set("current", jsontree.NewString(e.Current)).Set("candidate", jsontree.NewString(e.Candidate))
	}
	numbers := jsontree.NewArray()
	for _, n := range e.Numbers {
		numbers.Append(n.object(e.Measured.File != ""))
	}
	return o.Set("numbers", numbers)
}

func (n Number) object(measured bool) *jsontree.Value {
	o := jsontree.NewObject().Set("id", jsontree.NewString(n.ID))
	if measured {
		o.Set("label", jsontree.NewString(n.Label)).Set("quantity", jsontree.NewString(n.Kind.Name())).Set("digits", jsontree.NewInt(n.Digits))
	}
	o.Set("current", n.Current.node()).Set("candidate", n.Candidate.node())
	if n.Sigma.Known {
		o.Set("sigma", n.Sigma.node())
	}
	return o
}

func (v Value) node() *jsontree.Value {
	switch {
	case !v.Known:
		return jsontree.NewNumber(math.NaN()) // null
	case v.Text != "":
		return jsontree.NewString(v.Text)
	}
	return jsontree.NewNumber(v.Number)
}

func setText(o *jsontree.Value, name, value string) {
	if value != "" {
		o.Set(name, jsontree.NewString(value))
	}
}

func point(p rigid.Vec) *jsontree.Value { return jsontree.NewNumbers(p.X, p.Y, p.Z) }
