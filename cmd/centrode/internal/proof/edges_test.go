package proof

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/report"
)

// A tolerance is held to the answer in one unit, whatever units they are written in.
func TestAToleranceIsHeldToTheAnswerAcrossUnits(t *testing.T) {
	const hint = "\nhints:\n  - {mistake: n, times: 2, say: s}"
	for tolerance, want := range map[string]string{"0.0003 cm": `tolerance: "0.0003 cm" is finer than the answer 0.01118 m is printed`, "0.0006 cm": ""} {
		_, told := prove(exercise("answer: 0.01118 m\ntolerance: " + tolerance + hint))
		if got := strings.Join(told, "\n"); (got == "") != (want == "") || !strings.Contains(got, want) {
			t.Errorf("within %s: told %q, want %q", tolerance, got, want)
		}
	}
}

// A wrong answer is told by itself: what fresh numbers would come to is no use before it is right.
func TestAWrongAnswerIsToldAlone(t *testing.T) {
	_, told := prove(exercise("answer: 2 cm\ntolerance: 0.6 cm\nvary: {offset_x: fixed, offset_y: fixed, offset_z: fixed}\nhints:\n  - {mistake: n, times: 3, say: s}"))
	if len(told) != 1 || !strings.Contains(told[0], "expected 2 cm") {
		t.Errorf("told: %q", told)
	}
}

// So is a mistake that gives the right answer: no fresh numbers could tell the two apart.
func TestAMistakeThatGivesTheAnswerIsToldAlone(t *testing.T) {
	_, told := prove(exercise("answer: 1.118 cm\ntolerance: 0.05 cm\nhints:\n  - {mistake: m, given: {angle: 10}, say: s}"))
	if len(told) != 1 || !strings.Contains(told[0], "which counts as the right answer") {
		t.Errorf("told: %q", told)
	}
}

// derived: 0.155 − 0.15 is a little more than 0.005 in binary fractions, and the next number after 123456789.12 is 1.5e-8 away.
func TestRoundingIsForgivenAndNothingElse(t *testing.T) {
	for _, c := range []struct {
		name     string
		e        expectation
		computed float64
		want     bool
	}{
		{"half of the last digit", expectation{number: 0.15, decimals: 2, tolerance: 0.005}, 0.155, true},
		{"a little more", expectation{number: 0.15, decimals: 2, tolerance: 0.005}, 0.15500001, false},
		{"the next number", expectation{number: 123456789.12, decimals: 2}, math.Nextafter(123456789.12, math.Inf(1)), true},
		{"a tenth of the last digit", expectation{number: 123456789.12, decimals: 2}, 123456789.121, false},
		{"what a unit's binary fraction leaves", expectation{decimals: 2, tolerance: 0.005}, 0.005 + 1e-12, true},
		{"no number", expectation{number: 1, decimals: 2, tolerance: 0.005}, math.NaN(), false},
	} {
		if got := c.e.holds(c.computed); got != c.want {
			t.Errorf("%s: holds %v, want %v", c.name, got, c.want)
		}
	}
}

// derived: two decimals of millimetres are three of centimetres.
func TestProseIsAsFineAsWhatIsStatedInAnotherUnit(t *testing.T) {
	p, told := prove("{=grip.lever}\n\n" + worked("lever: 11.18 mm"))
	if len(told) > 0 {
		t.Fatal(told)
	}
	if got, err := p.Print("one", "grip.lever"); err != nil || got != "1.118\u00a0cm" {
		t.Errorf("printed as %q, %v; want 1.118 cm", got, err)
	}
}

func TestMoreDigitsThanANumberHoldsAreRefused(t *testing.T) {
	if _, told := prove(worked("lever: 1.1180339887498949 cm")); len(told) != 1 || !strings.Contains(told[0], "must have at most 15 digits after the point") {
		t.Errorf("told: %q", told)
	}
}

func TestWhatVariesIsRefusedBeyondItsBounds(t *testing.T) {
	const hint = "\nhints:\n  - {mistake: n, times: 3, say: s}"
	for vary, ok := range map[string]bool{
		"angle: 20 deg to 60 deg by 20 deg":      true,
		"angle: 20 deg to 40 deg by 20 deg":      false, // two values
		"angle: -40000 deg to 80 deg by 100 deg": false, // below the least angle
	} {
		_, told := prove(exercise("answer: 1.118 cm\ntolerance: 0.05 cm\nvary: {" + vary + "}" + hint))
		if got := strings.Join(told, "\n"); strings.Contains(got, "must be a range such as") == ok {
			t.Errorf("%s: told %q", vary, got)
		}
	}
	fit := func(share string) string {
		return "```exercise\nid: ask\ntitle: A\ncalculator: pose-fit\nask: pivot_x\nquestion: Q\nanswer: 1 cm\ntolerance: 1 cm\nvary: {landmarks: within " + share + "}" + hint + "\n```\n"
	}
	for share, ok := range map[string]bool{"50 %": true, "60 %": false} {
		_, told := prove(fit(share))
		if got := strings.Join(told, "\n"); strings.Contains(got, `must be a part such as "within 10 %", at most 50 %`) == ok {
			t.Errorf("within %s: told %q", share, got)
		}
	}
}

func TestDecimalsThatAreAskedForAreGiven(t *testing.T) {
	p, told := prove("{=grip.angle} {=grip.angle:0}\n\n" + strings.Replace(worked("lever: 1.118 cm"), "expect", "given: {angle: 60.25}\nexpect", 1))
	if len(told) > 0 {
		t.Fatal(told)
	}
	for ref, want := range map[string]string{"grip.angle": "60.25°", "grip.angle:0": "60°"} {
		if got, err := p.Print("one", ref); err != nil || got != want {
			t.Errorf("{=%s} is printed as %q, %v; want %q", ref, got, err, want)
		}
	}
}

// A page is proved anew when a character that it takes its measures from has changed, though its own text has not.
func TestAChangedCharacterIsProvedAnew(t *testing.T) {
	kept := keep.New()
	angle := func(deg string) float64 {
		root := fstest.MapFS{
			"content/lessons/one.md": {Data: []byte("---\ntitle: T\nsummary: S.\npart: 1\norder: 1\nminutes: 10\n---\n```plate\nid: see\ntitle: S\ncalculator: pivot-offset\npreset: moss-hock\n```\n")},
			"content/cast/moss.yaml": {Data: []byte("name: M\nrole: R\nstory: S.\npresets:\n  - {id: moss-hock, label: L, calculator: pivot-offset, values: {angle: " + deg + "}}\n")},
		}
		var log report.Log
		p := Run(book.LoadKept(root, &log, kept), &log, kept)
		kept.Turn(true)
		if err := log.Err(); err != nil {
			t.Fatal(err)
		}
		a, _ := p.Answer("one", "see")
		return a.Values.Numbers["angle"]
	}
	if first, second := angle("30"), angle("40"); first != 30 || second != 40 {
		t.Errorf("proved at %v° and then at %v°, want 30 and 40", first, second)
	}
}
