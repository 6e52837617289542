package page

import (
	"bytes"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
	"unique"

	"golang.org/x/net/html"
)

// outline is what the rest of the site needs to know of a page: what links can lead to, where its own lead, and what characters
// it shows. Words that many pages share, such as the addresses in every footer, are held once.
type outline struct {
	ids         []unique.Handle[string]
	twice       []string                // ids given to more than one element
	lost        []string                // ids that the page itself names (for, aria-describedby and their like) and does not have
	links       []unique.Handle[string] // addresses as written, each once
	text, maths unique.Handle[string]   // characters, rising
}

// Letters are the characters that pages show, in text and in formulas.
type Letters struct{ Text, Maths map[rune]bool }

func (o outline) has(id string) bool { return slices.Contains(o.ids, unique.Make(id)) }

// names are the ids in order, for the nearest match of one that is not there.
func (o outline) names() []string {
	var list []string
	for _, id := range o.ids {
		list = append(list, id.Value())
	}
	slices.Sort(list)
	return list
}

// idLists are the attributes that name other elements of the page.
var idLists = map[string]bool{"for": true, "aria-labelledby": true, "aria-describedby": true, "aria-controls": true, "aria-errormessage": true, "headers": true}

// outliner reads a page from its beginning to its end.
type outliner struct {
	outline
	refs       []string
	known      map[string]bool // ids
	linked     map[string]bool
	formulas   int    // around the place that is read
	in         string // the element that the text stands in
	characters Letters
}

func readOutline(page []byte) outline {
	o := outliner{known: map[string]bool{}, linked: map[string]bool{}, characters: Letters{map[rune]bool{}, map[rune]bool{}}}
	t := html.NewTokenizer(bytes.NewReader(page))
	for kind := t.Next(); kind != html.ErrorToken; kind = t.Next() {
		switch kind {
		case html.StartTagToken, html.SelfClosingTagToken:
			o.begin(t, kind == html.StartTagToken)
		case html.EndTagToken:
			if name, _ := t.TagName(); string(name) == "math" {
				o.formulas--
			}
			o.in = ""
		case html.TextToken:
			if o.in != "script" && o.in != "style" {
				o.write(t.Text())
			}
		}
	}
	for _, id := range o.refs {
		if !o.known[id] {
			o.lost = append(o.lost, id)
		}
	}
	o.text, o.maths = unique.Make(rising(o.characters.Text)), unique.Make(rising(o.characters.Maths))
	return o.outline
}

func rising(set map[rune]bool) string { return string(slices.Sorted(maps.Keys(set))) }

// begin reads an element's name and attributes.
func (o *outliner) begin(t *html.Tokenizer, open bool) {
	tag, more := t.TagName()
	link := string(tag) == "a" || string(tag) == "img"
	if open {
		if o.in = string(tag); o.in == "math" {
			o.formulas++
		}
	}
	for more {
		var key, value []byte
		key, value, more = t.TagAttr()
		switch name := string(key); {
		case name == "id" && o.known[string(value)]:
			o.twice = append(o.twice, string(value))
		case name == "id":
			o.known[string(value)] = true
			o.ids = append(o.ids, unique.Make(string(value)))
		case idLists[name]:
			o.refs = append(o.refs, strings.Fields(string(value))...)
		case link && (name == "href" || name == "src") && !o.linked[string(value)]:
			o.linked[string(value)] = true
			o.links = append(o.links, unique.Make(string(value)))
		}
	}
}

// write reads text. In a formula numbers and words are set in the face of the text, a variable of one letter and signs in that of
// formulas; which of the two has a sign is not known, so both get it.
func (o *outliner) write(text []byte) {
	variable := o.in == "mi" && utf8.RuneCount(text) == 1
	for _, r := range string(text) {
		if o.formulas > 0 {
			o.characters.Maths[r] = true
		}
		if o.formulas == 0 || !variable {
			o.characters.Text[r] = true
		}
	}
}
