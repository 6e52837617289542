package lesson

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"centrode/cmd/centrode/internal/outline"
)

// The words that open a fenced block.
const (
	WorkedBlock   = "worked"
	ExerciseBlock = "exercise"
	PlateBlock    = "plate"
	CompareBlock  = "compare"
)

// BlockKinds returns the words that open a fenced block.
func BlockKinds() []string { return []string{WorkedBlock, ExerciseBlock, PlateBlock, CompareBlock} }

// Block is what all four kinds of block have, and where the whole one is found.
type Block struct {
	Kind       string // one of BlockKinds
	Index      int    // in the Lesson's list of that kind
	ID, Title  string
	Calculator Ref
	Preset     Ref
	Line       int // of the opening fence
}

// Anchor returns the block's place on its page as links should name it: "worked-rail-grip-index". A comparison is a
// kind of plate.
func (b Block) Anchor() string {
	if b.Kind == CompareBlock {
		return PlateBlock + "-" + b.ID
	}
	return b.Kind + "-" + b.ID
}

// Anchors returns all ids by which the block can be reached on its page.
func (b Block) Anchors() []string { return []string{b.Anchor(), b.ID} }

// Name returns the block as messages name it: `worked "rail-grip-index"`.
func (b Block) Name() string { return b.Kind + " " + strconv.Quote(b.ID) }

// Blocks returns all blocks in the order of the file.
func (l Lesson) Blocks() []Block {
	if l.blocks != nil {
		return l.blocks
	}
	var out []Block
	for i, b := range l.Worked {
		out = append(out, Block{WorkedBlock, i, b.ID, b.Title, b.Calculator, b.Preset, b.Line})
	}
	for i, b := range l.Exercises {
		out = append(out, Block{ExerciseBlock, i, b.ID, b.Title, b.Calculator, b.Preset, b.Line})
	}
	for i, b := range l.Plates {
		out = append(out, Block{PlateBlock, i, b.ID, b.Title, b.Calculator, b.Preset, b.Line})
	}
	for i, b := range l.Compares {
		out = append(out, Block{CompareBlock, i, b.ID, b.Title, b.Calculator, b.Preset, b.Line})
	}
	slices.SortStableFunc(out, func(a, b Block) int { return a.Line - b.Line })
	return out
}

// Block returns the block with the id.
func (l Lesson) Block(id string) (Block, bool) {
	for _, b := range l.Blocks() {
		if b.ID == id {
			return b, true
		}
	}
	return Block{}, false
}

// block reads the YAML of one fenced block whose opening fence stands on the line.
func (p *parser) block(kind string, yaml []byte, line int) {
	n := outline.Parse(yaml, maxBlock, p.place(line))
	if n == nil {
		return
	}
	if n.Kind == outline.Empty {
		p.problem(line, "the "+kind+" block is empty")
		return
	}
	what := kind
	for _, e := range n.Entries {
		if e.Key == "id" && e.Value.Kind == outline.Text {
			what += " " + strconv.Quote(e.Value.Text)
		}
	}
	b := blockReader{p, n, what, line}
	switch kind {
	case WorkedBlock:
		p.out.Worked = append(p.out.Worked, b.worked())
	case ExerciseBlock:
		p.out.Exercises = append(p.out.Exercises, b.exercise())
	case PlateBlock:
		p.out.Plates = append(p.out.Plates, b.plate())
	case CompareBlock:
		p.out.Compares = append(p.out.Compares, b.compare())
	}
}

// blockReader reads one block.
type blockReader struct {
	*parser
	node *outline.Node
	what string // `worked "rail-grip-index"`
	line int    // of the opening fence
}

func (b blockReader) form(required, optional string) *outline.Form {
	f := outline.NewForm(b.node, b.what, b.line, strings.Fields(required), strings.Fields(optional), b.place(0))
	if id := f.Text("id"); f.Has("id") && Unfit(id) != "" {
		f.Problem("id", strconv.Quote(id)+": "+Unfit(id))
	}
	return f
}

