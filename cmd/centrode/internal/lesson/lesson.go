// Package lesson reads one markdown file into a Lesson: front matter, blocks, and the prose between them.
//
// Start at Parse, or at ParsePage for the pages that are no lessons. It checks what one file alone can show (keys,
// required entries, shapes); what needs the other files or the calculators is checked by book and proof. It reads no
// disk: callers hand it bytes. Whatever is wrong is reported with its line, all of it in one run, and the Lesson holds
// what could be read.
package lesson

// Lesson is one lesson file.
type Lesson struct {
	Slug      string // file name without ".md"
	File      string // "content/lessons/the-finger.md"
	Title     string
	Summary   string // one sentence, plain text
	Part      int    // 1 to 3
	Order     int    // within the part, from 1
	OrderLine int    // line of the file on which "order" stands
	Minutes   int
	Needs     []Ref // slugs of lessons to read first
	Terms     []Ref // glossary terms the lesson defines
	Audience  []Ref // path ids it belongs to
	Sources   []Ref // source keys for "further reading" beyond the citations in the text
	// Calculators are those that the front matter lists under "plates".
	Calculators []Ref
	Body        string // markdown after the front matter; line ends are "\n"
	BodyLine    int    // line of the file on which Body starts
	Worked      []Worked
	Exercises   []Exercise
	Plates      []Plate
	Compares    []Compare
	Prose       Prose  // what the prose and the sentences in blocks refer to
	Sum         string // fingerprint of the file's name and bytes

	blocks []Block // of a lesson that is read, see Blocks
}

// Prose lists what running text refers to, each with its line, and the places it can be linked to.
type Prose struct {
	Citations []Ref // source keys
	Terms     []Ref // glossary terms, other names or ids, as written
	Values    []Ref // what stands in {=…}
	Links     []Ref // targets of links and pictures, as written
	Callouts  []Ref // kinds
	Headings  []Heading
	Words     int
}

// Heading is one heading of the body.
type Heading struct {
	Text   string // without markup
	Anchor string // the id it gets on the page
	Line   int
}

// Ref is a word with the line it stands on, so that an unknown one can be pointed at.
type Ref struct {
	Text string
	Line int
}

// Given is one input of a block: id and text as written ("85 deg"), in order. A table is written as catalog.Set reads
// it: rows divided by ";", cells by ",".
type Given struct {
	ID, Text string
	Line     int
	Rows     []int // of a table: the line of each row
}

// Expect is one expected output: "pulp_gap: 1.45 cm ± 0.005". A tolerance that is not written is half a unit of the
// last printed digit. "none" expects a null output; a bare word expects a text output.
type Expect struct {
	ID, Text string
	Line     int
}

// Worked is a worked example: a fixture.
type Worked struct {
	ID         string
	Title      string
	Calculator Ref
	Preset     Ref // optional: a preset whose values come before Given
	Given      []Given
	Expect     []Expect
	Show       []Ref  // optional: outputs to print besides those expected
	Check      string // what outside knowledge confirms the result
	Source     []Ref  // source keys, or the words "common practice", "derived" or "invented"
	Note       string // optional: a sentence under the result
	Line       int    // of the opening fence
}

// Exercise asks for one output.
type Exercise struct {
	ID         string
	Title      string
	Calculator Ref
	Preset     Ref
	Given      []Given
	Ask        Ref    // output id
	Question   string // inline markdown
	Answer     Expect // checked like an expectation
	Tolerance  string // "0.05 cm": how near a reader must come; empty when the answer is a word
	// Vary are inputs that fresh numbers draw by themselves: "20 deg to 80 deg by 5 deg", a table "within 10 %". All other
	// lengths grow together, see calc/vary.
	Vary  []Given
	Hints []Hint
	Line  int
}

// Hint recognises one common mistake: the calculator is run again with the altered values, or another output is read,
// or the right answer is multiplied, or a formula is computed; a reader's number near the outcome gets Say.
type Hint struct {
	Mistake string  // a few words: "degrees taken for radians"
	Given   []Given // altered values, over the exercise's own
	Output  Ref     // output that was read by mistake; default the one asked for
	Times   float64 // default 1
	Formula string  // over fields and outputs, see vary.Formula; instead of Output and Times
	Say     string
	Line    int
}

// Plate places a live calculator.
type Plate struct {
	ID         string
	Title      string
	Calculator Ref
	Preset     Ref
	Given      []Given
	Inputs     []Ref // fields shown at once; the others fold away. Empty: all of them
	Show       []Ref // outputs shown at once, and answer tables shown at all; empty: all of them
	// Drawing leaves out all but the drawing and the sentence of the result: "only: drawing".
	Drawing bool
	// Check makes it a quick check: the verdict in large letters, few inputs, no tables: "only: verdict".
	Check   bool
	Presets []Ref // what a reader may start from, in this order; empty: all presets of the calculator
	Line    int
}

// Compare draws two runs of one calculator over each other: current and candidate.
type Compare struct {
	ID         string
	Title      string
	Calculator Ref
	Preset     Ref
	Given      []Given // shared by both
	Current    []Given
	Candidate  []Given
	Show       []Ref
	Line       int
}
