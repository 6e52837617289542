package page

import (
	"errors"
	"io/fs"
	"os"
	"strings"
	"sync"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
	"centrode/calc/plate"
	"centrode/calc/vary"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/maths"
	"centrode/cmd/centrode/internal/report"
)

const (
	converter      = "../../../../theme/node_modules/temml/dist/temml.min.js"
	templateFolder = "../../../../theme/templates"
)

// answers stand in for the proof: every block is the calculator's defaults with the offset changed.
type answers struct{ t testing.TB }

func (a answers) run(offset float64) catalog.Answer {
	v := catalog.NewValues()
	v.Numbers["offset_x"] = offset
	answer, err := catalog.Run(pivotoffset.Calculator{}, v)
	if err != nil {
		a.t.Fatal(err)
	}
	return answer
}

func (a answers) Answer(page, block string) (catalog.Answer, bool) {
	if block == "unknown" {
		return catalog.Answer{}, false
	}
	return a.run(2), true
}

func (a answers) Pair(page, block string) (catalog.Answer, catalog.Answer, bool) {
	return a.run(1), a.run(-2), true
}

func (answers) Print(page, ref string) (string, error) {
	switch ref {
	case "grip.owed_length":
		return "1.234\u00a0cm", nil
	case "fact:depth":
		return "2.0\u00a0cm (from memory)", nil
	}
	return "", errors.New(`{=` + ref + `} names no value`)
}

func (a answers) Question(page, block string, refs []string) (plate.Recipe, bool) {
	run := a.run(1)
	q := vary.Question{Given: run.Values, Ask: "owed_length", Tolerance: 0.05}
	q.Mistakes = []vary.Mistake{{Given: run.Values, Formula: "3.5"}, {Given: run.Values, Formula: "nothing"}}
	return plate.Recipe{Question: q}, true
}

const body = `The pulp stops {=grip.owed_length} short [@b2010] [@a2011, p. 12]. A [[pivot]] is {=fact:depth}.[^1]

[^1]: As a note with [[pivot|pivots]].

## Where it *stands* {=grip.owed_length}

| left | right |
|:-----|------:|
| a    | $x^2$ |

$$
x' = R\,x
$$

> [!caution]
> Save first. "Quoted" -- see [the elbow](/lessons/the-elbow/#depth).

` + "```worked\nid: grip\n```\n\n```exercise\nid: ask\n```\n\n```plate\nid: live\n```\n\n```compare\nid: both\n```\n\n```go {2}\npackage a\n\nvar x = 1\n```\n"