func (b blockReader) worked() Worked {
	f := b.form("id title calculator expect check source", "preset given show note")
	w := Worked{ID: f.Text("id"), Title: f.Title("title"), Calculator: Ref(f.Word("calculator")), Preset: Ref(f.Word("preset")),
		Given: givens(f.Given("given")), Show: refs(f.Words("show")), Check: f.Text("check"), Source: refs(f.Words("source")), Line: b.line}
	w.Note = b.inline(f, "note")
	b.inline(f, "check")
	for _, in := range f.Given("expect") {
		w.Expect = append(w.Expect, Expect{in.ID, in.Text, in.Line})
	}
	if f.Has("expect") && len(w.Expect) == 0 {
		f.Problem("expect", `must name at least one output, as in "pulp_gap: 1.45 cm"`)
	}
	if f.Has("source") && len(w.Source) == 0 {
		f.Problem("source", "must name a source key, or say common practice, derived or invented")
	}
	return w
}

func (b blockReader) exercise() Exercise {
	f := b.form("id title calculator ask question answer hints", "preset given tolerance vary")
	answer := f.Word("answer")
	e := Exercise{ID: f.Text("id"), Title: f.Title("title"), Calculator: Ref(f.Word("calculator")), Preset: Ref(f.Word("preset")),
		Given: givens(f.Given("given")), Ask: Ref(f.Word("ask")), Tolerance: f.Text("tolerance"), Vary: givens(f.Given("vary")), Line: b.line}
	e.Question = b.inline(f, "question")
	e.Answer = Expect{e.Ask.Text, answer.Text, answer.Line}
	for i, item := range f.List("hints") {
		e.Hints = append(e.Hints, b.hint(item, b.what+": hint "+strconv.Itoa(i+1)))
	}
	if f.Has("hints") && len(e.Hints) == 0 {
		f.Problem("hints", "must recognise at least one common mistake")
	}
	return e
}

func (b blockReader) hint(n *outline.Node, what string) Hint {
	f := outline.NewForm(n, what, n.Line, []string{"mistake", "say"}, []string{"given", "output", "times", "formula"}, b.place(0))
	h := Hint{Mistake: f.Text("mistake"), Given: givens(f.Given("given")), Output: Ref(f.Word("output")), Times: 1, Formula: f.Text("formula"), Line: n.Line}
	h.Say = b.inline(f, "say")
	if f.Has("times") {
		times, err := strconv.ParseFloat(strings.Replace(f.Text("times"), "−", "-", 1), 64)
		if err != nil || times == 0 || math.IsNaN(times) || math.IsInf(times, 0) {
			f.Problem("times", fmt.Sprintf("%q: must be a number other than 0", f.Text("times")))
			times = 1
		}
		h.Times = times
	}
	if n.Kind == outline.Map && !f.Has("given") && !f.Has("output") && !f.Has("times") && !f.Has("formula") {
		b.problem(n.Line, what+`: must alter something: "given", "output", "times" or "formula"`)
	}
	if f.Has("formula") && (f.Has("output") || f.Has("times")) {
		b.problem(n.Line, what+`: "formula" gives the outcome by itself; leave out "output" and "times"`)
	}
	return h
}

func (b blockReader) plate() Plate {
	f := b.form("id title calculator", "preset given inputs show only presets")
	only := f.Text("only")
	if f.Has("only") && only != "drawing" && only != "verdict" {
		f.Problem("only", strconv.Quote(only)+`: must be drawing, for a plate of nothing but its drawing and its sentence, or verdict, for a quick check`)
	}
	return Plate{Drawing: only == "drawing", Check: only == "verdict", Presets: refs(f.Words("presets")), ID: f.Text("id"), Title: f.Title("title"), Calculator: Ref(f.Word("calculator")), Preset: Ref(f.Word("preset")),
		Given: givens(f.Given("given")), Inputs: refs(f.Words("inputs")), Show: refs(f.Words("show")), Line: b.line}
}

func (b blockReader) compare() Compare {
	f := b.form("id title calculator current candidate", "preset given show")
	return Compare{ID: f.Text("id"), Title: f.Title("title"), Calculator: Ref(f.Word("calculator")), Preset: Ref(f.Word("preset")),
		Given: givens(f.Given("given")), Current: givens(f.Given("current")), Candidate: givens(f.Given("candidate")),
		Show: refs(f.Words("show")), Line: b.line}
}

// inline returns the text of the key and notes what it refers to.
func (b blockReader) inline(f *outline.Form, key string) string {
	w := f.Word(key)
	if w.Text != "" {
		b.scan([]byte(w.Text), w.Line)
	}
	return w.Text
}

func givens(list []outline.Input) []Given {
	var out []Given
	for _, in := range list {
		out = append(out, Given(in))
	}
	return out
}
