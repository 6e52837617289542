package vary

import (
	"math"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
	"centrode/calc/quantity"
)

// question asks for the lever of an offset of 2 cm.
func question(t *testing.T) Question {
	a := run(t, map[string]float64{"offset_x": 2, "angle": 40})
	return Question{Given: a.Values, Ask: "owed_length", Tolerance: 0.01}
}

// A factor so near to 1 that a reader could answer with the printed numbers is drawn again; all others come up.
func TestTheFactorIsNeverNearlyOne(t *testing.T) {
	q, seen := question(t), map[float64]bool{}
	spec := pivotoffset.Calculator{}.Spec()
	for i := range 2000 {
		seen[q.change(spec, newStream(strings.Repeat("x", i))).factor] = true
	}
	for f := range seen {
		if math.Abs(f-1) < 0.05 || f < 0.7 || f > 1.4 {
			t.Errorf("lengths grow by %v", f)
		}
	}
	if len(seen) != 31 { // derived: 36 steps of a fiftieth from 0.7, but for 0.96, 0.98, 1, 1.02 and 1.04
		t.Errorf("%d factors come up, want 31", len(seen))
	}
}

// The last value of a range is drawn as any other.
func TestARangeIsDrawnFromEndToEnd(t *testing.T) {
	q := question(t)
	q.Ranges = []Range{{"angle", 20, 80, 20}}
	seen := map[float64]bool{}
	for i := range 400 {
		seen[q.change(pivotoffset.Calculator{}.Spec(), newStream(strings.Repeat("x", i))).fields["angle"]] = true
	}
	for _, want := range []float64{20, 40, 60, 80} {
		if !seen[want] {
			t.Errorf("%v° is never drawn", want)
		}
	}
	if len(seen) != 4 {
		t.Errorf("drawn: %v, want 20, 40, 60 and 80", seen)
	}
}

// table is a description with one table of one column.
func table(kind quantity.Kind) catalog.Spec {
	return catalog.Spec{Tables: []catalog.Table{{ID: "rows", Columns: []catalog.Column{{ID: "x", Kind: kind}}}}}
}

// A size wobbles by its share at most, keeps its sign, and nothing stays nothing.
func TestATableWobblesByItsShareAtMost(t *testing.T) {
	spec := table(quantity.Length)
	rows := catalog.Rows{Len: 4, Numbers: map[string][]float64{"x": {10, -10, 0, -20.25}}}
	low, high := 99.0, 0.0
	for i := range 500 {
		sizes := wobble(rows, 0.1, spec, "rows", newStream(strings.Repeat("x", i)))
		got := change{factor: 1.2, cells: map[string]map[float64]float64{"rows": sizes}}.rows(spec.Tables[0], rows).Numbers["x"]
		if _, drawn := sizes[0]; drawn || got[2] != 0 {
			t.Fatalf("nothing was drawn as %v", got[2])
		}
		if got[1] != -got[0] || !(got[3] < 0) {
			t.Fatalf("drawn: %v; equal sizes stay equal, and signs stay", got)
		}
		low, high = min(low, got[0]), max(high, got[0])
	}
	if !(low >= 9 && high <= 11) || low > 9.2 || high < 10.8 {
		t.Errorf("10 cm are drawn from %v to %v, want from 9 to 11", low, high)
	}
	if got := (change{factor: 1.2, cells: map[string]map[float64]float64{"rows": {10: 11}}}).rows(spec.Tables[0], rows).Numbers["x"]; got[3] != -20.25 {
		t.Errorf("a length of a table that wobbles grew with the others to %v", got[3])
	}
}

// derived: from 100 cm on a tenth of a millimetre is no everyday measure; from 0.2 cm down a hundredth is too coarse.
func TestRoundingIsFinerForSmallerLengths(t *testing.T) {
	for _, c := range []struct{ length, factor, want float64 }{
		{100, 0.7233, 72.3}, {99, 0.7233, 71.61}, {0.2, 0.7233, 0.14}, {0.19, 0.7233, 0.137}, {0.123456, 0.5, 0.061728},
	} {
		if got := Grown(c.length, c.factor); got != c.want {
			t.Errorf("%v × %v is rounded to %v, want %v", c.length, c.factor, got, c.want)
		}
	}
	if got := rounded(-0.001, 2); got != 0 || math.Signbit(got) {
		t.Errorf("−0.001 is rounded to %v, want 0 without a sign", got)
	}
	if got := twoDigits(100); got != 100 {
		t.Errorf("a tolerance of 100 is stated as %v", got)
	}
}

