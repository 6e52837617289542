package browser

import (
	"regexp"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// loading are the attributes by which an element loads or sends something by itself.
var loading = []string{"src", "srcset", "data", "poster", "action", "formaction", "ping", "background", "imagesrcset", "manifest", "style", "xlink:href"}

// followed are the relations of links that nobody follows but a reader or a search engine.
var followed = []string{"license", "canonical", "author", "help", "alternate", "next", "prev"}

var (
	elsewhere  = regexp.MustCompile(`(?i)(?:^|[\s,'"(=])(?:(?:https?|wss?|ftp):)?//[a-z0-9[]`)
	inScript   = regexp.MustCompile("(?i)[\"'`](?:(?:https?|wss?):)?//[a-z0-9][^\"'`\\s]*")
	inStyle    = regexp.MustCompile(`(?i)(?:url\(\s*["']?|@import\s*["'])(?:https?:)?//[^)"']*`)
	namespaces = []string{"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xhtml", "http://www.w3.org/1998/Math/MathML", "http://www.w3.org/1999/xlink"}
)

// loadsFromElsewhere says what of a file would be asked of another host without a reader's doing.
func loadsFromElsewhere(ext, text string) (found []string) {
	switch ext {
	case ".html", ".svg":
		return markupLoads(text)
	case ".css":
		return inStyle.FindAllString(text, -1)
	case ".js", ".webmanifest":
		for _, one := range inScript.FindAllString(text, -1) {
			if !slices.Contains(namespaces, one[1:]) {
				found = append(found, one)
			}
		}
	}
	return found
}

func markupLoads(text string) (found []string) {
	z := html.NewTokenizer(strings.NewReader(text))
	for {
		switch z.Next() {
		case html.ErrorToken:
			return found
		case html.StartTagToken, html.SelfClosingTagToken:
			tag := z.Token()
			for _, a := range tag.Attr {
				if elsewhere.MatchString(a.Val) && loads(tag, a.Key) {
					found = append(found, tag.Data+" "+a.Key+"="+a.Val)
				}
			}
		}
	}
}

// loads reports whether the attribute makes the element load or send.
func loads(tag html.Token, key string) bool {
	if slices.Contains(loading, key) {
		return true
	}
	attr := func(name string) string {
		for _, a := range tag.Attr {
			if a.Key == name {
				return strings.ToLower(a.Val)
			}
		}
		return ""
	}
	switch key {
	case "href":
		return tag.Data != "a" && tag.Data != "area" && !(tag.Data == "link" && slices.Contains(followed, attr("rel")))
	case "content":
		return tag.Data == "meta" && attr("http-equiv") == "refresh"
	}
	return false
}
