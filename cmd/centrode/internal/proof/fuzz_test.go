package proof

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/lesson"
	"centrode/tests/hard/bound"
)

// blocksOf are blocks of one kind out of the handbook, without their fences.
func blocksOf(f *testing.F, kind string) (out []string) {
	f.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "..", "..", "content", "lessons", "*.md"))
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		_, rest, found := strings.Cut(string(text), "\n```"+kind+"\n")
		if body, _, closed := strings.Cut(rest, "\n```"); found && closed && len(out) < 8 {
			out = append(out, body)
		}
	}
	if len(out) < 3 {
		f.Fatalf("%d blocks of the kind %s were found", len(out), kind)
	}
	return out
}

// fuzzBlock puts any text between the fences of a block: it is read, run through its calculator and judged, or what is
// wrong is told in words with a line of the file.
func fuzzBlock(f *testing.F, kind string) {
	for _, body := range blocksOf(f, kind) {
		f.Add(body)
	}
	for _, body := range []string{"", "id: a", "id: a\ncalculator: pivot-offset\ngiven: {angle: 1e999}\nexpect: {lever: }", "calculator: [pose-fit]\nid: {a: b}", "- a\n- b", "a: &x [*x]", "id: a\nid: a"} {
		f.Add(body)
	}
	f.Fuzz(func(t *testing.T, body string) {
		defer bound.Watch(t, len(body))()
		p, told := prove("```" + kind + "\n" + body + "\n```\n")
		for _, problem := range told {
			if file, text, ok := strings.Cut(problem, ": "); !ok || file == "" || strings.TrimSpace(text) == "" {
				t.Errorf("%q says %q", body, problem)
			}
		}
		if p == nil {
			t.Errorf("%q has no proof", body)
		}
	})
}

func FuzzWorkedBlock(f *testing.F)   { fuzzBlock(f, lesson.WorkedBlock) }
func FuzzExerciseBlock(f *testing.F) { fuzzBlock(f, lesson.ExerciseBlock) }
func FuzzPlateBlock(f *testing.F)    { fuzzBlock(f, lesson.PlateBlock) }
func FuzzCompareBlock(f *testing.F)  { fuzzBlock(f, lesson.CompareBlock) }

// A kind of block that is new has no target yet; this says so. The blocks of
// the markdown itself, such as tables and callouts, are read by FuzzParseNeverPanicsOrHangs of package lesson.
func TestEveryKindOfBlockHasItsFuzzTarget(t *testing.T) {
	if got := strings.Join(lesson.BlockKinds(), " "); got != "worked exercise plate compare" {
		t.Errorf("the kinds are %s: give the new one a target above", got)
	}
}
