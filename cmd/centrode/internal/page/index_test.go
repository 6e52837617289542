package page

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/pivotoffset"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/proof"
	"centrode/cmd/centrode/internal/report"

	"golang.org/x/net/html"
)

const projectFolder = "../../../.."

// readIndex reads the index as a program would that refuses what it does not know.
func readIndex(t *testing.T, files map[string][]byte) Index {
	t.Helper()
	read := json.NewDecoder(strings.NewReader(string(files[IndexPath])))
	read.DisallowUnknownFields()
	var out Index
	if err := read.Decode(&out); err != nil {
		t.Fatalf("%v\n%s", err, files[IndexPath])
	}
	return out
}

func TestTheIndexSaysWhatTheBookHolds(t *testing.T) {
	b := tinyBook()
	b.Lessons[1].Prose.Headings = []lesson.Heading{{Text: "Where it stands", Anchor: "where-it-stands"}}
	in, _ := input(t, b)
	files := Render(in)
	got := readIndex(t, files)
	finger := got.Lessons[1]
	if len(got.Lessons) != 2 || finger.Slug != "the-finger" || finger.Title != "The finger & its hinges" || finger.Summary != "Place three hinges." ||
		finger.Part != 2 || finger.Order != 1 || finger.Minutes != 12 || finger.Address != "/lessons/the-finger/" ||
		!slices.Equal(finger.Needs, []string{"the-elbow"}) || !slices.Equal(finger.Calculators, []string{"pivot-offset"}) {
		t.Errorf("the lesson is %+v", finger)
	}
	want := []IndexAnchor{{"where-it-stands", "heading", "Where it stands", ""}, {"grip", "worked", "A grip", ""}, {"ask", "exercise", "An offset", ""},
		{"plate-live", "plate", "An offset pivot", "/embed/lessons/the-finger/live/"}, {"plate-both", "compare", "Two offsets", ""}}
	if !slices.Equal(finger.Anchors, want) {
		t.Errorf("anchors are %+v", finger.Anchors)
	}
	c, spec := got.Calculators[0], pivotoffset.Calculator{}.Spec()
	if c.ID != spec.ID || c.Title != spec.Title || c.Purpose != spec.Purpose || c.Address != "/plates/pivot-offset/" || len(c.Revision) != revisionLength ||
		len(c.Fields) != len(spec.Fields) || len(c.Outputs) != len(spec.Outputs) || c.Fields[0].ID != spec.Fields[0].ID || c.Fields[0].Unit != "cm" {
		t.Errorf("the calculator is %+v", c)
	}
	if strings.Contains(string(files[IndexPath]), "null") {
		t.Error("the index holds null where a list is promised")
	}
	if got.Format != IndexFormat || len(got.Paths) != 1 || len(got.Terms) != 2 || got.Terms[0].Address != "/glossary/#pivot" {
		t.Errorf("%q, paths %+v, terms %+v", got.Format, got.Paths, got.Terms)
	}
}

func TestAnEmptyIndexHasItsLists(t *testing.T) {
	in, _ := input(t, &book.Book{})
	in.Calculators = nil
	files := Render(in)
	readIndex(t, files)
	if strings.Contains(string(files[IndexPath]), "null") {
		t.Errorf("%s", files[IndexPath])
	}
}

// leastAnchors is a floor under the places that the real index must list.
const leastAnchors = 400

func TestEveryAddressOfTheRealIndexLeadsSomewhere(t *testing.T) {
	var log report.Log // what is wrong with the content is told by centrode check
	b := book.Load(os.DirFS(projectFolder), &log)
	in, _ := input(t, b)
	in.Calculators, in.Proof, in.Log = list.All(), proof.Run(b, &log, nil), &log
	files := Render(in)
	pages := map[string]outline{}
	for path, page := range files {
		pages[path] = readOutline(page)
		if read, witness := pages[path].told(), parsedOutline(page).told(); strings.HasSuffix(path, ".html") && read != witness {
			t.Errorf("%s: read\n%s\na parser of HTML reads\n%s", path, read, witness)
		}
	}
	index := readIndex(t, files)
	count := 0
	listed := map[string]bool{}
	check := func(address string) {
		count++
		if listed[address] {
			t.Errorf("%s is listed twice", address)
		}
		listed[address] = true
		if text := broken(address, outline{}, pages); text != "" {
			t.Error(text)
		}
	}
	for _, l := range index.Lessons {
		for _, a := range l.Anchors {
			check(l.Address + "#" + a.ID)
			if a.Embed != "" {
				check(a.Embed)
			}
		}
		for _, need := range l.Needs {
			if text := broken("/lessons/"+need+"/", outline{}, pages); text != "" {
				t.Error(text)
			}
		}
	}
	for _, c := range index.Calculators {
		check(c.Address)
		check(c.Embed)
		for _, a := range append(c.Anchors, IndexAnchor{ID: "plate-" + c.ID}) {
			check(c.Address + "#" + a.ID)
		}
	}
	for _, place := range append(index.Paths, index.Terms...) {
		check(place.Address)
	}
	if count < leastAnchors || len(index.Lessons) != len(b.Lessons) || len(index.Calculators) != len(list.All()) {
		t.Errorf("%d addresses, %d lessons, %d calculators", count, len(index.Lessons), len(index.Calculators))
	}
	for _, l := range b.Lessons {
		page := string(files["lessons/"+l.Slug+"/index.html"])
		if len(l.Worked) > 0 && !strings.Contains(page, `class="proved-with"`) {
			t.Errorf("%s does not say what it was proved with", l.Slug)
		}
	}
}

