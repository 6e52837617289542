package proof

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/report"
	"centrode/tests/hard/bound"
)

// prove runs a book of one lesson, whose body begins on line 8, and returns the proof with everything reported. The
// calculator is pivot-offset: a lever of √(1² + 0.5²) = 1.118034 cm turned by 60° owes as much (derived: 2·sin 30° = 1).
func prove(body string) (*Proof, []string) {
	const facts = "id,topic,quantity,value,unit,spread,population_or_condition,source_key,status,note\nhand-1,hand,length,21.67,mm,,,buryanov2010,memory,\n"
	const sources = `[{"id": "buryanov2010", "type": "book", "title": "T", "custom": {"status": "seen"}}]`
	root := fstest.MapFS{
		"content/lessons/one.md": {Data: []byte("---\ntitle: T\nsummary: S.\npart: 1\norder: 1\nminutes: 10\n---\n" + body)},
		"content/facts.csv":      {Data: []byte(facts)},
		"content/sources.json":   {Data: []byte(sources)},
	}
	var log report.Log
	p := Run(book.Load(root, &log), &log, nil)
	var out []string
	for _, problem := range log.Problems() {
		out = append(out, strings.TrimPrefix(problem.String(), "content/lessons/"))
	}
	return p, out
}

// worked is a worked example that expects one thing on line 12.
func worked(expect string) string {
	return "```worked\nid: grip\ntitle: G\ncalculator: pivot-offset\nexpect: {" + expect + "}\ncheck: c\nsource: derived\n```\n"
}

func exercise(lines string) string {
	return "```exercise\nid: ask\ntitle: A\ncalculator: pivot-offset\nask: lever\nquestion: Q\n" + lines + "\n```\n"
}

