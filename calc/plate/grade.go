package plate

import (
	"math"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Verdict is what Grade says of a reader's answer.
type Verdict string

// The verdicts.
const (
	Right  Verdict = "right"  // within the tolerance
	Unit   Verdict = "unit"   // the number is right in another unit than the one written or assumed
	Sign   Verdict = "sign"   // right but for its sign
	Hint   Verdict = "hint"   // the outcome of a known mistake
	Wrong  Verdict = "wrong"  // none of these
	Unread Verdict = "unread" // no quantity of the wanted kind
)

// Judgement is a verdict with what is needed to explain it.
type Judgement struct {
	Verdict Verdict
	Hint    int    // number of the matching hint, from 0; −1 when none
	Unit    string // the unit in which the number would be right
	Read    string // how the answer was read: "14.5 cm"
	Error   string // why it could not be read
}

// symbols are the units in which Grade looks for a right number: those that quantity.Parse knows, base units first.
var symbols = [...]string{"cm", "mm", "m", "in", "ft", "deg", "rad", "turn", "cm²", "mm²", "m²", "in²", "ft²", "%"}

// Grade judges the text of an answer. Right wins over every other verdict, then a known mistake (the nearest of hints
// within the tolerance), then a wrong unit or sign, and last a known mistake with the other sign: who takes one part of a
// vector for its length writes it as a length, without its sign. The slack for each is tolerance, in the base unit of the
// kind; in a wrong unit it is the same fraction of the answer.
//
//	kind       of the output asked for
//	text       as typed: "1.45", "14.5 mm" and "14,5 mm" are read, "1,234" is refused with advice
//	answer     the right value in the base unit
//	tolerance  how near a reader must come, base unit, at least 0
//	hints      outcomes of known mistakes, base unit; NaN entries match nothing
func Grade(kind quantity.Kind, text string, answer, tolerance float64, hints []float64) Judgement {
	given, err := quantity.Parse(text, kind)
	if err != nil {
		if j, ok := otherKind(text, answer, tolerance); ok {
			return j
		}
		return Judgement{Verdict: Unread, Hint: -1, Error: reason(err)}
	}
	j := Judgement{Verdict: Wrong, Hint: -1, Read: quantity.Entry(quantity.Significant(given), kind)}
	switch {
	case near(given, answer, tolerance):
		j.Verdict = Right
	case nearest(given, hints, tolerance) >= 0:
		j.Verdict, j.Hint = Hint, nearest(given, hints, tolerance)
	case rightUnit(text, kind, answer, tolerance) != "":
		j.Verdict, j.Unit = Unit, rightUnit(text, kind, answer, tolerance)
	case near(-given, answer, tolerance):
		j.Verdict = Sign
	case nearest(-given, hints, tolerance) >= 0:
		j.Verdict, j.Hint = Hint, nearest(-given, hints, tolerance)
	}
	return j
}

// near is written so that NaN is near nothing. The slack grows by one part in 10¹² for the rounding of a unit.
func near(a, b, tolerance float64) bool {
	return math.Abs(a-b) <= tolerance+1e-12*math.Abs(b)
}

// nearest returns the number of the hint closest to given within tolerance, or −1.
func nearest(given float64, hints []float64, tolerance float64) int {
	best, off := -1, math.Inf(1)
	for i, h := range hints {
		if d := math.Abs(given - h); near(given, h, tolerance) && d < off {
			best, off = i, d
		}
	}
	return best
}

// rightUnit returns the unit of the kind in which the bare number of text is the answer, or "".
func rightUnit(text string, kind quantity.Kind, answer, tolerance float64) string {
	number := bare(text)
	for _, symbol := range symbols {
		if v, err := quantity.Parse(number+" "+symbol, kind); err == nil && number != "" && near(v, answer, tolerance) {
			return symbol
		}
	}
	return ""
}

// otherKind recognises the right number behind a unit of another kind: "1.45 deg" for a length.
func otherKind(text string, answer, tolerance float64) (Judgement, bool) {
	number := bare(text)
	v, err := quantity.Parse(number, quantity.Ratio)
	if number == "" || err != nil || !near(v, answer, tolerance) || strings.Contains(strings.TrimPrefix(strings.TrimSpace(text), number), ",") {
		return Judgement{}, false
	}
	return Judgement{Verdict: Unit, Hint: -1, Read: clip(strings.TrimSpace(text))}, true
}

// bare returns the number at the start of text without what follows it.
func bare(text string) string {
	text = strings.TrimSpace(text)
	if end := strings.TrimSuffix(text, "2"); strings.HasSuffix(end, "m") || strings.HasSuffix(end, "in") || strings.HasSuffix(end, "ft") {
		text = end // the power of cm2, mm2, m2, in2 and ft2 is no digit of the number
	}
	return strings.TrimRight(strings.TrimRightFunc(text, func(r rune) bool { return (r < '0' || r > '9') && r != '.' }), " ")
}

func reason(err error) string {
	if q, ok := err.(*quantity.Error); ok {
		return q.Allowed
	}
	return err.Error()
}

// GradeOutput is Grade for an output of a calculator, with the numbers as text in the output's base unit (hints
// divided by spaces; an entry that is no number matches nothing). It answers JSON: verdict, hint, unit, read, error.
// A word is graded by being the same word, an article before it or a full stop behind it left out.
func GradeOutput(c catalog.Calculator, output, text, answer, tolerance, hints string) []byte {
	o, ok := c.Spec().Output(output)
	if !ok {
		return Refusal(catalog.UnknownField(c.Spec(), output))
	}
	j := Judgement{Verdict: Wrong, Hint: -1, Read: clip(strings.TrimSpace(text))}
	if o.Text {
		j = gradeWord(text, answer, strings.Fields(hints))
	} else {
		var list []float64
		for _, h := range strings.Fields(hints) {
			list = append(list, numberOr(h, math.NaN()))
		}
		j = Grade(o.Kind, text, numberOr(answer, math.NaN()), math.Max(0, numberOr(tolerance, 0)), list)
	}
	w := writer{}
	w.Open('{')
	w.Key("verdict").Text(string(j.Verdict))
	w.Key("hint").Number(float64(j.Hint))
	w.Key("unit").Text(j.Unit)
	w.Key("read").Text(j.Read)
	w.Key("error").Text(j.Error)
	w.Close('}')
	return w.B
}

func gradeWord(text, answer string, hints []string) Judgement {
	j := Judgement{Verdict: Wrong, Hint: -1, Read: clip(strings.TrimSpace(text))}
	word := plainWord(text)
	if strings.EqualFold(word, strings.TrimSpace(answer)) {
		j.Verdict = Right
		return j
	}
	for i, h := range hints {
		if strings.EqualFold(word, h) {
			j.Verdict, j.Hint = Hint, i
			return j
		}
	}
	return j
}

// plainWord is a word as it is compared: "a line." answers a question for a line.
func plainWord(text string) string {
	word := strings.Trim(text, " \t.")
	for _, article := range [...]string{"a ", "an ", "the "} {
		if len(word) > len(article) && strings.EqualFold(word[:len(article)], article) {
			return strings.TrimSpace(word[len(article):])
		}
	}
	return word
}

func numberOr(text string, fallback float64) float64 {
	if v, err := quantity.Parse(text, quantity.Ratio); err == nil {
		return v
	}
	return fallback
}
