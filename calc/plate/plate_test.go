package plate

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"net/url"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/pivotoffset"
	"centrode/calc/quantity"
)

// shown is the JSON of Solve, read by the standard library as a witness that it is JSON.
type shown struct {
	Error *struct {
		Field, Given, Allowed, Text string
		Row                         int
	}
	Say, State     string
	Rough, Differs bool
	Fields         map[string]string
	Cells          map[string]struct{ Current, Candidate, Difference string }
	Slots          map[string]string
	Answers        map[string]struct {
		Rows [][]string
		Left int
	}
	Handles []struct {
		Name, Valuetext string
		Axes            []struct {
			Field, Text   string
			Min, Max, Now float64
		}
	}
	Figure []any
}

func run(t *testing.T, c catalog.Calculator, state string) catalog.Answer {
	t.Helper()
	a, err := Run(c, state)
	if err != nil {
		t.Fatalf("%s, state %q: %v", c.Spec().ID, state, err)
	}
	return a
}

func read(t *testing.T, text []byte) shown {
	t.Helper()
	var s shown
	if err := json.Unmarshal(text, &s); err != nil {
		t.Fatalf("answer is no JSON: %v\n%.400s", err, text)
	}
	return s
}

func TestEveryCalculatorAnswersItsDefaults(t *testing.T) {
	calculators := list.All()
	if len(calculators) < 2 {
		t.Fatalf("found %d calculators, want at least 2", len(calculators))
	}
	for _, c := range calculators {
		spec := c.Spec()
		t.Run(spec.ID, func(t *testing.T) {
			s := read(t, new(Desk).Solve(c, Request{Width: 640, ID: "p"}))
			if s.Error != nil {
				t.Fatalf("defaults are refused: %+v", *s.Error)
			}
			want, err := catalog.Run(c, catalog.NewValues())
			if err != nil {
				t.Fatal(err)
			}
			if s.Say != want.Say() || s.State != "" {
				t.Errorf("say = %q, want %q; state = %q, want none", s.Say, want.Say(), s.State)
			}
			if got, wanted := len(s.Fields), len(spec.Fields)+len(spec.Tables); got != wanted {
				t.Errorf("%d field texts, want %d", got, wanted)
			}
			if len(s.Figure) != 3 || s.Figure[0] != "svg" {
				t.Errorf("figure is no svg tree")
			}
			for _, o := range spec.Outputs {
				checkCell(t, s, want, o)
			}
			checkSlots(t, s, spec)
		})
	}
}

func checkSlots(t *testing.T, s shown, spec catalog.Spec) {
	t.Helper()
	for _, id := range SlotIDs(spec) {
		if _, ok := spec.Shown(id); !ok {
			t.Errorf("the steps show %q, which the Spec does not have", id)
		}
		if s.Slots[id] == "" {
			t.Errorf("slot %q is empty", id)
		}
	}
}

// checkCell compares a cell with the answer of catalog.Run, printed here by package quantity alone.
func checkCell(t *testing.T, s shown, want catalog.Answer, o catalog.Output) {
	t.Helper()
	key := o.ID
	if want.Spec.Compares && o.Pair != "" {
		key = o.Pair
	}
	cell, ok := s.Cells[key]
	if !ok {
		t.Errorf("no cell for output %q", o.ID)
		return
	}
	text := None
	if n, has := want.Result.Numbers[o.ID]; has {
		text = quantity.Format(n, o.Kind, o.Digits)
	} else if word, has := want.Result.Texts[o.ID]; has {
		text = word
	}
	got := cell.Candidate
	if o.Side == "current" {
		got = cell.Current
	}
	if got != text {
		t.Errorf("cell of %s = %q, want %q", o.ID, got, text)
	}
}

// twice is a calculator that does not compare by itself: y = 2·x, and a root that does not exist below x = 0.
type twice struct{ pivotoffset.Calculator }

func (twice) Spec() catalog.Spec {
	return catalog.Spec{ID: "twice",
		Fields: []catalog.Field{
			{ID: "x", Label: "X", Kind: quantity.Length, Default: 1, Min: -10, Max: 10, Step: 0.1},
			{ID: "open", Label: "Open", Kind: quantity.Length, Default: 1, Min: 0, MinOpen: true, Max: 5, Step: 0.5},
			{ID: "n", Label: "N", Kind: quantity.Count, Default: 3, Min: 1, Max: 9, Step: 1},
			{ID: "kind", Label: "Kind", Choices: []catalog.Choice{{ID: "+x", Label: "along x"}, {ID: "y", Label: "along y"}}, DefaultChoice: "+x"},
		},
		Tables: []catalog.Table{{ID: "points", Label: "Points", MinRows: 0, MaxRows: 100, Optional: true,
			Columns: []catalog.Column{{ID: "u", Label: "U", Kind: quantity.Length, Min: -9, Max: 9}, {ID: "name", Label: "Name", Text: true, Optional: true}}}},
		Outputs: []catalog.Output{{ID: "y", Label: "Y", Kind: quantity.Length, Digits: 2}, {ID: "root", Label: "Root", Digits: 2}, {ID: "word", Label: "Word", Text: true}},
		Answers: []catalog.Table{{ID: "many", Label: "Many", Columns: []catalog.Column{{ID: "v", Label: "V", Kind: quantity.Length, Digits: 1, Optional: true}}}},
		Steps:   []catalog.Step{{TeX: `y = 2 \cdot \slot{x} = \slot{y}, \slot{x}, \slot{kind}, \slot{root}`}},
	}
}

