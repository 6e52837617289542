package page

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
)

func TestShortFormsTellSourcesApart(t *testing.T) {
	names := func(families ...string) (list []book.Name) {
		for _, f := range families {
			list = append(list, book.Name{Family: f})
		}
		return list
	}
	got := labels([]book.Source{
		{Key: "one", Authors: names("Ames"), Year: "2001"}, {Key: "two", Authors: names("Ames", "Bell"), Year: "2001"},
		{Key: "three", Authors: names("Ames", "Bell", "Cole"), Year: "2001"}, {Key: "again", Authors: names("Ames"), Year: "2001"},
		{Key: "title", Title: "A law"},
	})
	for key, want := range map[string]string{"again": "Ames 2001a", "one": "Ames 2001b", "two": "Ames and Bell 2001", "three": "Ames et al. 2001", "title": "“A law” undated"} {
		if got[key] != want {
			t.Errorf("%s is %q, want %q", key, got[key], want)
		}
	}
}

func TestASourceSaysWhatOfItWasSeen(t *testing.T) {
	for _, c := range []struct {
		source        book.Source
		status, words string
	}{
		{book.Source{Status: "seen", Note: "Seen: abstract."}, "seen", "Seen: abstract."},
		{book.Source{Status: "memory", Note: "Known from teaching"}, "memory", "From memory: Known from teaching."},
		{book.Source{Note: "Memory: recalled"}, "memory", "From memory: recalled."},
		{book.Source{Status: "secondary"}, "secondary", "Through another text."},
		{book.Source{}, "unknown", "Not looked up."},
	} {
		if status, words := seen(c.source); status != c.status || words != c.words {
			t.Errorf("%+v gives %q %q, want %q %q", c.source, status, words, c.status, c.words)
		}
	}
}

func TestListingsPointOutTheirLines(t *testing.T) {
	for _, c := range []struct {
		info       string
		lit        int
		part, fail string
	}{
		{"go {2}", 1, `class="kn"`, ""},
		{"go {1-2,3}", 3, "", ""},
		{"go {hl_lines=[1, 3]}", 2, "", ""},
		{`go {hl_lines=["2-3"]}`, 2, "", ""},
		{"", 0, "package a", ""},
		{"text", 0, "package a", ""},
		{"golf", 0, "package a", `code in "golf": no such language is known; leave the word out, or use text`},
		{"go {second}", 0, "package a", `code in "go {second}": must be a language and, to point out lines, their numbers: go {2,4-5}`},
	} {
		out, err := highlight(c.info, "package a\n\nvar x = 1\n")
		if n := strings.Count(out, `class="line hl"`); n != c.lit {
			t.Errorf("%q points out %d lines, want %d:\n%s", c.info, n, c.lit, out)
		}
		if !strings.Contains(out, c.part) || !strings.Contains(out, `tabindex="0"`) {
			t.Errorf("%q lacks %q or cannot be reached by keyboard:\n%s", c.info, c.part, out)
		}
		if (err == nil) != (c.fail == "") || (err != nil && err.Error() != c.fail) {
			t.Errorf("%q: error %v, want %q", c.info, err, c.fail)
		}
	}
}

func TestLinksAreFollowedInsideTheSiteOnly(t *testing.T) {
	here := readOutline([]byte(`<h1 id="top">x</h1>`))
	pages := map[string]outline{"lessons/a/index.html": here, "index.html": readOutline([]byte(`<p id="plate-hand">`))}
	for link, want := range map[string]string{
		"#top": "", "/": "", "/lessons/a/#top": "", "https://example.org/x#y": "", "mailto:a@example.org": "", "/assets/x.css": "",
		"/#plate-hand?x=1&y=2%3B3": "",
		"/lessons/a":               `link "/lessons/a" leads to no page; nearest: "/lessons/a/"`,
		"#tpo":                     `link "#tpo" leads to no place on its page; nearest: "top"`,
		"":                         `link "" leads nowhere; write [words](/lessons/the-lesson/)`,
		"b/":                       `link "b/" must begin at the root, as in "/lessons/the-lesson/"`,
		"/%zz":                     `link "/%zz" is not readable as an address`,
	} {
		if got := broken(link, here, pages); got != want {
			t.Errorf("%q: %q, want %q", link, got, want)
		}
	}
}

func TestEveryInputHasItsPlaceInTheForm(t *testing.T) {
	a := answers{t}.run(2)
	a.Spec.Groups = a.Spec.Groups[:1] // the fields of the other groups belong to none now
	a.Spec.Tables = []catalog.Table{{ID: "rows", Label: "Rows", Columns: []catalog.Column{{ID: "x", Label: "X"}}}}
	a.Values.Tables["rows"] = catalog.Rows{Len: 1, Numbers: map[string][]float64{"x": {1}}}
	for _, inputs := range [][]lesson.Ref{nil, {{Text: "angle"}}, {{Text: "rows"}}} {
		open, more := inEnglish(t).groups(a, lesson.Plate{ID: "p", Inputs: inputs})
		count, first := 0, 0
		for _, g := range append(open, more...) {
			count += len(g.Fields)
		}
		for _, g := range open {
			first += len(g.Fields)
		}
		beside, below := inEnglish(t).entryTables(a, lesson.Plate{ID: "p", Inputs: inputs})
		tables := append(beside, below...)
		for _, table := range tables {
			if table.Open {
				first++
			}
		}
		if want := len(a.Spec.Fields); count != want || len(tables) != 1 {
			t.Errorf("inputs %v: %d fields and %d tables in the form, want %d and 1", inputs, count, len(tables), want)
		}
		if inputs != nil && first != 1 {
			t.Errorf("inputs %v: %d inputs stand open, want 1", inputs, first)
		}
	}
}

func TestAComparisonLeavesOutWhatCannotDiffer(t *testing.T) {
	rows := inEnglish(t).sideBySide(answers{t}.run(1), answers{t}.run(2))
	for _, r := range rows {
		if strings.HasPrefix(r.Key, "current_") {
			t.Errorf("%s is the same on both sides and is shown", r.Key)
		}
	}
	if len(rows) != len(pivotoffset.Calculator{}.Spec().Outputs)-3 {
		t.Errorf("%d rows", len(rows))
	}
	first, others := shown(plate.Cells(answers{t}.run(1), answers{t}.run(1)), pivotoffset.Calculator{}.Spec(), []lesson.Ref{{Text: "candidate_x"}})
	if len(first) != 1 || first[0].Key != "point_x" || len(others) != 7 {
		t.Errorf("shown %v, folded %d rows, want the pair of candidate_x alone and 7", first, len(others))
	}
}

func TestLettersAreReadFromTextAndFormulas(t *testing.T) {
	o := readOutline([]byte(`<p title="ψ">Жук &lt;<script>ю</script></p><math><mi>Ω</mi><mi>sin</mi><mo>⨯</mo><mn>7</mn></math>`))
	if got, want := o.text.Value(), "7<insЖкук⨯"; got != string(slices.Sorted(maps.Keys(runes(want+" ")))) {
		t.Errorf("text: %q, want %q", got, want)
	}
	if got, want := o.maths.Value(), "7insΩ⨯"; got != want {
		t.Errorf("formulas: %q, want %q", got, want)
	}
}

func runes(text string) map[rune]bool {
	set := map[rune]bool{}
	for _, r := range text {
		set[r] = true
	}
	return set
}
