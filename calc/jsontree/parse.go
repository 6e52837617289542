package jsontree

import (
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Limits bound what Parse accepts; a zero stands for the default.
type Limits struct {
	Depth  int // lists and objects inside each other; default 64
	Values int // nodes of the whole tree, each of which takes about 100 bytes; default 2,000,000
}

// SyntaxError says where a text stops being JSON that Parse accepts.
type SyntaxError struct {
	Offset int    // bytes before the place
	Line   int    // counted from 1
	Text   string // what is wrong and what would be accepted
}

// Error is the message.
func (e *SyntaxError) Error() string {
	return "line " + strconv.Itoa(e.Line) + ", byte " + strconv.Itoa(e.Offset) + ": " + e.Text
}

// Parse reads one JSON text (RFC 8259). It refuses, with a *SyntaxError, what is no JSON, bytes that are no UTF-8, a
// name that stands twice in one object, and what is beyond the limits. Its work and memory are linear in the text.
func Parse(text []byte, limits Limits) (*Value, error) {
	if limits.Depth == 0 {
		limits.Depth = 64
	}
	if limits.Values == 0 {
		limits.Values = 2_000_000
	}
	p := &parser{text: string(text), limits: limits}
	if at := invalidUTF8(p.text); at >= 0 {
		return nil, p.wrong(at, "a byte that is no UTF-8; allowed is text in UTF-8")
	}
	v, err := p.value(0)
	if err != nil {
		return nil, err
	}
	p.space()
	if p.at < len(p.text) {
		return nil, p.wrong(p.at, "something stands after the end; allowed is one value")
	}
	return v, nil
}

func invalidUTF8(s string) int {
	if utf8.ValidString(s) {
		return -1
	}
	for at := 0; ; {
		r, size := utf8.DecodeRuneInString(s[at:])
		if r == utf8.RuneError && size <= 1 {
			return at
		}
		at += size
	}
}

type parser struct {
	text   string
	at     int
	limits Limits
	count  int
	room   []Value // made ahead, since most values are small
}

func (p *parser) wrong(at int, text string) error {
	return &SyntaxError{Offset: at, Line: 1 + strings.Count(p.text[:at], "\n"), Text: text}
}

func (p *parser) space() {
	for p.at < len(p.text) {
		switch p.text[p.at] {
		case ' ', '\n', '\t', '\r':
			p.at++
		default:
			return
		}
	}
}

func (p *parser) fresh(kind Kind) (*Value, error) {
	if p.count++; p.count > p.limits.Values {
		return nil, p.wrong(p.at, "more than "+strconv.Itoa(p.limits.Values)+" values; allowed are that many")
	}
	if len(p.room) == 0 {
		p.room = make([]Value, min(256, 8+p.count))
	}
	v := &p.room[0]
	p.room = p.room[1:]
	v.kind = kind
	return v, nil
}

func (p *parser) leaf(kind Kind, end int) (*Value, error) {
	v, err := p.fresh(kind)
	if err != nil {
		return nil, err
	}
	v.raw, p.at = p.text[p.at:end], end
	return v, nil
}

func (p *parser) value(depth int) (*Value, error) {
	p.space()
	if p.at == len(p.text) {
		return nil, p.wrong(p.at, "the text ends where a value is due")
	}
	switch c := p.text[p.at]; {
	case c == '{' || c == '[':
		if depth >= p.limits.Depth {
			return nil, p.wrong(p.at, "more than "+strconv.Itoa(p.limits.Depth)+" lists and objects inside each other; allowed are that many")
		}
		if c == '{' {
			return p.object(depth)
		}
		return p.array(depth)
	case c == '"':
		end, err := p.quoted()
		if err != nil {
			return nil, err
		}
		return p.leaf(String, end)
	case c == '-' || '0' <= c && c <= '9':
		end, err := p.number()
		if err != nil {
			return nil, err
		}
		return p.leaf(Number, end)
	}
	for _, word := range [...]string{"true", "false", "null"} {
		if strings.HasPrefix(p.text[p.at:], word) {
			kind := Bool
			if word == "null" {
				kind = Null
			}
			return p.leaf(kind, p.at+len(word))
		}
	}
	return nil, p.wrong(p.at, "no value begins like this")
}

func (p *parser) array(depth int) (*Value, error) {
	v, err := p.fresh(Array)
	if err != nil {
		return nil, err
	}
	p.at++
	for first := true; ; first = false {
		if end, err := p.next(']', first); err != nil || end {
			return v, err
		}
		item, err := p.value(depth + 1)
		if err != nil {
			return nil, err
		}
		v.items = append(v.items, item)
	}
}

func (p *parser) object(depth int) (*Value, error) {
	v, err := p.fresh(Object)
	if err != nil {
		return nil, err
	}
	p.at++
	var seen map[string]bool // made when a search through the list would be slow
	for first := true; ; first = false {
		if end, err := p.next('}', first); err != nil || end {
			return v, err
		}
		name, err := p.name()
		if err != nil {
			return nil, err
		}
		if len(v.names) == 16 {
			seen = make(map[string]bool, 64)
			for _, raw := range v.names {
				seen[decode(raw)] = true
			}
		}
		if plain := decode(name); seen != nil && seen[plain] || seen == nil && v.find(plain) >= 0 {
			return nil, p.wrong(p.at, "the name "+strconv.Quote(plain)+" stands twice in one object; allowed is once")
		} else if seen != nil {
			seen[plain] = true
		}
		member, err := p.value(depth + 1)
		if err != nil {
			return nil, err
		}
		v.names, v.items = append(v.names, name), append(v.items, member)
	}
}

// next steps over the comma before an item, or over the end of the list or object.
func (p *parser) next(end byte, first bool) (ended bool, err error) {
	p.space()
	switch {
	case p.at == len(p.text):
		return false, p.wrong(p.at, "the text ends inside a list or an object")
	case p.text[p.at] == end:
		p.at++
		return true, nil
	case first:
		return false, nil
	case p.text[p.at] != ',':
		return false, p.wrong(p.at, "a comma or "+string(rune(end))+" is due here")
	}
	p.at++
	return false, nil
}

// name reads a member's name and the colon after it, and returns the name raw and without quotes.
func (p *parser) name() (string, error) {
	p.space()
	if p.at == len(p.text) || p.text[p.at] != '"' {
		return "", p.wrong(p.at, "a name in quotes is due here")
	}
	end, err := p.quoted()
	if err != nil {
		return "", err
	}
	name := p.text[p.at+1 : end-1]
	p.at = end
	p.space()
	if p.at == len(p.text) || p.text[p.at] != ':' {
		return "", p.wrong(p.at, "a colon is due here")
	}
	p.at++
	return name, nil
}

// quoted returns the end of the string that begins here, having checked its escapes.
func (p *parser) quoted() (int, error) {
	for i := p.at + 1; i < len(p.text); i++ {
		switch c := p.text[i]; {
		case c == '"':
			return i + 1, nil
		case c < 0x20:
			return 0, p.wrong(i, "a control character in a text; allowed is its escape")
		case c == '\\':
			i++
			if i < len(p.text) && p.text[i] == 'u' {
				if _, ok := hex4(p.text[i+1:]); !ok {
					return 0, p.wrong(i, `after \u stand four hexadecimal digits`)
				}
			} else if i < len(p.text) && strings.IndexByte(`"\/bfnrt`, p.text[i]) < 0 {
				return 0, p.wrong(i, `after \ stands one of "\/bfnrtu`)
			}
		}
	}
	return 0, p.wrong(p.at, "the text that begins here has no end")
}

// number returns the end of the number that begins here: -?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?
func (p *parser) number() (int, error) {
	at := p.at
	digits := func() bool {
		from := at
		for at < len(p.text) && '0' <= p.text[at] && p.text[at] <= '9' {
			at++
		}
		return at > from
	}
	is := func(set string) bool { return at < len(p.text) && strings.IndexByte(set, p.text[at]) >= 0 }
	if is("-") {
		at++
	}
	from := at
	if !digits() || p.text[from] == '0' && at > from+1 {
		return 0, p.wrong(p.at, "a number begins with one digit, or with several of which the first is not 0")
	}
	if is(".") {
		at++
		if !digits() {
			return 0, p.wrong(at, "a digit is due after the point")
		}
	}
	if is("eE") {
		at++
		if is("+-") {
			at++
		}
		if !digits() {
			return 0, p.wrong(at, "a digit is due in the exponent")
		}
	}
	return at, nil
}

func hex4(s string) (rune, bool) {
	if len(s) < 4 {
		return 0, false
	}
	n, err := strconv.ParseUint(s[:4], 16, 16)
	return rune(n), err == nil
}

// decode resolves the escapes of a checked string; half a surrogate pair becomes U+FFFD.
func decode(raw string) string {
	if strings.IndexByte(raw, '\\') < 0 {
		return raw
	}
	var b []byte
	for i := 0; i < len(raw); i++ {
		if raw[i] != '\\' {
			b = append(b, raw[i])
			continue
		}
		i++
		if raw[i] != 'u' {
			b = append(b, "\"\\/\b\f\n\r\t"[strings.IndexByte(`"\/bfnrt`, raw[i])])
			continue
		}
		r, _ := hex4(raw[i+1:])
		i += 4
		if utf16.IsSurrogate(r) {
			low := rune(utf8.RuneError)
			if strings.HasPrefix(raw[i+1:], `\u`) {
				low, _ = hex4(raw[i+3:])
			}
			if r = utf16.DecodeRune(r, low); r != utf8.RuneError {
				i += 6
			}
		}
		b = utf8.AppendRune(b, r)
	}
	return string(b)
}
