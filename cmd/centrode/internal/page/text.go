package page

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// plainText returns the words of markup: for labels and for titles, which hold no elements.
func plainText(markup string) string {
	var b strings.Builder
	t := html.NewTokenizer(strings.NewReader(markup))
	for {
		switch t.Next() {
		case html.ErrorToken:
			return strings.Join(strings.Fields(b.String()), " ")
		case html.TextToken:
			b.Write(t.Text())
		}
	}
}

// capital begins a text as a sentence begins.
func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return text
	}
	return string(unicode.ToUpper(first)) + text[size:]
}
