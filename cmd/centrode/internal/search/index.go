package search

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"
)

// Files is what the page loads: the index with the heads of all places, and apart from it their texts, which only the
// excerpts need.
type Files struct{ Index, Texts []byte }

// fields are what of a Document is looked through, in the order of theme/scripts/find.js.
var fields = [...]string{"title", "page", "also", "text"}

// Reading is a Document with its words counted.
type Reading struct {
	Document
	words   [len(fields)][]count
	lengths [len(fields)]int // −1 for a field that is not there
}

// Read counts the words of each document.
func (x *Lexicon) Read(list []Document) []Reading {
	out := make([]Reading, len(list))
	for i, d := range list {
		r := Reading{Document: d}
		for f, text := range [...]string{d.Title, d.Page, d.Also, d.Text} {
			r.lengths[f] = -1
			if text != "" || f == 0 {
				r.words[f], r.lengths[f] = x.read(text)
			}
		}
		out[i] = r
	}
	return out
}

// posting is a document that has a word, in one field.
type posting struct{ document, times int32 }

// spare is how many bytes an index may grow by before it is copied.
const spare = 1 << 16

// postings are those of one word, by field, rising.
type postings [len(fields)][]posting

// Index writes the files for the places in their order, in the form that the page's library reads (MiniSearch, version 2
// of its serialization), and in it the address of the texts that belong to it. Building it here and not in the page spares
// each reader most of the time to the first result.
func (x *Lexicon) Index(list []Reading, address func(texts []byte) string) Files {
	p := x.pieces(list)
	if p.sizes[0] == 0 {
		p.guess()
	}
	texts := append(make([]byte, 0, p.sizes[0]), '[')
	for d := range list {
		texts = append(p.text(texts, d), ',')
	}
	texts = append(texts[:max(1, len(texts)-1)], ']')
	b := append(make([]byte, 0, p.sizes[1]), `{"texts":`...)
	b = append(appendJSON(b, address(texts)), `,"documentCount":`...)
	b = strconv.AppendInt(b, int64(len(list)), 10)
	b = append(b, `,"nextId":`...)
	b = strconv.AppendInt(b, int64(len(list)), 10)
	b = append(b, `,"documentIds":`...)
	b = object(b, len(list), func(b []byte, d int) []byte { return strconv.AppendInt(b, int64(d), 10) })
	b = append(b, `,"fieldIds":{`...)
	for f, name := range fields {
		b = append(b, `"`+name+`":`...)
		b = append(strconv.AppendInt(b, int64(f), 10), ',')
	}
	b = append(b[:len(b)-1], `},"fieldLength":`...)
	b = object(b, len(list), func(b []byte, d int) []byte { return appendLengths(b, list[d].lengths) })
	b = append(b, `,"averageFieldLength":[`...)
	for f := range fields {
		b = append(appendJSON(b, average(list, f)), ',')
	}
	b = append(b[:len(b)-1], `],"storedFields":`...)
	b = object(b, len(list), p.head)
	b = append(b, `,"dirtCount":0,"index":[`...)
	first := len(b)
	for _, w := range x.sorted() {
		if end := len(b); p.postings[w].any() { // not of a document that is gone
			if end > first {
				b = append(b, ',')
			}
			b = p.word(b, w)
		}
	}
	b = append(b, `],"serializationVersion":2}`...)
	p.sizes = [2]int{len(texts) + spare, len(b) + spare}
	return Files{b, texts}
}

// object writes an object whose names are the numbers from 0.
func object(b []byte, n int, value func(b []byte, i int) []byte) []byte {
	b = append(b, '{')
	for i := range n {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(strconv.AppendInt(append(b, '"'), int64(i), 10), `":`...)
		b = value(b, i)
	}
	return append(b, '}')
}

// appendLengths writes the lengths up to the last field that is there.
func appendLengths(b []byte, lengths [len(fields)]int) []byte {
	last := len(fields) - 1
	for last > 0 && lengths[last] < 0 {
		last--
	}
	b = append(b, '[')
	for f, length := range lengths[:last+1] {
		if f > 0 {
			b = append(b, ',')
		}
		if length < 0 {
			b = append(b, "null"...)
		} else {
			b = strconv.AppendInt(b, int64(length), 10)
		}
	}
	return append(b, ']')
}

// average is the library's running mean of a field's lengths, in its order of rounding.
func average(list []Reading, field int) float64 {
	mean := 0.0
	for d, r := range list {
		if length := r.lengths[field]; length >= 0 {
			mean = float64(mean*float64(d)+float64(length)) / float64(d+1)
		}
	}
	return mean
}

func appendHead(b []byte, d Document) []byte {
	b = appendJSON(append(b, `{"href":`...), d.Href)
	b = appendJSON(append(b, `,"kind":`...), d.Kind)
	b = appendJSON(append(b, `,"title":`...), d.Title)
	if d.Page != "" {
		b = appendJSON(append(b, `,"page":`...), d.Page)
	}
	return append(b, '}')
}

func (p *postings) any() bool {
	return slices.ContainsFunc(p[:], func(list []posting) bool { return len(list) > 0 })
}

// appendWord writes a word with the documents that have it.
func appendWord(b []byte, word string, p *postings) []byte {
	b = append(appendJSON(append(b, '['), word), ',')
	mark := byte('{')
	for f, list := range p {
		if len(list) == 0 {
			continue
		}
		b = append(strconv.AppendInt(append(b, mark, '"'), int64(f), 10), `":`...)
		b = appendPostings(b, list)
		mark = ','
	}
	return append(b, "}]"...)
}

func appendPostings(b []byte, list []posting) []byte {
	mark := byte('{')
	for _, p := range list {
		b = append(strconv.AppendInt(append(b, mark, '"'), int64(p.document), 10), `":`...)
		b = strconv.AppendInt(b, int64(p.times), 10)
		mark = ','
	}
	return append(b, '}')
}

// appendJSON writes a number or a text as JSON. It stands in a file of its own, so signs of HTML stay as they are.
func appendJSON[T float64 | string](b []byte, v T) []byte {
	text, ok := any(v).(string)
	if ok && plainText(text) {
		return append(append(append(b, '"'), text...), '"')
	}
	var w strings.Builder
	e := json.NewEncoder(&w)
	e.SetEscapeHTML(false)
	_ = e.Encode(v) // a text and a finite number always have a JSON form
	return append(b, strings.TrimSuffix(w.String(), "\n")...)
}

// plainText reports whether a text stands in JSON as it is.
func plainText(text string) bool {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > '~' || c == '"' || c == '\\' {
			return false
		}
	}
	return true
}
