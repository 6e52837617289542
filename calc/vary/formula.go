package vary

import (
	"errors"
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/spell"
)

// Formula computes a short formula over the fields, outputs and workings of an answer: numbers, + - * / and brackets, and
// the functions sin, cos and tan (of degrees), rad (degrees to radians), sqrt and abs. The error says what is wrong
// with the text; a result that is no finite number is an error too.
//
//	0.5 * angle
//	lever * rad(angle)
func Formula(text string, a catalog.Answer) (float64, error) {
	p := parser{text: text, answer: a}
	v := p.sum()
	p.blanks()
	switch {
	case p.err != nil:
		return 0, p.err
	case p.at < len(text):
		return 0, errors.New("stops making sense at " + quantity.Quoted(text[p.at:]))
	case math.IsNaN(v) || math.IsInf(v, 0):
		return 0, errors.New("gives no finite number here")
	}
	return v, nil
}

// parser reads a formula from the left, computing as it goes. The first error stays.
type parser struct {
	text   string
	at     int
	depth  int
	answer catalog.Answer
	err    error
}

// deepest bounds nesting, so that a hostile text cannot exhaust the stack.
const deepest = 50

func (p *parser) fail(text string) float64 {
	if p.err == nil {
		p.err = errors.New(text)
	}
	return 0
}

func (p *parser) blanks() {
	for p.at < len(p.text) && p.text[p.at] == ' ' {
		p.at++
	}
}

// take steps over the sign when it is next.
func (p *parser) take(sign byte) bool {
	p.blanks()
	if p.at < len(p.text) && p.text[p.at] == sign {
		p.at++
		return true
	}
	return false
}

func (p *parser) sum() float64 {
	v := p.product()
	for {
		switch {
		case p.take('+'):
			v += p.product()
		case p.take('-'):
			v -= p.product()
		default:
			return v
		}
	}
}

func (p *parser) product() float64 {
	v := p.factor()
	for {
		switch {
		case p.take('*'):
			v *= p.factor()
		case p.take('/'):
			v /= p.factor()
		default:
			return v
		}
	}
}

func (p *parser) factor() float64 {
	if p.depth++; p.depth > deepest {
		return p.fail("is nested too deeply")
	}
	defer func() { p.depth-- }()
	switch {
	case p.err != nil:
		return 0
	case p.take('-'):
		return -p.factor()
	case p.take('('):
		return p.rest()
	}
	word := p.word()
	switch {
	case word == "":
		return p.fail("needs a number, a name or a bracket at its place " + strconv.Itoa(p.at+1))
	case word[0] >= '0' && word[0] <= '9' || word[0] == '.':
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			return p.fail(quantity.Quoted(word) + " is no number")
		}
		return v
	case p.take('('):
		return p.apply(word, p.rest())
	}
	return p.value(word)
}

// rest reads up to the closing bracket.
func (p *parser) rest() float64 {
	v := p.sum()
	if !p.take(')') {
		return p.fail("lacks a closing bracket")
	}
	return v
}

// word reads letters, digits, points and underscores.
func (p *parser) word() string {
	p.blanks()
	start := p.at
	for p.at < len(p.text) {
		c := p.text[p.at]
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '_' || c == '.') {
			break
		}
		p.at++
	}
	return p.text[start:p.at]
}

func (p *parser) apply(name string, v float64) float64 {
	const degree = math.Pi / 180
	switch name {
	case "sin":
		return math.Sin(v * degree)
	case "cos":
		return math.Cos(v * degree)
	case "tan":
		return math.Tan(v * degree)
	case "rad":
		return v * degree
	case "sqrt":
		return math.Sqrt(v)
	case "abs":
		return math.Abs(v)
	}
	return p.fail(quantity.Quoted(name) + " is no function" + spell.Offer(name, []string{"sin", "cos", "tan", "rad", "sqrt", "abs"}))
}

func (p *parser) value(id string) float64 {
	for _, numbers := range [...]map[string]float64{p.answer.Result.Numbers, p.answer.Values.Numbers} {
		if v, ok := numbers[id]; ok {
			return v
		}
	}
	return p.fail(quantity.Quoted(id) + " is no number of this calculator here" + spell.Offer(id, p.answer.Spec.Names()))
}
