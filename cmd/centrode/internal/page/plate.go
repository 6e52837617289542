package page

import (
	"encoding/json"
	"html/template"
	"slices"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

// Plate is a live calculator, or a comparison of two runs, which has no form.
type Plate struct {
	ID         string
	Number     int
	Title      string
	English    string // the calculator's title where the page has it in another language
	Calculator Link
	Name       string // the calculator's id
	Live       bool
	Large      bool
	Drawing    bool // nothing but the drawing and the sentence
	Verdict    catalog.Verdict
	Cast       []Judgement // of a quick check: what its presets would say
	Flat       string      // how low the drawing is for its width: "low", "middle" or ""
	Compares   bool
	Single     bool // one run, nothing to compare
	Staged     bool // the work can be shown rough and done in parts
	Probed     bool // the drawing can be read at any point
	Base       string
	Figure     template.HTML
	Labels     string // see handled
	Before     string // of a comparison: the result of the current side, in words
	Say        string
	Presets    []Preset
	Groups     []Group // shown at once
	More       []Group // folded away
	Beside     []EntryTable
	Below      []EntryTable
	Outputs    []plate.Row
	Others     []plate.Row // results folded away
	Answers    []AnswerTable
	Warnings   []catalog.Warning
	Cautions   []string
	Steps      []Step
	Embed      string // address of the page that shows it in a frame
	Home       string // on such a page: where it stands in the handbook
	Open       string
	Given      Given // of a comparison: what both share
	Changed    []Change
}

// Group is a set of inputs under one heading.
type Group struct {
	ID, Label string
	Fields    []FormField
}

// Change is one input in which the two sides of a comparison differ.
type Change struct {
	Label, Current, Candidate string
	Chosen                    bool // both are choices, in the language of the interface
}

func (d *document) plate(b lesson.Plate) part {
	a, ok := d.site.Proof.Answer(d.page, b.ID)
	if !ok {
		return d.unanswered(b.ID, b.Line)
	}
	d.use(a, "Plate", b.Title, "plate-"+b.ID)
	if b.Check {
		return part{"check", d.livePlate(a, b)}
	}
	return part{"plate", d.livePlate(a, b)}
}

// livePlate gathers a plate that starts from an answer.
func (d *document) livePlate(a catalog.Answer, b lesson.Plate) Plate {
	d.plates++
	drawn := d.drawn("plate-"+b.ID, func() figure.Figure { return plate.Drawing(a, a) })
	p := Plate{
		ID: b.ID, Number: d.plates, Title: b.Title, Calculator: calculatorLink(a.Spec), Name: a.Spec.ID,
		Live: true, Large: d.large && d.plates == 1, Compares: a.Spec.Compares, Base: plate.State(a),
		Figure: drawn.svg, Flat: drawn.flat, Labels: d.site.handled(a), Say: a.Say(), Drawing: b.Drawing, Embed: embedHref(d.page, b.ID),
	}
	if english := a.Calculator.Spec().Title; english != a.Spec.Title {
		p.English = english
	}
	p.Single = a.Spec.Single
	_, p.Staged = a.Calculator.(catalog.Staged)
	_, p.Probed = a.Calculator.(catalog.Probed)
	if b.Drawing {
		return p
	}
	if b.Check {
		return d.check(p, a, b)
	}
	p.Beside, p.Below = d.site.entryTables(a, b)
	p.Answers, p.Warnings, p.Cautions, p.Steps = answerTables(a, b.Show, plate.MaxRows), a.Result.Told(), a.Spec.Cautions, d.steps(a, b.Line)
	p.Presets = d.site.presets(a.Spec, p.Base, nil)
	p.Groups, p.More = d.site.groups(a, b)
	p.Outputs, p.Others = shown(plate.Cells(a, a), a.Spec, b.Show)
	return p
}

// handled are the labels of all that a handle may edit, in the language of the interface by their English, as JSON: the calculators tell a screen
// reader what a handle sets, and other values may bring other handles than the printed ones.
func (s *site) handled(a catalog.Answer) string {
	if !s.language.Draws() {
		return ""
	}
	list, english := map[string]string{}, a.Calculator.Spec()
	for i, f := range english.Fields {
		if !f.Worded() {
			list[f.Label] = a.Spec.Fields[i].Label
		}
	}
	for i, t := range english.Tables {
		for k, c := range t.Columns {
			list[c.Label] = a.Spec.Tables[i].Columns[k].Label
		}
	}
	text, err := json.Marshal(list)
	if err != nil {
		return ""
	}
	return string(text)
}

// shown divides rows by whether the block names their outputs; without names all are shown.
func shown(rows []plate.Row, spec catalog.Spec, show []lesson.Ref) (first, others []plate.Row) {
	if len(show) == 0 {
		return rows, nil
	}
	keys := map[string]bool{}
	for _, s := range show {
		keys[s.Text] = true
		if o, ok := spec.Output(s.Text); ok && o.Pair != "" {
			keys[o.Pair] = true
		}
	}
	for _, r := range rows {
		if keys[r.Key] {
			first = append(first, r)
		} else {
			others = append(others, r)
		}
	}
	return first, others
}

func (d *document) compare(c lesson.Compare) part {
	current, candidate, ok := d.site.Proof.Pair(d.page, c.ID)
	if !ok {
		return d.unanswered(c.ID, c.Line)
	}
	d.plates++
	d.use(candidate, "Comparison", c.Title, "plate-"+c.ID)
	named := d.site.named(candidate.Spec, c.Preset, c.Given)
	drawn := d.drawn("plate-"+c.ID, func() figure.Figure { return overlay(current, candidate) })
	p := Plate{
		ID: c.ID, Number: d.plates, Title: c.Title, Calculator: calculatorLink(candidate.Spec), Name: candidate.Spec.ID,
		Figure: drawn.svg, Flat: drawn.flat, Before: current.Say(), Say: candidate.Say(), Warnings: candidate.Result.Told(),
		Cautions: candidate.Spec.Cautions, Open: openHref(candidate.Spec.ID, plate.State(candidate)), Changed: changes(current, candidate),
	}
	p.Given = given(candidate, named).without(func(id string) bool { return differs(p.Changed, candidate.Spec, id) })
	p.Outputs, p.Others = shown(d.site.sideBySide(current, candidate), candidate.Spec, c.Show)
	return part{"plate", p}
}

func changes(current, candidate catalog.Answer) []Change {
	var list []Change
	for _, f := range candidate.Spec.Fields {
		if before, after := plate.FieldText(current, f), plate.FieldText(candidate, f); before != after {
			list = append(list, Change{f.Label, before, after, len(f.Choices) > 0})
		}
	}
	return list
}

func differs(list []Change, spec catalog.Spec, id string) bool {
	f, _ := spec.Field(id)
	return slices.ContainsFunc(list, func(c Change) bool { return c.Label == f.Label })
}

// sideBySide prints two runs of one calculator next to each other. When it compares placements by itself, its own
// current side is left out where both runs have the same: the columns are about the two runs then.
func (s *site) sideBySide(current, candidate catalog.Answer) []plate.Row {
	if !candidate.Spec.Compares && !candidate.Spec.Single {
		return plate.Cells(current, candidate)
	}
	var rows []plate.Row
	for _, o := range candidate.Spec.Outputs {
		row := plate.Row{Key: o.ID, Label: o.Label, Help: o.Help, Current: plate.Text(current, o), Candidate: plate.Text(candidate, o)}
		if o.Side == "current" {
			if row.Current == row.Candidate {
				continue
			}
			row.Label = s.say("asItIs", "output", row.Label)
		}
		before, was := current.Result.Numbers[o.ID]
		after, is := candidate.Result.Numbers[o.ID]
		if was && is {
			row.Difference = plate.Signed(candidate.Values.Units, after-before, o.Kind, o.Digits)
		}
		rows = append(rows, row)
	}
	return rows
}
