package page

import (
	"strings"

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
