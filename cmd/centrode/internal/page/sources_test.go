package page

import (
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
)

func TestASourceIsWrittenOut(t *testing.T) {
	names := func(n int) (list []book.Name) {
		for i := range n {
			list = append(list, book.Name{Family: string(rune('A' + i)), Given: "X."})
		}
		return list
	}
	for _, c := range []struct {
		source book.Source
		want   string
	}{
		{book.Source{Authors: []book.Name{{Family: "A<b"}}, Title: "T & U.", Publisher: "P <Q>.", Year: "2001"}, `A&lt;b (2001). <cite>T &amp; U</cite>. P &lt;Q&gt;.`},
		{book.Source{Title: "T<", In: "J & K", Volume: "3", Issue: "2", Pages: "1--9", Year: "2001"}, `(2001). T&lt;. <cite>J &amp; K</cite> 3(2): 1–9.`},
		{book.Source{Authors: names(6), Title: "T"}, `A, X.; B, X.; C, X.; D, X.; E, X.; F, X. (undated). <cite>T</cite>.`},
		{book.Source{Authors: names(7), Title: "T"}, `A, X.; B, X.; C, X.; D, X.; E, X.; and others (undated). <cite>T</cite>.`},
		{book.Source{Title: "T", DOI: `10.1/"<x`}, `(undated). <cite>T</cite>. <a class="reference-link" href="https://doi.org/10.1/&#34;&lt;x">doi:10.1/&#34;&lt;x</a>`},
		{book.Source{Title: "T", URL: `https://example.org/?a="&b/`}, `(undated). <cite>T</cite>. <a class="reference-link" href="https://example.org/?a=&#34;&amp;b/">example.org/?a=&#34;&amp;b</a>`},
		{book.Source{Title: "T", URL: "javascript:alert(1)"}, `(undated). <cite>T</cite>.`},
	} {
		if got := fullForm(c.source, shortNames(c.source)+" "+year(c.source)); got != c.want {
			t.Errorf("written as\n%s, want\n%s", got, c.want)
		}
	}
}

func TestManySourcesOfOneNameAreToldApart(t *testing.T) {
	for i, want := range map[int]string{0: "a", 25: "z", 26: "aa", 51: "az", 52: "ba"} {
		if got := letter(i); got != want {
			t.Errorf("source %d gets the letter %q, want %q", i, got, want)
		}
	}
	got := labels([]book.Source{{Key: "a", Authors: []book.Name{{Family: "Ames"}}}, {Key: "b", Authors: []book.Name{{Family: "Ames"}}}})
	if got["a"] != "Ames undated-a" || got["b"] != "Ames undated-b" {
		t.Errorf("two without a year are %v", got)
	}
}

func TestReferencesStandInTheOrderOfTheirNames(t *testing.T) {
	b := tinyBook()
	b.Lessons[1].Body = "First [@rodrigues1840, p. <3>], then [@b2010] and [@a2011].\n\n## Of [@rodrigues1840]\n"
	b.Sources[3].Title = "A <law>"
	in, _ := input(t, b)
	page := string(Render(in)["lessons/the-finger/index.html"])
	list := stretch(t, page, `<h2 id="references">`, "</section>")
	at := -1
	for _, id := range []string{"ref-rodrigues1840", "ref-a2011", "ref-b2010"} { // “A <law>” by its title
		next := strings.Index(list, `id="`+id+`"`)
		if next <= at {
			t.Errorf("%s does not follow the one before:\n%s", id, list)
		}
		at = next
	}
	wantIn(t, "the page", page, `>“A &lt;law&gt;” 1840</a>`, `, p. &lt;3&gt;</span>`, `no <law>`, `no <3>`)
}

// A source that the text cites is no further reading.
func TestACitedSourceIsNoFurtherReading(t *testing.T) {
	b := tinyBook()
	b.Lessons[1].Sources = append(b.Lessons[1].Sources, lesson.Ref{Text: "b2010"})
	in, _ := input(t, b)
	files := Render(in)
	wantIn(t, "further reading", stretch(t, string(files["lessons/the-finger/index.html"]), `id="further-reading"`, "</section>"), `id="ref-c2012"`, `no id="ref-b2010"`)
	sources := string(files["sources/index.html"])
	wantIn(t, "a cited source", stretch(t, sources, `id="b2010"`, "</li>"), `Cited in <a href="/lessons/the-finger/">`, `no Further reading`, `no reference-all`)
	wantIn(t, "one to read further", stretch(t, sources, `id="c2012"`, "</li>"), `Further reading in <a href="/lessons/the-finger/">`, `no Cited in`)
}

func TestTheGlossarySaysWhereATermStands(t *testing.T) {
	b := tinyBook()
	b.Lessons[0].Body += "\nAn [[Axis]] and [[pivot]]s.\n"
	in, _ := input(t, b)
	page := string(Render(in)["glossary/index.html"])
	if strings.Index(page, `id="axis"`) > strings.Index(page, `id="pivot"`) {
		t.Error("the terms stand in another order than that of their names")
	}
	wantIn(t, "pivot", stretch(t, page, `id="pivot"`, "</div>"), `Explained in <a href="/lessons/the-finger/">The finger &amp; its hinges</a>.`, `Used in <a href="/lessons/the-elbow/">The elbow</a>.`)
	wantIn(t, "axis", stretch(t, page, `id="axis"`, "</div>"), `Used in <a href="/lessons/the-elbow/">The elbow</a>.`, `no Explained in`)
}

func TestTheEarlierTermHasASharedName(t *testing.T) {
	b := tinyBook()
	b.Terms[0].Also = append(b.Terms[0].Also, "Centre")
	b.Terms[1].Also = []string{"centre"}
	b.Lessons[0].Body = "The [[centre]] of it, once more the [[Centre]].\n"
	in, _ := input(t, b)
	page := string(Render(in)["lessons/the-elbow/index.html"])
	if strings.Count(page, `href="/glossary/#pivot"`) != 2 || strings.Count(page, `class="term term-first"`) != 1 {
		t.Errorf("want two links to pivot, of which one is the first:\n%s", page)
	}
}

func TestTheCastShowsItsOwn(t *testing.T) {
	in, _ := input(t, tinyBook())
	page := string(Render(in)["cast/index.html"])
	wantIn(t, "the cast", page, `<th scope="row">Grip</th><td class="value-cell">0.9 cm</td>`, `<a href="/plates/pivot-offset/#plate-pivot-offset?offset_x=0.3">Pell at the key</a>`, `no cast-models-title`)
}