func TestAFormulaNestsAsDeepAsItSays(t *testing.T) {
	a := run(t, map[string]float64{"angle": 60})
	for depth, ok := range map[int]bool{49: true, 50: false} {
		_, err := Formula(strings.Repeat("(", depth)+"1"+strings.Repeat(")", depth), a)
		if (err == nil) != ok {
			t.Errorf("%d brackets: %v", depth, err)
		}
	}
}

// Where a result and an input have one name, the result is meant.
func TestAResultGoesBeforeAnInputOfItsName(t *testing.T) {
	a := catalog.Answer{Values: catalog.Values{Numbers: map[string]float64{"x": 1}}, Result: catalog.Result{Numbers: map[string]float64{"x": 2}}}
	if got, err := Formula("x", a); err != nil || got != 2 {
		t.Errorf("x = %v, %v; want 2", got, err)
	}
}

// asking is an answer of one output of a kind.
func asking(kind quantity.Kind, right float64, outcomes ...Outcome) Drawn {
	spec := catalog.Spec{Outputs: []catalog.Output{{ID: "asked", Kind: kind}}}
	return Drawn{Answer: catalog.Answer{Spec: spec}, Right: Outcome{Number: right, Exists: true}, Outcomes: outcomes}
}

func TestASoundDrawIsNearThePrintedOneAndApartFromIt(t *testing.T) {
	is := func(v float64) Outcome { return Outcome{Number: v, Exists: true} }
	for _, c := range []struct {
		name           string
		kind           quantity.Kind
		printed, fresh Drawn
		want           bool
		tolerance      float64 // of the draw, where it is sound
	}{
		{"half as much again", quantity.Length, asking(quantity.Length, 10), asking(quantity.Length, 15), true, 0.15},
		{"an area keeps its share", quantity.Area, asking(quantity.Area, 10), asking(quantity.Area, 15), true, 0.15},
		{"an angle keeps its tolerance", quantity.Angle, asking(quantity.Angle, 10), asking(quantity.Angle, 15), true, 0.1},
		{"a third", quantity.Length, asking(quantity.Length, 10), asking(quantity.Length, 3), false, 0},
		{"three times", quantity.Length, asking(quantity.Length, 10), asking(quantity.Length, 30), false, 0},
		{"the other sign", quantity.Length, asking(quantity.Length, 10), asking(quantity.Length, -10), false, 0},
		{"little more than the tolerance", quantity.Angle, asking(quantity.Angle, 0.6), asking(quantity.Angle, 0.3), false, 0},
		{"within twice the tolerance of the printed", quantity.Length, asking(quantity.Length, 10), asking(quantity.Length, 10.15), false, 0},
		{"a mistake that leads nowhere now", quantity.Length, asking(quantity.Length, 10, is(4)), asking(quantity.Length, 15, Outcome{}), false, 0},
		{"a mistake that still leads elsewhere", quantity.Length, asking(quantity.Length, 10, is(4)), asking(quantity.Length, 15, is(6)), true, 0.15},
	} {
		q := Question{Ask: "asked", Tolerance: 0.1}
		c.fresh.Tolerance = q.Tolerance
		if got := q.sound(c.printed, &c.fresh); got != c.want || got && c.fresh.Tolerance != c.tolerance {
			t.Errorf("%s: sound %v with a tolerance of %v, want %v and %v", c.name, got, c.fresh.Tolerance, c.want, c.tolerance)
		}
	}
}

// derived: 0.8 − 0.7 is a little more than 0.1 in binary fractions, and yet within the tolerance of it.
func TestNearEnoughIncludesTheTolerance(t *testing.T) {
	if !(Outcome{Number: 0.8, Exists: true}).Like(Outcome{Number: 0.7, Exists: true}, 0.1) {
		t.Error("0.8 is not taken for 0.7 within 0.1")
	}
}

func TestAMistakeMultipliesWhatItReads(t *testing.T) {
	a := catalog.Answer{Result: catalog.Result{Numbers: map[string]float64{"asked": 3}}}
	if got := (Mistake{Output: "asked", Times: 2}).outcome(a); got.Number != 6 {
		t.Errorf("twice 3 is %v", got.Number)
	}
}
