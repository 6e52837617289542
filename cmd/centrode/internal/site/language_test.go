package site

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/net/html"

	"centrode/cmd/centrode/internal/words"
)

// TestAPageInAnotherLanguageSaysOnlyItsWords renders the book with every word of the languages besides the first in brackets. What
// is marked as one of them and stands outside of brackets was written into a template or into code.
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
	text.words = words.Load(bracketedWords(t, filepath.Join(w.root, words.Dir)), text.log)
	pages := text.pages(func(name string) string { return "/assets/" + name })
	if err := text.log.Err(); err != nil {
		t.Fatal(err)
	}
	for _, language := range text.words[1:] {
		found, seen := map[string]string{}, 0
		for _, path := range slices.Sorted(maps.Keys(pages)) {
			if !strings.HasPrefix(path, language.Tag+"/") {
				continue
			}
			seen++
			doc, err := html.Parse(bytes.NewReader(pages[path]))
			if err != nil {
				t.Fatal(err)
			}
			page := saying{asked: language.Tag, given: map[string]bool{}}
			page.givenIn(doc, "")
			page.unworded(doc, "", func(words string) { found[words] = path })
		}
		if least := 55; seen < least {
			t.Errorf("%s: %d pages were read, want %d or more", language.Tag, seen, least)
		}
		for words, path := range found {
			t.Errorf("%s says %q outside of theme/words; say it, or mark its element with ofText", path, words)
		}
	}
}

// bracketedWords are the files of words, all texts of the languages besides the first in white brackets.
func bracketedWords(t *testing.T, folder string) fs.FS {
	t.Helper()
	says := fstest.MapFS{}
	files, err := filepath.Glob(filepath.Join(folder, "*.json"))
	for _, file := range files {
		source, unread := os.ReadFile(file)
		err = errors.Join(err, unread)
		if name := filepath.Base(file); name != words.Base+".json" {
			var tree map[string]any
			err = errors.Join(err, json.Unmarshal(source, &tree))
			source, _ = json.Marshal(inBrackets(tree))
		}
		says[filepath.Base(file)] = &fstest.MapFile{Data: source}
	}
	if err != nil || len(says) < 3 {
		t.Fatalf("%d files of words: %v", len(says), err)
	}
	return says
}

// inBrackets brackets a text, or all texts of a map.
func inBrackets(v any) any {
	if list, ok := v.(map[string]any); ok {
		for key, one := range list {
			list[key] = inBrackets(one)
		}
		return list
	}
	return fmt.Sprintf("⟦%v⟧", v)
}

var (
	bracketed = regexp.MustCompile(`⟦[^⟦⟧]*⟧`)
	wordLike  = regexp.MustCompile(`\p{L}{3,}`)
	voiceless = map[string]bool{"script": true, "style": true, "code": true, "pre": true, "math": true, "noscript": true}
	spoken    = map[string]bool{"aria-label": true, "title": true, "alt": true}
	// ownNames are the same in every language; with a hyphen or alone, the ids of calculators among them.
	ownNames = regexp.MustCompile(`Centrode|MIT|CSV|JSON|English|\b[xyz]{3}\b|reseat|\p{L}+-\p{L}+`)
)

// saying is a page in the language asked, with what somebody gave there: in a field, or told in the handbook's own language.
type saying struct {
	asked string
	given map[string]bool
}

// givenIn notes what somebody gave in an element whose own language is lang.
func (s saying) givenIn(n *html.Node, lang string) {
	for _, a := range n.Attr {
		switch {
		case a.Key == "lang":
			lang = a.Val
		case a.Key == "value" && n.Data == "input":
			s.given[a.Val] = true
		}
	}
	if n.Type == html.TextNode && lang != s.asked {
		s.given[strings.TrimSpace(n.Data)] = true
	}
	for c := range n.ChildNodes() {
		s.givenIn(c, lang)
	}
}

// unworded finds what an element whose own language is lang says in the language asked, outside of brackets. In a drawing a name that
// somebody gave, such as a joint's, stays as it is.
func (s saying) unworded(n *html.Node, lang string, found func(words string)) {
	look := func(text string) {
		for bracketed.MatchString(text) {
			text = bracketed.ReplaceAllString(text, "")
		}
		if lang == s.asked && wordLike.MatchString(ownNames.ReplaceAllString(text, "")) {
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
	if n.Type == html.TextNode && !(n.Parent.Data == "text" && s.given[n.Data]) {
		look(n.Data)
	}
	for c := range n.ChildNodes() {
		s.unworded(c, lang, found)
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
