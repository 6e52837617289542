package jsontree

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// AppendTo appends the tree as JSON without white space: leaves as they were written, members in their order.
func (v *Value) AppendTo(b []byte) []byte {
	switch v.Kind() {
	case Missing:
		return append(b, "null"...)
	case Array, Object:
	default:
		return append(b, v.raw...)
	}
	open, end := byte('['), byte(']')
	if v.kind == Object {
		open, end = '{', '}'
	}
	b = append(b, open)
	for i, item := range v.items {
		if i > 0 {
			b = append(b, ',')
		}
		if v.kind == Object {
			b = append(append(append(b, '"'), v.names[i]...), '"', ':')
		}
		b = item.AppendTo(b)
	}
	return append(b, end)
}

// asItIs tells the bytes that stand for themselves in a string; nearly all of any text is such.
var asItIs = func() (is [256]bool) {
	for c := byte(' '); c < 0x7f; c++ {
		is[c] = strings.IndexByte(`"\<>&`, c) < 0
	}
	return is
}()

// AppendString appends s as a JSON string. Control characters and the characters that could end a script element are escaped, and a
// byte that is no UTF-8 becomes U+FFFD, so that the text is safe wherever JSON is.
func AppendString(b []byte, s string) []byte { return AppendMapped(b, s, nil) }

// AppendMapped appends s as AppendString does, with another sign in place of each that is no ASCII letter, digit or plain sign, if
// mapping says so; nil leaves all.
func AppendMapped(b []byte, s string, mapping func(rune) rune) []byte {
	b = append(b, '"')
	for s != "" {
		n := 0
		for n < len(s) && asItIs[s[n]] {
			n++
		}
		b, s = append(b, s[:n]...), s[n:]
		if s == "" {
			break
		}
		r, size := utf8.DecodeRuneInString(s)
		s = s[size:]
		if mapping != nil {
			r = mapping(r)
		}
		switch {
		case r == '"' || r == '\\':
			b = append(b, '\\', byte(r))
		case r == '\n':
			b = append(b, `\n`...)
		case r < 0x20 || r == '<' || r == '>' || r == '&' || r == 0x2028 || r == 0x2029 || r == 0x7f:
			hex := strconv.FormatInt(int64(r)+0x10000, 16)
			b = append(append(b, `\u`...), hex[len(hex)-4:]...)
		default:
			b = utf8.AppendRune(b, r)
		}
	}
	return append(b, '"')
}
