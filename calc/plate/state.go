package plate

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// MaxState is the longest state that is read, in bytes: a table of fifty thousand landmarks fits. What a link may hold is
// much less, and the page's business.
const MaxState = 4 << 20

// ParseState reads a state: "field=value" entries joined by "&", values percent-encoded as in an address, each value
// as a person would type it ("1.8", "18 mm"; a table as rows divided by ";" and cells by ","). An empty text is all
// defaults, and of a field written twice the later counts, so an edit is made by appending. A plus sign is a plus
// sign. An optional table is taken away by a blank text. Ranges are checked later, by catalog.Run.
//
// A state over MaxState bytes, an entry without "=", a broken escape, an unknown field or a value that is no quantity
// of the field's kind is refused with a *catalog.InputError.
func ParseState(spec catalog.Spec, state string) (catalog.Values, error) {
	if len(state) > MaxState {
		return catalog.Values{}, &catalog.InputError{Given: strconv.Itoa(len(state)) + " bytes of state",
			Allowed: "must be at most " + strconv.Itoa(MaxState) + " bytes"}
	}
	values := catalog.NewValues()
	for entry := range strings.SplitSeq(state, "&") {
		if entry == "" {
			continue
		}
		id, text, err := readEntry(entry)
		if err != nil {
			return catalog.Values{}, err
		}
		if t, ok := spec.Table(id); ok && t.Optional && strings.TrimSpace(text) == "" {
			values.Tables = without(values.Tables, id)
			continue
		}
		if err := catalog.Set(spec, &values, id, text); err != nil {
			return catalog.Values{}, err
		}
	}
	return values, nil
}

// without copies the tables but one: the code that deletes from a map would be in the pages' module for this alone, a kilobyte.
func without(tables map[string]catalog.Rows, id string) map[string]catalog.Rows {
	kept := map[string]catalog.Rows{}
	for other, rows := range tables {
		if other != id {
			kept[other] = rows
		}
	}
	return kept
}

func readEntry(entry string) (id, text string, err error) {
	id, encoded, found := strings.Cut(entry, "=")
	if !found {
		return "", "", &catalog.InputError{Given: quantity.Quoted(entry), Allowed: "must be written as field=value"}
	}
	text, ok := decode(encoded)
	if !ok {
		return "", "", &catalog.InputError{Field: clip(id), Given: quantity.Quoted(encoded),
			Allowed: "must have two hexadecimal digits after every %"}
	}
	return id, text, nil
}

// decode undoes percent-encoding. Bytes that are not UTF-8 become the replacement character.
func decode(s string) (string, bool) {
	if !strings.Contains(s, "%") {
		return strings.ToValidUTF8(s, "\ufffd"), true
	}
	out := make([]byte, 0, len(s))
	for i := 0; i < len(s); i++ {
		if s[i] != '%' {
			out = append(out, s[i])
			continue
		}
		if i+2 >= len(s) {
			return "", false
		}
		high, low := hexDigit(s[i+1]), hexDigit(s[i+2])
		if high < 0 || low < 0 {
			return "", false
		}
		out = append(out, byte(high<<4|low))
		i += 2
	}
	return strings.ToValidUTF8(string(out), "\ufffd"), true
}

func hexDigit(c byte) int { return strings.IndexByte("0123456789abcdef", lower(c)) }

func lower(c byte) byte {
	if c >= 'A' && c <= 'F' {
		return c - 'A' + 'a'
	}
	return c
}

// Encode percent-encodes a value for a state. What an address may carry in its fragment without change stays readable
// (letters, digits and "-._~,;:"); everything else, spaces and plus signs included, is escaped.
func Encode(text string) string {
	return string(appendEncoded(make([]byte, 0, 1<<10), text))
}

func appendEncoded(b []byte, text string) []byte {
	const hex = "0123456789ABCDEF"
	for i := range len(text) {
		c := text[i]
		if c >= ',' && c <= ';' && c != '/' || c|0x20 >= 'a' && c|0x20 <= 'z' || c == '_' || c == '~' {
			b = append(b, c)
		} else {
			b = append(b, '%', hex[c>>4], hex[c&15])
		}
	}
	return b
}

// WriteState writes entries as a state that ParseState reads back: what catalog.State lists, or a preset's values.
func WriteState(entries []catalog.Entry) string {
	b := make([]byte, 0, 1<<10) // on the stack, where it holds what nearly every state takes
	for i, e := range entries {
		if i > 0 {
			b = append(b, '&')
		}
		b = appendEncoded(append(append(b, e.ID...), '='), e.Text)
	}
	return string(b)
}

// State writes the values of an answer as the shortest state that gives it: only what differs from the defaults, in
// the Spec's order.
func State(a catalog.Answer) string { return WriteState(catalog.State(a.Spec, a.Values)) }

// clip keeps a hostile text in a message short.
func clip(s string) string {
	if len(s) <= 60 {
		return strings.ToValidUTF8(s, "\ufffd")
	}
	cut := 57
	for cut > 0 && !utf8.RuneStart(s[cut]) {
		cut--
	}
	return strings.ToValidUTF8(s[:cut], "\ufffd") + "…"
}
