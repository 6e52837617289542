package book

import (
	"strings"
	"testing"
	"testing/fstest"

	"centrode/cmd/centrode/internal/report"
	"centrode/tests/hard/bound"
)

// loadWith reads a project whose one file of the name holds the text.
func loadWith(t *testing.T, name, text string) (*Book, *report.Log) {
	t.Helper()
	tree := fstest.MapFS{}
	for file, text := range good() {
		tree["content/"+file] = &fstest.MapFile{Data: []byte(text)}
	}
	tree["content/"+name] = &fstest.MapFile{Data: []byte(text)}
	log := &report.Log{}
	return Load(tree, log), log
}

// FuzzFacts reads any text as facts.csv: every fact that is kept can be printed, and whatever is left out is told.
func FuzzFacts(f *testing.F) {
	head := strings.Join(factColumns(), ",") + "\n"
	for _, s := range []string{"", head, head + "hand-1,hand,length,21.67,mm,,,reuleaux1876,seen,\n", head + "a,b\n", head + "\"a\n", head + "h,h,length,1e999,mm,,,reuleaux1876,seen,\n", head + "n,h,length,NaN,mm,,,reuleaux1876,seen,\n", head + "=1,@x,length,-,kg,,,x,y,z\n", "\ufeff" + head, "id;topic\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		b, log := loadWith(t, "facts.csv", text)
		for id, fact := range b.Facts {
			if shown, err := fact.Convert(-1, ""); err == nil && noNumber(shown) && !noNumber(fact.Unit) { // a unit is any words
				t.Errorf("%q is printed as %q", id, shown)
			}
		}
		told(t, log, text)
	})
}

// FuzzSources reads any text as sources.json, which lessons cite.
func FuzzSources(f *testing.F) {
	for _, s := range []string{"", "[]", `[{"id":"reuleaux1876","type":"book","title":"T","custom":{"status":"seen"}}]`, `[{"id":["x"],"author":[{"family":1}],"issued":{"date-parts":[[1e99]]}}]`, `[{"id":"a","URL":"javascript:alert(1)","DOI":"<b>"}]`, `{"a":1}`, "[[[[", `[{"id":"a"},{"id":"a"}]`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		_, log := loadWith(t, "sources.json", text)
		told(t, log, text)
	})
}

// told holds each problem to a line of the text and to words.
func told(t *testing.T, log *report.Log, text string) {
	t.Helper()
	for _, p := range log.Problems() {
		if p.Line < 0 || strings.TrimSpace(p.Text) == "" {
			t.Errorf("%q: %v", text, p)
		}
	}
}
