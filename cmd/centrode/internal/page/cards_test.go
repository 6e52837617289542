package page

import (
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
)

// stretch is what of a page stands from one text up to the next place of another.
func stretch(t *testing.T, page, from, to string) string {
	t.Helper()
	_, after, ok := strings.Cut(page, from)
	inside, _, ends := strings.Cut(after, to)
	if !ok || !ends {
		t.Fatalf("the page has nothing from %q to %q", from, to)
	}
	return from + inside
}

// wantIn holds a stretch of a page to texts that it has, and to texts that it lacks, which begin with "no ".
func wantIn(t *testing.T, where, text string, parts ...string) {
	t.Helper()
	for _, part := range parts {
		lack, refused := strings.CutPrefix(part, "no ")
		if refused == strings.Contains(text, lack) {
			t.Errorf("%s: has %q: %v, in\n%.4000s", where, lack, refused, text)
		}
	}
}

// wary answers as the stand-in does, with a warning.
type wary struct{ answers }

func warned(a catalog.Answer) catalog.Answer {
	a.Result.Warnings = []catalog.Warning{{Code: "near", Text: "Nearly < straight."}}
	return a
}

func (w wary) Answer(page, block string) (catalog.Answer, bool) {
	a, ok := w.answers.Answer(page, block)
	return warned(a), ok
}

func (w wary) Pair(page, block string) (catalog.Answer, catalog.Answer, bool) {
	current, candidate, ok := w.answers.Pair(page, block)
	return current, warned(candidate), ok
}

func fingerPage(t *testing.T, edit func(*book.Book, *Input)) string {
	t.Helper()
	b := tinyBook()
	in, _ := input(t, b)
	edit(b, &in)
	return string(Render(in)["lessons/the-finger/index.html"])
}

func TestAWarningStandsWhereverItsNumbersDo(t *testing.T) {
	page := fingerPage(t, func(_ *book.Book, in *Input) { in.Proof = wary{answers{t}} })
	const told = "<li>Nearly &lt; straight.</li>"
	wantIn(t, "the worked example", stretch(t, page, `id="grip"`, "</section>\n<section"), told)
	wantIn(t, "the plate", stretch(t, page, `id="plate-live"`, "</figure>"), told, `plate-caution`)
	wantIn(t, "the comparison", stretch(t, page, `id="plate-both"`, "</figure>"), told, `plate-caution`)
}

func TestAWorkedExampleSaysWhatIsItsOwn(t *testing.T) {
	page := fingerPage(t, func(b *book.Book, _ *Input) {
		w := &b.Lessons[1].Worked[0]
		w.Title, w.Expect[0].Text = "A <grip> & hold", "-2.06 cm"
		w.Show = append(w.Show, lesson.Ref{Text: "owed_length"})
		b.Sources = append(b.Sources, book.Source{Key: "derived", Title: "A source of that name"})
	})
	card := stretch(t, page, `id="grip"`, `id="ask"`)
	wantIn(t, "the card", card, `<h3 class="card-title" id="grip-title">`, `A &lt;grip&gt; &amp; hold`, `href="/plates/pivot-offset/#plate-pivot-offset?offset_x=2"`,
		`>−2.06 cm<`, `</a>; derived</span>`)
	if given, rest, _ := strings.Cut(card, "Other inputs"); !strings.Contains(given, `data-given="offset_x"`) || strings.Contains(given, `data-given="angle"`) || !strings.Contains(rest, `data-given="angle"`) {
		t.Errorf("what the block sets is not told from the defaults:\n%s", card)
	}
	if n := strings.Count(card, `<th scope="row">Owed translation</th>`); n != 1 {
		t.Errorf("what is expected and shown stands %d times", n)
	}
}

func TestABlockWithoutAnAnswerIsToldOf(t *testing.T) {
	b := tinyBook()
	b.Lessons[1].Worked[0].ID = "unknown"
	in, log := input(t, b)
	Render(in)
	if err := log.Err(); err == nil || !strings.Contains(err.Error(), "content/lessons/the-finger.md:") || !strings.Contains(err.Error(), "unknown: has no computed answer") {
		t.Errorf("told: %v", err)
	}
}

func TestAnExerciseGivesEachMistakeItsOwnWords(t *testing.T) {
	page := fingerPage(t, func(b *book.Book, _ *Input) {
		b.Lessons[1].Exercises[0].Question = "From {=ask.offset_x}, not {=grip.owed_length}?"
	})
	card := stretch(t, page, `id="ask"`, "</section>")
	wantIn(t, "the exercise", card, `data-lesson="the-finger"`, `<span class="exercise-unit">cm</span>`,
		`forgot the half</span> gives <span class="value-cell">3.500`, `: <span>The lever turns by “half”.</span>`, `: <span>That is <em>another</em>.</span>`)
}

