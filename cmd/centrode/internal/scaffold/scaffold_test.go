package scaffold

import (
	"go/parser"
	"go/token"
	"os"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/report"
)

func TestANewLessonIsReadWithoutProblems(t *testing.T) {
	for _, c := range list.All() {
		id := c.Spec().ID
		t.Run(id, func(t *testing.T) {
			f, err := NewLesson(Lesson{Slug: "the-long-neck", Part: 2, Order: 7, Calculator: c})
			if err != nil {
				t.Fatal(err)
			}
			var log report.Log
			l := lesson.Parse(f.Path, f.Content, &log)
			if err := log.Err(); err != nil {
				t.Errorf("%v\n%s", err, f.Content)
			}
			if l.Title != "The long neck" || l.Part != 2 || l.Order != 7 || len(l.Worked) != 1 || len(l.Plates) != 1 || len(l.Exercises) != 1 {
				t.Errorf("read %q part %d order %d with %d worked examples, %d plates, %d exercises; want one of each",
					l.Title, l.Part, l.Order, len(l.Worked), len(l.Plates), len(l.Exercises))
			}
		})
	}
}

// The name is none that README.md or DEVELOPERS.md has somebody try.
func TestANewCalculatorJoinsTheList(t *testing.T) {
	source, err := os.ReadFile("../../../../" + ListFile)
	if err != nil {
		t.Fatal(err)
	}
	files, err := NewCalculator("trial-chord", source)
	if err != nil {
		t.Fatal(err)
	}
	paths := map[string]string{}
	for _, f := range files {
		paths[f.Path] = string(f.Content)
		if strings.HasSuffix(f.Path, ".go") {
			if _, err := parser.ParseFile(token.NewFileSet(), f.Path, f.Content, 0); err != nil {
				t.Errorf("%s: %v", f.Path, err)
			}
		}
		if f.Replaces != (f.Path == ListFile) {
			t.Errorf("%s: Replaces = %v; only the list is replaced", f.Path, f.Replaces)
		}
	}
	for _, want := range []string{"calc/trialchord/spec.go", "calc/trialchord/solve.go", "calc/trialchord/figure.go", "calc/trialchord/solve_test.go", "content/plates/trial-chord.md"} {
		if paths[want] == "" {
			t.Errorf("%s is missing", want)
		}
	}
	longer := paths[ListFile]
	if !strings.Contains(longer, "\t\"centrode/calc/trialchord\"\n") || !strings.Contains(longer, "\t\ttrialchord.Calculator{},\n\t}\n") {
		t.Errorf("the list lacks the new line:\n%s", longer)
	}
	if strings.Count(longer, "\n") != strings.Count(string(source), "\n")+2 {
		t.Errorf("the list changed by more than two lines:\n%s", longer)
	}
	if _, err := NewCalculator("trial-chord", []byte(longer)); err == nil || !strings.Contains(err.Error(), "already imports") {
		t.Errorf("the same calculator again = %v, want a refusal", err)
	}
}

func TestNamesThatCannotStandInAnAddressAreRefused(t *testing.T) {
	const empty = "package list\n\nimport \"x\"\n\nfunc All() []T { return []T{} }\n"
	for name, want := range map[string]string{
		"": "lower-case words", "Wrist": "lower-case words", "wrist_roll": "lower-case words", "../wrist": "lower-case words",
		"wrist roll": "lower-case words", "-wrist": "lower-case words", "3d-roll": "lower-case words",
		strings.Repeat("a", 61): "at most 60 letters", "return": "choose another name", "cata-log": "choose another name",
	} {
		if _, err := NewCalculator(name, []byte(empty)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("NewCalculator(%q) = %v, want it to say %q", name, err, want)
		}
	}
	if _, err := NewLesson(Lesson{Slug: "The Neck"}); err == nil || !strings.Contains(err.Error(), "lower-case words") {
		t.Errorf("NewLesson of an unusable name = %v, want a refusal", err)
	}
}

func TestWhatANewLessonGivesIsAnsweredAsTheDefaults(t *testing.T) {
	for _, c := range list.All() {
		want, err := catalog.Run(c, catalog.NewValues())
		if err != nil {
			t.Fatal(err)
		}
		values := catalog.NewValues()
		for _, e := range given(want) {
			if err := catalog.Set(want.Spec, &values, e.ID, e.Text); err != nil {
				t.Fatal(err)
			}
		}
		got, err := catalog.Run(c, values)
		if err != nil || string(got.AppendJSON(nil)) != string(want.AppendJSON(nil)) {
			t.Errorf("%s with %+v: %v", want.Spec.ID, given(want), err)
		}
	}
}
