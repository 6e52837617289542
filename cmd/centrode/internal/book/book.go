// Package book gathers all content and checks it against itself: prerequisites, terms, sources, paths, cast.
//
// Start at Load. It knows calculators only through calc/catalog. Data flows in from an fs.FS; nothing is written.
package book

import (
	"sync"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/lesson"
)

// Book is all content, cross-checked.
type Book struct {
	Lessons   []lesson.Lesson // by part, then order
	Terms     []Term          // by term
	Sources   []Source        // by key
	Paths     []Path
	Cast      []Character
	Facts     map[string]Fact // by id
	Plates    []PlatePage     // content/plates: one page of words for each calculator
	Checks    []lesson.Lesson // content/checks: pages that answer one plain question; parsed like a plate's words
	Home      lesson.Lesson   // content/home.md
	Room      lesson.Lesson   // content/fitting-room.md
	Specimens lesson.Lesson   // content/specimens.md: every element, for those who change the look

	pages              []Page   // of a book that is loaded, which changes no more
	contexts, castSums sync.Map // see Context
}

// Term is a glossary entry.
type Term struct {
	ID         string // "owed-translation": the anchor
	Term       string // "owed translation"
	Also       []string
	Definition string // inline markdown, one or two sentences
	File       string
	Line       int

	prose lesson.Prose // what the definition refers to
}

// Source is one entry of content/sources.json, which is CSL-JSON; Status is kept in its "custom" object.
type Source struct {
	Key       string
	Type      string
	Authors   []Name
	Year      string
	Title     string
	In        string // journal, book or site
	Volume    string
	Issue     string
	Pages     string
	Publisher string
	DOI, URL  string
	Note      string // what of the source was seen, in a sentence
	Status    string // seen, derived, secondary or memory
	File      string
	Line      int
}

// Name is a person or an organisation (Family only).
type Name struct{ Family, Given string }

// Path is an ordered set of lessons for one kind of reader: content/paths/ID.yaml.
type Path struct {
	ID, Title, Reader, Promise string
	Lessons                    []lesson.Ref
	Checks                     []lesson.Ref // quick checks for this reader
	Closing                    []lesson.Ref // exercises of its closing check, as slug/id; optional
	File                       string
}

// Character is one of the invented cast: content/cast/ID.yaml.
type Character struct {
	ID, Name, Role, Story string
	Measures              []Measure
	Presets               []CastPreset
	File                  string
}

// Measure is one measurement of a character: "grip: 3.8 cm".
type Measure struct{ Label, Text string }

// CastPreset is a named set of values for one calculator.
type CastPreset struct {
	catalog.Preset
	Calculator lesson.Ref
	Line       int
}

// Fact is one published value: a row of content/facts.csv.
type Fact struct {
	ID, Topic, Quantity, Value, Unit, Spread, Population, Source, Status, Note string

	Line int
	File string
}

// PlatePage is the page of one calculator: content/plates/CALCULATOR.md, prose above its plate.
type PlatePage struct {
	Calculator string
	Lesson     lesson.Lesson // parsed like a lesson; only its body and blocks count
}

// Presets returns the presets of the calculator: its own first, then the cast's in order.
func (b *Book) Presets(c catalog.Spec) []catalog.Preset {
	list := append([]catalog.Preset(nil), c.Presets...)
	for _, who := range b.Cast {
		for _, p := range who.Presets {
			if p.Calculator.Text == c.ID {
				list = append(list, p.Preset)
			}
		}
	}
	return list
}
