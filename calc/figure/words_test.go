package figure

import (
	"strings"
	"testing"

	"centrode/calc/plane"
)

// TestTextsAreSaidInTheWordsOfTheReader: before room is made for them, and but for names that somebody gave.
func TestTextsAreSaidInTheWordsOfTheReader(t *testing.T) {
	f := Figure{Title: "title", Desc: "desc", View: Rect{Max: plane.Vec{X: 10, Y: 10}}, Marks: []Mark{
		Marker{Name: "mark", At: plane.Vec{X: 2, Y: 2}}, Label{Text: "label", At: plane.Vec{X: 5, Y: 5}}, Label{Text: "label", Own: true, At: plane.Vec{X: 5, Y: 8}},
		Dimension{Name: "measure", A: plane.Vec{X: 1, Y: 1}, B: plane.Vec{X: 9, Y: 1}, Text: "3 cm"}, Angular{Name: "turn", Centre: plane.Vec{X: 5, Y: 5}, Radius: 2, To: 1, Text: "57°"}},
		Handles: []Handle{{Name: "handle", At: plane.Vec{X: 3, Y: 3}}}}
	asked := map[string]int{}
	long := func(text string) string { asked[text]++; return text + " in many more words" }
	own, other := Layout(f, Options{}), Layout(f, Options{Words: long})
	plain, said := string(Markup(own)), string(Markup(other))
	for text, times := range map[string]int{"title": 1, "desc": 1, "mark": 1, "label": 1, "measure": 1, "3 cm": 1, "turn": 1, "57°": 1, "handle": 1} {
		if asked[text] != times {
			t.Errorf("%q was asked for %d times, want %d", text, asked[text], times)
		}
		if !strings.Contains(said, text+" in many more words") {
			t.Errorf("%q is not said in the words", text)
		}
	}
	if !strings.Contains(said, ">label</text>") {
		t.Error("the name that somebody gave was said otherwise")
	}
	if len(gaps(own)) != 1 || !strings.Contains(said, "measure in many more words: 3 cm in many more words") {
		t.Errorf("the measure is drawn as\n%s\nand in words as\n%s", plain, said)
	}
	if wide := TextWidth("3 cm in many more words") * num(t, other.Attr("font-size")); len(gaps(other)) != 1 || !(gaps(other)[0] > wide-0.1) {
		t.Errorf("the words are %v px wide, and the line has gaps of %v px", wide, gaps(other))
	}
}