func TestEveryWrongNumberIsReportedAtItsLine(t *testing.T) {
	for _, c := range []struct {
		name, body string
		want       []string
	}{
		{"a right number", worked("lever: 1.118 cm"), nil},
		{"in another unit", worked("lever: 11.18 mm ± 0.005 mm"), nil},
		{"in no unit", worked("lever: 1.1180"), nil},
		{"a typographic minus", worked("owed_x: 0.933 cm, owed_y: −0.616 cm"), nil},
		{"a decimal comma", worked("lever: \"1,12 cm\""), []string{`one.md:12: grip: lever: "1,12 cm": must be a number with its unit, as in 1.45 cm ± 0.005`}},
		{"a wrong number", worked("lever: 1.45 cm ± 0.005"), []string{`one.md:12: grip: lever: expected 1.45 cm ± 0.005, computed 1.118 cm, off by 0.332`}},
		{"a number wrong in its last digit", worked("lever: 1.117 cm"), []string{`one.md:12: grip: lever: expected 1.117 cm ± 0.0005, computed 1.11803 cm, off by 0.00103`}},
		{"a number just out of its tolerance shows the digits that tell", worked("lever: 1.118 cm ± 0.00003"), []string{
			`one.md:12: grip: lever: expected 1.118 cm ± 0.00003, computed 1.118034 cm, off by 0.000034`}},
		{"a wrong number in another unit", worked("lever: 11 mm"), nil},
		{"a wrong whole number in another unit", worked("lever: 12 mm"), []string{`one.md:12: grip: lever: expected 12 mm ± 0.5, computed 11.18 mm, off by 0.82`}},
		{"a tolerance that is too wide", worked("lever: 1.118 cm ± 0.01"), []string{
			`one.md:12: grip: lever: tolerance 0.01 is wider than the last printed digit, which is worth 0.001; print fewer digits or narrow it`}},
		{"a tolerance that is no number", worked("lever: 1.118 cm ± some"), []string{
			`one.md:12: grip: lever: tolerance "some": must be a number of at least 0 in the unit of the value, as in 1.45 cm ± 0.005`}},
		{"a negative tolerance", worked("lever: 1.118 cm ± -1"), []string{
			`one.md:12: grip: lever: tolerance "-1": must be a number of at least 0 in the unit of the value, as in 1.45 cm ± 0.005`}},
		{"a number of another kind", worked("lever: 1.118 deg"), []string{
			`one.md:12: grip: lever: "1.118 deg": is an angle; must be a length such as 1.2 cm (mm, cm, m, in or ft)`}},
		{"a word for a number", worked("lever: long"), []string{
			`one.md:12: grip: lever: "long": must be a length such as 1.2 cm (mm, cm, m, in or ft)`}},
		{"nothing expected of something", worked("lever: none"), []string{`one.md:12: grip: lever: expected none, computed 1.118033988749895 cm`}},
		{"an input that the calculator refuses", strings.Replace(worked("lever: 1.118 cm"), "expect", "given: {axis_z: 0}\nexpect", 1), []string{
			`one.md:8: grip: axis_x: 0, 0, 0: axis_x, axis_y and axis_z must not all be 0; for a hinge about z use 0, 0, 1`}},
		{"an input out of range is told once", strings.Replace(worked("lever: 1.118 cm"), "expect", "given: {angle: 1e9}\nexpect", 1), []string{
			`one.md:12: grip: angle: 1000000000 deg: must be from -36000 to 36000 deg`}},
		{"a right exercise", exercise("answer: 1.118 cm\ntolerance: 0.05 cm\nhints:\n  - {mistake: m, output: owed_x, say: s}\n  - {mistake: n, times: 2, say: s}"), nil},
		{"a wrong answer", exercise("answer: 2 cm\ntolerance: 0.6 cm\nhints:\n  - {mistake: n, times: 3, say: s}"), []string{
			`one.md:14: ask: lever: expected 2 cm ± 0.5, computed 1.12 cm, off by 0.88`}},
		{"mistakes that lead to the right answer, to each other and nowhere", exercise("answer: 1.118 cm\ntolerance: 0.05 cm\nhints:\n  - {mistake: m, given: {angle: 10}, say: s}\n  - {mistake: n, times: 2, say: s}\n  - {mistake: o, given: {offset_x: 2, offset_y: 1}, say: s}\n  - {mistake: p, given: {axis_z: 0}, say: s}"), []string{
			`one.md:17: ask: hint 1: the mistake gives 1.11803 cm, which counts as the right answer 1.11803 cm (tolerance 0.05 cm)`,
			`one.md:19: ask: hint 3: the mistake gives 2.23607 cm, the same as hint 2 within the tolerance 0.05 cm`,
			`one.md:20: ask: hint 4: axis_x: 0, 0, 0: axis_x, axis_y and axis_z must not all be 0; for a hinge about z use 0, 0, 1`}},
		{"no tolerance for a number", exercise("answer: 1.118 cm\nhints:\n  - {mistake: n, times: 2, say: s}"), []string{
			`one.md:8: ask: "tolerance" is missing: how near a reader must come, as in 0.05 cm`}},
		{"a tolerance that the stated answer would not pass", exercise("answer: 1.1 cm\ntolerance: 0.01 cm\nhints:\n  - {mistake: n, times: 2, say: s}"), []string{
			`one.md:8: ask: tolerance: "0.01 cm" is finer than the answer 1.1 cm is printed; widen it or print more digits`}},
		{"a tolerance of nothing, and one of another kind", exercise("answer: 1.118 cm\ntolerance: 0 cm\nhints:\n  - {mistake: n, times: 2, say: s}") + "\n" + strings.Replace(exercise("answer: 1.118 cm\ntolerance: 1 deg\nhints:\n  - {mistake: n, times: 2, say: s}"), "id: ask", "id: too", 1), []string{
			`one.md:8: ask: tolerance: "0 cm": must be above 0`,
			`one.md:20: too: tolerance: "1 deg": is an angle; must be a length such as 1.2 cm (mm, cm, m, in or ft)`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, got := prove(c.body); !slices.Equal(got, c.want) {
				t.Errorf("got\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(c.want, "\n\t"))
			}
		})
	}
}

func TestToleranceIsHalfTheLastPrintedDigit(t *testing.T) {
	for _, c := range []struct {
		text      string
		kind      quantity.Kind
		tolerance float64 // in the unit as written; derived: half of 10^-decimals
		inside    float64 // the furthest number that still holds
		outside   float64
	}{
		{"1.45 cm", quantity.Length, 0.005, 1.455, 1.4551},
		{"1.450 cm", quantity.Length, 0.0005, 1.4505, 1.4506},
		{"85 deg", quantity.Angle, 0.5, 84.5, 84.4},
		{"85°", quantity.Angle, 0.5, 85.5, 85.6},
		{".5", quantity.Ratio, 0.05, 0.45, 0.449},
		{"1.2e3 cm", quantity.Length, 50, 1250, 1251},
		{"0.15 cm", quantity.Length, 0.005, 0.145, 0.1449},
		{"3", quantity.Count, 0.5, 3, 4},
		{"1.45 cm ± 0.01", quantity.Length, 0.01, 1.46, 1.4601},
		{"21 %", quantity.Ratio, 0.5, 20.5, 20.4},
	} {
		e, err := readExpectation(c.text, c.kind)
		if err != nil || e.tolerance != c.tolerance {
			t.Errorf("%q: tolerance %v, %v; want %v", c.text, e.tolerance, err, c.tolerance)
		}
		if !e.holds(c.inside) || e.holds(c.outside) {
			t.Errorf("%q: holds(%v) = %v, holds(%v) = %v", c.text, c.inside, e.holds(c.inside), c.outside, e.holds(c.outside))
		}
	}
}

func TestValuesArePrintedAsFineAsTheyAreStated(t *testing.T) {
	p, problems := prove(worked("lever: 1.12 cm") +
		"\n```plate\nid: free\ntitle: F\ncalculator: pivot-offset\ngiven: {offset_x: 12.5 mm, angle: −30}\n```\n" +
		"\n```compare\nid: both\ntitle: B\ncalculator: pivot-offset\ngiven: {offset_y: 0}\ncurrent: {offset_x: 3}\ncandidate: {offset_x: 1}\n```\n[@buryanov2010]\n")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for ref, want := range map[string]string{
		"grip.lever":             "1.12\u00a0cm", // as stated
		"grip.owed_length":       "1.118\u00a0cm",
		"grip.lever:1":           "1.1\u00a0cm",
		"grip.lever:mm":          "11.2\u00a0mm",
		"grip.half_sine":         "0.5000",
		"free.angle":             "−30°",
		"free.offset_x":          "1.25\u00a0cm", // finer than the field's step, because it was set so
		"free.offset_x:mm":       "12.5\u00a0mm",
		"both.current.lever":     "3.000\u00a0cm",
		"both.candidate.lever":   "1.000\u00a0cm",
		"both.difference.lever":  "−2.000\u00a0cm",
		"both.current.offset_x":  "3.0\u00a0cm",
		"fact:hand-1":            "21.67\u00a0mm (from memory)",
		"fact:hand-1:cm":         "2.167\u00a0cm (from memory)",
		"both.difference.lever:": "−2.000\u00a0cm",
	} {
		if got, err := p.Print("one", ref); got != want || err != nil {
			t.Errorf("{=%s} prints %q, %v; want %q", ref, got, err, want)
		}
	}
	for ref, want := range map[string]string{
		"grip.levr":  `{=grip.levr}: "levr" is no output or field of pivot-offset; nearest: "lever"`,
		"both.lever": `{=both.lever}: "both" compares two runs; write "both.current.lever", or candidate, or difference`,
	} {
		if _, err := p.Print("one", ref); err == nil || err.Error() != want {
			t.Errorf("{=%s}: %v, want %v", ref, err, want)
		}
	}
	if _, err := p.Print("two", "grip.lever"); err == nil || err.Error() != `page "two" has no values` {
		t.Error(err)
	}
}

func TestAnswersPairsAndHintsAreKept(t *testing.T) {
	p, problems := prove(exercise("answer: 1.118 cm\ntolerance: 0.05 cm\nhints:\n  - {mistake: m, output: angle_, say: s}\n  - {mistake: n, times: 2, say: s}"))
	if want := []string{`one.md:17: ask: hint: pivot-offset output "angle_" is unknown`}; !slices.Equal(problems, want) {
		t.Errorf("got %q", problems)
	}
	if a, ok := p.Answer("one", "ask"); !ok || a.Spec.ID != "pivot-offset" {
		t.Error("the exercise has no answer")
	}
	q, ok := p.Question("one", "ask", nil)
	if !ok || len(q.Mistakes) != 1 || q.Mistakes[0].Times != 2 || q.Ask != "lever" {
		t.Errorf("the question is kept as %+v", q) // without the hint that was refused
	}
	if _, _, ok := p.Pair("one", "ask"); ok {
		t.Error("an exercise is no pair")
	}
	if _, ok := p.Answer("none", "ask"); ok {
		t.Error("a page that is not there has no answers")
	}
}

func TestTheTableLinesUpAndCounts(t *testing.T) {
	p, _ := prove(worked("lever: 1.118 cm, owed_length: 2.0 cm"))
	var b bytes.Buffer
	p.Table(&b)
	want := `page  block  output       expected  computed    tolerance  verdict
one   grip   lever        1.118 cm  1.11803 cm  0.0005     holds
one   grip   owed_length  2.0 cm    1.118 cm    0.05       differs
2 stated numbers: 1 holds, 1 differs
`
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestTheOrderOfTheBookIsKeptOverManyPages(t *testing.T) {
	root := fstest.MapFS{}
	for i := range 60 {
		root[fmt.Sprintf("content/lessons/l%02d.md", i)] = &fstest.MapFile{Data: fmt.Appendf(nil,
			"---\ntitle: T\nsummary: S.\npart: 1\norder: %d\nminutes: 1\n---\n%s", i+1, worked("lever: 9 cm"))}
	}
	var log report.Log
	p := Run(book.Load(root, &log), &log, nil)
	if len(p.Checks) != 60 || len(log.Problems()) != 60 {
		t.Fatalf("%d checks, %d problems", len(p.Checks), len(log.Problems()))
	}
	for i, c := range p.Checks {
		if want := fmt.Sprintf("l%02d", i); c.Page != want || c.OK {
			t.Errorf("check %d is of page %s", i, c.Page)
		}
		if got := log.Problems()[i].File; got != c.File {
			t.Errorf("problem %d is of %s, want %s", i, got, c.File)
		}
	}
}

func FuzzExpectationsNeverPanic(f *testing.F) {
	for _, s := range []string{"1.45 cm ± 0.005", "none", "−3 deg", "1e300 m ± 1e290", ".5%", "5.", "±", "1e-400 cm"} {
		f.Add(s, uint8(1))
	}
	f.Fuzz(func(t *testing.T, text string, kind uint8) {
		defer bound.Watch(t, len(text))()
		e, err := readExpectation(text, quantity.Kind(kind%5))
		if err == nil && (e.tolerance < 0 || e.tolerance > e.last()*1.01 && e.last() > 0) {
			t.Errorf("%q: tolerance %v of last digit %v", text, e.tolerance, e.last())
		}
		if err == nil {
			e.print(e.number)
		}
	})
}

// A table that was cut short by a full disk is no proof.
func TestATableThatCannotBeWrittenIsToldOf(t *testing.T) {
	full := errors.New("no space left on device")
	for _, p := range []*Proof{{}, {Checks: []Check{{OK: true}}}} {
		if err := p.Table(writer(func([]byte) (int, error) { return 0, full })); err != full {
			t.Errorf("%d lines on a full disk: %v, want %v", len(p.Checks), err, full)
		}
	}
}

type writer func([]byte) (int, error)

func (w writer) Write(b []byte) (int, error) { return w(b) }
