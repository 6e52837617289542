package book

import (
	"strconv"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/outline"
)

// maxYAML bounds one content file: a glossary of some thousand terms.
const maxYAML = 2 << 20

// outline reads a YAML file; nil when there is nothing to go on with.
func (l loader) outline(file string) (*outline.Node, outline.Place) {
	return parsed(l, file, l.parseOutline), outline.Place{File: file, Log: l.log}
}

func (l loader) parseOutline(file string, source []byte) *outline.Node {
	n := outline.Parse(source, maxYAML, outline.Place{File: file, Log: l.log})
	if n != nil && n.Kind == outline.Empty {
		l.log.Add(file, 0, "is empty")
		return nil
	}
	return n
}

func (l loader) glossary(file string) []Term { return parsed(l, file, l.parseGlossary) }

func (l loader) parseGlossary(file string, source []byte) []Term {
	n, at := l.parseOutline(file, source), outline.Place{File: file, Log: l.log}
	if n == nil {
		return nil
	}
	if n.Kind != outline.List {
		at.Problem(n.Line, `expected a list of terms, each with "id:", "term:" and "definition:"; found `+n.Kind.Name())
		return nil
	}
	var out []Term
	for _, item := range n.Items {
		f := outline.NewForm(item, "term", item.Line, []string{"id", "term", "definition"}, []string{"also"}, at)
		t := Term{ID: f.Text("id"), Term: f.Text("term"), Definition: f.Text("definition"), File: file, Line: item.Line}
		for _, w := range f.Words("also") {
			t.Also = append(t.Also, w.Text)
		}
		l.slug(f, t.ID)
		t.prose = lesson.Scan(file, t.Definition, f.Line("definition"), l.log)
		out = append(out, t)
	}
	return out
}

// slug reports an id that would not do as an anchor.
func (l loader) slug(f *outline.Form, id string) {
	if id != "" && lesson.Unfit(id) != "" {
		f.Problem("id", strconv.Quote(id)+": "+lesson.Unfit(id))
	}
}

// fileSlug reports a file name that would not do as an address.
func (l loader) fileSlug(file string) string {
	id := stem(file)
	if complaint := lesson.Unfit(id); complaint != "" {
		l.log.Add(file, 0, "file name "+strconv.Quote(id)+": "+complaint)
	}
	return id
}

func (l loader) paths() []Path {
	var out []Path
	for _, file := range l.files(pathsDir, ".yaml") {
		n, at := l.outline(file)
		if n == nil {
			continue
		}
		f := outline.NewForm(n, "path", 1, []string{"title", "reader", "promise", "lessons"}, []string{"checks", "closing"}, at)
		p := Path{ID: l.fileSlug(file), Title: f.Title("title"), Reader: f.Text("reader"), Promise: f.Text("promise"), File: file}
		for _, w := range f.Words("lessons") {
			p.Lessons = append(p.Lessons, lesson.Ref(w))
		}
		for _, w := range f.Words("checks") {
			p.Checks = append(p.Checks, lesson.Ref(w))
		}
		for _, w := range f.Words("closing") {
			p.Closing = append(p.Closing, lesson.Ref(w))
		}
		out = append(out, p)
	}
	return out
}

// castFile is a character with what its check needs: the lines of its preset values.
type castFile struct {
	Character
	values [][]lesson.Given // for each preset
}

func (l loader) cast() []castFile {
	var out []castFile
	for _, file := range l.files(castDir, ".yaml") {
		if n, at := l.outline(file); n != nil {
			out = append(out, l.character(file, n, at))
		}
	}
	return out
}

func (l loader) character(file string, n *outline.Node, at outline.Place) castFile {
	f := outline.NewForm(n, "character", 1, []string{"name", "role", "story"}, []string{"measures", "presets"}, at)
	c := castFile{Character: Character{ID: l.fileSlug(file), Name: f.Text("name"), Role: f.Text("role"), Story: f.Text("story"), File: file}}
	for _, item := range f.List("measures") {
		m := outline.NewForm(item, "measure", item.Line, []string{"label", "value"}, nil, at)
		c.Measures = append(c.Measures, Measure{m.Text("label"), m.Text("value")})
	}
	for _, item := range f.List("presets") {
		p := outline.NewForm(item, "preset", item.Line, []string{"id", "label", "calculator", "values"}, []string{"note"}, at)
		l.slug(p, p.Text("id"))
		note := p.Text("note")
		if note == "" {
			note = "invented" // as all measurements of the cast are
		}
		preset := CastPreset{Preset: catalog.Preset{ID: p.Text("id"), Label: p.Text("label"), Note: note},
			Calculator: lesson.Ref(p.Word("calculator")), Line: item.Line}
		var lines []lesson.Given
		for _, in := range p.Given("values") {
			preset.Values = append(preset.Values, catalog.Entry{ID: in.ID, Text: in.Text})
			lines = append(lines, lesson.Given(in))
		}
		c.Presets = append(c.Presets, preset)
		c.values = append(c.values, lines)
	}
	return c
}
