// Package words holds what the interface says, in every language that has a file in theme/words.
//
// Start at Load. English is the language of the handbook's own text and the measure of the others: each has the same keys
// with the same {gaps}. A text that counts something has two forms, one and other, chosen by {count}. The scripts
// read the same files (theme/scripts/say.js fills them in as Say does). Lessons are not here: they are English in every language.
// What calculators say, of themselves, in sentences that they make and in drawings, is in files of its own: see Spec, Hear and Draw.
package words

import (
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/outline"
	"centrode/cmd/centrode/internal/report"
)

// Dir is the folder of the project that Load reads.
const Dir = "theme/words"

// Base is the tag of the language that lessons are written in.
const Base = "en"

// Language is one language of the interface. Its zero value says nothing.
type Language struct {
	Tag  string // as HTML and BCP 47 write it: "de"
	says map[string]text
	// specs are the texts of calculators, by their English.
	specs map[string]string
	// heard are the sentences that calculators make.
	heard []heard
	// drawn are the texts of their drawings.
	drawn []heard
	// Sum is a fingerprint of all that the language says.
	Sum string
}

// text is what stands under a key; one is empty where nothing is counted.
type text struct {
	one, other string
	gaps       []string // of both, sorted
	line       int
}

// limit is far above what an interface says.
const limit = 256 << 10

// Load reads every file of the folder, English first, the others by their tags. Problems go to the log.
func Load(folder fs.FS, log *report.Log) []Language {
	names, err := fs.Glob(folder, "*.json")
	if err != nil || !slices.Contains(names, Base+".json") {
		log.Add(Dir, 0, "has no "+Base+".json, which says what the interface says")
		return nil
	}
	var list []Language
	for _, name := range append([]string{Base + ".json"}, slices.DeleteFunc(names, func(n string) bool { return n == Base+".json" })...) {
		if strings.Contains(strings.TrimSuffix(name, ".json"), ".") {
			continue // de.calculators.json, read with its language
		}
		l := read(folder, name, log)
		l.specs = readSpecs(folder, l.Tag, log)
		l.heard = readHeard(folder, l.Tag+heardEnding, log)
		l.drawn = readHeard(folder, l.Tag+drawnEnding, log)
		l.Sum = keep.SumValues(l)
		if len(list) > 0 {
			list[0].compare(l, log)
		}
		list = append(list, l)
	}
	return list
}

func read(folder fs.FS, name string, log *report.Log) Language {
	l := Language{Tag: strings.TrimSuffix(name, ".json"), says: map[string]text{}}
	at := outline.Place{File: path.Join(Dir, name), Log: log}
	source, err := fs.ReadFile(folder, name)
	if err != nil {
		log.Add(at.File, 0, err.Error())
		return l
	}
	tree := outline.Parse(source, limit, at)
	if tree == nil {
		return l
	}
	for _, e := range tree.Entries {
		l.says[e.Key] = form(e, at)
	}
	return l
}

func form(e outline.Entry, at outline.Place) text {
	t := text{line: e.Line}
	switch e.Value.Kind {
	case outline.Text:
		t.other = e.Value.Text
	case outline.Map:
		for _, part := range e.Value.Entries {
			switch part.Key {
			case "one":
				t.one = part.Value.Text
			case "other":
				t.other = part.Value.Text
			}
		}
		if t.one == "" || len(e.Value.Entries) != 2 {
			at.Problem(e.Line, strconv.Quote(e.Key)+` must be a text, or {"one": …, "other": …}`)
		}
	}
	t.gaps = gaps(t.one + t.other)
	if t.other == "" {
		at.Problem(e.Line, strconv.Quote(e.Key)+" says nothing")
	}
	for _, name := range gaps(t.one) {
		if !slices.Contains(gaps(t.other), name) {
			at.Problem(e.Line, strconv.Quote(e.Key)+": one has the gap "+name+", which other has not")
		}
	}
	return t
}

// compare reports where another language differs from the measure.
func (l Language) compare(other Language, log *report.Log) {
	file := path.Join(Dir, other.Tag+".json")
	for key, t := range l.says {
		o, ok := other.says[key]
		switch {
		case !ok:
			log.Add(file, 0, "lacks "+strconv.Quote(key)+", which in English says "+strconv.Quote(t.other))
		case !slices.Equal(gaps(t.other), gaps(o.other)):
			log.Add(file, o.line, fmt.Sprintf("%q has the gaps %v, in English %v", key, gaps(o.other), gaps(t.other)))
		case (t.one == "") != (o.one == ""):
			log.Add(file, o.line, strconv.Quote(key)+" must have one and other in both languages, or in neither")
		}
	}
	for key, o := range other.says {
		if _, ok := l.says[key]; !ok {
			log.Add(file, o.line, strconv.Quote(key)+" is not in "+Base+".json"+spell.Offer(key, l.Keys()))
		}
	}
}

var gap = regexp.MustCompile(`\{([a-zA-Z]+)\}`)

// gaps returns the names of the gaps in a text, sorted, each once.
func gaps(say string) []string {
	var names []string
	for _, m := range gap.FindAllStringSubmatch(say, -1) {
		names = append(names, m[1])
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// Keys returns all keys in order.
func (l Language) Keys() []string {
	keys := make([]string, 0, len(l.says))
	for key := range l.says {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

// Say returns the text of a key with its gaps filled by pairs of name and value. A count of 1 takes the form for one.
func (l Language) Say(key string, pairs ...any) (string, error) {
	t, ok := l.says[key]
	if !ok {
		return "", fmt.Errorf("the word %q is not in %s/%s.json%s", key, Dir, l.Tag, spell.Offer(key, l.Keys()))
	}
	if len(pairs) == 0 && len(t.gaps) == 0 {
		return t.other, nil
	}
	values := map[string]string{}
	for i := 0; i+1 < len(pairs); i += 2 {
		values[fmt.Sprint(pairs[i])] = fmt.Sprint(pairs[i+1])
	}
	say := t.other
	if t.one != "" && values["count"] == "1" {
		say = t.one
	}
	if want := t.gaps; len(want) != len(values) || len(pairs)%2 != 0 || slices.ContainsFunc(want, func(n string) bool { _, ok := values[n]; return !ok }) {
		return "", fmt.Errorf("the word %q has the gaps %v; it was given %v", key, want, pairs)
	}
	return filled(say, values), nil
}

// filled puts the values in the place of the gaps of their names.
func filled(say string, values map[string]string) string {
	var b strings.Builder
	for {
		before, after, found := strings.Cut(say, "{")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		name, rest, closed := strings.Cut(after, "}")
		if value, is := values[name]; is && closed {
			b.WriteString(value)
			say = rest
		} else { // a bracket of the text
			b.WriteByte('{')
			say = after
		}
	}
}
