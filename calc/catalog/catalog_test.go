package catalog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/quantity"
	"centrode/tests/hard/bound"
)

// sampleSpec is a small calculator's description: two numbers, a choice and a table.
func sampleSpec() Spec {
	return Spec{
		ID: "sample",
		Fields: []Field{
			{ID: "mcp_depth", Kind: quantity.Length, Default: 1.8, Min: 0, Max: 30, MinOpen: true, Step: 0.05},
			{ID: "mcp_flex", Kind: quantity.Angle, Default: 40, Min: -45, Max: 180, Step: 1},
			{ID: "kind", Choices: []Choice{{ID: "ball"}, {ID: "hinge"}}, DefaultChoice: "ball"},
			{ID: "move", Free: true, DefaultChoice: "tip"},
		},
		Tables: []Table{{ID: "landmarks", MinRows: 1, MaxRows: 3, Default: Rows{Len: 1,
			Numbers: map[string][]float64{"x": {1}}, Texts: map[string][]string{"name": {"tip"}}},
			Columns: []Column{
				{ID: "name", Text: true},
				{ID: "x", Kind: quantity.Length, Min: -100, Max: 100},
				{ID: "weight", Optional: true, Default: 1, Min: 0, Max: 9, MinOpen: true},
			}}},
		Outputs:  []Output{{ID: "gap"}, {ID: "curl"}},
		Workings: []Output{{ID: "half"}},
		Answers:  []Table{{ID: "cells", Columns: []Column{{ID: "u"}, {ID: "left", Optional: true}}}},
	}
}

// sampleCalculator answers whatever result it is given.
type sampleCalculator struct{ result Result }

func (sampleCalculator) Spec() Spec                          { return sampleSpec() }
func (c sampleCalculator) Solve(Values) (Result, error)      { return c.result, nil }
func (sampleCalculator) Figure(Values, Result) figure.Figure { return figure.Figure{} }
func (sampleCalculator) Say(v Values, _ Result) string {
	return quantity.Entry(v.Numbers["mcp_depth"], quantity.Length)
}

// set fills values from text, as a command line or a link does.
func set(t *testing.T, entries ...Entry) (Values, error) {
	t.Helper()
	v := NewValues()
	for _, e := range entries {
		if err := Set(sampleSpec(), &v, e.ID, e.Text); err != nil {
			return v, err
		}
	}
	return Prepare(sampleSpec(), v)
}

