package page

import (
	"html/template"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

// block gathers the handbook's own block that opens on the line. ours is false when word is a language of code.
func (p *prose) block(word string, line int) (out part, ours bool) {
	l := p.lesson
	switch word {
	case "worked":
		return oneOf(l.Worked, line, func(w lesson.Worked) int { return w.Line }, p.worked), true
	case "exercise":
		return oneOf(l.Exercises, line, func(e lesson.Exercise) int { return e.Line }, p.exercise), true
	case "plate":
		return oneOf(l.Plates, line, func(b lesson.Plate) int { return b.Line }, p.plate), true
	case "compare":
		return oneOf(l.Compares, line, func(c lesson.Compare) int { return c.Line }, p.compare), true
	}
	return part{}, false
}

// oneOf gathers the block of the list that stands on the line. There is none when it could not be read, which the
// reader of the lesson has reported.
func oneOf[B any](list []B, line int, lineOf func(B) int, gather func(B) part) part {
	for _, b := range list {
		if lineOf(b) == line {
			return gather(b)
		}
	}
	return part{}
}

// title returns the heading of a card, one level under the section it stands in.
func (d *document) title(id, kind, title string) template.HTML {
	tag := "h" + strconv.Itoa(min(max(d.level+1, 2), 6))
	return ready("<" + tag + ` class="card-title" id="` + escape(id) + `-title"><span class="card-kind">` + escape(kind) + `.</span> <span` + string(d.site.ofText()) + `>` + escape(title) + "</span></" + tag + ">")
}

// Worked is a worked example.
type Worked struct {
	ID         string
	Title      template.HTML
	Calculator Link
	Given      Given
	Steps      []Step
	Say        string
	Results    []Value
	Answers    []AnswerTable
	Warnings   []catalog.Warning
	Figure     template.HTML
	Check      template.HTML
	Source     template.HTML
	Note       template.HTML
	Open       string // address of the plate with these values
}

// cardRows is how many rows of an answer table a card prints.
const cardRows = 10

func (d *document) worked(w lesson.Worked) part {
	a, ok := d.site.Proof.Answer(d.page, w.ID)
	if !ok {
		return d.unanswered(w.ID, w.Line)
	}
	d.use(a, "Worked example", w.Title, w.ID)
	return part{"worked", Worked{
		ID: w.ID, Title: d.title(w.ID, d.site.say("workedExample"), w.Title), Calculator: calculatorLink(a.Spec),
		Given: given(a, d.site.named(a.Spec, w.Preset, w.Given)), Steps: d.steps(a, w.Line), Say: a.Say(),
		Results: d.site.results(a, w), Answers: cardTables(a), Warnings: a.Result.Told(), Figure: d.figure(w.ID, a),
		Check: d.inline(w.Check, w.Line, false), Source: d.sourceLine(w.Source), Note: d.inline(w.Note, w.Line, false),
		Open: openHref(a.Spec.ID, plate.State(a)),
	}}
}

// unanswered says nothing on the page; the proof has reported why there is no answer. Should it not have, this does.
func (d *document) unanswered(id string, line int) part {
	if d.site.Log.Err() == nil {
		d.problem(line, id+": has no computed answer, so there is nothing to show")
	}
	return part{}
}

func (d *document) use(a catalog.Answer, kind, title, anchor string) {
	d.uses = append(d.uses, use{a.Spec.ID, kind, title, anchor})
}

func calculatorLink(spec catalog.Spec) Link { return Link{Href: plateHref(spec.ID), Text: spec.Title} }

// results are the expected outputs with what the author stated, then the other outputs to show.
func (s *site) results(a catalog.Answer, w lesson.Worked) []Value {
	var list []Value
	add := func(id, stated string) {
		for _, v := range list {
			if v.ID == id {
				return
			}
		}
		if v, ok := s.outputValue(a, id); ok {
			v.Stated = stated
			list = append(list, v)
		}
	}
	for _, e := range w.Expect {
		add(e.ID, withMinus(e.Text))
	}
	for _, s := range w.Show {
		add(s.Text, "")
	}
	return list
}

// origins are what a worked example can come from besides a source.
var origins = []string{"common practice", "derived", "invented"}

// sourceLine names where a worked example comes from: sources as citations, the words as words.
func (d *document) sourceLine(refs []lesson.Ref) template.HTML {
	var list []string
	for _, r := range refs {
		// The words come first: a list of sources may use one of them as a key.
		if _, known := d.site.sources[r.Text]; known && !slices.Contains(origins, r.Text) {
			list = append(list, d.cite(r.Text, false))
		} else {
			list = append(list, escape(r.Text))
		}
	}
	return ready(strings.Join(list, "; "))
}

// overlay draws two runs over each other.
func overlay(current, candidate catalog.Answer) figure.Figure {
	return figure.Overlay(drawing(current), drawing(candidate))
}
