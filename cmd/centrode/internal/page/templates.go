package page

import (
	"bytes"
	"fmt"
	"html/template"
	"io/fs"
	"strings"
)

// templates are the parts and, for each page, the parts with that page's file.
type templates struct {
	parts *template.Template
	pages map[string]*template.Template // by file name: "lesson.tmpl"
}

// loadTemplates walks the folder: files whose name begins with "_" are parts, which every page may use.
func loadTemplates(folder fs.FS, functions template.FuncMap) (templates, error) {
	names, err := fs.Glob(folder, "*.tmpl")
	if err != nil {
		return templates{}, err
	}
	t := templates{template.New("parts").Funcs(functions).Option("missingkey=error"), map[string]*template.Template{}}
	var pages []string
	for _, name := range names {
		if !strings.HasPrefix(name, "_") {
			pages = append(pages, name)
			continue
		}
		if _, err := t.parts.ParseFS(folder, name); err != nil {
			return templates{}, err
		}
	}
	if len(pages) == 0 {
		return templates{}, fmt.Errorf("has no page templates (*.tmpl)")
	}
	for _, name := range pages {
		clone, err := t.parts.Clone() // before anything is executed, as html/template demands
		if err != nil {
			return templates{}, err
		}
		if t.pages[name], err = clone.ParseFS(folder, name); err != nil {
			return templates{}, err
		}
	}
	return t, nil
}

// fill executes one part for its struct; what the template escapes is safe to stand in a page.
func (s *site) fill(name string, data any) template.HTML {
	var b bytes.Buffer
	if err := s.templates.parts.ExecuteTemplate(&b, name, data); err != nil {
		s.Log.Add("theme/templates", 0, err.Error())
	}
	return template.HTML(b.String())
}
