package outline

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"centrode/calc/spell"
)

// Word is a text with the line it stands on.
type Word struct {
	Text string
	Line int
}

// Form reads the entries of one mapping and reports what is unknown, missing or of the wrong shape.
type Form struct {
	at      Place
	what    string // `worked "rail-grip-index"`: who speaks in a message
	line    int
	entries map[string]Entry
}

// NewForm checks the keys of the mapping: none but required and optional ones, and every required one present. What
// names the thing in messages; line is where a missing key is reported. A node that is no mapping is reported and
// gives an empty form.
func NewForm(n *Node, what string, line int, required, optional []string, at Place) *Form {
	f := &Form{at: at, what: what, line: line, entries: map[string]Entry{}}
	if n == nil {
		return f
	}
	if n.Kind != Map {
		at.Problem(max(n.Line, line), what+": expected lines of the form \"key: value\", found "+n.Kind.Name())
		return f
	}
	known := append(slices.Clone(required), optional...)
	for _, e := range n.Entries {
		if !slices.Contains(known, e.Key) {
			tail := offerOrList(e.Key, known)
			if e.Value.Kind == Empty && !strings.Contains(tail, "nearest") {
				tail = "; a text that holds a comma needs quotes around it between brackets"
			}
			at.Problem(e.Line, what+`: key `+quote(e.Key)+` is unknown`+tail)
			continue
		}
		f.entries[e.Key] = e
	}
	for _, key := range required {
		if e, ok := f.entries[key]; !ok || e.Value.Kind == Empty {
			at.Problem(line, what+`: "`+key+`" is missing`)
			delete(f.entries, key)
		}
	}
	return f
}

func quote(text string) string {
	if len(text) > 60 {
		text = strings.ToValidUTF8(text[:57], "") + "…"
	}
	return strconv.Quote(text)
}

func offerOrList(word string, known []string) string {
	if offer := spell.Offer(word, known); offer != "" {
		return offer
	}
	return "; known: " + strings.Join(known, ", ")
}

// Has reports whether the key was given a value.
func (f *Form) Has(key string) bool {
	e, ok := f.entries[key]
	return ok && e.Value.Kind != Empty
}

// Line returns the line of the key, or the line of the whole form when the key was not given.
func (f *Form) Line(key string) int {
	if e, ok := f.entries[key]; ok {
		return e.Line
	}
	return f.line
}

// Problem reports something about the key.
func (f *Form) Problem(key, text string) { f.at.Problem(f.Line(key), f.what+": "+key+": "+text) }

func (f *Form) get(key string, kind Kind) *Node {
	e, ok := f.entries[key]
	if !ok || e.Value.Kind == Empty {
		return nil
	}
	if e.Value.Kind != kind {
		f.Problem(key, "expected "+kind.Name()+", found "+e.Value.Kind.Name())
		delete(f.entries, key) // said once
		return nil
	}
	return e.Value
}

// Word returns the text of the key with its line; the zero Word when it is not given.
func (f *Form) Word(key string) Word {
	n := f.get(key, Text)
	if n == nil {
		return Word{}
	}
	return Word{strings.TrimSpace(n.Text), n.TextLine}
}

// Text returns the text of the key, or "".
func (f *Form) Text(key string) string { return f.Word(key).Text }

// MaxTitle is how many characters a title may have: it stands in a tab, in a list and in the map of lessons.
const MaxTitle = 200

// Title returns the text of the key, which must be short enough for a title; "" when it is not given or refused.
func (f *Form) Title(key string) string {
	text := f.Text(key)
	if n := utf8.RuneCountInString(text); n > MaxTitle {
		f.Problem(key, "has "+strconv.Itoa(n)+" characters; a title has at most "+strconv.Itoa(MaxTitle))
		return ""
	}
	return text
}

// Int returns the whole number of the key, which must lie from low to high; 0 when it is not given or refused.
func (f *Form) Int(key string, low, high int) int {
	n := f.get(key, Text)
	if n == nil {
		return 0
	}
	v, err := strconv.Atoi(n.Text)
	if err != nil || v < low || v > high {
		f.Problem(key, quote(n.Text)+": must be a whole number from "+strconv.Itoa(low)+" to "+strconv.Itoa(high))
		return 0
	}
	return v
}

// Words returns the texts of a list; a single text counts as a list of one.
func (f *Form) Words(key string) []Word {
	e, ok := f.entries[key]
	if !ok {
		return nil
	}
	list := []*Node{e.Value}
	if e.Value.Kind == List {
		list = e.Value.Items
	}
	var out []Word
	for _, n := range list {
		switch n.Kind {
		case Text:
			out = append(out, Word{strings.TrimSpace(n.Text), n.TextLine})
		case Empty:
		default:
			f.at.Problem(n.Line, f.what+": "+key+": expected a list of words, found "+n.Kind.Name()+" in it")
		}
	}
	return out
}

// List returns the items of a list.
func (f *Form) List(key string) []*Node {
	if n := f.get(key, List); n != nil {
		return n.Items
	}
	return nil
}

// Map returns the entries of a mapping, in the order written.
func (f *Form) Map(key string) []Entry {
	if n := f.get(key, Map); n != nil {
		return n.Entries
	}
	return nil
}

// Given returns the entries of a mapping of inputs as text, as Rows does for tables.
func (f *Form) Given(key string) []Input {
	var out []Input
	for _, e := range f.Map(key) {
		in, complaint := input(e)
		if complaint != "" {
			f.at.Problem(in.Line, f.what+": "+key+": "+e.Key+": "+complaint)
			continue
		}
		out = append(out, in)
	}
	return out
}

// Input is one input of a block: its id and its text. Tables come as rows divided by ";" and cells by ",".
type Input struct {
	ID, Text string
	Line     int
	Rows     []int // of a table: the line of each row
}

func input(e Entry) (Input, string) {
	in := Input{ID: e.Key, Line: e.Value.Line}
	switch e.Value.Kind {
	case Text:
		if !e.Value.Block {
			in.Text = strings.TrimSpace(e.Value.Text)
			return in, ""
		}
		line := e.Value.TextLine
		var rows []string
		for row := range strings.SplitSeq(e.Value.Text, "\n") {
			if row = strings.TrimRight(strings.TrimSpace(row), ";"); row != "" {
				rows, in.Rows = append(rows, row), append(in.Rows, line)
			}
			line++
		}
		in.Text = strings.Join(rows, ";")
		return in, ""
	case List:
		return in.list(e.Value.Items)
	}
	in.Line = e.Line
	return in, "expected a value or the rows of a table, found " + e.Value.Kind.Name()
}

func (in Input) list(items []*Node) (Input, string) {
	rows := make([]string, 0, len(items))
	for _, item := range items {
		in.Rows = append(in.Rows, item.Line)
		row := ""
		switch item.Kind {
		case Text:
			row = strings.TrimSpace(item.Text)
		case List:
			cells := make([]string, 0, len(item.Items))
			for _, cell := range item.Items {
				if cell.Kind != Text && cell.Kind != Empty {
					in.Line = cell.Line
					return in, "expected the cells of a row, found " + cell.Kind.Name()
				}
				cells = append(cells, strings.TrimSpace(cell.Text))
			}
			row = strings.Join(cells, ",")
		default:
			in.Line = item.Line
			return in, "write each row as [0, 1, 2], one cell for each column, found " + item.Kind.Name()
		}
		rows = append(rows, row)
	}
	in.Text = strings.Join(rows, ";")
	return in, ""
}
