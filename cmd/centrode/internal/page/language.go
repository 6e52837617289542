package page

import (
	"bytes"
	"html/template"
	"regexp"
	"slices"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/words"
)

// functions are what templates may call: the words of the language, and the marks of what is in which.
func (s *site) functions() template.FuncMap {
	return template.FuncMap{
		"say": s.language.Say, "language": func() string { return s.language.Tag }, "languages": s.languages,
		"ofText": s.ofText, "ofWords": s.ofWords, "lasts": s.lasts, "heard": s.heard, "ofHeard": s.ofHeard, "ofDrawn": s.ofDrawn,
	}
}

// settled are the calls in a template whose outcome is the same on every page of a language.
var settled = regexp.MustCompile(`\{\{(?:say "(\w+)"|(ofText|ofWords|ofDrawn|language))\}\}`)

// settle puts what such a call gives in its place: to call costs more than all else on a page. A word that is missing or has gaps
// stays a call, which reports it.
func (s *site) settle(text string) string {
	return settled.ReplaceAllStringFunc(text, func(call string) string {
		m := settled.FindStringSubmatch(call)
		switch m[2] {
		case "ofText":
			return string(s.ofText())
		case "ofWords":
			return string(s.ofWords())
		case "ofDrawn":
			return string(s.ofDrawn())
		case "language":
			return escape(s.language.Tag)
		}
		said, err := s.language.Say(m[1])
		if err != nil {
			return call
		}
		return escape(said)
	})
}

// say returns a word of the interface; one that is missing is reported.
func (s *site) say(key string, pairs ...any) string {
	text, err := s.language.Say(key, pairs...)
	if err != nil {
		s.Log.Add(pagePackage, 0, err.Error())
	}
	return text
}

// lasts prints a time of reading as people say it, in hours where they would. theme/scripts/standing.js does the same.
func (s *site) lasts(minutes int) string {
	switch hours, rest := minutes/60, minutes%60; {
	case hours == 0:
		return s.say("min", "count", minutes)
	case rest == 0:
		return s.say("hours", "hours", hours)
	default:
		return s.say("hoursMin", "hours", hours, "count", rest)
	}
}

// pagePackage is named where a word that this package asks for is missing.
const pagePackage = "cmd/centrode/internal/page"

// ofText marks an element whose words are those of the handbook's text, where the interface is in another language.
func (s *site) ofText() template.HTMLAttr { return s.inLanguage(words.Base) }

// ofWords marks an element inside such text whose words are those of the interface again.
func (s *site) ofWords() template.HTMLAttr { return s.inLanguage(s.language.Tag) }

// heard is a sentence of a calculator in the language of the interface, or as it is.
func (s *site) heard(sentence string) string {
	own, _ := s.language.Hear(sentence)
	return own
}

// ofHeard marks the element that holds such a sentence: where the language has none it is one of the handbook's text.
func (s *site) ofHeard(sentence string) template.HTMLAttr {
	if _, ok := s.language.Hear(sentence); ok {
		return s.ofWords()
	}
	return s.ofText()
}

// ofDrawn marks what holds a drawing: a language without words for drawings leaves them as the handbook's text has them.
func (s *site) ofDrawn() template.HTMLAttr {
	if s.language.Draws() {
		return s.ofWords()
	}
	return s.ofText()
}

// foreign is the tag of the handbook's own text, "" where the interface speaks it too.
func (s *site) foreign() string {
	if s.language.Tag == words.Base {
		return ""
	}
	return words.Base
}

func (s *site) inLanguage(tag string) template.HTMLAttr {
	if s.foreign() == "" {
		return ""
	}
	return template.HTMLAttr(` lang="` + tag + `"`)
}

// Tongue leads to the same page in another language.
type Tongue struct{ Tag, Name, Home string }