// data returns the text of the page's data block.
func data(page string) string {
	t := html.NewTokenizer(strings.NewReader(page))
	for kind := t.Next(); kind != html.ErrorToken; kind = t.Next() {
		tag := t.Token()
		if kind == html.StartTagToken && tag.Data == "script" && slices.ContainsFunc(tag.Attr, func(a html.Attribute) bool { return a.Val == "application/ld+json" }) {
			t.Next()
			return string(t.Raw())
		}
	}
	return ""
}

func TestALessonDescribesItselfAsALearningResource(t *testing.T) {
	b := tinyBook()
	b.Lessons[1].Summary = `A </script><script>alert("x")</script> & more`
	in, _ := input(t, b)
	page := string(Render(in)["lessons/the-finger/index.html"])
	var got map[string]any
	if err := json.Unmarshal([]byte(data(page)), &got); err != nil {
		t.Fatalf("%v\n%s", err, data(page))
	}
	// Names and shapes of the properties: schema.org, LearningResource and CreativeWork.
	for name, want := range map[string]any{"@context": "https://schema.org", "@type": "LearningResource", "@id": "/lessons/the-finger/",
		"name": "The finger & its hinges", "description": b.Lessons[1].Summary, "inLanguage": "en", "timeRequired": "PT12M",
		"learningResourceType": "lesson", "isAccessibleForFree": true, "interactivityType": "mixed"} {
		if got[name] != want {
			t.Errorf("%s is %v, want %v", name, got[name], want)
		}
	}
	if teaches, _ := got["teaches"].([]any); len(teaches) != 1 || teaches[0] != "pivot" {
		t.Errorf("teaches %v", got["teaches"])
	}
	if part, _ := got["isPartOf"].(map[string]any); part["@id"] != "/parts/2/" {
		t.Errorf("part of %v", got["isPartOf"])
	}
	if strings.Contains(page, "<script>alert") {
		t.Error("the summary ends the data block")
	}
}

// changed answers as the stand-in does, but for one output.
type changed struct {
	answers
	by float64
}

func (c changed) Answer(page, block string) (catalog.Answer, bool) {
	a, ok := c.answers.Answer(page, block)
	a.Result.Numbers["owed_length"] += c.by
	return a, ok
}

func TestARevisionChangesWithAnAnswerAndNotOtherwise(t *testing.T) {
	revision := func(by float64, edit func(*book.Book)) string {
		b := tinyBook()
		edit(b)
		s := &site{Input: Input{Book: b, Calculators: []catalog.Calculator{pivotoffset.Calculator{}}, Proof: changed{answers{t}, by}}}
		return s.revisions()["pivot-offset"]
	}
	same := func(*book.Book) {}
	first := revision(0, same)
	if len(first) != revisionLength || revision(0, same) != first {
		t.Errorf("revision is %q, then %q", first, revision(0, same))
	}
	if revision(1e-6, same) == first {
		t.Error("an answer changed by a millionth and the revision stayed")
	}
	if revision(1e-13, same) != first {
		t.Error("the revision tells the last bits of two machines apart")
	}
	if revision(0, func(b *book.Book) { b.Lessons[1].Title, b.Lessons[1].Body = "Other", "Other words." }) != first {
		t.Error("words changed and the revision with them")
	}
	if revision(0, func(b *book.Book) { b.Lessons[1].Worked = nil }) == first {
		t.Error("a worked example went and the revision stayed")
	}
}

func TestARevisionChangesWithTheDescription(t *testing.T) {
	s := &site{Input: Input{Book: &book.Book{}, Calculators: []catalog.Calculator{pivotoffset.Calculator{}, retitled{}}, Proof: answers{t}}}
	list := s.revisions()
	if list["pivot-offset"] == "" || list["pivot-offset"] == list["retitled"] {
		t.Errorf("revisions are %v", list)
	}
}

// retitled is the same calculator under another name.
type retitled struct{ pivotoffset.Calculator }

func (r retitled) Spec() catalog.Spec {
	spec := r.Calculator.Spec()
	spec.ID = "retitled"
	return spec
}

func TestPagesNameTheRevisionOfTheirCalculators(t *testing.T) {
	in, _ := input(t, tinyBook())
	files := Render(in)
	revision := readIndex(t, files).Calculators[0].Revision
	if want := `<p class="proved-with">Proved with <a href="/plates/pivot-offset/">pivot-offset</a> revision <code>` + revision + `</code></p>`; !strings.Contains(string(files["lessons/the-finger/index.html"]), want) {
		t.Errorf("the lesson lacks %s", want)
	}
	if want := "This is pivot-offset revision <code>" + revision + "</code>"; !strings.Contains(string(files["plates/pivot-offset/index.html"]), want) {
		t.Errorf("the plate lacks %s", want)
	}
	if strings.Contains(string(files["lessons/the-elbow/index.html"]), "proved-with") {
		t.Error("a lesson without blocks claims a proof")
	}
}

func TestPathsAndListsHoldTheirMap(t *testing.T) {
	b := tinyBook()
	b.Paths[0].Lessons = b.Paths[0].Lessons[1:] // the finger, which rests on the elbow
	in, _ := input(t, b)
	files := Render(in)
	for path, want := range map[string][2]int{"lessons/index.html": {2, 0}, "paths/rigger/index.html": {2, 1}} {
		page := string(files[path])
		if got := [2]int{strings.Count(page, "map-place"), strings.Count(page, "map-place map-chosen")}; got != want {
			t.Errorf("%s: %d lessons on the map, %d of them chosen; want %v", path, got[0], got[1], want)
		}
		if strings.Count(page, `class="map-branch`) < 2+1 || !strings.Contains(page, "<details class=\"map-list\">") {
			t.Errorf("%s has no list beside its map", path)
		}
	}
	if marked := strings.Contains(string(files["lessons/index.html"]), "filled diamond"); marked {
		t.Error("the map of the whole book explains marks that it does not use")
	}
}