func TestARefusalNamesTheFieldTheValueAndWhatIsAllowed(t *testing.T) {
	long := strings.Repeat("x", 1<<20)
	for _, c := range []struct {
		name     string
		id, text string
		want     string // the whole message
	}{
		{"below the range", "mcp_depth", "-2 cm", "mcp_depth: -2 cm: must be above 0 and at most 30 cm"},
		{"on an open end", "mcp_depth", "0", "mcp_depth: 0 cm: must be above 0 and at most 30 cm"},
		{"above the range, in another unit", "mcp_depth", "1 m", "mcp_depth: 100 cm: must be above 0 and at most 30 cm"},
		{"outside a closed range", "mcp_flex", "0.6 turn", "mcp_flex: 216 deg: must be from -45 to 180 deg"},
		{"the wrong kind of unit", "mcp_depth", "90 deg", `mcp_depth: "90 deg": is an angle; must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"a comma that may divide thousands", "mcp_depth", "1,500 cm", `mcp_depth: "1,500 cm": must use a point for decimals, as in "1.500 cm", and nothing between thousands, as in "1500 cm"`},
		{"no number", "mcp_depth", "NaN", `mcp_depth: "NaN": must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"a slip in the field's name", "mcp_dept", "1", `mcp_dept: is no field of sample; nearest: "mcp_depth"`},
		{"an unknown field", "elbow", "1", "elbow: is no field of sample"},
		{"an empty field name", "", "1", `"": is no field of sample`},
		{"a field name of two lines", "a\nb", "1", `"a\nb": is no field of sample`},
		{"a slip in a choice", "kind", "hinje", `kind: "hinje": must be ball or hinge; nearest: "hinge"`},
		{"an unknown choice", "kind", "socket", `kind: "socket": must be ball or hinge`},
		{"a huge number", "mcp_depth", "1e999", `mcp_depth: "1e999": must be a number between -1.8e308 and 1.8e308`},
		{"a megabyte as a number", "mcp_depth", long, `mcp_depth: "` + long[:57] + `…": must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"a megabyte as a name", long, "1", `"` + long[:57] + `…": is no field of sample`},
		{"a megabyte as a choice", "kind", long, `kind: "` + long[:57] + `…": must be ball or hinge`},
		{"a text that is too long", "move", long, "move: 1048576 bytes: must be a text of at most 256 bytes"},
		{"no rows", "landmarks", " ", "landmarks: 0 rows: must have from 1 to 3 rows"},
		{"too many rows", "landmarks", "a,1;b,2;c,3;d,4", "landmarks: must have at most 3 rows"},
		{"too many cells", "landmarks", "a,1;b,2,1,9", "landmarks row 2: 4 cells: must have at most 3 cells"},
		{"a missing cell", "landmarks", "a,1;b", "landmarks.x row 2: is missing; every row needs it"},
		{"a cell that is no number", "landmarks", "a,1;b,near", `landmarks.x row 2: "near": must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"a cell out of range", "landmarks", "a,1;b,2;c,2 m", "landmarks.x row 3: 200 cm: must be from -100 to 100 cm"},
		{"an optional cell out of range", "landmarks", "a,1,0", "landmarks.weight row 1: 0: must be above 0 and at most 9"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := set(t, Entry{ID: c.id, Text: c.text})
			if err == nil {
				t.Fatal("accepted")
			}
			if _, ok := err.(*InputError); !ok {
				t.Errorf("%T, want an *InputError", err)
			}
			if got := err.Error(); got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestValuesOfTheWrongShapeAreRefused(t *testing.T) {
	rows := func(length int, numbers map[string][]float64, texts map[string][]string) Values {
		v := NewValues()
		v.Tables["landmarks"] = Rows{Len: length, Numbers: numbers, Texts: texts}
		return v
	}
	number := func(id string, n float64) Values { v := NewValues(); v.Numbers[id] = n; return v }
	choice := func(id, c string) Values { v := NewValues(); v.Choices[id] = c; return v }
	names, xs := map[string][]string{"name": {"a", "b"}}, map[string][]float64{"x": {1, 2}}
	for _, c := range []struct {
		name  string
		given Values
		want  string
	}{
		{"not a number", number("mcp_depth", math.NaN()), "mcp_depth: NaN cm: must be above 0 and at most 30 cm"},
		{"infinite", number("mcp_depth", math.Inf(1)), "mcp_depth: +Inf cm: must be above 0 and at most 30 cm"},
		{"a number for a choice", number("kind", 1), "kind: is not of the kind that this field takes"},
		{"a choice for a number", choice("mcp_depth", "deep"), "mcp_depth: is not of the kind that this field takes"},
		{"a nameless number", number("", 1), `"": is no field of sample`},
		{"the first of two unknown ids by name", func() Values { v := number("zeta", 1); v.Choices["alpha"] = "x"; return v }(), "alpha: is no field of sample"},
		{"an unknown table", func() Values { v := NewValues(); v.Tables["landmark"] = Rows{}; return v }(), `landmark: is no field of sample; nearest: "landmarks"`},
		{"a column that is missing", rows(2, nil, names), "landmarks.x: is missing; every row needs it"},
		{"a text column that is missing", rows(2, xs, nil), "landmarks.name: is missing; every row needs it"},
		{"a column that is too short", rows(2, map[string][]float64{"x": {1}}, names), "landmarks.x: must have one entry for each row"},
		{"a text column that is too short", rows(2, xs, map[string][]string{"name": {"a"}}), "landmarks.name: must have one entry for each row"},
		{"a nameless column", rows(2, map[string][]float64{"x": {1, 2}, "": {1, 1}}, names), `landmarks."": is no column of landmarks; its columns are name, x, weight`},
		{"the first of two unknown columns", rows(2, map[string][]float64{"x": {1, 2}, "zeta": {1, 1}, "eta": {1, 1}}, names), "landmarks.eta: is no column of landmarks; its columns are name, x, weight"},
		{"an unknown column", rows(2, map[string][]float64{"x": {1, 2}, "wieght": {1, 1}}, names), `landmarks.wieght: is no column of landmarks; nearest: "weight"`},
		{"numbers in a text column", rows(2, map[string][]float64{"x": {1, 2}, "name": {1, 1}}, names), `landmarks.name: is no column of landmarks; nearest: "name"`},
		{"a cell that is no number", rows(2, map[string][]float64{"x": {1, math.NaN()}}, names), "landmarks.x row 2: NaN cm: must be from -100 to 100 cm"},
		{"a negative length", rows(-1, nil, nil), "landmarks: -1 rows: must have from 1 to 3 rows"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Prepare(sampleSpec(), c.given)
			if err == nil || err.Error() != c.want {
				t.Errorf("\n got %v\nwant %s", err, c.want)
			}
		})
	}
}

func TestDefaultsFillWhatIsNotGiven(t *testing.T) {
	v, err := set(t, Entry{ID: "mcp_depth", Text: "22 mm"}, Entry{ID: "landmarks", Text: "a, 1 ; b, 2 in, 3"})
	if err != nil {
		t.Fatal(err)
	}
	rows := v.Tables["landmarks"]
	if math.Abs(v.Numbers["mcp_depth"]-2.2) > 1e-15 || v.Numbers["mcp_flex"] != 40 || v.Choices["kind"] != "ball" {
		t.Errorf("numbers %v, choices %v", v.Numbers, v.Choices)
	}
	if rows.Len != 2 || rows.Texts["name"][1] != "b" || rows.Numbers["x"][1] != 5.08 || rows.Numbers["weight"][0] != 1 || rows.Numbers["weight"][1] != 3 {
		t.Errorf("rows %v", rows)
	}
	given := NewValues()
	given.Numbers["mcp_flex"] = 10
	full, err := Prepare(sampleSpec(), given)
	if err != nil || len(given.Numbers) != 1 || full.Tables["landmarks"].Len != 1 {
		t.Errorf("Prepare wrote into what it was given (%v) or left out the default table (%v): %v", given, full, err)
	}
}

func TestAStateReadsBackAsTheSameValues(t *testing.T) {
	for name, entries := range map[string][]Entry{
		"defaults":                    nil,
		"a number":                    {{ID: "mcp_depth", Text: "2.25"}},
		"a choice":                    {{ID: "kind", Text: "hinge"}},
		"a free text":                 {{ID: "move", Text: "upper & left; 50 %"}},
		"a table":                     {{ID: "landmarks", Text: "a,1,2;b,-3,1"}},
		"names with dividing signs":   {{ID: "landmarks", Text: "upper%2C left%3B 50 %25,1,1;%252C,2,1"}},
		"numbers with all their bits": {{ID: "mcp_depth", Text: "0.1000000000000000055"}, {ID: "mcp_flex", Text: "1e-300"}},
	} {
		t.Run(name, func(t *testing.T) {
			v, err := set(t, entries...)
			if err != nil {
				t.Fatal(err)
			}
			state := State(sampleSpec(), v)
			again, err := set(t, state...)
			if err != nil {
				t.Fatalf("%v: %v", state, err)
			}
			if second := State(sampleSpec(), again); len(second) != len(state) || again.Numbers["mcp_depth"] != v.Numbers["mcp_depth"] || again.Choices["kind"] != v.Choices["kind"] || again.Choices["move"] != v.Choices["move"] {
				t.Errorf("state %v, then %v", state, second)
			}
			a, b := v.Tables["landmarks"], again.Tables["landmarks"]
			for i := range a.Len {
				if a.Texts["name"][i] != b.Texts["name"][i] || a.Numbers["x"][i] != b.Numbers["x"][i] {
					t.Errorf("row %d: %q %v, then %q %v", i+1, a.Texts["name"][i], a.Numbers["x"][i], b.Texts["name"][i], b.Numbers["x"][i])
				}
			}
			if name == "defaults" && len(state) != 0 {
				t.Errorf("defaults are written out: %v", state)
			}
		})
	}
	if v, err := set(t, Entry{ID: "landmarks", Text: "upper%2C left,1"}); err != nil || v.Tables["landmarks"].Texts["name"][0] != "upper, left" {
		t.Errorf("a comma in a name is lost: %v, %v", v.Tables["landmarks"], err)
	}
}

func TestACopyIsNotTouchedByItsOriginal(t *testing.T) {
	v, err := set(t)
	if err != nil {
		t.Fatal(err)
	}
	c := v.Clone()
	v.Numbers["mcp_depth"], v.Choices["kind"] = 9, "hinge"
	delete(v.Tables, "landmarks")
	if c.Numbers["mcp_depth"] != 1.8 || c.Choices["kind"] != "ball" || c.Tables["landmarks"].Len != 1 {
		t.Errorf("the copy changed: %v", c)
	}
}

func TestNothingUndefinedLeavesTheCatalogue(t *testing.T) {
	table := func(u, left float64) Result {
		r := NewResult()
		r.Tables["cells"] = Rows{Len: 1, Numbers: map[string][]float64{"u": {u}, "left": {left}}}
		return r
	}
	number := func(id string, v float64) Result { r := NewResult(); r.Numbers[id] = v; return r }
	const tail = ": cannot be computed from these values: a number grew past what can be represented; use values nearer to each other in size"
	for _, c := range []struct {
		name   string
		result Result
		want   string // the whole message; "" when the answer stands
	}{
		{"a finite output", number("gap", 1), ""},
		{"an output that is no number", number("gap", math.NaN()), "gap" + tail},
		{"an infinite output", number("curl", math.Inf(-1)), "curl" + tail},
		{"a working that is no number", number("half", math.NaN()), "half" + tail},
		{"a cell that is no number", table(math.NaN(), 0), "cells.u" + tail},
		{"an optional cell that is null", table(0, math.NaN()), ""},
		{"an optional cell that is infinite", table(0, math.Inf(1)), "cells.left" + tail},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, err := Run(sampleCalculator{c.result}, NewValues())
			switch {
			case c.want == "" && (err != nil || a.Say() != "1.8 cm"):
				t.Errorf("refused or not answered: %v, %q", err, a.Say())
			case c.want != "" && (err == nil || err.Error() != c.want):
				t.Errorf("\n got %v\nwant %s", err, c.want)
			}
		})
	}
	bad := NewValues()
	bad.Numbers["mcp_depth"] = -2
	if _, err := Run(sampleCalculator{NewResult()}, bad); err == nil || err.Error() != "mcp_depth: -2 cm: must be above 0 and at most 30 cm" {
		t.Errorf("Run answers %v for a value out of range", err)
	}
}

