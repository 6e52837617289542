package plate

import (
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/vary"
)

// Recipe is all that a page carries to ask an exercise again with fresh numbers: the question, and the numbers that its
// sentence tells.
type Recipe struct {
	vary.Question
	Told []Told
}

// Told is a number in the sentence of a question: a field, output or working, or a length of the story, which grows with
// all others.
type Told struct {
	_      catalog.Uncompared
	ID     string  // of a field, output or working; "" for a length of the story
	Length float64 // of the story, in cm
	Digits int     // decimals in the base unit, at least
	Unit   string  // "" for the base unit; a length of the story is then printed without any
}

// The records of a recipe's text begin with a letter: question, range, wobble, mistake, told.
const (
	recordMark = "|"
	partMark   = "/"
)

// WriteRecipe writes a recipe as one line of text that ReadRecipe reads back.
func WriteRecipe(spec catalog.Spec, r Recipe) string {
	var b strings.Builder
	record := func(parts ...string) {
		if b.Len() > 0 {
			b.WriteString(recordMark)
		}
		for i, part := range parts {
			if i > 0 {
				b.WriteString(partMark)
			}
			b.WriteString(part)
		}
	}
	number := quantity.Shortest
	state := func(v catalog.Values) string { return WriteState(catalog.State(spec, v)) }
	record("q", state(r.Given), r.Ask, number(r.Tolerance))
	for _, one := range r.Ranges {
		record("r", one.Field, number(one.From), number(one.To), number(one.Step))
	}
	for _, one := range r.Wobbles {
		record("w", one.Table, number(one.Share))
	}
	for _, one := range r.Mistakes {
		record("m", state(one.Given), one.Output, number(one.Times), Encode(one.Formula))
	}
	for _, one := range r.Told {
		record("t", one.ID, number(one.Length), strconv.Itoa(one.Digits), Encode(one.Unit))
	}
	return b.String()
}

// MaxRecipe is the longest recipe that is read, in bytes; the longest of the handbook has some three thousand.
const MaxRecipe = 1 << 16

// ReadRecipe reads a recipe for the calculator. A text that was not written by WriteRecipe is refused with a
// *catalog.InputError.
func ReadRecipe(c catalog.Calculator, text string) (Recipe, error) {
	r := Recipe{}
	broken := &catalog.InputError{Given: quantity.Quoted(clip(text)), Allowed: "is no recipe of an exercise"}
	if len(text) > MaxRecipe {
		return r, broken
	}
	for i, line := range strings.Split(text, recordMark) {
		parts := strings.Split(line, partMark)
		if (i == 0) != (parts[0] == "q") {
			return r, broken
		}
		known, err := r.record(c, parts)
		if err != nil {
			return r, err
		}
		if !known {
			return r, broken
		}
	}
	return r, nil
}

// record reads one record; known is false when it is none.
func (r *Recipe) record(c catalog.Calculator, parts []string) (known bool, err error) {
	number := func(i int) float64 { return numberOr(parts[i], 0) }
	switch kind := parts[0]; {
	case kind == "q" && len(parts) == 4:
		r.Given, err = complete(c, parts[1])
		r.Ask, r.Tolerance = parts[2], max(0, number(3))
	case kind == "r" && len(parts) == 5 && number(4) > 0 && (number(3)-number(2))/number(4) < 1e6:
		r.Ranges = append(r.Ranges, vary.Range{Field: parts[1], From: number(2), To: number(3), Step: number(4)})
	case kind == "w" && len(parts) == 3:
		r.Wobbles = append(r.Wobbles, vary.Wobble{Table: parts[1], Share: number(2)})
	case kind == "m" && len(parts) == 5:
		m := vary.Mistake{Output: parts[2], Times: number(3)}
		m.Formula, _ = decode(parts[4])
		m.Given, err = complete(c, parts[1])
		r.Mistakes = append(r.Mistakes, m)
	case kind == "t" && len(parts) == 5:
		digits, _ := strconv.Atoi(parts[3])
		unit, _ := decode(parts[4])
		r.Told = append(r.Told, Told{ID: parts[1], Length: number(2), Digits: max(0, min(digits, 9)), Unit: unit})
	default:
		return false, nil
	}
	return true, err
}

// complete reads a state and fills in the defaults.
func complete(c catalog.Calculator, state string) (catalog.Values, error) {
	values, err := ParseState(c.Spec(), state)
	if err != nil {
		return values, err
	}
	return catalog.Prepare(c.Spec(), values)
}
