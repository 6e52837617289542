package paper

import (
	"encoding/xml"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/sheet"
)

// full is a sheet with everything that one can have.
func full() sheet.View {
	return sheet.View{
		Title: "Elbow <lower> & out", Facts: []sheet.Fact{{Label: "Character", Text: "Odalys", Differs: true}, {Label: "Reviewer"}}, Reasons: []string{"Because it <folds>."},
		Entries: []sheet.EntryView{{Title: "elbow", Verdict: "It ends lower.", Source: "Computed by hinge-arc.", Figure: figure.Figure{Title: "F", View: figure.Rect{Max: plane.Vec{X: 10, Y: 40}}},
			Rows: []sheet.Row{{Label: "Chord", Current: "1.0 cm", Candidate: "2.0 cm", Differs: true}}, Left: 2, Warnings: []string{"Nearly straight."}, Doubts: []string{"The sheet says 9 cm."}, Alone: true,
			With: "With: Sweep to 90°.", Otherwise: "Asked otherwise than there."}},
	}
}

// word is a text of the page with its place.
type word struct {
	text, class, anchor string
	x, y                float64
}

func wordsOf(t *testing.T, svg []byte) (list []word) {
	t.Helper()
	var page struct {
		Texts []struct {
			X      float64 `xml:"x,attr"`
			Y      float64 `xml:"y,attr"`
			Class  string  `xml:"class,attr"`
			Anchor string  `xml:"text-anchor,attr"`
			Text   string  `xml:",chardata"`
		} `xml:"text"`
	}
	if err := xml.Unmarshal(svg, &page); err != nil {
		t.Fatal(err)
	}
	for _, w := range page.Texts {
		list = append(list, word{w.Text, w.Class, w.Anchor, w.X, w.Y})
	}
	return list
}

func find(t *testing.T, list []word, text string) word {
	t.Helper()
	for _, w := range list {
		if strings.Contains(w.text, text) {
			return w
		}
	}
	t.Errorf("the page lacks %q", text)
	return word{}
}

// A sheet without reasons has lines to write them on, below each other and below their heading.
func TestASheetWithoutReasonsHasRoomToWriteThem(t *testing.T) {
	v := full()
	rules := strings.Count(string(SVG([]sheet.View{v})), `class="rule"`)
	v.Reasons = nil
	blank := SVG([]sheet.View{v})
	find(t, wordsOf(t, blank), "Reasons")
	if more := strings.Count(string(blank), `class="rule"`) - rules; more != 2 {
		t.Errorf("%d lines to write on, want 2", more)
	}
}

func TestAPageOfPaperHoldsAllOfItsSheet(t *testing.T) {
	list := wordsOf(t, SVG([]sheet.View{full()}))
	for _, text := range []string{"Elbow <lower> & out", "≠ Character: Odalys", "Reviewer: ______________", "Reasons", "Because it <folds>.", "elbow", "It ends lower.", "≠ Chord", "! The sheet says 9 cm.",
		"Nearly straight.", "With: Sweep to 90°.", "≠ Asked otherwise than there.", "≠ Only this sheet has this placement.", "Computed by hinge-arc. 2 more results are in the plate.", "–", sheet.Caution[:20]} {
		find(t, list, text)
	}
	current, candidate, difference := find(t, list, "1.0 cm"), find(t, list, "2.0 cm"), find(t, list, "Difference")
	if !(current.x < candidate.x && candidate.x < difference.x) || current.class != "current" || candidate.class != "candidate" {
		t.Errorf("the numbers stand as %+v and %+v before %+v", current, candidate, difference)
	}
	for _, w := range []word{current, candidate, difference} {
		if w.anchor != "end" {
			t.Errorf("%q does not end at its column: %+v", w.text, w)
		}
	}
}

func TestTheSecondSheetStandsBesideTheFirst(t *testing.T) {
	second := full()
	second.Title = "The other"
	list := wordsOf(t, SVG([]sheet.View{full(), second}))
	if first, other := find(t, list, "Elbow"), find(t, list, "The other"); other.x != first.x+pageWidth || other.y != first.y {
		t.Errorf("one begins at %v, %v, the other at %v, %v", first.x, first.y, other.x, other.y)
	}
}

// derived: a line of 722 px holds 111 letters of 13 px, each half as wide as it is high.
func TestLinesOfAPageAreFilledAndNothingIsLost(t *testing.T) {
	v := full()
	long := ""
	for i := range 300 {
		long += strconv.Itoa(i % 10)
	}
	v.Reasons = []string{long, strings.Repeat("twelve more ", 30)}
	var whole, wrapped []string
	for _, w := range wordsOf(t, SVG([]sheet.View{v})) {
		if n := len([]rune(w.text)); n > 111 && w.class == "" {
			t.Errorf("a line has %d letters: %s", n, w.text)
		}
		switch {
		case strings.HasPrefix(w.text, "0123") || strings.HasPrefix(w.text, "1234") || strings.HasPrefix(w.text, "2345"):
			whole = append(whole, w.text)
		case strings.HasPrefix(w.text, "twelve") || strings.HasPrefix(w.text, "more"):
			wrapped = append(wrapped, w.text)
		}
	}
	if strings.Join(whole, "") != long || strings.Join(wrapped, " ") != strings.TrimSpace(v.Reasons[1]) || len(wrapped) != 4 {
		t.Errorf("a long word comes back as %q, a paragraph as %q", whole, wrapped)
	}
}

func TestAPageForABrowserStandsAlone(t *testing.T) {
	second := full()
	second.Title = "The other"
	one, both := string(HTML([]sheet.View{full()})), string(HTML([]sheet.View{full(), second}))
	for _, part := range []string{`<html lang="en">`, `<title>Elbow &lt;lower&gt; &amp; out</title>`, `content="default-src 'none'; style-src 'unsafe-inline'"`, "The sheet says 9 cm.", "Nearly straight."} {
		if !strings.Contains(one, part) {
			t.Errorf("the page lacks %s", part)
		}
	}
	if strings.Contains(one, "The other") || !strings.Contains(both, "The other") || !strings.Contains(both, "Because it &lt;folds&gt;.") {
		t.Error("a pair does not hold both sheets, or one sheet holds more than itself")
	}
}
