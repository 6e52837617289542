package carry

import (
	"strings"
	"unicode"

	"centrode/calc/jsontree"
	"centrode/calc/propose"
)

// Sheet is a placement sheet with the move as its one entry, format centrode-sheet-1. Who decided, when and why is left to be
// filled in.
func (p *Plan) Sheet() *jsontree.Value {
	empty := jsontree.NewString("")
	return jsontree.NewObject().Set("format", jsontree.NewString("centrode-sheet-1")).Set("title", line("The pivot of "+p.Body.Joints[p.Joint].Name)).
		Set("character", empty).Set("reviewer", empty).Set("date", empty).Set("reasons", empty).Set("entries", jsontree.NewArray(p.Entry(nil)))
}

// Entry is the move as an entry of a placement sheet, with the numbers of a proposal where there is one.
func (p *Plan) Entry(found *propose.Proposal) *jsontree.Value {
	b := p.Body
	entry := jsontree.NewObject().Set("title", line("The pivot of "+b.Joints[p.Joint].Name)).
		Set("joint", line(b.Joints[p.Joint].Name)).Set("measured", line(b.Name)).
		Set("current", vec(p.From)).Set("candidate", vec(p.Options.To))
	if parent := b.Joints[p.Joint].Parent; parent >= 0 {
		entry.Set("parent", vec(b.At(parent)))
	}
	if child := b.Child(p.Joint); child >= 0 {
		entry.Set("child", vec(b.At(child)))
	}
	numbers := jsontree.NewArray()
	if found != nil {
		numbers.Append(jsontree.NewObject().Set("id", jsontree.NewString("residual")).Set("label", jsontree.NewString("Left by rotation alone")).
			Set("quantity", jsontree.NewString("length")).Set("digits", jsontree.NewInt(3)).
			Set("current", jsontree.NewNumber(found.Now)).Set("candidate", jsontree.NewNumber(found.At(p.Options.To))))
	}
	return entry.Set("numbers", numbers)
}

// line fits what a file calls something into one line of a sheet, at most 120 characters and none that commands a printer.
func line(text string) *jsontree.Value {
	letters := []rune(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text))
	if len(letters) > 120 {
		letters = append(letters[:119], '…')
	}
	return jsontree.NewString(string(letters))
}
