package page

import (
	"maps"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
)

func TestATinyBookRendersWholeAndSound(t *testing.T) {
	in, log := input(t, tinyBook())
	files := Render(in)
	if err := log.Err(); err != nil {
		t.Errorf("problems:\n%v", err)
	}
	want := []string{"404.html", "cast/index.html", "changes.atom", "changes/index.html", "embed/lessons/the-finger/live/index.html", "embed/plates/pivot-offset/index.html", "glossary/index.html", "index.html", "index.json", "lessons/index.html", "lessons/the-elbow/index.html",
		"lessons/the-finger/index.html", "offline/index.html", "parts/1/index.html", "parts/2/index.html", "paths/index.html", "paths/rigger/index.html", "plates/index.html",
		"plates/pivot-offset/index.html", "progress/index.html", "sheet/index.html", "sources/index.html"}
	if got := slices.Sorted(maps.Keys(files)); !slices.Equal(got, want) {
		t.Errorf("pages are\n%q, want\n%q", got, want)
	}
	for path, page := range files {
		if path == IndexPath || path == FeedPath {
			continue // no pages; TestTheIndex… and TestTheFeed… read them
		}
		for _, f := range faults(string(page)) {
			t.Errorf("%s: %s", path, f)
		}
	}
	if dir := os.Getenv("PAGES"); dir != "" { // to look at them
		for path, page := range files {
			name := dir + "/" + strings.ReplaceAll(path, "/", "_")
			if err := os.WriteFile(name, page, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestALessonSaysWhatItsFileSays(t *testing.T) {
	in, _ := input(t, tinyBook())
	page := string(Render(in)["lessons/the-finger/index.html"])
	rest := page
	for _, part := range []string{
		`<title>The finger &amp; its hinges · Centrode</title>`, `<h1 class="lesson-title">The finger &amp; its hinges</h1>`, `12 minutes`,
		`<a href="/lessons/the-elbow/">The elbow</a>`, `<a href="#where-it-stands-grip-owed-length">Where it <em>stands</em>`,
		`value="2.0`, `1.234`, `(<a class="citation-link" href="#ref-b2010">Bell 2010a</a>`, `; <a class="citation-link" href="#ref-a2011">Ames et al. 2011</a>`, `, p. 12`,
		`term-first`, `aria-describedby="define-pivot-1"`, `role="tooltip" id="define-pivot-1"`, `(from memory)`,
		`class="align-left"`, `class="align-right"`, `<math`, `display="block"`, `callout callout-caution`, `“Quoted” –`,
		`id="grip"`, `Offset x`, `2.0`, `2.06 cm`, `derived`,
		`data-exercise`, `data-hint-values="3.5 none"`, `data-hints="[&#34;The lever turns by “half”.&#34;,&#34;That is another.&#34;]"`, `3.500`,
		`id="plate-live"`, `data-base="offset_x=2"`, `Pell at the key`, `<details class="plate-more">`, `More results`,
		`compare`, `What differs`, `class="chroma"`, `class="line hl"`, `References`, `id="ref-a2011"`, `Seen: abstract.`, `Further reading`, `(2010b). <cite>Another book`,
		`The rigger&#39;s path`, `rel="prev"`,
	} {
		_, after, found := strings.Cut(rest, part)
		if !found {
			t.Errorf("%q does not stand where it should (searched in order)", part)
			continue
		}
		rest = after
	}
}

func TestBadContentIsReportedWithItsLine(t *testing.T) {
	b := &book.Book{Lessons: []lesson.Lesson{{Slug: "a", File: "content/lessons/a.md", Title: "A", Part: 1, BodyLine: 5, Body: strings.Join([]string{
		"# Title", "", "A <b>tag</b> here.", "", "To [nowhere](/lessons/b/) and [no place](#tilte).", "", "## Title", "", "$\\foo$", "",
		"{=x.y} and [relative](../b/)", "", "```worked", "```", "", "```klingon", "x", "```", "",
	}, "\n")}}}
	in, log := input(t, b)
	in.Calculators = nil
	Render(in)
	want := []string{
		"content/lessons/a.md:5: has a heading of the first level, which is the page's title; begin sections with ##",
		"content/lessons/a.md:7: has an HTML tag, which is not shown; use markdown, or a backslash before < for the sign itself",
		`content/lessons/a.md:9: link "#tilte" leads to no place on its page; nearest: "title"`,
		`content/lessons/a.md:9: link "/lessons/b/" leads to no page; nearest: "/lessons/a/"`,
		`content/lessons/a.md:13: formula $\foo$: Unsupported function name: \foo at position 1: \foo`,
		`content/lessons/a.md:15: link "../b/" must begin at the root, as in "/lessons/the-lesson/"`,
		"content/lessons/a.md:15: {=x.y} names no value",
		`content/lessons/a.md:20: code in "klingon": no such language is known; leave the word out, or use text`,
	}
	var got []string
	for _, p := range log.Problems() {
		got = append(got, p.String())
	}
	if !slices.Equal(got, want) {
		t.Errorf("reported\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// The page that has the link is kept; only the one that it leads to is made anew.
func TestALinkOfAKeptPageIsFollowedAgain(t *testing.T) {
	page := func(slug, body string) lesson.Lesson {
		return lesson.Lesson{Slug: slug, File: "content/lessons/" + slug + ".md", Title: slug, Part: 1, BodyLine: 5, Body: body, Sum: slug + body}
	}
	from, kept := page("a", "To [the place](/lessons/b/#place).\n"), keep.New()
	for _, c := range []struct{ body, want string }{
		{"## Place\n", ""}, {"## Place\n\nMore words.\n", ""},
		{"## Places\n", `content/lessons/a.md:5: link "/lessons/b/#place" leads to no place on its page; nearest: "places"`}, {"## Place\n", ""},
	} {
		in, log := input(t, &book.Book{Lessons: []lesson.Lesson{from, page("b", c.body)}})
		in.Calculators, in.Kept = nil, kept
		Render(in)
		told := ""
		if err := log.Err(); err != nil {
			told = err.Error()
		}
		kept.Turn(told == "")
		if told != c.want {
			t.Errorf("with %q: told %q, want %q", c.body, told, c.want)
		}
	}
}

func TestAnEmptyBookStillHasAPageForWrongAddresses(t *testing.T) {
	in, log := input(t, &book.Book{})
	in.Calculators = nil
	files := Render(in)
	if err := log.Err(); err != nil {
		t.Error(err)
	}
	if len(files) != 6 || len(faults(string(files["404.html"]))) > 0 {
		t.Errorf("%d files, want home, changes with their feed, the page about reading without a network, the index and the one for wrong addresses: %s", len(files), files["404.html"])
	}
}

func TestPagesAreTheSameEachTime(t *testing.T) {
	in, _ := input(t, tinyBook())
	first := Render(in)
	for range 5 {
		again := Render(in)
		for path := range first {
			if string(first[path]) != string(again[path]) {
				t.Fatalf("%s differs between two runs", path)
			}
		}
	}
}

// ourTemplates are those of the theme, in English.
func ourTemplates(t *testing.T) templates {
	t.Helper()
	texts, err := readTemplates(os.DirFS(templateFolder))
	if err != nil {
		t.Fatal(err)
	}
	loaded, err := loadTemplates(texts, inEnglish(t).functions(), func(text string) string { return text }, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	return loaded
}

// TestTemplatesTakeTheZeroStruct prints every template for a struct with nothing in it; the fullest ones are printed by
// TestATinyBookRendersWholeAndSound.
func TestTemplatesTakeTheZeroStruct(t *testing.T) {
	loaded := ourTemplates(t)
	zero := map[string]any{"lesson.tmpl": LessonPage{}, "home.tmpl": HomePage{}, "lessons.tmpl": PartsPage{}, "part.tmpl": PartPage{}, "path.tmpl": PathPage{}, "paths.tmpl": PathsPage{},
		"plates.tmpl": PlatesPage{}, "plate.tmpl": PlatePage{}, "glossary.tmpl": GlossaryPage{}, "sources.tmpl": SourcesPage{}, "cast.tmpl": CastPage{}, "missing.tmpl": MissingPage{},
		"check.tmpl": CheckPage{}, "checks.tmpl": ChecksPage{}, "sheet.tmpl": SheetPage{}, "embed.tmpl": EmbedPage{}, "changes.tmpl": ChangesPage{}, "offline.tmpl": Frame{},
		"progress.tmpl": ProgressPage{}, "closing.tmpl": ClosingPage{}, "room.tmpl": RoomPage{}, "specimens.tmpl": SpecimensPage{}}
	if len(zero) != len(loaded.pages) {
		t.Errorf("%d page templates, %d are tried", len(loaded.pages), len(zero))
	}
	for name, data := range zero {
		var b strings.Builder
		if err := loaded.pages[name].ExecuteTemplate(&b, name, data); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, data := range map[string]any{"worked": Worked{}, "exercise": Exercise{}, "plate": Plate{Live: true}, "check": Plate{Live: true}} {
		if err := loaded.parts.ExecuteTemplate(&strings.Builder{}, name, data); err != nil {
			t.Errorf("part %s: %v", name, err)
		}
	}
}

func BenchmarkRender(b *testing.B) {
	for _, n := range []int{1, 40} {
		b.Run("lessons="+strconv.Itoa(n), func(b *testing.B) {
			tiny := tinyBook()
			for i := range n - 1 {
				l := tiny.Lessons[1]
				l.Slug += strconv.Itoa(i)
				tiny.Lessons = append(tiny.Lessons, l)
			}
			in, _ := input(b, tiny)
			Render(in) // so that formulas are remembered, as in a second build
			b.ReportAllocs()
			for b.Loop() {
				if len(Render(in)) < n {
					b.Fatal("pages are missing")
				}
			}
		})
	}
}

// How near an answer must come is said where there is a way to be near: not of a count, which is right or wrong.
func TestACountHasNoSlack(t *testing.T) {
	for tolerance, says := range map[string]bool{"0.05 cm": true, "0 cm": false, "0": false} {
		b := tinyBook()
		b.Lessons[1].Exercises[0].Tolerance = tolerance
		in, _ := input(t, b)
		if page := string(Render(in)["lessons/the-finger/index.html"]); strings.Contains(page, "data-slack") != says {
			t.Errorf("tolerance %q: the card says how near an answer must come: %v, want %v", tolerance, !says, says)
		}
	}
}
