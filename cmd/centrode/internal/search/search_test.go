package search

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/asset"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/report"

	"github.com/dop251/goja"
)

const chapter = "---\ntitle: The wrist\nsummary: Two axes\npart: 2\norder: 1\nminutes: 5\n---\n\n" +
	"> [!caution]\n> Save *first*.\n\nAn [[knuckle|old knuckle]] isn't far [@smith1990, p. 3].\n\n" +
	"## Depth, in `code`\n\n| a | b |\n|---|---|\n| one | two |\n\nIt is {=grip.owed_length}, or {=gone.value}, at $r$ and $r^2$.\n\n" +
	"```worked\nid: grip\ntitle: A *grip*\ncalculator: pivot-offset\nexpect: {owed_length: 1.118 cm}\ncheck: a triangle\nsource: derived\n```\n\n" +
	"### Depth, in code\n\nDeeper.\n\n```plate\nid: see\ntitle: Look\ncalculator: pivot-offset\n```\n"

// sample is a book of one lesson, term, source, character and path.
func sample(t *testing.T) Input {
	t.Helper()
	var log report.Log
	l := lesson.Parse("content/lessons/the-wrist.md", []byte(chapter), &log)
	if err := log.Err(); err != nil {
		t.Fatal(err)
	}
	return Input{
		Book: &book.Book{
			Lessons: []lesson.Lesson{l},
			Terms:   []book.Term{{ID: "knuckle", Term: "knuckle", Also: []string{"MCP"}, Definition: "The *first* joint."}},
			Sources: []book.Source{{Key: "smith1990", Title: "Wrists.", Year: "1990", Authors: []book.Name{{Family: "Smith", Given: "A"}, {Family: "Wrist Society"}}, In: "Journal", Note: "abstract only"}},
			Cast:    []book.Character{{ID: "ada", Name: "Ada", Role: "ferry keeper", Story: "She rows.", Measures: []book.Measure{{Label: "grip", Text: "3.8 cm"}}}},
			Paths:   []book.Path{{ID: "rigger", Title: "The rigger's path", Reader: "You place joints", Promise: "You can."}},
		},
		Print: func(page, ref string) (string, error) {
			if page == "the-wrist" && ref == "grip.owed_length" {
				return "1.118 cm", nil
			}
			return "", errors.New("no such value")
		},
	}
}

func TestEveryPlaceOfTheBookIsListedInItsOrder(t *testing.T) {
	want := []Document{
		{"/lessons/the-wrist/", Lesson, "The wrist", "", "", "Two axes. Save first. An old knuckle isn’t far."},
		{"/lessons/the-wrist/#depth-in-code", Section, "Depth, in code", "The wrist", "", "a b one two It is 1.118 cm, or, at r and …."},
		{"/lessons/the-wrist/#depth-in-code-1", Section, "Depth, in code", "The wrist", "", "Deeper."},
		{"/lessons/the-wrist/#grip", Example, "A grip", "The wrist", "", "a triangle."},
		{"/lessons/the-wrist/#plate-see", Plate, "Look", "The wrist", "", ""},
		{"/glossary/#knuckle", Term, "knuckle", "", "MCP", "The first joint."},
		{"/sources/#smith1990", Source, "Wrists", "Smith, Wrist Society, 1990", "A Smith, Wrist Society, smith1990", "Journal. abstract only."},
		{"/cast/#ada", Character, "Ada", "", "", "ferry keeper. She rows. grip 3.8 cm."},
		{"/paths/rigger/", Path, "The rigger’s path", "", "", "You place joints. You can."},
	}
	got := Documents(sample(t))
	for i := range max(len(got), len(want)) {
		var g, w Document
		if i < len(got) {
			g = got[i]
		}
		if i < len(want) {
			w = want[i]
		}
		if g != w {
			t.Errorf("place %d:\n got %+v\nwant %+v", i, g, w)
		}
	}
}

func TestEveryFieldAndResultOfEveryCalculatorIsAPlace(t *testing.T) {
	in := Input{Book: &book.Book{}, Calculators: list.All()}
	titles := map[string]bool{}
	for _, d := range Documents(in) {
		titles[d.Href+" "+d.Title] = true
	}
	count := 0
	for _, c := range list.All() {
		spec := c.Spec()
		at := "/plates/" + spec.ID + "/"
		want := []string{at + " " + spec.Title}
		for _, f := range spec.Fields {
			want = append(want, at+"#fields "+f.Label)
		}
		for _, o := range spec.Outputs {
			want = append(want, at+"#results "+o.Label)
		}
		for _, place := range want {
			count++
			if !titles[place] {
				t.Errorf("%s: is not listed", place)
			}
		}
	}
	if count < 100 {
		t.Errorf("only %d fields and results looked for", count)
	}
}

