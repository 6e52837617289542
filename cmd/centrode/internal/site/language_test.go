package site

import (
	"bytes"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// TestAPageInAnotherLanguageSaysOnlyItsWords renders the book with every word of the second language in brackets. What is
// marked as that language and stands outside of brackets was written into a template or into code.
func TestAPageInAnotherLanguageSaysOnlyItsWords(t *testing.T) {
	w, err := openWorkshop(projectFolder(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer w.close()
	text, err := readContent(w)
	if err != nil {
		t.Fatal(err)
	}
	for i := range text.words[1:] {
		text.words[1+i] = text.words[1+i].Bracketed()
	}
	pages := text.pages(func(name string) string { return "/assets/" + name })
	if err := text.log.Err(); err != nil {
		t.Fatal(err)
	}
	found, seen := map[string]string{}, 0
	for _, path := range slices.Sorted(maps.Keys(pages)) {
		if !strings.HasPrefix(path, "de/") {
			continue
		}
		seen++
		doc, err := html.Parse(bytes.NewReader(pages[path]))
		if err != nil {
			t.Fatal(err)
		}
		unworded(doc, "", func(words string) { found[words] = path })
	}
	if least := 55; seen < least {
		t.Errorf("%d pages were read, want %d or more", seen, least)
	}
	for words, path := range found {
		t.Errorf("%s says %q outside of theme/words; say it, or mark its element with ofText", path, words)
	}
}

var (
	bracketed = regexp.MustCompile(`⟦[^⟦⟧]*⟧`)
	wordLike  = regexp.MustCompile(`\p{L}{3,}`)
	voiceless = map[string]bool{"script": true, "style": true, "code": true, "pre": true, "math": true, "noscript": true}
	spoken    = map[string]bool{"aria-label": true, "title": true, "alt": true}
	// ownNames are the same in every language; with a hyphen or alone, the ids of calculators among them.
	ownNames = regexp.MustCompile(`Centrode|MIT|CSV|JSON|English|\b[xyz]{3}\b|reseat|\p{L}+-\p{L}+`)
)

// unworded finds what an element says in the second language, outside of brackets.
func unworded(n *html.Node, lang string, found func(words string)) {
	look := func(text string) {
		for bracketed.MatchString(text) {
			text = bracketed.ReplaceAllString(text, "")
		}
		if lang == "de" && wordLike.MatchString(ownNames.ReplaceAllString(text, "")) {
			found(strings.TrimSpace(text))
		}
	}
	if n.Type == html.ElementNode {
		if voiceless[n.Data] {
			return
		}
		for _, a := range n.Attr {
			if a.Key == "lang" {
				lang = a.Val
			}
		}
		for _, a := range n.Attr {
			if spoken[a.Key] {
				look(a.Val)
			}
		}
	}
	if n.Type == html.TextNode {
		look(n.Data)
	}
	for c := range n.ChildNodes() {
		unworded(c, lang, found)
	}
}

// projectFolder is the folder of go.mod.
func projectFolder(t *testing.T) string {
	t.Helper()
	root, err := realRoot("../../../..")
	if err != nil {
		t.Fatal(err)
	}
	return root
}
