package page

import (
	"errors"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/history"
	"centrode/cmd/centrode/internal/lesson"
)

func TestTheFeedLeadsToEachRelease(t *testing.T) {
	in, _ := input(t, tinyBook())
	in.Changes = []history.Release{{Name: "2", Date: "2026-12-01", Body: "- B.\n", Line: 3}}
	wantIn(t, "the feed", string(Render(in)[FeedPath]), `href="/changes/#release-2"`)
}

func TestALessonKnowsItsNeighboursAndAPartItsTime(t *testing.T) {
	b := tinyBook()
	b.Lessons = append(b.Lessons, lesson.Lesson{Slug: "the-hand", File: "content/lessons/the-hand.md", Title: "The hand", Part: 2, Order: 2, Minutes: 30, Body: "Words.\n", BodyLine: 4,
		Exercises: []lesson.Exercise{{ID: "one"}, {ID: "two"}}})
	in, _ := input(t, b)
	files := Render(in)
	wantIn(t, "the finger", string(files["lessons/the-finger/index.html"]), `rel="prev" href="/lessons/the-elbow/"`, `rel="next" href="/lessons/the-hand/"`, `"competencyRequired":["The elbow"]`)
	wantIn(t, "the hand", string(files["lessons/the-hand/index.html"]), `data-exercises="one two"`)
	wantIn(t, "part 1", string(files["parts/1/index.html"]), `rel="next" href="/parts/2/"`, `no rel="prev"`)
	wantIn(t, "part 2", string(files["parts/2/index.html"]), `rel="prev" href="/parts/1/"`, `no rel="next"`, "42\u00a0min")
	wantIn(t, "the path", string(files["paths/rigger/index.html"]), "22\u00a0min")
}

func TestEveryPageHasItsWaysOut(t *testing.T) {
	b := tinyBook()
	b.Home.Body += "\nAs [@b2010] says.\n"
	in, _ := input(t, b)
	files := Render(in)
	wantIn(t, "the glossary", string(files["glossary/index.html"]), `<a href="/glossary/" aria-current="page">Glossary</a>`, `<noscript><a href="/lessons/">Lessons</a> <a href="/glossary/">Glossary</a> </noscript>`)
	wantIn(t, "a wrong address", stretch(t, string(files["404.html"]), "<main", "</main>"), `href="/parts/1/"`, `<li><a href="/glossary/">Glossary</a></li>`)
	wantIn(t, "the home page", string(files["index.html"]), `id="ref-b2010"`)
}

func TestThePageOfACalculatorTellsWhatItTakesAndWhereItIsUsed(t *testing.T) {
	b := tinyBook()
	b.Lessons[0].Body += "\n```plate\nid: early\n```\n"
	b.Lessons[0].Plates = []lesson.Plate{{ID: "early", Title: "Early", Calculator: lesson.Ref{Text: "pivot-offset"}, Line: 9}}
	b.Plates[0].Lesson.Body += "\n```worked\nid: own\n```\n"
	b.Plates[0].Lesson.Worked = []lesson.Worked{{ID: "own", Title: "Its own", Calculator: lesson.Ref{Text: "pivot-offset"}, Line: 8}}
	in, log := input(t, b)
	files := Render(in)
	if err := log.Err(); err != nil {
		t.Error(err)
	}
	page := string(files["plates/pivot-offset/index.html"])
	wantIn(t, "the page", page, `href="/lessons/the-finger/#plate-live"`, `href="/lessons/the-finger/#grip"`, `plate-caution`, `id="ref-rodrigues1840"`,
		`centrode calc pivot-offset offset_x=1cm offset_y=0.5cm offset_z=0cm</code>`, `<a href="#command-line">`, `<code>current_x</code></th><td>Point lands at x, current.`, `<code>candidate_x</code></th><td>Point lands at x, candidate.`)
	used := stretch(t, stretch(t, string(files["plates/index.html"]), "<main", "</main>"), `href="/plates/pivot-offset/"`, "</ul>")
	if early, late := strings.Index(used, `"/lessons/the-elbow/"`), strings.Index(used, `"/lessons/the-finger/"`); early < 0 || late < early || strings.Count(used, `"/plates/pivot-offset/"`) != 1 {
		t.Errorf("want the lessons that use it, in their order, and not its own page:\n%s", used)
	}
}

