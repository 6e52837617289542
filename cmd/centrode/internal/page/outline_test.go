package page

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
	"unique"

	"golang.org/x/net/html"
)

// parsedOutline is readOutline by a tokenizer that knows all of HTML: its witness. The tokenizer takes what stands there for readers
// without scripts as one text.
func parsedOutline(page []byte) (o outline) {
	known, linked, text, maths := map[string]bool{}, map[string]bool{}, map[rune]bool{}, map[rune]bool{}
	var refs []string
	formulas, in := 0, ""
	t := html.NewTokenizer(bytes.NewReader(bytes.ReplaceAll(page, []byte("noscript>"), []byte("div>"))))
	for kind := t.Next(); kind != html.ErrorToken; kind = t.Next() {
		one := t.Token()
		switch kind {
		case html.TextToken:
			for _, r := range one.Data {
				if in != "script" && in != "style" && formulas > 0 {
					maths[r] = true
				}
				if in != "script" && in != "style" && (formulas == 0 || in != "mi" || utf8.RuneCountInString(one.Data) != 1) {
					text[r] = true
				}
			}
		case html.EndTagToken:
			if in = ""; one.Data == "math" {
				formulas--
			}
		case html.StartTagToken:
			if in = one.Data; in == "math" {
				formulas++
			}
		}
		for _, a := range one.Attr {
			switch {
			case a.Key == "id" && known[a.Val]:
				o.twice = append(o.twice, a.Val)
			case a.Key == "id":
				known[a.Val] = true
				o.ids = append(o.ids, unique.Make(a.Val))
			case namesOthers(a.Key):
				refs = append(refs, strings.Fields(a.Val)...)
			case (one.Data == "a" || one.Data == "img") && (a.Key == "href" || a.Key == "src") && !linked[a.Val]:
				linked[a.Val] = true
				o.links = append(o.links, unique.Make(a.Val))
			}
		}
	}
	for _, id := range refs {
		if !known[id] {
			o.lost = append(o.lost, id)
		}
	}
	o.links = slices.DeleteFunc(o.links, func(link unique.Handle[string]) bool {
		return link.Value() != "" && link.Value()[0] == '#' && known[link.Value()[1:]]
	})
	o.text, o.maths = unique.Make(string(slices.Sorted(maps.Keys(text)))), unique.Make(string(slices.Sorted(maps.Keys(maths))))
	return o
}

func (o outline) told() string {
	var links []string
	for _, l := range o.links {
		links = append(links, l.Value())
	}
	return fmt.Sprintf("ids %q, twice %q, lost %q, links %q, text %q, maths %q", o.names(), o.twice, o.lost, links, o.text.Value(), o.maths.Value())
}

func TestAnOutlineIsWhatAParserOfHTMLReads(t *testing.T) {
	for _, page := range []string{
		"", "no tag at all é", "<!doctype html><!-- <p id=\"no\"> --><title>A &amp; B</title>",
		`<p id="a" class=''><label for="b c a">x</label><a href="/x/?a=1&amp;b=2#q">y</a><a id="a" href="/x/?a=1&amp;b=2#q">z</a><img src="/i.svg" alt="&lt;">`,
		`<script type="application/ld+json">{"a":"\u003cp id=1>Ж"}</script><style>a{content:"Ω"}</style><p hidden id="c" aria-controls='a  c'>&#39;ψ&hellip;`,
		"<math><mrow><mi>x</mi><mi>sin</mi><mo>×</mo><mn>7</mn><mtext>cm</mtext></mrow></math>é<br/>x<input\n\tid=\"d\"\n>",
	} {
		if got, want := readOutline([]byte(page)).told(), parsedOutline([]byte(page)).told(); got != want {
			t.Errorf("%s\nread %s\nwant %s", page, got, want)
		}
	}
	for _, broken := range []string{"<", "<p", "<p id", `<p id="`, "<p id=\"x", "</", "<!--", "<script>", "< 5"} { // a cut page must end, too
		readOutline([]byte(broken))
	}
}