func TestWhatIsFoundByItsID(t *testing.T) {
	s := sampleSpec()
	if o, ok := s.Shown("mcp_depth"); !ok || o.Digits != 2 || o.Kind != quantity.Length {
		t.Errorf("a field is shown as %+v, %v; its step of 0.05 asks for 2 decimals", o, ok)
	}
	if o, ok := s.Shown("kind"); !ok || !o.Text {
		t.Errorf("a choice is shown as %+v, %v", o, ok)
	}
	for _, id := range []string{"gap", "half"} {
		if _, ok := s.Shown(id); !ok {
			t.Errorf("%s is not found", id)
		}
	}
	if _, ok := s.Shown("elbow"); ok {
		t.Error("an unknown id is found")
	}
	if got := strings.Join(s.Names(), " "); got != "mcp_depth mcp_flex kind move landmarks" {
		t.Errorf("names are %s", got)
	}
	for step, want := range map[float64]int{0: 0, 1: 0, 5: 0, 0.5: 1, 0.1: 1, 0.05: 2, 0.001: 3, 1e-9: 6} {
		if got := (Field{Step: step}).Digits(); got != want {
			t.Errorf("a step of %v asks for %d decimals, want %d", step, got, want)
		}
	}
	if got := s.Fields[0].RangeWords(); got != "above 0 and at most 30 cm" {
		t.Errorf("range in words: %s", got)
	}
	r := NewResult()
	r.Numbers["gap"] = 1
	r.Warn("open-curl", "curl", "The curl is open.")
	if !r.Has("gap") || r.Has("curl") || len(r.Warnings) != 1 || fmt.Sprint(r.Warnings[0]) != fmt.Sprint(Warning{Code: "open-curl", Field: "curl", Text: "The curl is open."}) {
		t.Errorf("result %+v", r)
	}
}

