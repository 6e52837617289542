package vary

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/hingearc"
	"centrode/calc/pivotoffset"
	"centrode/tests/hard/bound"
)

func run(t testing.TB, numbers map[string]float64) catalog.Answer {
	t.Helper()
	a, err := catalog.Run(pivotoffset.Calculator{}, catalog.Values{Numbers: numbers})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestAFormulaIsComputed(t *testing.T) {
	a := run(t, map[string]float64{"offset_x": 3, "offset_y": 4, "angle": 60})
	for _, c := range []struct {
		text   string
		want   float64
		source string
	}{
		{"lever", 5, "derived: 3, 4, 5"},
		{"2*3+4", 10, "derived: a product binds before a sum"},
		{"2 - 3 - 4", -5, "derived: from the left"},
		{"8/2/2", 2, "derived: from the left"},
		{"-(1+2)*-2", 6, "derived"},
		{"sin(angle/2)", 0.5, "derived: the sine of 30°"},
		{"cos(angle) + tan(45)", 1.5, "derived: 0.5 + 1"},
		{"lever * rad(180)", 5 * math.Pi, "derived: a half turn is π"},
		{"sqrt(offset_x*offset_x + offset_y*offset_y)", 5, "derived: Pythagoras"},
		{"abs(-.5)", 0.5, "derived"},
	} {
		if got, err := Formula(c.text, a); err != nil || !(math.Abs(got-c.want) <= 1e-12) {
			t.Errorf("%s = %v, %v, want %v\n\t%s", c.text, got, err, c.want, c.source)
		}
	}
	for text, want := range map[string]string{
		"":                        "needs a number, a name or a bracket at its place 1",
		"1 +":                     "needs a number, a name or a bracket at its place 4",
		"(1":                      "lacks a closing bracket",
		"1 2":                     `stops making sense at "2"`,
		"1.2.3":                   `"1.2.3" is no number`,
		"lver":                    `"lver" is no number of this calculator here`,
		"sine(1)":                 `"sine" is no function; nearest: "sin"`,
		"1/0":                     "gives no finite number here",
		"sqrt(-1)":                "gives no finite number here",
		strings.Repeat("(", 1000): "is nested too deeply",
		strings.Repeat("-", 1000): "is nested too deeply",
	} {
		if _, err := Formula(text, a); err == nil || err.Error() != want {
			t.Errorf("%.20q: %v, want %s", text, err, want)
		}
	}
}

func FuzzFormula(f *testing.F) {
	for _, seed := range []string{"lever * rad(angle)", "2*sin(angle/2)", "((", "1e309", "-.", "9/0"} {
		f.Add(seed)
	}
	a := run(f, map[string]float64{"angle": 60})
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		if v, err := Formula(text, a); err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Fatalf("%q = %v", text, v)
		}
	})
}

// A mistake goes along with the input that it is about; a value of its own it keeps.
func TestAMistakeFollowsWhatIsDrawn(t *testing.T) {
	for _, c := range []struct {
		name                      string
		v, printed, fresh, wanted float64
	}{
		{"the same", 45, 45, 50, 50}, {"the sign", -45, 45, 50, -50}, {"twice", 90, 45, 50, 100}, {"half, turned", -22.5, 45, 50, -25},
		{"degrees for radians", 45 * 180 / math.Pi, 45, 50, 50 * 180 / math.Pi}, {"from the other side", 0.3, 0.7, 0.6, 0.4},
		{"the other angle on a line", 80, 100, 110, 70}, {"a value of its own", 120, 145, 150, 120},
	} {
		if got := follow(c.v, c.printed, c.fresh); !(math.Abs(got-c.wanted) <= 1e-9) {
			t.Errorf("%s: %v of %v becomes %v with %v, want %v", c.name, c.v, c.printed, got, c.fresh, c.wanted)
		}
	}
}

func TestNumbersAreRoundedAsAPersonWould(t *testing.T) {
	for _, c := range []struct{ length, factor, want float64 }{
		{3, 1.04, 3.12}, {560, 0.92, 515.2}, {0.126, 1.3, 0.164}, {0.05, 0.9, 0.045}, {-11.5, 0.74, -8.51}, {0, 0.8, 0}, {4.55, 1, 4.55},
	} {
		if got := Grown(c.length, c.factor); got != c.want {
			t.Errorf("%v × %v is rounded to %v, want %v", c.length, c.factor, got, c.want)
		}
	}
	for v, want := range map[float64]float64{0.0123456: 0.012, 1.26: 1.3, 999: 1000, 0.5: 0.5} {
		if got := twoDigits(v); got != want {
			t.Errorf("a tolerance of %v is stated as %v, want %v", v, got, want)
		}
	}
}

// What a poor draw looks like: no answer of the same sign, or a mistake that gives the answer, or another's.
func TestAPoorDrawIsThrownAway(t *testing.T) {
	c := pivotoffset.Calculator{}
	a := run(t, map[string]float64{"offset_x": 2, "angle": 40})
	q := Question{Given: a.Values, Ask: "owed_length", Tolerance: 0.01, Ranges: []Range{{"angle", 20, 100, 1}}}
	lever := Mistake{Given: a.Values, Output: "lever", Times: 1}
	q.Mistakes = []Mistake{lever, {Given: a.Values, Output: "owed_x", Times: 1}}
	for i := range 200 {
		d, ok := q.Draw(c, strings.Repeat("a", i))
		if !ok {
			t.Fatalf("draw %d: none", i)
		}
		if math.Abs(d.Answer.Values.Numbers["angle"]-60) < 0.3 { // derived: at 60° the chord is the lever
			t.Errorf("draw %d: at %v° the lever counts as the answer", i, d.Answer.Values.Numbers["angle"])
		}
	}
	q.Mistakes = append(q.Mistakes, lever)
	if _, ok := q.Draw(c, "1"); ok {
		t.Error("two mistakes that give the same number were drawn")
	}
	q.Ask, q.Mistakes, q.Ranges = "lever", nil, nil
	for _, id := range []string{"offset_x", "offset_y", "offset_z"} {
		v := a.Values.Numbers[id]
		q.Ranges = append(q.Ranges, Range{id, v, v, 1})
	}
	if _, ok := q.Draw(c, "1"); ok {
		t.Error("a question whose answer stays was drawn")
	}
}

func TestADrawBringsNoNewWarning(t *testing.T) {
	c := hingearc.Calculator{}
	given := catalog.NewValues()
	given.Numbers["from_angle"], given.Numbers["to_angle"] = 0, 300
	a, err := catalog.Run(c, given)
	if err != nil {
		t.Fatal(err)
	}
	q := Question{Given: a.Values, Ask: "current_arc_length", Tolerance: 0.1, Ranges: []Range{{"to_angle", 250, 450, 1}}}
	for i := range 200 {
		d, ok := q.Draw(c, strconv.Itoa(i))
		if !ok {
			t.Fatalf("draw %d: none", i)
		}
		if to := d.Answer.Values.Numbers["to_angle"]; to > 360 { // past-full-turn
			t.Fatalf("draw %d: a sweep of %v°, which the printed question does not warn of", i, to)
		}
	}
}
