package page

import (
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

func TestAFormulaBreaksOnlyAtTheSpacesBetweenFormulas(t *testing.T) {
	for _, c := range []struct {
		tex  string
		want []string
	}{
		{`a = b`, []string{`a = b`}},
		{`a = b, \qquad c = d,\quad e`, []string{`a = b,`, `c = d,`, `e`}},
		{`\frac{a \quad b}{c}`, []string{`\frac{a \quad b}{c}`}},
		{`\begin{aligned} a \qquad b \end{aligned} \quad c`, []string{`\begin{aligned} a \qquad b \end{aligned}`, `c`}},
		{`\left( a \quad b \right) \quad x \leftarrow y`, []string{`\left( a \quad b \right)`, `x \leftarrow y`}},
		{`\tfrac{1}{2} \Rightarrow x`, []string{`\tfrac{1}{2} \Rightarrow x`}},
	} {
		if got := parts(c.tex); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.tex, got, c.want)
		}
	}
}

func TestOnlyNumbersGetAMinusSign(t *testing.T) {
	for text, want := range map[string]string{
		"-1.45 cm ± 0.005": "−1.45 cm ± 0.005", "rest-bend": "rest-bend", "well-determined": "well-determined",
		"(-3, -.5)": "(−3, −.5)", "": "", "-": "-", "2-3": "2-3",
	} {
		if got := withMinus(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// fingerCurl is an answer with a table, whose first column holds words.
func fingerCurl(t *testing.T) catalog.Answer {
	t.Helper()
	c, err := list.Find("finger-curl")
	if err != nil {
		t.Fatal(err)
	}
	a, err := catalog.Run(c, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestAnAnswerTableIsShownWhenItIsNamedOrNothingIs(t *testing.T) {
	a := fingerCurl(t)
	ref := func(id string) []lesson.Ref { return []lesson.Ref{{Text: id}} }
	all := answerTables(a, nil, plate.MaxRows)
	if len(all) != 1 || len(all[0].Rows) < 2 || !all[0].Head[0].Words || all[0].Head[1].Words {
		t.Fatalf("tables are %+v; want the contacts, words first, then numbers, in two rows or more", all)
	}
	if got := answerTables(a, ref("pulp_gap"), plate.MaxRows); len(got) != 0 {
		t.Errorf("a plate that shows the gap alone has the tables %+v", got)
	}
	if got := answerTables(a, ref("contacts"), 1); len(got) != 1 || len(got[0].Rows) != 1 || got[0].Left != len(all[0].Rows)-1 {
		t.Errorf("the contacts cut to one row are %+v", got)
	}
}

func TestAPlateOfItsDrawingHasNothingElse(t *testing.T) {
	loaded := ourTemplates(t)
	full := Plate{ID: "x", Live: true, Say: "It closes.", Cautions: []string{"Care."}, Outputs: []plate.Row{{Key: "a", Label: "A"}}, Steps: []Step{{Say: "Add."}}}
	for _, drawing := range []bool{false, true} {
		full.Drawing = drawing
		var b strings.Builder
		if err := loaded.parts.ExecuteTemplate(&b, "plate", full); err != nil {
			t.Fatal(err)
		}
		for _, part := range []string{"data-inputs", "<table", "data-steps", "data-actions", "Caution"} {
			if has := strings.Contains(b.String(), part); has == drawing {
				t.Errorf("drawing alone %v: has %s: %v", drawing, part, has)
			}
		}
		if !strings.Contains(b.String(), "data-say>It closes.") {
			t.Errorf("drawing alone %v: the sentence is missing", drawing)
		}
	}
}

func TestADrawingIsSortedByItsHeightForItsWidth(t *testing.T) {
	a := fingerCurl(t)
	if got := new(site).draw(drawing(a), "x").flat; got != "middle" && got != "low" {
		t.Errorf("the finger is %q; it is drawn wider than high", got)
	}
}
