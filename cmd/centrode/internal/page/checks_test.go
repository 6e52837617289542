package page

import (
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
)

// judged is the calculator with a plain question: is as good as nothing owed?
type judged struct{ pivotoffset.Calculator }

func (judged) Verdict(_ catalog.Values, r catalog.Result) catalog.Verdict {
	if r.Numbers["owed_length"] < 1 {
		return catalog.Verdict{Good: true, Text: "Yes."}
	}
	return catalog.Verdict{Text: "No."}
}

type judging struct{ answers }

func (j judging) Answer(page, block string) (catalog.Answer, bool) {
	a, ok := j.answers.Answer(page, block)
	a.Calculator = judged{}
	return a, ok
}

// checked is the tiny book with two quick checks, the first on three presets, of which one is refused.
func checked(t *testing.T) (*book.Book, map[string][]byte) {
	t.Helper()
	b := tinyBook()
	calc := lesson.Ref{Text: "pivot-offset"}
	preset := func(id, label, offset string) book.CastPreset {
		return book.CastPreset{Preset: catalog.Preset{ID: id, Label: label, Values: []catalog.Entry{{ID: "offset_x", Text: offset}}}, Calculator: calc}
	}
	b.Cast[0].Presets = append(b.Cast[0].Presets, preset("far", "Pell far out", "5"), preset("same", "Pell as printed", "2"), preset("wrong", "Pell in pounds", "9 kg"))
	check := func(slug, title string, presets ...lesson.Ref) lesson.Lesson {
		return lesson.Lesson{Slug: slug, File: "content/checks/" + slug + ".md", Title: title, Summary: "About " + title, Body: "```plate\nid: ask\n```\n", BodyLine: 4,
			Plates: []lesson.Plate{{ID: "ask", Title: title, Calculator: calc, Check: true, Presets: presets, Line: 4}}}
	}
	b.Checks = []lesson.Lesson{check("first", "Is it near?", lesson.Ref{Text: "far"}, lesson.Ref{Text: "pell-key"}, lesson.Ref{Text: "same"}, lesson.Ref{Text: "wrong"}), check("second", "Is it far?")}
	b.Paths[0].Checks = []lesson.Ref{{Text: "second"}}
	b.Paths[0].Closing = []lesson.Ref{{Text: "the-finger/ask"}}
	b.Lessons[1].Exercises[0].Question = "How much is owed at a [[pivot]] [@b2010]?"
	in, log := input(t, b)
	in.Calculators, in.Proof = []catalog.Calculator{judged{}}, judging{answers{t}}
	files := Render(in)
	if err := log.Err(); err != nil {
		t.Error(err)
	}
	return b, files
}

func TestAQuickCheckSaysItsVerdictOnItselfAndTheCast(t *testing.T) {
	_, files := checked(t)
	page := string(files["checks/first/index.html"])
	for _, f := range faults(page) {
		t.Error(f)
	}
	wantIn(t, "the check", page, `data-good="false">No.</p>`, `plate-caution`, `no data-embed=`,
		`<th scope="row">Pell far out</th><td class="words" data-good="false">No.</td>`, `<th scope="row">Pell at the key</th><td class="words" data-good="true">Yes.</td>`, `no Pell in pounds`,
		`<option value="offset_x=2">Pell as printed</option>`, `no the values printed here`)
	if far, key := strings.Index(page, "Pell far out</option>"), strings.Index(page, "Pell at the key</option>"); far < 0 || key < far {
		t.Error("the presets stand in another order than the page names them in")
	}
	wantIn(t, "the other checks", stretch(t, page, `id="other-checks"`, "</section>"), `href="/checks/second/"`, `no href="/checks/first/"`)
	wantIn(t, "the path's checks", stretch(t, string(files["paths/rigger/index.html"]), `id="quick-checks"`, "</section>"), `href="/checks/second/"`, `no href="/checks/first/"`)
	if n := strings.Count(string(files["plates/pivot-offset/index.html"]), "Pell in pounds"); n != 0 {
		t.Errorf("a preset that is refused is offered %d times", n)
	}
}

// The closing check asks a question alone: no list of references stands below it, and its links lead nowhere.
func TestAClosingCheckLeadsBackToItsLesson(t *testing.T) {
	_, files := checked(t)
	page := string(files["paths/rigger/check/index.html"])
	wantIn(t, "the closing check", page, `<noscript><p><a href="/lessons/the-finger/#ask">The finger &amp; its hinges</a></p></noscript>`, `How much is owed at a pivot <span class="citation">(Bell 2010a)</span>?`, `no citation-link`, `no term-link`)
	finger := stretch(t, string(files["lessons/the-finger/index.html"]), `class="lesson-paths"`, "</section>")
	wantIn(t, "the path at its last lesson", finger, `href="/paths/rigger/check/"`)
	wantIn(t, "the path at its first", stretch(t, string(files["lessons/the-elbow/index.html"]), `class="lesson-paths"`, "</section>"), `href="/lessons/the-finger/"`)
}

// It is told once, however many languages have the page.
func TestAWrongLinkOfAnyTextIsFoundInItsFile(t *testing.T) {
	b, _ := checked(t)
	b.Checks[0].Body += "\nTo [nowhere](/lessons/gone/).\n"
	b.Plates[0].Lesson.Body += "\nTo [nowhere](/lessons/lost/).\n"
	b.Room = lesson.Lesson{File: "content/fitting-room.md", Title: "Room", BodyLine: 4, Body: "To [nowhere](/lessons/away/).\n\nTo [no place](#away).\n"}
	in, log := input(t, b)
	in.Words = languages(t)
	in.Calculators, in.Proof = []catalog.Calculator{judged{}}, judging{answers{t}}
	Render(in)
	told := ""
	if err := log.Err(); err != nil {
		told = err.Error()
	}
	wantIn(t, "told", told, `content/checks/first.md:8: link "/lessons/gone/" leads to no page`, `content/plates/pivot-offset.md:8: link "/lessons/lost/" leads to no page`,
		`content/fitting-room.md:4: link "/lessons/away/" leads to no page`, `content/fitting-room.md:6: link "#away" leads to no place`, `no public/`)
}

func TestAFramedPlateLeadsBackToItsPlace(t *testing.T) {
	in, _ := input(t, tinyBook())
	files := Render(in)
	for path, home := range map[string]string{"embed/lessons/the-finger/live/index.html": "/lessons/the-finger/#plate-live", "embed/plates/pivot-offset/index.html": "/plates/pivot-offset/#plate-pivot-offset"} {
		page, _, _ := strings.Cut(home, "#")
		wantIn(t, path, string(files[path]), `<link rel="canonical" href="`+page+`">`, `data-embed-home href="`+home+`"`, `data-home="`+home+`"`, `no data-embed="`, `no copy-embed`)
	}
	wantIn(t, "the home page", string(files["index.html"]), `no data-embed=`)
}