func (twice) Solve(v catalog.Values) (catalog.Result, error) {
	r := catalog.NewResult()
	x := v.Numbers["x"]
	r.Numbers["y"] = 2 * x
	r.Texts["word"] = "even"
	if x >= 0 {
		r.Numbers["root"] = math.Sqrt(x)
	}
	rows := make([]float64, 30)
	rows[1] = math.NaN()
	r.Tables["many"] = catalog.Rows{Len: 30, Numbers: map[string][]float64{"v": rows}}
	return r, nil
}

func (twice) Say(catalog.Values, catalog.Result) string {
	return `A "sentence" with <marks> & a` + "\u2028break."
}

func TestABaseIsTheCurrentPlacement(t *testing.T) {
	s := read(t, new(Desk).Solve(twice{}, Request{State: "x=2.25", Base: "x=-1"}))
	y, root, word := s.Cells["y"], s.Cells["root"], s.Cells["word"]
	if y.Current != "−2.00\u00a0cm" || y.Candidate != "4.50\u00a0cm" || y.Difference != "+6.50\u00a0cm" {
		t.Errorf("y = %+v, want −2.00, 4.50, +6.50 (derived: 2·−1, 2·2.25)", y)
	}
	if root.Current != None || root.Candidate != "1.50" || root.Difference != "" {
		t.Errorf("root = %+v, want none, 1.50 and no difference", root)
	}
	if word.Current != "even" || word.Candidate != "even" || word.Difference != "" {
		t.Errorf("word = %+v", word)
	}
	if many := s.Answers["many"]; len(many.Rows) != MaxRows || many.Left != 30-MaxRows || many.Rows[1][0] != None || many.Rows[0][0] != "0.0" {
		t.Errorf("table = %d rows, %d left", len(many.Rows), many.Left)
	}
	if s.Say != (twice{}).Say(catalog.Values{}, catalog.Result{}) {
		t.Errorf("the sentence did not come through: %q", s.Say)
	}
	if s.Slots["x"] != "2.25" || s.Slots["kind"] != "along x" || s.Slots["root"] != "1.50" {
		t.Errorf("slots = %v: a field set finer than its step shows all it has", s.Slots)
	}
}

func TestExactShowsAsManyDigitsAsAValueHas(t *testing.T) {
	for _, c := range []struct {
		v      float64
		digits int
		want   string
	}{
		{1.8, 1, "1.8"}, {1.85, 1, "1.85"}, {85, 0, "85"}, {100, 0, "100"}, {85.5, 0, "85.5"}, {-0.25, 1, "−0.25"},
		{1.0 / 3, 1, "0.333333"}, {2, 2, "2.00"}, {0, 0, "0"}, {1e-9, 1, "0.0"},
	} {
		if got := exact(c.v, c.digits); got != c.want {
			t.Errorf("exact(%v, %d) = %q, want %q", c.v, c.digits, got, c.want)
		}
	}
}

func TestExportIsWhatTheCommandPrints(t *testing.T) {
	a, err := Run(twice{}, "x=2")
	if err != nil {
		t.Fatal(err)
	}
	got, err := Export(twice{}, "x=2", "json")
	if err != nil || got != string(a.AppendJSON(nil))+"\n" || !json.Valid([]byte(got)) {
		t.Errorf("json = %q, %v", got, err)
	}
	if got, err = Export(twice{}, "x=2", "csv"); err != nil || strings.Count(got, "\n") != 2 || !strings.HasPrefix(got, "x,open,n,kind,y,root,word,warnings,error\n") {
		t.Errorf("csv = %q, %v", got, err)
	}
	if got, err = Export(twice{}, "x=2", "text"); err != nil || !strings.Contains(got, "4 cm") {
		t.Errorf("text = %q, %v", got, err)
	}
	var input *catalog.InputError
	if _, err = Export(twice{}, "x=2", "xml"); !errors.As(err, &input) || input.Field != "format" {
		t.Errorf("xml: %v", err)
	}
}

func TestEncodeMatchesWhatTheStandardDecoderReads(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	letters := []rune("aZ09-._~,;: +%&=#?<>\"'°−²\n\u2028é")
	for range 2000 {
		raw := make([]rune, r.IntN(12))
		for i := range raw {
			raw[i] = letters[r.IntN(len(letters))]
		}
		text := string(raw)
		encoded := Encode(text)
		if back, err := url.PathUnescape(encoded); err != nil || back != text {
			t.Fatalf("seed 1,1: Encode(%q) = %q, which net/url reads as %q (%v)", text, encoded, back, err)
		}
		if back, ok := decode(encoded); !ok || back != text {
			t.Fatalf("seed 1,1: decode(%q) = %q", encoded, back)
		}
		if strings.ContainsAny(encoded, "&=#?+ <>\"") {
			t.Fatalf("Encode(%q) = %q keeps a sign that means something in an address", text, encoded)
		}
	}
}
