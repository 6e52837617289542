package plate

import (
	"encoding/json"
	"math"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
	"centrode/calc/quantity"
	"centrode/calc/vary"
	"centrode/tests/hard/bound"
)

func TestGrade(t *testing.T) {
	hints := []float64{2, math.NaN(), 28.3, -1.1, -2.828}
	for _, c := range []struct {
		name, text string
		kind       quantity.Kind
		answer     float64
		want       Verdict
		hint       int
		unit       string
	}{
		{"a bare number is in the base unit", "2.83", quantity.Length, 2.828, Right, -1, ""},
		{"another unit is converted", "28.3 mm", quantity.Length, 2.828, Right, -1, ""},
		{"at the edge of the tolerance", "2.848", quantity.Length, 2.828, Right, -1, ""},
		{"just outside", "2.8481", quantity.Length, 2.828, Wrong, -1, ""},
		{"a known mistake", "2.01", quantity.Length, 2.828, Hint, 0, ""},
		{"a known mistake before a wrong unit", "28.3", quantity.Length, 2.828, Hint, 2, ""},
		{"millimetres without saying so", "145", quantity.Length, 14.5, Unit, -1, "mm"},
		{"a wrong unit of the same kind", "14.5 mm", quantity.Length, 14.5, Unit, -1, "cm"},
		{"a unit of another kind", "2.83 deg", quantity.Length, 2.828, Unit, -1, ""},
		{"a wrong unit of area as a page writes it", "283 cm²", quantity.Area, 2.83, Unit, -1, "mm²"},
		{"a wrong unit of area as a keyboard writes it", "283 cm2", quantity.Area, 2.83, Unit, -1, "mm²"},
		{"an area for a length", "2.83 in2", quantity.Length, 2.828, Unit, -1, ""},
		{"square feet for a length", "2.83 ft2", quantity.Length, 2.828, Unit, -1, ""},
		{"a wrong unit of area where feet are right", "2 in2", quantity.Area, 1858.0608, Unit, -1, "ft²"},
		{"radians without saying so", "1.5708", quantity.Angle, 90, Unit, -1, "rad"},
		{"radians that say so", "1.5708 rad", quantity.Angle, 90, Right, -1, ""},
		{"the sign", "−3.83", quantity.Length, 3.828, Sign, -1, ""},
		{"the sign before a known mistake without its sign", "1.11", quantity.Length, -1.12, Sign, -1, ""},
		{"a known mistake without its sign", "1.1", quantity.Length, 2.828, Hint, 3, ""},
		{"a known mistake with a sign too many", "−2", quantity.Length, 2.828, Hint, 0, ""},
		{"the sign as a known mistake", "−2.83", quantity.Length, 2.828, Hint, 4, ""},
		{"no number", "abc", quantity.Length, 2.828, Unread, -1, ""},
		{"a decimal comma", "2,83", quantity.Length, 2.828, Right, -1, ""},
		{"a decimal comma in another unit", "28,3 mm", quantity.Length, 2.828, Right, -1, ""},
		{"a comma that may divide thousands", "2,828", quantity.Length, 2.828, Unread, -1, ""},
		{"nothing", "", quantity.Length, 0, Unread, -1, ""},
		{"per cent", "50 %", quantity.Ratio, 0.5, Right, -1, ""},
		{"an answer that is no number matches nothing", "3", quantity.Length, math.NaN(), Wrong, -1, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Grade(c.kind, c.text, c.answer, 0.02, hints)
			if got.Verdict != c.want || got.Hint != c.hint || got.Unit != c.unit {
				t.Errorf("Grade(%q) for %v = %+v, want %s, hint %d, unit %q", c.text, c.answer, got, c.want, c.hint, c.unit)
			}
			if (got.Error != "") != (c.want == Unread) {
				t.Errorf("Grade(%q) explains itself with %q", c.text, got.Error)
			}
		})
	}
}

func TestGradeOutputAnswersJSON(t *testing.T) {
	type judged struct {
		Verdict, Read string
		Hint          int
		Error         any
	}
	var got judged
	text := GradeOutput(pivotoffset.Calculator{}, "owed_length", "2", "2.828", "0.02", "none 2.0")
	if err := json.Unmarshal(text, &got); err != nil || got.Verdict != "hint" || got.Hint != 1 || got.Read != "2 cm" {
		t.Errorf("%s: %v", text, err)
	}
	got = judged{}
	text = GradeOutput(twice{}, "word", " Even ", "even", "", "odd")
	if err := json.Unmarshal(text, &got); err != nil || got.Verdict != "right" {
		t.Errorf("a word: %s: %v", text, err)
	}
	for _, typed := range []string{"an even", "An even.", "the even"} {
		got = judged{}
		text = GradeOutput(twice{}, "word", typed, "even", "", "odd")
		if err := json.Unmarshal(text, &got); err != nil || got.Verdict != "right" || got.Read != typed {
			t.Errorf("a word behind an article, %q: %s: %v", typed, text, err)
		}
	}
	for typed, want := range map[string]string{"the": "wrong", "a": "wrong", "": "wrong", "an odd": "hint", "unevens": "wrong"} {
		got = judged{}
		text = GradeOutput(twice{}, "word", typed, "even", "", "odd")
		if err := json.Unmarshal(text, &got); err != nil || got.Verdict != want {
			t.Errorf("a word, %q: %s, want %s: %v", typed, text, want, err)
		}
	}
	got = judged{}
	text = GradeOutput(twice{}, "wrd", "x", "even", "", "")
	if err := json.Unmarshal(text, &got); err != nil || got.Error == nil || got.Verdict != "" {
		t.Errorf("an unknown output: %s: %v", text, err)
	}
}

// A recipe is written and read back, and anything else is refused: the page's own text can be altered by anybody.
func FuzzReadRecipe(f *testing.F) {
	c := pivotoffset.Calculator{}
	a, err := catalog.Run(c, catalog.NewValues())
	if err != nil {
		f.Fatal(err)
	}
	q := vary.Question{Given: a.Values, Ask: "lever", Tolerance: 0.1, Ranges: []vary.Range{{Field: "angle", From: 1, To: 9, Step: 1}}}
	q.Mistakes = []vary.Mistake{{Given: a.Values, Output: "owed_x", Times: 2}, {Given: a.Values, Formula: "lever * rad(angle)"}}
	f.Add(WriteRecipe(c.Spec(), Recipe{q, []Told{{ID: "angle"}, {Length: 2, Unit: "mm"}}}), "1")
	f.Add("q//lever/0.1|r/angle/0/1e300/1e-300", "1")
	f.Add("q//lever/0.1|w/none/1e9|t/none/NaN/9/furlong", "")
	f.Fuzz(func(t *testing.T, recipe, seed string) {
		defer bound.Watch(t, len(recipe)+len(seed))()
		if len(recipe) > 4000 {
			return
		}
		if r, err := ReadRecipe(c, recipe); err == nil {
			if again, err := ReadRecipe(c, WriteRecipe(c.Spec(), r)); err != nil || WriteRecipe(c.Spec(), again) != WriteRecipe(c.Spec(), r) {
				t.Fatalf("%q is written as %q", recipe, WriteRecipe(c.Spec(), r))
			}
		}
		if text := new(Desk).Fresh(c, recipe, seed, 480, "x"); !json.Valid(text) {
			t.Fatalf("%q: %s", recipe, text)
		}
	})
}
