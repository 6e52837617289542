package search

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/report"

	"github.com/dop251/goja"
	"github.com/evanw/esbuild/pkg/api"
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
			Room:    lesson.Lesson{File: "content/fitting-room.md", Title: "The fitting room", Summary: "Bring one.", Body: l.Body},
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
		{"/fitting-room/", Plate, "The fitting room", "", "", "Bring one. Save first. An old knuckle isn’t far."},
		{"/fitting-room/#depth-in-code", Section, "Depth, in code", "The fitting room", "", "a b one two It is, or, at r and …."},
		{"/fitting-room/#depth-in-code-1", Section, "Depth, in code", "The fitting room", "", "Deeper."},
		{"/glossary/#knuckle", Term, "knuckle", "", "MCP", "The first joint."},
		{"/sources/#smith1990", Source, "Wrists", "Smith, Wrist Society, 1990", "A Smith, Wrist Society, smith1990", "Journal. abstract only."},
		{"/cast/#ada", Character, "Ada", "", "", "ferry keeper. She rows. grip 3.8 cm."},
		{"/paths/rigger/", Path, "The rigger’s path", "", "", "You place joints. You can."},
	}
	got := documents(sample(t))
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
	for _, d := range documents(in) {
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

// script is theme/scripts/find.js with its library as one script whose exports are the properties of a global called find.
func script(t *testing.T) string {
	t.Helper()
	theme, err := filepath.Abs("../../../../theme")
	if err != nil {
		t.Fatal(err)
	}
	result := api.Build(api.BuildOptions{AbsWorkingDir: theme, EntryPoints: []string{"scripts/find.js"}, Bundle: true, Format: api.FormatIIFE,
		GlobalName: "find", Target: api.ES2017, Charset: api.CharsetUTF8, TsconfigRaw: "{}", LogLevel: api.LogLevelSilent})
	if len(result.Errors) > 0 {
		t.Fatal(result.Errors)
	}
	return string(result.OutputFiles[0].Contents)
}

func lexicon(t *testing.T) *Lexicon {
	t.Helper()
	data, err := os.ReadFile("../../../../theme/scripts/common.json")
	if err != nil {
		t.Fatal(err)
	}
	var common []string
	if err := json.Unmarshal(data, &common); err != nil || len(common) < 40 {
		t.Fatal(len(common), err)
	}
	return NewLexicon(common)
}

// documents are the places of Readings before their words are counted.
func documents(in Input) []Document {
	var list []Document
	for _, l := range in.Book.Lessons {
		list = append(list, in.lesson(l)...)
	}
	return append(list, in.others()...)
}

// nowhere is an address for texts that no page loads.
func nowhere([]byte) string { return "/nowhere.json" }

// whole lists the real content without its values, and two places more with what a word can be.
func whole(t *testing.T) []Document {
	t.Helper()
	none := func(string, string) (string, error) { return "", errors.New("not computed here") }
	return append(documents(Input{book.Load(os.DirFS("../../../.."), &report.Log{}), list.All(), none, nil}),
		Document{Href: "/a", Kind: Term, Title: "", Text: "ÉTÉ été Été İstanbul ΟΔΟΣ οδός µm K2 a1b2 x×y÷z ÿ ſ 007 The THE «ǅ» don’t \"q\" ǰ ΐ ﬁ Ǆ straße A\u030a"},
		Document{Href: "/b", Kind: Term, Title: "under_score half-turn naïve e\u0301 Ω ω ϐ β ϑ θ ͅ"})
}

// The library that the page asks is the witness: it makes the same index, but for the order of the words.
func TestTheIndexIsTheOneThatThePagesLibraryMakes(t *testing.T) {
	places := whole(t)
	x := lexicon(t)
	files := x.Index(x.Read(places), nowhere)
	data, err := json.Marshal(places)
	if err != nil {
		t.Fatal(err)
	}
	vm := goja.New()
	if _, err := vm.RunString(script(t)); err != nil {
		t.Fatal(err)
	}
	must := func(_ goja.Value, err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	must(nil, vm.Set("list", string(data)))
	made, err := vm.RunString(`const made = find.makeIndex(list); [made.index, made.texts]`)
	must(nil, err)
	var theirs []string
	must(nil, vm.ExportTo(made, &theirs))
	for i, ours := range [][]byte{files.Index, files.Texts} {
		a, b := parsed(t, ours), parsed(t, []byte(theirs[i]))
		if !reflect.DeepEqual(a, b) {
			t.Errorf("file %d differs from the library's: %s", i, difference(a, b, ""))
		}
	}
	if len(files.Index) < 200_000 || len(files.Texts) < 100_000 {
		t.Errorf("the index has %d bytes, the texts %d; that cannot be the whole handbook", len(files.Index), len(files.Texts))
	}
}

// parsed reads JSON; the words of an index go into a table by themselves, for their order is free.
func parsed(t *testing.T, data []byte) any {
	t.Helper()
	var v any
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	if index, ok := v.(map[string]any); ok {
		words := map[string]any{}
		for _, one := range index["index"].([]any) {
			pair := one.([]any)
			words[pair[0].(string)] = pair[1]
		}
		index["index"] = words
		delete(index, "texts") // an address, which the library does not know
	}
	return v
}

// difference names a place where two parsed files differ.
func difference(a, b any, at string) string {
	left, ok := a.(map[string]any)
	right, also := b.(map[string]any)
	if !ok || !also {
		if reflect.DeepEqual(a, b) {
			return ""
		}
		return fmt.Sprintf("%s: %.200v, the library %.200v", at, a, b)
	}
	for key := range right {
		if d := difference(left[key], right[key], at+"/"+key); d != "" {
			return d
		}
	}
	for key := range left {
		if _, there := right[key]; !there {
			return at + "/" + key + ": the library has no such member"
		}
	}
	return ""
}

func TestTheIndexDoesNotDependOnWhatWasReadBefore(t *testing.T) {
	places := whole(t)
	fresh, used := lexicon(t), lexicon(t)
	used.Read([]Document{{Title: "Zebras of another book"}, {Title: "aardvark"}})
	readings := used.Read(places[len(places)/2:])
	readings = append(used.Read(places[:len(places)/2]), readings...)
	first, second := fresh.Index(fresh.Read(places), nowhere), used.Index(readings, nowhere)
	if !bytes.Equal(first.Index, second.Index) || !bytes.Equal(first.Texts, second.Texts) {
		t.Error("the same places gave other bytes")
	}
}

// What a preview keeps of the index before must not show in the next one.
func TestAnIndexThatRemembersIsTheOneMadeAnew(t *testing.T) {
	places := whole(t)
	x := lexicon(t)
	x.Remembers = true
	again := func(what string, change func(list []Document) []Document) {
		t.Helper()
		places = change(slices.Clone(places))
		got, fresh := x.Index(x.Read(places), nowhere), lexicon(t)
		want := fresh.Index(fresh.Read(places), nowhere)
		if !bytes.Equal(got.Index, want.Index) || !bytes.Equal(got.Texts, want.Texts) {
			t.Errorf("%s: is not the index made anew", what)
		}
	}
	again("the first", func(list []Document) []Document { return list })
	again("the same", func(list []Document) []Document { return list })
	for _, at := range []int{0, len(places) / 2, len(places) - 1} {
		again("a word more", func(list []Document) []Document {
			list[at].Text += " Aardvarks turn about a pivot, a pivot."
			return list
		})
		again("no words", func(list []Document) []Document { list[at].Text = ""; return list })
		again("another title and page", func(list []Document) []Document { list[at].Title, list[at].Page = "Zebras \"anew\"", "Ω"; return list })
	}
	again("two change places", func(list []Document) []Document { list[3], list[7] = list[7], list[3]; return list })
	again("one more", func(list []Document) []Document { return append(list, Document{Href: "/c", Kind: Term, Title: "yak"}) })
	again("one less", func(list []Document) []Document { return slices.Delete(list, 5, 6) })
	again("none", func([]Document) []Document { return nil })
}

// The page's own ranking, asked in the build's engine.
func TestWhatAReaderTypesLeadsToThePlace(t *testing.T) {
	x := lexicon(t)
	files := x.Index(x.Read(whole(t)), nowhere)
	vm := goja.New()
	if _, err := vm.RunString(script(t)); err != nil {
		t.Fatal(err)
	}
	if err := vm.Set("json", string(files.Index)); err != nil {
		t.Fatal(err)
	}
	asked, err := vm.RunString(`const opened = find.openIndex(json).index; (q) => find.find(opened, q).slice(0, 8).map((f) => f.href).join("\n")`)
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
		{"the fitting room", "fitting room", "/fitting-room/", 1},
		{"a character", "odalys", "/cast/#odalys", 1},
		{"one word known, one not", "qqqqqqq knuckle", "/glossary/#knuckle", 2},
		{"another trade's name", "clavicle", "/lessons/the-shoulder/", 2},
		{"another trade's name in the plural", "hooves", "/lessons/the-digitigrade-leg/", 1},
		{"two words for one thing", "candy wrapper", "/lessons/the-elbow/#the-twist-is-not-in-the-elbow", 2},
		{"a term that other programs have and the book has not", "pole vector", "/glossary/#plane-of-a-bend", 1},
		{"a term in other words, with one that is common", "polvektor", "/plates/hinge-plane/", 2},
		{"common words beside others", "where does the pivot of the elbow go", "/lessons/the-elbow/#one-line-toward-the-back", 1},
		{"American spelling", "center of rotation", "/glossary/#centre-of-rotation", 2},
		{"another form of the word", "foot sliding", "/lessons/ankle-and-foot/#pell-toe-slip", 1},
		{"a question", "why won't the fist close?", "/plates/finger-curl/", 1},
		{"a word of the book is no misspelling of another", "fist", "/plates/finger-curl/", 1},
		{"an English word that is also a German one in the plural", "mitten", "/lessons/stylised-proportions/#mittens-and-joints-left-out", 1},
		{"German", "Ellbogen", "/lessons/the-elbow/", 1},
		{"German with an umlaut", "Schlüsselbein", "/glossary/#collarbone", 1},
		{"German with an umlaut typed as two letters", "schluesselbein", "/glossary/#collarbone", 1},
		{"German, not all of it typed", "Schulterbl", "/glossary/#shoulder-blade", 1},
		{"German words written as one", "Kniegelenke", "/lessons/the-knee/", 1},
		{"a German question", "Warum schließt die Faust nicht?", "/plates/finger-curl/", 1},
		{"German, misspelt", "Elenbogen", "/lessons/the-elbow/", 1},
		{"German, misspelt, with an ending", "Drehpunkts wo", "/glossary/#pivot", 3},
		{"German, two letters changed places", "Derhpunkt", "/glossary/#pivot", 3},
		{"German words written as one, misspelt in the last", "Kniegelnk", "/lessons/the-knee/", 1},
		{"German words written as one, misspelt in the first", "Schuldergelenk", "/lessons/the-shoulder/", 1},
		{"a German question, misspelt", "wo ist der Drehpunkt vom Elenbogen", "/lessons/the-elbow/#one-line-toward-the-back", 2},
		{"English, two letters changed places", "elbwo", "/lessons/the-elbow/", 1},
		{"a German word that is near none", "Beleuchtung", "", 0},
		{"two words that no place has both of", "fish fin", "/lessons/wings-tails-fins/#fins", 2},
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

// A list of other names that lead to words which the book has not is of no use.
func TestOtherNamesLeadToWordsOfTheBook(t *testing.T) {
	data, err := os.ReadFile("../../../../theme/scripts/meant.json")
	if err != nil {
		t.Fatal(err)
	}
	var listed struct {
		Idle  []string
		Means map[string][]string
	}
	if err := json.Unmarshal(data, &listed); err != nil || len(listed.Means) < 100 || len(listed.Idle) < 50 {
		t.Fatal(len(listed.Means), len(listed.Idle), err)
	}
	x := lexicon(t)
	x.Read(whole(t))
	for book, typed := range listed.Means {
		for word := range strings.FieldsSeq(book) {
			begun := func(one string) bool { return strings.HasPrefix(one, word) } // as the page looks for it
			if !x.common[word] && !slices.ContainsFunc(x.words, begun) {
				t.Errorf("%q is no word of the book", word)
			}
		}
		if len(typed) == 0 {
			t.Errorf("nothing leads to %q", book)
		}
	}
}
