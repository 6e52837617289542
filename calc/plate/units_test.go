package plate

import (
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/quantity"
)

// In other units a plate says the same: the state stays as it is, no length is left in centimetres where the reader's units
// belong, and every result is the base unit's, converted.
func TestAPlateSpeaksTheReadersUnits(t *testing.T) {
	for _, c := range list.All() {
		for units, symbol := range map[quantity.Units]string{quantity.Millimetres: "mm", quantity.Inches: "in"} {
			var inCM, other struct {
				Say, Verdict, State string
				Typed, Fields       map[string]string
				Cells               map[string]struct{ Current, Candidate, Difference string }
				Warnings            []struct{ Text string }
				Handles             []struct{ Valuetext string }
				Figure              json.RawMessage
			}
			read := func(u quantity.Units, into any) {
				if err := json.Unmarshal(new(Desk).Solve(c, Request{Units: u, Width: 600, ID: "p"}), into); err != nil {
					t.Fatal(err)
				}
			}
			read(quantity.Centimetres, &inCM)
			read(units, &other)
			name := c.Spec().ID + " in " + symbol
			if other.State != inCM.State {
				t.Errorf("%s: the state is %q, in cm %q", name, other.State, inCM.State)
			}
			if len(inCM.Typed) > 0 {
				t.Errorf("%s: in cm the form is told %v beside its values", name, inCM.Typed)
			}
			texts := []string{other.Say, other.Verdict}
			for _, h := range other.Handles {
				texts = append(texts, h.Valuetext)
			}
			for _, cell := range other.Cells {
				texts = append(texts, cell.Current, cell.Candidate, cell.Difference)
			}
			for _, w := range other.Warnings {
				texts = append(texts, w.Text)
			}
			for _, text := range texts {
				if strings.Contains(text, "\u00a0cm") || strings.Contains(text, " cm") {
					t.Errorf("%s: %q", name, text)
				}
			}
			if strings.Contains(string(inCM.Figure), "\u00a0cm\"") && !strings.Contains(string(other.Figure), "\u00a0"+symbol+"\"") {
				t.Errorf("%s: the drawing keeps its centimetres", name)
			}
			for _, f := range c.Spec().Fields {
				if _, ok := other.Typed[f.ID]; ok != (f.Kind == quantity.Length || f.Kind == quantity.Area) {
					t.Errorf("%s: the form is told %s: %v", name, f.ID, ok)
				}
			}
		}
	}
}

// Results do not depend on the units: the same numbers, and the same text when centimetres are chosen.
func TestUnitsChangeNoResult(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 9))
	for _, c := range list.All() {
		v := catalog.NewValues()
		for _, f := range c.Spec().Fields {
			if f.Kind == quantity.Length && random.IntN(2) == 0 {
				v.Numbers[f.ID] = f.Default * 1.01
			}
		}
		a, err := catalog.Run(c, v)
		v.Units = quantity.Inches
		b, other := catalog.Run(c, v)
		if (err == nil) != (other == nil) {
			t.Errorf("%s: %v, in inches %v", c.Spec().ID, err, other)
		}
		if other == nil && b.Values.Units != quantity.Inches {
			t.Errorf("%s: the reader's units are lost on the way", c.Spec().ID)
		}
		for id, n := range a.Result.Numbers {
			if b.Result.Numbers[id] != n {
				t.Errorf("%s: %s is %g, in inches %g", c.Spec().ID, id, n, b.Result.Numbers[id])
			}
		}
	}
}
