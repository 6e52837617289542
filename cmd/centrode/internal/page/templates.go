package page

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"

	"centrode/cmd/centrode/internal/keep"
)

// templates are the parts and, for each page, the parts with that page's file.
type templates struct {
	parts *template.Template
	pages map[string]*template.Template // by file name: "lesson.tmpl"
	texts map[string]string             // of all files, by name
}

// readTemplates returns the texts of a folder's templates, by name.
func readTemplates(folder fs.FS) (map[string]string, error) {
	names, err := fs.Glob(folder, "*.tmpl")
	if err != nil {
		return nil, err
	}
	texts := make(map[string]string, len(names))
	for _, name := range names {
		text, err := fs.ReadFile(folder, name)
		if err != nil {
			return nil, err
		}
		texts[name] = string(text)
	}
	return texts, nil
}

// loadTemplates parses texts: those whose name begins with "_" are parts, which every page may use.
func loadTemplates(texts map[string]string, functions template.FuncMap, settle func(string) string, language string, kept *keep.Store) (templates, error) {
	names := slices.Sorted(maps.Keys(texts))
	all := []string{language}
	for _, name := range names {
		all = append(all, name, texts[name])
	}
	type result struct {
		templates
		err error
	}
	made := keep.Of(kept, "templates "+keep.Sum(all...), func() result {
		t, err := parseTemplates(names, texts, settle, functions)
		return result{t, err}
	})
	return made.templates, made.err
}

func parseTemplates(names []string, texts map[string]string, settle func(string) string, functions template.FuncMap) (templates, error) {
	t := templates{template.New("parts").Funcs(functions).Option("missingkey=error"), map[string]*template.Template{}, texts}
	var pages []string
	for _, name := range names {
		if !strings.HasPrefix(name, "_") {
			pages = append(pages, name)
			continue
		}
		if _, err := t.parts.New(name).Parse(settle(texts[name])); err != nil {
			return templates{}, err
		}
	}
	if len(pages) == 0 {
		return templates{}, fmt.Errorf("has no page templates (*.tmpl)")
	}
	for _, name := range pages {
		clone, err := t.parts.Clone() // before anything is executed, as html/template demands
		if err == nil {
			t.pages[name], err = clone.New(name).Parse(settle(texts[name]))
		}
		if err != nil {
			return templates{}, err
		}
	}
	return t, nil
}

// part is a template with the struct that it prints; one without a name prints nothing.
type part struct {
	name string
	data any
}

// fill prints a part; what the template escapes is safe to stand in a page.
func (s *site) fill(w io.Writer, one part) {
	if one.name == "" {
		return
	}
	if err := s.templates.parts.ExecuteTemplate(w, one.name, one.data); err != nil {
		s.Log.Add("theme/templates", 0, err.Error())
	}
}

// buffers are those that no template writes to now: a page has a hundred kilobytes, and one that grows is copied again and again.
var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// scratch returns an empty buffer, which goes back to used when what it holds was copied.
func scratch() *bytes.Buffer {
	b := buffers.Get().(*bytes.Buffer)
	b.Reset()
	return b
}

func used(b *bytes.Buffer) { buffers.Put(b) }
