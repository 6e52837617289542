package page

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

var (
	voids  = strings.Fields("area base br col embed hr img input link meta source track wbr")
	blocks = strings.Fields("address article aside blockquote details div dl fieldset figcaption figure footer form h1 h2 h3 h4 h5 h6 header hr main nav ol p pre section table ul")
	// inlines hold only what may stand in a line.
	inlines = strings.Fields("p span a em strong data cite code h1 h2 h3 h4 h5 h6 summary label legend button caption dt")
)

// faults lists what makes a page invalid or unfit for a strict content policy.
func faults(page string) []string {
	var list []string
	fault := func(text string) { list = append(list, text) }
	var open []string
	ids := map[string]bool{}
	seen := map[string]int{}
	t := html.NewTokenizer(strings.NewReader(page))
	for kind := t.Next(); kind != html.ErrorToken; kind = t.Next() {
		tag := t.Token()
		switch kind {
		case html.StartTagToken, html.SelfClosingTagToken:
			seen[tag.Data]++
			for _, f := range tagFaults(tag, open, ids) {
				fault(f)
			}
			if kind == html.StartTagToken && !slices.Contains(voids, tag.Data) {
				open = append(open, tag.Data)
			}
		case html.EndTagToken:
			if len(open) == 0 || open[len(open)-1] != tag.Data {
				fault("</" + tag.Data + "> closes " + strings.Join(open, " > "))
				return list
			}
			open = open[:len(open)-1]
		}
	}
	if len(open) > 0 {
		fault("left open: " + strings.Join(open, " > "))
	}
	for _, once := range []string{"h1", "main", "title"} {
		if n := seen[once]; n < 1 || (once != "title" && n > 1) { // drawings have titles too
			fault("has the element " + once + " not once")
		}
	}
	return list
}

func tagFaults(tag html.Token, open []string, ids map[string]bool) []string {
	var list []string
	where := "<" + tag.Data + "> in " + strings.Join(open, " > ")
	for _, a := range tag.Attr {
		switch {
		case a.Key == "style":
			list = append(list, where+" has a style attribute")
		case strings.HasPrefix(a.Key, "on"):
			list = append(list, where+" has the script attribute "+a.Key)
		case a.Key == "id" && (ids[a.Val] || a.Val == ""):
			list = append(list, where+" repeats the id "+a.Val)
		case a.Key == "id":
			ids[a.Val] = true
		case strings.Contains(a.Val, "ZgotmplZ"):
			list = append(list, where+" has an attribute that the template refused: "+a.Key)
		}
	}
	loadedOrData := func(a html.Attribute) bool {
		return a.Key == "src" || a.Key == "type" && a.Val == "application/ld+json"
	}
	if tag.Data == "style" || tag.Data == "script" && !slices.ContainsFunc(tag.Attr, loadedOrData) {
		list = append(list, where+" is inline")
	}
	if tag.Data == "a" && slices.Contains(open, "a") {
		list = append(list, where+": a link in a link")
	}
	for _, up := range open {
		if slices.Contains(inlines, up) && slices.Contains(blocks, tag.Data) && !slices.Contains(open, "svg") {
			list = append(list, where+": a block in <"+up+">")
		}
	}
	return list
}

func TestFaultsAreFound(t *testing.T) {
	frame := func(body string) string {
		return "<html><head><title>t</title></head><body><main><h1>a</h1>" + body + "</main></body></html>"
	}
	if list := faults(frame(`<p>fine <a href="/">x</a><br></p>`)); len(list) > 0 {
		t.Errorf("a sound page is refused: %q", list)
	}
	for _, body := range []string{`<p><div></div></p>`, `<a><b><a></a></b></a>`, `<p style="x">`, `<p id="a"></p><p id="a"></p>`,
		`<script>1</script>`, `<script type="module">1</script>`, `<p onclick="x"></p>`, `<h1>b</h1>`, `<p>`, `<b></i></b>`} {
		if len(faults(frame(body))) == 0 {
			t.Errorf("%s passes", body)
		}
	}
}
