package page

import (
	"bytes"
	"html"
	"slices"
	"strings"
	"unicode/utf8"
	"unique"
)

// outliner reads a page from its beginning to its end. It relies on what every page of ours is: names in lower case, attributes
// quoted, no sign of HTML in a text or a value that is not escaped. A test holds it against a whole HTML parser, which takes ten times
// as long.
type outliner struct {
	outline
	refs        []string
	known       map[string]bool // ids
	linked      map[string]bool
	formulas    int  // around the place that is read
	variable    bool // the text stands in an element for variables
	text, maths charset
}

func readOutline(page []byte) outline {
	o := outliner{known: map[string]bool{}, linked: map[string]bool{}}
	for {
		at := bytes.IndexByte(page, '<')
		if at < 0 {
			o.write(page)
			break
		}
		o.write(page[:at])
		page = o.tag(page[at+1:])
	}
	for _, id := range o.refs {
		if !o.known[id] {
			o.lost = append(o.lost, id)
		}
	}
	o.links = slices.DeleteFunc(o.links, func(link unique.Handle[string]) bool { // those to a place that the page has
		id, here := strings.CutPrefix(link.Value(), "#")
		return here && o.known[id]
	})
	o.outline.text, o.outline.maths = unique.Make(o.text.rising()), unique.Make(o.maths.rising())
	return o.outline
}

// tag reads what stands behind "<" and returns what follows the tag.
func (o *outliner) tag(rest []byte) []byte {
	switch {
	case bytes.HasPrefix(rest, []byte("!--")):
		return behind(rest, "-->")
	case len(rest) > 0 && (rest[0] == '!' || rest[0] == '?'):
		return behind(rest, ">")
	case len(rest) > 0 && rest[0] == '/':
		if bytes.HasPrefix(rest, []byte("/math>")) {
			o.formulas--
		}
		o.variable = false
		return behind(rest, ">")
	}
	end := nameEnd(rest)
	if end < 0 {
		return nil
	}
	name, closed := rest[:end], false
	rest, closed = o.attributes(rest[end:], string(name) == "a" || string(name) == "img")
	if closed {
		return rest
	}
	o.variable = false
	switch string(name) {
	case "math":
		o.formulas++
	case "mi":
		o.variable = true
	case "script", "style":
		return behind(rest, "</"+string(name)+">")
	}
	return rest
}

func behind(text []byte, sign string) []byte {
	_, after, _ := bytes.Cut(text, []byte(sign))
	return after
}

// attributes reads those of a tag and returns what follows it; closed is true for an element that is its own end.
func (o *outliner) attributes(rest []byte, link bool) (after []byte, closed bool) {
	for len(rest) > 0 {
		switch rest[0] {
		case '>':
			return rest[1:], closed
		case ' ', '\n', '\t':
			rest = rest[1:]
			continue
		case '/':
			rest, closed = rest[1:], true
			continue
		}
		end := nameEnd(rest)
		if end < 0 {
			return nil, closed
		}
		name := rest[:end]
		if rest = rest[end:]; len(rest) < 2 || rest[0] != '=' {
			continue // a name alone
		}
		value, behind, _ := bytes.Cut(rest[2:], rest[1:2])
		o.attribute(name, value, link)
		rest = behind
	}
	return nil, closed
}

// nameEnd is where the name of a tag or an attribute ends, −1 where it does not.
func nameEnd(text []byte) int {
	for i, c := range text {
		switch c {
		case '=', ' ', '\n', '\t', '/', '>':
			return i
		}
	}
	return -1
}

// namesOthers says whether an attribute names other elements of the page.
func namesOthers(attribute string) bool {
	switch attribute {
	case "for", "aria-labelledby", "aria-describedby", "aria-controls", "aria-errormessage", "headers":
		return true
	}
	return false
}

func (o *outliner) attribute(name, value []byte, link bool) {
	isID, isLink := string(name) == "id", link && (string(name) == "href" || string(name) == "src")
	if !isID && !isLink && !namesOthers(string(name)) {
		return
	}
	text := html.UnescapeString(string(value))
	switch {
	case isLink && !o.linked[text]:
		o.linked[text] = true
		o.links = append(o.links, unique.Make(text))
	case isLink:
	case !isID:
		o.refs = append(o.refs, strings.Fields(text)...)
	case o.known[text]:
		o.twice = append(o.twice, text)
	default:
		o.known[text] = true
		o.ids = append(o.ids, unique.Make(text))
	}
}

// write reads text. In a formula numbers and words are set in the face of the text, a variable of one letter and signs in that of
// formulas; which of the two has a sign is not known, so both get it.
func (o *outliner) write(text []byte) {
	if bytes.IndexByte(text, '&') >= 0 {
		text = []byte(html.UnescapeString(string(text)))
	}
	if o.formulas > 0 {
		o.maths.add(text)
	}
	if o.formulas == 0 || !o.variable || utf8.RuneCount(text) != 1 {
		o.text.add(text)
	}
}

// charset is a set of characters, most of which are ASCII.
type charset struct {
	plain [utf8.RuneSelf]bool
	other map[rune]bool
}

func (s *charset) add(text []byte) {
	for i := 0; i < len(text); i++ {
		if text[i] < utf8.RuneSelf {
			s.plain[text[i]] = true
			continue
		}
		r, size := utf8.DecodeRune(text[i:])
		if s.other == nil {
			s.other = map[rune]bool{}
		}
		s.other[r] = true
		i += size - 1
	}
}

func (s *charset) rising() string {
	var list []rune
	for r, has := range s.plain {
		if has {
			list = append(list, rune(r))
		}
	}
	for r := range s.other {
		list = append(list, r)
	}
	slices.Sort(list)
	return string(list)
}