func indexer(t *testing.T) string {
	t.Helper()
	root, err := filepath.Abs("../../../..")
	if err != nil {
		t.Fatal(err)
	}
	script, err := asset.Indexer(asset.Options{Root: root})
	if err != nil {
		t.Fatal(err)
	}
	return script
}

// whole lists the real content without its values.
func whole(t *testing.T) []byte {
	t.Helper()
	none := func(string, string) (string, error) { return "", errors.New("not computed here") }
	places, err := JSON(Documents(Input{book.Load(os.DirFS("../../../.."), &report.Log{}), list.All(), none}))
	if err != nil {
		t.Fatal(err)
	}
	return places
}

// made keeps the index of the real content from one test to the next: it takes a second.
var made Files

func wholeIndex(t *testing.T, script string) Files {
	t.Helper()
	if made.Index == nil {
		var err error
		if made, err = Index(script, whole(t)); err != nil {
			t.Fatal(err)
		}
	}
	return made
}

func TestTheIndexIsTheSameBytesEachTime(t *testing.T) {
	script := indexer(t)
	all := wholeIndex(t, script)
	few, err := JSON(Documents(sample(t)))
	if err != nil {
		t.Fatal(err)
	}
	first, err := Index(script, few)
	if err != nil {
		t.Fatal(err)
	}
	second, err := Index(script, few)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Index, second.Index) || !bytes.Equal(first.Texts, second.Texts) {
		t.Error("two runs made different bytes")
	}
	if len(all.Index) < 200_000 || len(all.Texts) < 100_000 { // an engine that reads no letters makes an empty index
		t.Errorf("the index has %d bytes, the texts %d; that cannot be the whole handbook", len(all.Index), len(all.Texts))
	}
}

// The page's own ranking, asked in the build's engine.
func TestWhatAReaderTypesLeadsToThePlace(t *testing.T) {
	script := indexer(t)
	files := wholeIndex(t, script)
	vm := goja.New()
	if _, err := vm.RunString(script); err != nil {
		t.Fatal(err)
	}
	if err := vm.Set("json", string(files.Index)); err != nil {
		t.Fatal(err)
	}
	asked, err := vm.RunString(`const opened = find.openIndex(json); (q) => find.find(opened, q).slice(0, 8).map((f) => f.href).join("\n")`)
	if err != nil {
		t.Fatal(err)
	}
	ask, _ := goja.AssertFunction(asked)
	for _, c := range []struct {
		name, query, want string
		within            int // among so many first results
	}{
		{"a term by its name", "knuckle", "/glossary/#knuckle", 1},
		{"a misspelt term", "knucle", "/glossary/#knuckle", 1},
		{"the beginning of a word", "squ", "/glossary/#squash", 1},
		{"a lesson by its title", "the elbow", "/lessons/the-elbow/", 1},
		{"a lesson by one word, in capitals", "ELBOW", "/lessons/the-elbow/", 1},
		{"an author, without the accent", "buryanov", "/sources/#buryanov2010", 1},
		{"a field by its id", "mcp_depth", "/plates/finger-curl/#fields", 1},
		{"a result by its name", "gap between pulp and palm", "/plates/finger-curl/#results", 2},
		{"a calculator by its title", "sweep of a hinge", "/plates/hinge-arc/", 1},
		{"a section by words of its heading", "through the finger", "/lessons/the-finger/#through-the-finger", 2},
		{"a character", "odalys", "/cast/#odalys", 1},
		{"one word known, one not", "qqqqqqq knuckle", "/glossary/#knuckle", 2},
		{"nothing but marks", "?! -- /", "", 0},
		{"nothing that exists", "qqqqqqq", "", 0},
		{"only common words", "the of and", "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			found, err := ask(goja.Undefined(), vm.ToValue(c.query))
			if err != nil {
				t.Fatal(err)
			}
			list := strings.Split(found.String(), "\n")
			if at := slices.Index(list, c.want); at < 0 || c.within > 0 && at >= c.within || c.within == 0 && list[0] != "" {
				t.Errorf("%q leads to\n%s\nwant %q among the first %d", c.query, found, c.want, c.within)
			}
		})
	}
}

func TestAScriptThatMakesNoIndexIsRefused(t *testing.T) {
	for _, c := range []struct{ name, script, want string }{
		{"a mistake in the script", "let = ;", "theme/scripts/find.js does not start"},
		{"no exports", "var other = 1", "theme/scripts/find.js has no exports"},
		{"another export", "var find = { make: 1 }", "theme/scripts/find.js exports no function makeIndex"},
		{"a failure on the way", "var find = { makeIndex() { throw new Error('lost') } }", "the index of the search: Error: lost"},
		{"another result", "var find = { makeIndex() { return 3 } }", "the index of the search: makeIndex returned no { index, texts }"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Index(c.script, []byte("[]")); err == nil || !strings.HasPrefix(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}