func TestASentenceAboutSeveralOutputsIsToldOnce(t *testing.T) {
	r := NewResult()
	r.Note("no-rotation", "axis", "Nothing turns.")
	r.Note("no-rotation", "slide", "Nothing turns.")
	r.Warn("stalled", "pivot_x", "The search stopped.")
	told := r.Told()
	if len(r.Warnings) != 3 || len(told) != 2 || !told[0].Note || told[1].Note || told[1].Code != "stalled" {
		t.Errorf("told %+v of %+v", told, r.Warnings)
	}
}

func FuzzSet(f *testing.F) {
	for _, seed := range []Entry{{ID: "mcp_depth", Text: "-2 cm"}, {ID: "kind", Text: "hinge"}, {ID: "landmarks", Text: "a,1,2;b,2"}, {ID: "landmarks", Text: "%2C,1;;"}, {ID: "", Text: ""}, {ID: "mcp_dept", Text: "NaN"}} {
		f.Add(seed.ID, seed.Text)
	}
	f.Fuzz(func(t *testing.T, id, text string) {
		defer bound.Watch(t, len(id)+len(text))()
		v := NewValues()
		err := Set(sampleSpec(), &v, id, text)
		if err == nil {
			v, err = Prepare(sampleSpec(), v)
		}
		if err != nil {
			refusal, ok := err.(*InputError)
			if !ok || refusal.Field == "" || refusal.Allowed == "" || strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("Set(%q, %q) gave %q, want one line that names a field", id, text, err)
			}
			return
		}
		for _, e := range State(sampleSpec(), v) {
			if err := Set(sampleSpec(), &v, e.ID, e.Text); err != nil {
				t.Fatalf("Set(%q, %q) is accepted, but its state %v is not: %v", id, text, e, err)
			}
		}
	})
}

func BenchmarkPrepare(b *testing.B) {
	b.ReportAllocs()
	spec, v := sampleSpec(), NewValues()
	for b.Loop() {
		if _, err := Prepare(spec, v); err != nil {
			b.Fatal(err)
		}
	}
}