// languages lists the other languages of the interface.
func (s *site) languages() []Tongue {
	var list []Tongue
	for i, l := range s.Words {
		if l.Tag == s.language.Tag {
			continue
		}
		t := Tongue{Tag: l.Tag, Home: "/"}
		if i > 0 {
			t.Home = "/" + l.Tag + "/"
		}
		t.Name, _ = l.Say("languageName")
		list = append(list, t)
	}
	return list
}

// prefix is the folder of the language: "" for the first, else its tag.
func (s *site) prefix() string {
	if len(s.Words) == 0 || s.Words[0].Tag == s.language.Tag {
		return ""
	}
	return s.language.Tag + "/"
}

// script is the plain name of the language's own bundle of a program: "site", or "room".
func (s *site) script(program string) string { return s.spoken(program) + ".js" }

// modules is the plain name of a list: that bundle, and all that it imports.
func (s *site) modules(program string) string { return s.spoken(program) + ".modules" }

// spoken is the name of a program with the language that it speaks.
func (s *site) spoken(program string) string {
	if s.prefix() == "" {
		return program
	}
	return program + "-" + s.language.Tag
}

// abroad is what stands before the address of a link to another language.
var abroad = regexp.MustCompile(`hreflang="[\w-]+" lang="[\w-]+" $`)

// localise writes a finished page with its addresses completed, all of which begin at the root of the first language: links to pages, whose
// addresses end in "/", stay in the page's language, and links to another language lead to this page.
func (s *site) localise(out *bytes.Buffer, path string, page []byte) {
	here := strings.TrimSuffix(path, "index.html")
	if path == missingPath { // it stands for an address that no language has
		here = ""
	}
	link := []byte(`href="/`)
	for {
		before, after, found := bytes.Cut(page, link)
		out.Write(before)
		if !found {
			return
		}
		page = after
		end := bytes.IndexAny(after, `"#?.`)
		address := after[:max(0, end)]
		inside := end == 0 && after[0] != '.' || end > 0 && after[end] != '.' && after[end-1] == '/'
		switch tail := before[max(0, len(before)-64):]; {
		case !inside:
			out.Write(link)
		case bytes.Contains(tail, []byte("hreflang")) && abroad.Match(tail):
			out.Write(link)
			out.Write(address)
			out.WriteString(here)
			page = after[len(address):]
		default:
			out.Write(link)
			out.WriteString(s.prefix())
		}
	}
}

// spoken gives the answers of the proof with their calculators described in the language.
type spoken struct {
	Answers
	site *site
}

// Answer implements Answers.
func (p spoken) Answer(page, block string) (catalog.Answer, bool) {
	a, ok := p.Answers.Answer(page, block)
	return p.site.describe(a), ok
}

// Pair implements Answers.
func (p spoken) Pair(page, block string) (current, candidate catalog.Answer, ok bool) {
	current, candidate, ok = p.Answers.Pair(page, block)
	return p.site.describe(current), p.site.describe(candidate), ok
}

func (s *site) describe(a catalog.Answer) catalog.Answer {
	if spec, known := s.described.specs[a.Spec.ID]; known {
		a.Spec = spec
	}
	return a
}

// specOf is what the calculator says of itself, in the language.
func (s *site) specOf(c catalog.Calculator) catalog.Spec { return s.described.specs[s.idOf(c)] }

func (s *site) idOf(c catalog.Calculator) string {
	return s.described.ids[slices.Index(s.Calculators, c)]
}

// rangeWords says what a field accepts, printed as the page prints its numbers.
func (s *site) rangeWords(f catalog.Field) string {
	least, most := quantity.Number(f.Min, -1), quantity.Number(f.Max, -1)+quantity.Centimetres.After(f.Kind)
	if f.MinOpen {
		return s.say("rangeAbove", "least", least, "most", most)
	}
	return s.say("rangeFrom", "least", least, "most", most)
}

// outputLabel names an output, with its side where it comes in pairs.
func (s *site) outputLabel(o catalog.Output) string {
	switch o.Side {
	case "current":
		return s.say("outputCurrent", "output", o.Label)
	case "candidate":
		return s.say("outputCandidate", "output", o.Label)
	}
	return o.Label
}
