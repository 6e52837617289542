package lesson

import (
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/report"
)

// hint is an exercise whose only hint holds these lines.
func hint(lines ...string) (Hint, string) {
	text := "---\ntitle: T\nsummary: S.\npart: 1\norder: 1\nminutes: 5\n---\n\n```exercise\nid: one\ntitle: T\ncalculator: pivot-offset\nask: owed_length\nquestion: How far?\nanswer: 1 cm\nhints:\n  - mistake: M\n    say: S\n    " +
		strings.Join(lines, "\n    ") + "\n```\n"
	var log report.Log
	l := Parse("content/lessons/one.md", []byte(text), &log)
	told := ""
	if err := log.Err(); err != nil {
		told = err.Error()
	}
	return l.Exercises[0].Hints[0], told
}

func TestAHintMultipliesByAnyNumberButNothing(t *testing.T) {
	for text, want := range map[string]float64{"2": 2, "-1": -1, "−0.5": -0.5} {
		if h, told := hint(`times: "` + text + `"`); h.Times != want || told != "" {
			t.Errorf("times %s is read as %v; %s", text, h.Times, told)
		}
	}
	for _, text := range []string{"0", "NaN", "Inf", "two"} {
		if h, told := hint("times: " + text); h.Times != 1 || !strings.Contains(told, "must be a number other than 0") {
			t.Errorf("times %s is read as %v; %q", text, h.Times, told)
		}
	}
}

func TestAFormulaStandsAlone(t *testing.T) {
	for _, beside := range []string{"output: owed_x", "times: 2"} {
		if _, told := hint("formula: lever", beside); !strings.Contains(told, `"formula" gives the outcome by itself`) {
			t.Errorf("a formula with %q: %q", beside, told)
		}
	}
	if _, told := hint("formula: lever", "given: {angle: 30 deg}"); told != "" {
		t.Errorf("a formula over other inputs: %s", told)
	}
}