func TestATableOfInputIsToldInFull(t *testing.T) {
	s := inEnglish(t)
	table := catalog.Table{ID: "rows", Label: "Rows", Help: "One a point", MinRows: 2, MaxRows: 40, Columns: []catalog.Column{{ID: "x", Label: "X", Kind: pivotoffset.Calculator{}.Spec().Fields[0].Kind, Max: 9},
		{ID: "w", Label: "Weight", Max: 1, Optional: true}, {ID: "n", Label: "Name", Text: true}}}
	lines := make([]string, plate.MaxRows+2)
	for i := range lines {
		lines[i] = strconv.Itoa(i) + "\t1\ta"
	}
	view := s.entryTable("p", table, strings.Join(lines, "\n"))
	if view.Left != 2 || len(view.Rows) != plate.MaxRows || view.Rows[0].Number != 1 || view.Help != "One a point. Weight may be left empty." || view.Head[0].Unit != "cm" || view.Needed != 2 {
		t.Errorf("%d rows are left out, the first is %+v, %q, columns %+v", view.Left, view.Rows[0], view.Help, view.Head)
	}
	if rows := s.fieldRows(worded{}.Spec()); rows[len(rows)-1].Default != "left" || rows[len(rows)-1].Allowed != "left, right" || rows[0].Default == "" {
		t.Errorf("a choice is told as %+v", rows[len(rows)-1])
	}
	if list := s.plateSections(PlatePage{Tables: s.tableRows([]catalog.Table{table}, true)}, lesson.Lesson{}); len(list) != 1 || list[0].Href != "#table-rows" {
		t.Errorf("the sections of a page with a table are %+v", list)
	}
	if rows := s.tableRows([]catalog.Table{table}, true); rows[0].Count != "2 to 40 rows" {
		t.Errorf("the number of rows is told as %q", rows[0].Count)
	}
	if got := inputRows(table, catalog.Rows{}); got.Head[0].Name != "X, cm" || got.Head[2] != (Column{Name: "Name", Words: true}) {
		t.Errorf("the heads are %+v", got.Head)
	}
	a := answers{t}.run(1)
	a.Spec.Tables = []catalog.Table{table}
	a.Values.Tables["rows"] = catalog.Rows{}
	if g := given(a, func(string) bool { return true }); len(g.Tables) != 0 {
		t.Errorf("a table without rows is printed: %+v", g.Tables)
	}
}

// A calculator that takes tables alone is asked for on the command line by the rows of the first, on one line.
func TestACommandForATableStandsOnOneLine(t *testing.T) {
	a := answers{t}.run(1)
	a.Spec.Fields = nil
	a.Spec.Tables = []catalog.Table{{ID: "rows", Label: "Rows", Columns: []catalog.Column{{ID: "x", Label: "X"}, {ID: "y", Label: "Y"}}}}
	a.Values.Tables["rows"] = catalog.Rows{Len: 2, Numbers: map[string][]float64{"x": {1, 2}, "y": {3, 4}}}
	if line := inEnglish(t).commands(a)[0].Text; strings.Contains(line, "\n") || !strings.Contains(line, "; ") {
		t.Errorf("the command is %q", line)
	}
	if line, want := inEnglish(t).commands(a)[2].Text, " -in "+a.Spec.Tables[0].ID+".csv "; !strings.Contains(line, want) {
		t.Errorf("the command with a file of rows is %q, want %q in it", line, want)
	}
}

func TestTheIndexTellsWordsFromNumbers(t *testing.T) {
	in, _ := input(t, tinyBook())
	in.Calculators = []catalog.Calculator{worded{}}
	in.Book.Terms[0].ID = "pivot-point"
	index := readIndex(t, Render(in))
	if index.Terms[0].Address != "/glossary/#pivot-point" {
		t.Errorf("a term is said to stand at %s", index.Terms[0].Address)
	}
	got := index.Calculators[0]
	if f := got.Fields[len(got.Fields)-1]; f.Quantity != "text" || f.Unit != "" {
		t.Errorf("a choice is told as %+v", f)
	}
	if o := got.Outputs[len(got.Outputs)-1]; o.Quantity != "text" || o.Unit != "" {
		t.Errorf("an answer in words is told as %+v", o)
	}
}