// A question that is asked with fresh numbers names its own values, so that they can be put in, and no others.
func TestAQuestionMarksItsOwnValues(t *testing.T) {
	page := fingerPage(t, func(b *book.Book, in *Input) {
		b.Lessons[1].Exercises[0].Question = "From {=ask.offset_x}, {=ask*2} and {=grip.owed_length}?"
		in.Proof = printing{answers{t}}
	})
	if got := strings.Count(stretch(t, page, `class="exercise-question"`, "</div>"), "data-told"); got != 2 {
		t.Errorf("%d values are marked as the question's own, want 2", got)
	}
	if _, after, _ := strings.Cut(page, `id="plate-live"`); strings.Contains(after, "data-told") {
		t.Error("a value outside of the question is marked")
	}
}

// printing prints every value.
type printing struct{ answers }

func (printing) Print(page, ref string) (string, error) { return "1 < 2", nil }

func TestAValueIsPrintedAsItIsAndMarkedUpInFull(t *testing.T) {
	page := fingerPage(t, func(_ *book.Book, in *Input) { in.Proof = printing{answers{t}} })
	wantIn(t, "the page", page, `<data class="value" value="2.06155281280883">1 &lt; 2</data>`, `no 1 < 2`)
}

func TestAComparisonTellsItsSidesApart(t *testing.T) {
	page := fingerPage(t, func(b *book.Book, _ *Input) {
		b.Lessons[1].Compares[0].Given = []lesson.Given{{ID: "angle", Text: "60 deg"}, {ID: "offset_x", Text: "1 cm"}}
	})
	figure := stretch(t, page, `id="plate-both"`, "</figure>")
	wantIn(t, "the comparison", figure, `<span class="plate-number">Plate 2.</span>`,
		`Current.</span> <span>After turning by 60° the animator must still key 1.12`, `Candidate.</span> <span>After turning by 60° the animator must still key 2.06`,
		`<th scope="row">Offset x</th><td class="value-cell">1.0`+"\u00a0"+`cm</td><td class="value-cell">−2.0`+"\u00a0"+`cm</td>`, `<td data-difference>&#43;0.944`)
	wantIn(t, "what both share", stretch(t, figure, `<caption class="given-title">`, "</table>"), `data-given="angle"`, `no data-given="offset_x"`)
	wantIn(t, "what stands at its default", stretch(t, figure, `class="given-rest"`, "</details>"), `data-given="offset_y"`, `no data-given="offset_x"`)
}

func TestAnAnswerTableTellsItsUnitsAndFoldsWhenItIsLong(t *testing.T) {
	a := fingerCurl(t)
	one := answerTables(a, nil, plate.MaxRows)[0]
	if one.Fold || !strings.Contains(one.Head[1].Name, ",\u00a0") {
		t.Errorf("a short table is folded: %v, its second column is %q; want its unit", one.Fold, one.Head[1].Name)
	}
	id := a.Spec.Answers[0].ID
	rows := a.Result.Tables[id]
	long := catalog.Rows{Len: longTable + 1, Numbers: map[string][]float64{}, Texts: map[string][]string{}}
	for range long.Len {
		for name, list := range rows.Numbers {
			long.Numbers[name] = append(long.Numbers[name], list[0])
		}
		for name, list := range rows.Texts {
			long.Texts[name] = append(long.Texts[name], list[0])
		}
	}
	a.Result.Tables = map[string]catalog.Rows{id: long}
	if list := answerTables(a, nil, plate.MaxRows); len(list) != 1 || !list[0].Fold {
		t.Errorf("%d rows: %+v; want them folded", long.Len, list)
	}
	a.Result.Tables = map[string]catalog.Rows{id: {}}
	if list := cardTables(a); len(list) != 0 {
		t.Errorf("a card prints a table without rows: %+v", list)
	}
}

func TestADrawingUpToHalfAsHighAsWideIsLow(t *testing.T) {
	for box, want := range map[string]string{"0 0 100 50": "low", "0 0 100 51": "middle", "0 0 100 75": "middle", "0 0 100 76": ""} {
		if got := flatness(figure.Node{Tag: "svg", Attrs: []figure.Attr{{Name: "viewBox", Value: box}}}); got != want {
			t.Errorf("a drawing of %s is %q, want %q", box, got, want)
		}
	}
}

// What one side does not have differs from nothing.
func TestANumberThatOneSideLacksHasNoDifference(t *testing.T) {
	current, candidate := answers{t}.run(1), answers{t}.run(2)
	delete(current.Result.Numbers, "lever")
	for _, r := range inEnglish(t).sideBySide(current, candidate) {
		if has := r.Difference != ""; has == (r.Key == "lever") {
			t.Errorf("%s: the difference is %q", r.Key, r.Difference)
		}
	}
}
