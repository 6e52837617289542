package site

import (
	"strings"
	"testing"
)

func TestMinifyingKeepsWhatStylesScriptsAndValidityNeed(t *testing.T) {
	const page = `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>A  page</title></head>
<body>
  <!-- a remark -->
  <p>The  <em>owed</em>
     translation</p>
  <input type="text" value="1.8">
  <svg class="figure" viewBox="0 0 10 10" role="img"><title>t</title><rect class="region" x="1" y="1" width="3" height="4"></rect> <text>a  b</text></svg>
  <math display="block"><mi>t</mi> <mo>=</mo> <mn class="slot slot-x">1.45</mn></math>
  <pre>two
  lines</pre>
</body></html>`
	short, err := newMinifiers().shorter("index.html", []byte(page))
	if err != nil {
		t.Fatal(err)
	}
	got := string(short)
	for _, want := range []string{
		`<html lang="en">`, `</p>`, `<input type="text" value="1.8">`, "<pre>two\n  lines</pre>",
		`<rect class="region" x="1" y="1" width="3" height="4"></rect> <text>a  b</text></svg>`,
		`<math display="block"><mi>t</mi> <mo>=</mo> <mn class="slot slot-x">1.45</mn></math>`,
		"<p>The <em>owed</em>\ntranslation</p>", `</body></html>`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the minified page lost %s:\n%s", want, got)
		}
	}
	if strings.Contains(got, "remark") || len(got) >= len(page) {
		t.Errorf("the page was not made shorter: %d of %d bytes", len(got), len(page))
	}
	if style, err := newMinifiers().shorter("a.css", []byte("a { }")); err != nil || string(style) != "a { }" {
		t.Errorf("a style sheet comes from asset already short and must pass unchanged, got %q %v", style, err)
	}
}