// worded is the calculator with a choice and an answer in words.
type worded struct{ pivotoffset.Calculator }

func (w worded) Spec() catalog.Spec {
	spec := w.Calculator.Spec()
	spec.Fields = append(spec.Fields, catalog.Field{ID: "side", Label: "Side", Choices: []catalog.Choice{{ID: "left", Label: "Left"}, {ID: "right", Label: "Right"}}, DefaultChoice: "left"})
	spec.Outputs = append(spec.Outputs, catalog.Output{ID: "said", Label: "Said", Text: true})
	return spec
}

func TestAMapKeepsToItsLessons(t *testing.T) {
	b := tinyBook()
	early := lesson.Lesson{Slug: "apart", File: "content/lessons/apart.md", Title: "Apart", Part: 1, Body: "Words.\n", BodyLine: 4}
	b.Lessons = append([]lesson.Lesson{early}, b.Lessons...) // so that places in the book are not those on the map
	in, log := input(t, b)
	files := Render(in)
	if err := log.Err(); err != nil {
		t.Error(err)
	}
	page := stretch(t, string(files["paths/rigger/index.html"]), `class="map-section"`, "</section>")
	wantIn(t, "the map of all its lessons", page, `no Apart`, `no filled diamond`, "The elbow</a>\n<ul class=\"map-branches\">")
	s := inEnglish(t)
	s.Book, s.lessonIndex = &book.Book{}, map[string]int{}
	var all []int
	for i := range mostDrawn + 1 {
		slug := "l" + strconv.Itoa(i)
		s.Book.Lessons = append(s.Book.Lessons, lesson.Lesson{Slug: slug, Title: slug, Part: 1})
		s.lessonIndex[slug], all = i, append(all, i)
	}
	if m := s.mapOf(all, nil, "Map", "Of many."); m.Drawing != "" || len(m.List) != mostDrawn+1 {
		t.Errorf("of %d lessons the map draws %d bytes and lists %d", len(all), len(m.Drawing), len(m.List))
	}
}

func TestWhatAPageLacksIsReported(t *testing.T) {
	s := inEnglish(t)
	s.Book = &book.Book{}
	w := &web{site: s, pages: map[string]outline{"x/index.html": readOutline([]byte(`<p id="a" aria-describedby="gone"><b id="a"></b><i aria-controls="away"></i><a href="/about/">x</a>`))}}
	w.check()
	told := ""
	if err := s.Log.Err(); err != nil {
		told = err.Error()
	}
	wantIn(t, "told", told, `the page has the id "a" twice`, `the page refers to the id "gone", which it does not have`, `the id "away"`, `link "/about/" leads to no page`)
}

func TestATemplateThatFailsIsNamed(t *testing.T) {
	in, log := input(t, tinyBook())
	in.Shorten = func(path string, page []byte) ([]byte, error) {
		if path == "cast/index.html" {
			return nil, errors.New("too long")
		}
		return page, nil
	}
	in.Templates = fstest.MapFS{"lesson.tmpl": {Data: []byte(`{{.Nothing}}`)}, "cast.tmpl": {Data: []byte(`x`)}, "_worked.tmpl": {Data: []byte(`{{define "worked"}}{{.Nothing}}{{end}}`)}}
	Render(in)
	told := ""
	if err := log.Err(); err != nil {
		told = err.Error()
	}
	wantIn(t, "told", told, `theme/templates/glossary.tmpl: is missing; it prints glossary/index.html`, `theme/templates/lesson.tmpl: `, `theme/templates: template: `, `public/cast/index.html: too long`)
}

func TestARevisionChangesWithAWarning(t *testing.T) {
	revision := func(proof Answers) string {
		s := &site{Input: Input{Book: tinyBook(), Calculators: []catalog.Calculator{pivotoffset.Calculator{}}, Proof: proof}}
		return s.revisions()["pivot-offset"]
	}
	if revision(answers{t}) == revision(wary{answers{t}}) {
		t.Error("an answer got a warning and the revision stayed")
	}
}

func TestASentenceBeginsWithACapital(t *testing.T) {
	for text, want := range map[string]string{"": "", "übrig": "Übrig", "invented": "Invented"} {
		if got := capital(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