func tinyBook() *book.Book {
	ref := func(s string) lesson.Ref { return lesson.Ref{Text: s, Line: 1} }
	lineOf := func(fence string) int { return 10 + strings.Count(body[:strings.Index(body, "```"+fence)], "\n") }
	calc := ref("pivot-offset")
	finger := lesson.Lesson{
		Slug: "the-finger", File: "content/lessons/the-finger.md", Title: "The finger & its hinges", Summary: "Place three hinges.", Part: 2, Order: 1, Minutes: 12,
		Needs: []lesson.Ref{ref("the-elbow")}, Terms: []lesson.Ref{ref("pivot")}, Sources: []lesson.Ref{ref("c2012")}, Body: body, BodyLine: 10,
		Worked: []lesson.Worked{{ID: "grip", Title: "A grip", Calculator: calc, Given: []lesson.Given{{ID: "offset_x", Text: "2 cm"}},
			Expect: []lesson.Expect{{ID: "owed_length", Text: "2.06 cm"}}, Show: []lesson.Ref{ref("lever")}, Check: "the chord $2\\ell\\sin\\frac\\theta2$",
			Source: []lesson.Ref{ref("a2011"), ref("derived")}, Note: "A note on [[pivot|pivots]].", Line: lineOf("worked")}},
		Exercises: []lesson.Exercise{{ID: "ask", Title: "An offset", Calculator: calc, Ask: ref("owed_length"), Question: "How much is owed at *half* a turn?",
			Tolerance: "0.05 cm", Hints: []lesson.Hint{{Mistake: "forgot the half", Say: `The lever turns by "half".`}, {Mistake: "took the other", Say: "That is *another*."}},
			Line: lineOf("exercise")}},
		Plates:   []lesson.Plate{{ID: "live", Title: "An offset pivot", Calculator: calc, Inputs: []lesson.Ref{ref("offset_x")}, Show: []lesson.Ref{ref("owed_length"), ref("current_x")}, Line: lineOf("plate")}},
		Compares: []lesson.Compare{{ID: "both", Title: "Two offsets", Calculator: calc, Given: []lesson.Given{{ID: "angle", Text: "60 deg"}}, Line: lineOf("compare")}},
	}
	elbow := lesson.Lesson{Slug: "the-elbow", File: "content/lessons/the-elbow.md", Title: "The elbow", Summary: "Depth of a hinge.", Part: 1, Order: 1, Minutes: 10,
		Body: "## Depth\n\nThe [[axis]] of it.\n", BodyLine: 5}
	name := func(s string) book.Name { return book.Name{Family: s, Given: "X."} }
	return &book.Book{
		Lessons: []lesson.Lesson{elbow, finger},
		Terms: []book.Term{{ID: "pivot", Term: "pivot", Also: []string{"pivot point"}, Definition: "The point a rotation leaves fixed, on an [[axis]]."},
			{ID: "axis", Term: "axis", Definition: "The line turned about: $a$ [@b2010]."}},
		Sources: []book.Source{{Key: "a2011", Authors: []book.Name{name("Ames"), name("Bell"), name("Cole")}, Year: "2011", Title: "Hinges", In: "Journal", Volume: "3", Issue: "2", Pages: "1--9", DOI: "10.1/x<y", Note: "Seen: abstract."},
			{Key: "b2010", Authors: []book.Name{name("Bell")}, Year: "2010", Title: "A book", Publisher: "Press", URL: "https://example.org/", Note: "Memory: recalled"},
			{Key: "c2012", Authors: []book.Name{name("Bell")}, Year: "2010", Title: "Another book"}, {Key: "rodrigues1840", Year: "1840", Title: "Des lois"}},
		Paths: []book.Path{{ID: "rigger", Title: "The rigger's path", Reader: "Riggers", Promise: "Everything.", Lessons: []lesson.Ref{ref("the-elbow"), ref("the-finger")}}},
		Cast: []book.Character{{ID: "pell", Name: "Pell", Role: "Clerk", Story: "Slim hands.", Measures: []book.Measure{{Label: "Grip", Text: "0.9 cm"}},
			Presets: []book.CastPreset{{Preset: catalog.Preset{ID: "pell-key", Label: "Pell at the key", Values: []catalog.Entry{{ID: "offset_x", Text: "3 mm"}}}, Calculator: calc}}}},
		Plates: []book.PlatePage{{Calculator: "pivot-offset", Lesson: lesson.Lesson{File: "content/plates/pivot-offset.md", Body: "## How to read it\n\nSee [@a2011].\n", BodyLine: 4}}},
		Home: lesson.Lesson{File: "content/home.md", Title: "Where the pivot goes", Summary: "A handbook.", Body: "```plate\nid: hand\n```\n\n- [Animator](/lessons/the-finger/)\n", BodyLine: 3,
			Plates: []lesson.Plate{{ID: "hand", Title: "A hand", Calculator: calc, Line: 3}}},
	}
}

// oneRenderer is made once for all tests: to read its library takes longer than most of them.
var oneRenderer = sync.OnceValues(func() (*maths.Renderer, error) {
	source, err := os.ReadFile(converter)
	if err != nil {
		return nil, err
	}
	return maths.New(string(source))
})

func input(t testing.TB, b *book.Book) (Input, *report.Log) {
	t.Helper()
	renderer, err := oneRenderer()
	if errors.Is(err, fs.ErrNotExist) {
		t.Skipf("run npm ci in theme first: %v", err)
	}
	if err != nil {
		t.Fatal(err)
	}
	log := &report.Log{}
	return Input{Book: b, Calculators: []catalog.Calculator{pivotoffset.Calculator{}}, Proof: answers{t}, Templates: os.DirFS(templateFolder),
		Asset: func(name string) string { return "/assets/" + name }, Words: languages(t)[:1], Maths: renderer, Log: log}, log
}
