package lesson

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"centrode/cmd/centrode/internal/report"
	"centrode/tests/hard/bound"
)

const whole = `---
title: The finger
summary: How it closes.
part: 2
order: 1
minutes: 12
needs: [arcs-chords-reach]
plates: finger-curl
sources:
  - buryanov2010
---

## The [[pulp gap|gap]] at work

See [@buryanov2010, Table II]
and {=grip.owed_length}, [elsewhere](/lessons/the-elbow/#depth).

` + "```" + `worked
id: grip
title: A grip
calculator: pose-fit
preset: odalys
given:
  angle: 85 deg
  axis_x: 1.50
  landmarks: |
    0, 1, 2, 3

    1, 4, 5, 6
  more:
    - [0, 1 mm]
    - 2, 3
expect:
  owed_length: 1.118 cm ± 0.0005
  determined: none
show: [lever]
check: "polygon: r = L/2"
source: [reuleaux1876, derived]
note: Compare [[pole]].
` + "```" + `

> [!mistake]
> Do not.

` + "```" + `exercise
id: ask
title: Ask
calculator: pivot-offset
ask: lever
question: |
  How far
  is [@rodrigues1840]?
answer: 1.118 cm
tolerance: 0.01 cm
hints:
  - mistake: radians
    times: 57.3
    say: Degrees.
  - {mistake: wrong column, output: owed_x, say: Length.}
` + "```" + `

` + "```" + `plate
id: try
title: Try
calculator: pivot-offset
inputs: [angle]
` + "```" + `

` + "```" + `compare
id: both
title: Both
calculator: hinge-arc
current: {pivot_x: 0}
candidate: {pivot_x: 1 cm}
` + "```\n"

func TestAWholeLessonIsReadWithItsLines(t *testing.T) {
	var log report.Log
	got := Parse("content/lessons/the-finger.md", []byte(whole), &log)
	if err := log.Err(); err != nil {
		t.Fatal(err)
	}
	if got.BodyLine != 12 || !strings.HasPrefix(got.Body, "\n## The") {
		t.Errorf("body begins on line %d with %.20q", got.BodyLine, got.Body)
	}
	got.Body = ""
	want := Lesson{Slug: "the-finger", File: "content/lessons/the-finger.md", Title: "The finger", Summary: "How it closes.", Part: 2, Order: 1, OrderLine: 5, Minutes: 12,
		Needs: []Ref{{"arcs-chords-reach", 7}}, Calculators: []Ref{{"finger-curl", 8}}, Sources: []Ref{{"buryanov2010", 10}}, BodyLine: 12,
		Worked: []Worked{{ID: "grip", Title: "A grip", Calculator: Ref{"pose-fit", 21}, Preset: Ref{"odalys", 22},
			Given:  []Given{{"angle", "85 deg", 24, nil}, {"axis_x", "1.50", 25, nil}, {"landmarks", "0, 1, 2, 3;1, 4, 5, 6", 26, []int{27, 29}}, {"more", "0,1 mm;2, 3", 31, []int{31, 32}}},
			Expect: []Expect{{"owed_length", "1.118 cm ± 0.0005", 34}, {"determined", "none", 35}}, Show: []Ref{{"lever", 36}}, Check: "polygon: r = L/2",
			Source: []Ref{{"reuleaux1876", 38}, {"derived", 38}}, Note: "Compare [[pole]].", Line: 18}},
		Exercises: []Exercise{{ID: "ask", Title: "Ask", Calculator: Ref{"pivot-offset", 48}, Ask: Ref{"lever", 49}, Question: "How far\nis [@rodrigues1840]?",
			Answer: Expect{"lever", "1.118 cm", 53}, Tolerance: "0.01 cm", Line: 45,
			Hints: []Hint{{Mistake: "radians", Times: 57.3, Say: "Degrees.", Line: 56}, {Mistake: "wrong column", Output: Ref{"owed_x", 59}, Times: 1, Say: "Length.", Line: 59}}}},
		Plates: []Plate{{ID: "try", Title: "Try", Calculator: Ref{"pivot-offset", 65}, Inputs: []Ref{{"angle", 66}}, Line: 62}},
		Compares: []Compare{{ID: "both", Title: "Both", Calculator: Ref{"hinge-arc", 72}, Current: []Given{{"pivot_x", "0", 73, nil}},
			Candidate: []Given{{"pivot_x", "1 cm", 74, nil}}, Line: 69}},
		Prose: Prose{Citations: []Ref{{"buryanov2010", 15}, {"rodrigues1840", 52}}, Terms: []Ref{{"pulp gap", 13}, {"pole", 39}}, Values: []Ref{{"grip.owed_length", 16}},
			Links: []Ref{{"/lessons/the-elbow/#depth", 16}}, Callouts: []Ref{{"mistake", 42}}, Headings: []Heading{{"The gap at work", "the-gap-at-work", 13}}, Words: 20},
	}
	if want.Sum, want.blocks = got.Sum, want.Blocks(); got.Sum == "" || !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
	if b, ok := got.Block("ask"); !ok || b.Line != 45 || b.Name() != `exercise "ask"` || b.Anchor() != "exercise-ask" || len(got.Blocks()) != 4 {
		t.Errorf("the block ask is %+v of %d, want it on line 45", b, len(got.Blocks()))
	}
}

