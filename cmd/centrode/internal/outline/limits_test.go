package outline

import (
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/report"
)

// told reads a text and returns what was complained of.
func told(t *testing.T, source string) (*Node, string) {
	t.Helper()
	var log report.Log
	n := Parse([]byte(source), 1<<20, Place{File: "x.yaml", Log: &log})
	if err := log.Err(); err != nil {
		return n, err.Error()
	}
	return n, ""
}

func TestALongListIsNotADeepOne(t *testing.T) {
	if n, text := told(t, strings.Repeat("- a\n", 200)); text != "" || len(n.Items) != 200 {
		t.Errorf("200 items: %s", text)
	}
}

// Each item of a list has keys of its own, a nested mapping too, and a comment or a text of many lines has none.
func TestManyMappingsAreNotOneOfManyKeys(t *testing.T) {
	const n = 3000
	source := strings.Repeat("- a: 1\n  b:\n    c: 2\n    d: 3\n", n) + strings.Repeat("# e:\n\n", n)
	if got, text := told(t, source); text != "" || len(got.Items) != n {
		t.Errorf("%d items: %s", n, text)
	}
}

// Closing brackets in a text before do not make room for more to open.
func TestBracketsThatCloseNothingDoNotCount(t *testing.T) {
	if _, text := told(t, `a: "`+strings.Repeat("]", 60)+"\"\nb: "+strings.Repeat("[", 45)+strings.Repeat("]", 45)+"\n"); !strings.Contains(text, "x.yaml:2: brackets nest more than 40 deep") {
		t.Errorf("45 brackets after 60 that close nothing: %q", text)
	}
}

func TestAWholeNumberMayBeItsBounds(t *testing.T) {
	for text, ok := range map[string]bool{"0": false, "1": true, "3": true, "4": false} {
		var log report.Log
		at := Place{File: "x.yaml", Log: &log}
		f := NewForm(Parse([]byte("n: "+text), 100, at), "form", 1, []string{"n"}, nil, at)
		if got := f.Int("n", 1, 3); (got != 0) != ok || (log.Err() == nil) != ok {
			t.Errorf("%s from 1 to 3 is read as %d: %v", text, got, log.Err())
		}
	}
}

func TestATitleIsShort(t *testing.T) {
	for n, ok := range map[int]bool{MaxTitle: true, MaxTitle + 1: false} {
		var log report.Log
		at := Place{File: "x.yaml", Log: &log}
		f := NewForm(Parse([]byte("title: "+strings.Repeat("é", n)), 1000, at), "form", 1, []string{"title"}, nil, at)
		if got := f.Title("title"); (got != "") != ok || (log.Err() == nil) != ok {
			t.Errorf("%d characters are read as %.20q: %v", n, got, log.Err())
		}
		if !ok && log.Err().Error() != "x.yaml:1: form: title: has 201 characters; a title has at most 200" {
			t.Errorf("told: %v", log.Err())
		}
	}
}

func TestACellOfARowMayBeEmpty(t *testing.T) {
	var log report.Log
	at := Place{File: "x.yaml", Log: &log}
	f := NewForm(Parse([]byte("given:\n  rows:\n    - [1, null, 3]\n"), 100, at), "form", 1, []string{"given"}, nil, at)
	if got := f.Given("given"); log.Err() != nil || len(got) != 1 || got[0].Text != "1,,3" {
		t.Errorf("read as %+v: %v", got, log.Err())
	}
}

// derived: 57 bytes of a long key are shown, and a mark that there are more.
func TestALongKeyIsShownShort(t *testing.T) {
	var log report.Log
	at := Place{File: "x.yaml", Log: &log}
	NewForm(Parse([]byte(strings.Repeat("k", 61)+": a"), 100, at), "form", 1, nil, []string{"other"}, at)
	if text := log.Err().Error(); !strings.Contains(text, `"`+strings.Repeat("k", 57)+`…"`) {
		t.Errorf("told: %s", text)
	}
}
