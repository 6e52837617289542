package page

import (
	"strconv"

	"centrode/cmd/centrode/internal/lesson"
)

// Learning describes a lesson to other programs in the words of schema.org's LearningResource. Addresses begin at the
// root: the site does not know where it will stand, and a reader of JSON-LD completes them from the page's own.
type Learning struct {
	Context       string         `json:"@context"`
	Type          string         `json:"@type"`
	ID            string         `json:"@id"`
	Name          string         `json:"name"`
	Description   string         `json:"description,omitempty"`
	Language      string         `json:"inLanguage"`
	Kind          string         `json:"learningResourceType"`
	Position      int            `json:"position,omitempty"`
	Time          string         `json:"timeRequired,omitempty"` // ISO 8601: PT12M
	Teaches       []string       `json:"teaches,omitempty"`
	Requires      []string       `json:"competencyRequired,omitempty"`
	Free          bool           `json:"isAccessibleForFree"`
	License       string         `json:"license"`
	Author        LearningThing  `json:"author"`
	PartOf        *LearningThing `json:"isPartOf,omitempty"`
	Interactivity string         `json:"interactivityType,omitempty"`
}

// LearningThing is something that a lesson's description refers to.
type LearningThing struct {
	Type   string         `json:"@type"`
	ID     string         `json:"@id,omitempty"`
	Name   string         `json:"name"`
	PartOf *LearningThing `json:"isPartOf,omitempty"`
}

// authors of text and figures, as the foot of every page names them.
const authors = "The Centrode authors"

// licence of text and figures, as the foot of every page links it.
const licence = "https://creativecommons.org/licenses/by/4.0/"

// learning describes the lesson at a place in the book.
func (s *site) learning(l *lesson.Lesson) *Learning {
	out := &Learning{
		Context: "https://schema.org", Type: "LearningResource", ID: lessonHref(l.Slug), Name: l.Title, Description: l.Summary, Language: "en",
		Kind: "lesson", Position: l.Order, Free: true, License: licence, Author: LearningThing{Type: "Organization", Name: authors},
	}
	if l.Minutes > 0 {
		out.Time = "PT" + strconv.Itoa(l.Minutes) + "M"
	}
	for _, r := range l.Terms {
		if term, ok := s.term(r.Text); ok {
			out.Teaches = append(out.Teaches, term.Term)
		}
	}
	for _, link := range s.lessonLinks(l.Needs) {
		out.Requires = append(out.Requires, link.Text)
	}
	if part := s.partLink(l.Part); part.Href != "" {
		out.PartOf = &LearningThing{Type: "CreativeWork", ID: part.Href, Name: part.Text + ": " + part.Note,
			PartOf: &LearningThing{Type: "Book", ID: "/", Name: siteName}}
	}
	if len(l.Plates)+len(l.Exercises) > 0 {
		out.Interactivity = "mixed"
	}
	return out
}