func TestAPageNeedsOnlyATitleAndASummary(t *testing.T) {
	var log report.Log
	page := ParsePage("content/home.md", []byte("---\ntitle: A\nsummary: B\n---\ntext\n"), &log)
	ParsePage("content/plates/x.md", []byte("---\ntitle: A\nsummary: B\npart: 1\n---\n"), &log)
	want := "content/plates/x.md:4: front matter: key \"part\" is unknown; known: title, summary, terms, sources"
	if got := log.Err(); page.Title != "A" || got == nil || got.Error() != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestAFileNameMustBeASlug(t *testing.T) {
	var log report.Log
	Parse("content/lessons/The Finger.md", []byte(front), &log)
	want := `content/lessons/The Finger.md: file name "The Finger": must be lower-case words joined by hyphens`
	if got := log.Err(); got == nil || got.Error() != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

// A lesson named aux cannot even be fetched with version control on Windows, and a page in a folder nul cannot be written there.
func TestADeviceOfWindowsIsNoName(t *testing.T) {
	const why = ": is what Windows calls a device, and no file or folder there can have that name; choose another"
	var log report.Log
	Parse("content/lessons/aux.md", []byte(front+strings.Replace(worked, "id: grip", "id: nul", 1)), &log)
	got := log.Err()
	for _, want := range []string{`file name "aux"` + why, `id: "nul"` + why} {
		if got == nil || !strings.Contains(got.Error(), want) {
			t.Errorf("told %v, want %s", got, want)
		}
	}
	for _, id := range []string{"con", "prn", "com1", "lpt9"} {
		if Unfit(id) == "" {
			t.Errorf("%s is taken for a name", id)
		}
	}
	for _, id := range []string{"cone", "aux-2", "com10", "null", "the-con"} {
		if complaint := Unfit(id); complaint != "" {
			t.Errorf("%s %s", id, complaint)
		}
	}
}

func TestALongLessonIsReadWhole(t *testing.T) {
	var b strings.Builder
	b.WriteString(front)
	for b.Len() < 5<<20 {
		b.WriteString("A paragraph with [@key], [[term]] and `code` and $x$.\n\n")
	}
	var log report.Log
	got := Parse("content/lessons/long.md", []byte(b.String()+worked), &log)
	if err := log.Err(); err != nil || len(got.Worked) != 1 || len(got.Prose.Citations) < 90_000 {
		t.Errorf("%v, %d blocks, %d citations", err, len(got.Worked), len(got.Prose.Citations))
	}
	if problems(strings.Repeat("x", MaxFile+1))[0] != "content/lessons/the-finger.md: is 17 MB; at most 16 MB are read" {
		t.Error(problems(strings.Repeat("x", MaxFile+1)))
	}
}

func TestHostileTextIsRefusedOrReadInGoodTime(t *testing.T) {
	for _, c := range []string{"[", "> ", "- ", "[[", "{=", "a: [", "```worked\n", "`", "*a ", "<", "![", "$", "\n\n# a", "|-|\n", "&"} {
		text := strings.Repeat(c, 8_000)
		problems(front + text)
		problems("---\n" + text + "\n---\n")
		problems(front + "```worked\n" + text + "\n```\n")
	}
}

func FuzzParseNeverPanicsOrHangs(f *testing.F) {
	f.Add([]byte(whole))
	f.Add([]byte(front + worked))
	f.Add([]byte(strings.ReplaceAll(whole, "\n", "\r\n")))
	f.Add([]byte("---\na: {b: [c, {d: e}]}\n---\n- ```plate\n  id: x\n"))
	f.Fuzz(func(t *testing.T, source []byte) {
		defer bound.Watch(t, len(source))()
		watch := time.AfterFunc(10*time.Second, func() { panic(fmt.Sprintf("still reading %q", source)) })
		defer watch.Stop()
		var log report.Log
		l := Parse("content/lessons/fuzz.md", source, &log)
		last := strings.Count(string(source), "\n") + strings.Count(string(source), "\r") + 1
		for _, p := range log.Problems() {
			if p.Line < 0 || p.Line > last+1 || strings.TrimSpace(p.Text) == "" {
				t.Errorf("%v: there are %d lines", p, last)
			}
		}
		for _, b := range l.Blocks() {
			if b.Line < 1 || b.Line > last {
				t.Errorf("a block stands on line %d of %d", b.Line, last)
			}
		}
	})
}
