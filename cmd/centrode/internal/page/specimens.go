package page

import (
	"html/template"

	"centrode/calc/figure"
)

// SpecimensPage is specimens.tmpl: every element of the handbook in every state, for whoever changes how one looks, and for
// the tests that photograph it. It stands in no list of the book and in no search.
type SpecimensPage struct {
	Frame
	Title      string
	Sample     string // in the text's own language
	Sizes      []string
	Figures    []template.HTML
	States     []State
	Body       template.HTML
	References []Reference
}

// State is one state of a control. As is what the style sheet takes for it where no pointer or key brings it about.
type State struct {
	As   string
	Word string
	Off  bool
}

func (s *site) specimens() file {
	l := &s.Book.Specimens
	if l.File == "" {
		return file{}
	}
	d := s.document("specimens", l)
	p := SpecimensPage{Frame: s.frame("specimens", s.say("specimens"), s.say("specimensAbout")), Title: s.say("specimens"), Sample: l.Summary,
		Sizes: []string{"size-1", "size-2", "size-3", "lead", "text", "small", "note", "sans", "mono"}, Body: d.body(),
		States: []State{{Word: s.say("stateRest")}, {As: "hover", Word: s.say("stateHover")}, {As: "focus", Word: s.say("stateFocus")},
			{As: "active", Word: s.say("statePressed")}, {Word: s.say("stateDisabled"), Off: true}}}
	for _, one := range []struct {
		id string
		f  figure.Figure
	}{{"specimen-marks", figure.Specimen()}, {"specimen-map", figure.HeatSpecimen(specimenCells)}} {
		p.Figures = append(p.Figures, drawnIn(nil, one.f, one.id).svg)
	}
	p.Own = s.Asset("specimens.css")
	p.References, _ = s.referencesOf(d, nil)
	return s.print("specimens/index.html", "specimens.tmpl", p)
}

const specimensHref = "/specimens/"

// specimenCells is how many cells the map has along a side: as few as show every step of the ramp.
const specimenCells = 12
