package proof

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/lesson"
)

// none is what is written, and printed, for an output that does not exist.
const none = "none"

// expectation is a stated number, read.
type expectation struct {
	number    float64 // in the unit as written
	unit      string  // as written; "" for the base unit
	factor    float64 // base units in one of unit
	decimals  int     // printed after the point, in that unit; negative when an exponent hides digits
	tolerance float64 // in the unit
}

// last is one unit of the last printed digit.
func (e expectation) last() float64 { return math.Pow10(-e.decimals) }

var stated = regexp.MustCompile(`^([+\-−]?)(\d+(?:\.(\d*))?|\.(\d+))(?:[eE]([+-]?\d+))?\s*(|[^,\s\d].*)$`)

// readExpectation reads "1.45 cm ± 0.005": a quantity of the kind, and how far the computed one may lie from it, in the
// same unit. Without a tolerance it is half a unit of the last printed digit; it may be no more than one whole unit,
// else the last digit would state nothing.
func readExpectation(text string, kind quantity.Kind) (expectation, error) {
	left, right, given := strings.Cut(text, "±")
	left, right = strings.TrimSpace(left), strings.TrimSpace(right)
	base, err := quantity.Parse(left, kind)
	if err != nil {
		return expectation{}, err
	}
	m := stated.FindStringSubmatch(left)
	if m == nil { // quantity.Parse took it, but lessons use the point
		return expectation{}, fmt.Errorf("%q: must be a number with its unit, as in 1.45 cm ± 0.005", left)
	}
	e := expectation{unit: m[6], factor: 1, decimals: len(m[3]) + len(m[4])}
	if exponent, err := strconv.Atoi(m[5]); err == nil {
		e.decimals -= exponent
	}
	if e.decimals > 15 || e.decimals < -300 {
		return expectation{}, fmt.Errorf("%q: must have at most 15 digits after the point", left)
	}
	if e.unit != "" {
		if e.factor, err = quantity.Parse("1"+e.unit, kind); err != nil {
			return expectation{}, err
		}
	}
	e.number = base / e.factor
	e.tolerance = e.last() / 2
	if given {
		return e.withTolerance(right)
	}
	return e, nil
}

func (e expectation) withTolerance(text string) (expectation, error) {
	number := strings.TrimSpace(strings.TrimSuffix(text, e.unit))
	tolerance, err := strconv.ParseFloat(number, 64)
	switch {
	case err != nil || tolerance < 0 || math.IsNaN(tolerance) || math.IsInf(tolerance, 0):
		return e, fmt.Errorf("tolerance %q: must be a number of at least 0 in the unit of the value, as in 1.45 cm ± 0.005", text)
	case tolerance > e.last()*(1+1e-9):
		return e, fmt.Errorf("tolerance %s is wider than the last printed digit, which is worth %s; print fewer digits or narrow it",
			number, quantity.Shortest(e.last()))
	}
	e.tolerance = tolerance
	return e, nil
}

// holds reports whether a computed number, in the unit as written, is near enough. Two parts in 10¹⁰ of the last digit
// are allowed for binary fractions: 0.15 is not exactly 15 of 0.01. Written so that NaN does not hold.
func (e expectation) holds(computed float64) bool {
	return math.Abs(computed-e.number) <= e.tolerance+2e-10*e.last()+4e-16*math.Abs(e.number)
}

// print writes a number in the unit as written with at least the stated decimals and two more, trailing zeros taken away,
// and further digits until the difference shows.
func (e expectation) print(v float64) string {
	digits := max(e.decimals, 0) + 2
	for ; digits < 15; digits++ {
		if shown, err := strconv.ParseFloat(quantity.Fixed(v, digits), 64); err != nil || e.holds(shown) == e.holds(v) {
			break
		}
	}
	text := quantity.Fixed(v, digits)
	for strings.HasSuffix(text, "0") && digits > max(e.decimals, 0) {
		text, digits = text[:len(text)-1], digits-1
	}
	return strings.TrimSuffix(text, ".")
}

// off writes a difference, with digits until it shows as more than the tolerance.
func (e expectation) off(difference float64) string {
	text := quantity.Fixed(difference, max(e.decimals, 0)+2)
	for digits := max(e.decimals, 0) + 3; digits < 16; digits++ {
		if shown, err := strconv.ParseFloat(text, 64); err != nil || shown > e.tolerance {
			break
		}
		text = quantity.Fixed(difference, digits)
	}
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

func withUnit(number, unit string) string {
	switch unit {
	case "", "°":
		return number + unit
	}
	return number + " " + unit
}

// expect compares one stated output with the answer, records the verdict and reports a difference.
func (p prover) expect(block lesson.Block, stated lesson.Expect, o catalog.Output, a catalog.Answer) bool {
	c := Check{File: p.page.Lesson.File, Line: stated.Line, Page: p.page.ID, Block: block.ID, Output: o.ID, Expected: stated.Text}
	complaint := p.judge(&c, stated.Text, o, a)
	c.OK = complaint == ""
	p.checks = append(p.checks, c)
	if !c.OK {
		p.problem(stated.Line, block.ID+": "+o.ID+": "+complaint)
	}
	return c.OK
}

// judge fills in the check and returns what is wrong, or "".
func (p prover) judge(c *Check, text string, o catalog.Output, a catalog.Answer) string {
	c.Computed = none
	v, exists := a.Result.Numbers[o.ID]
	word, isWord := a.Result.Texts[o.ID]
	if o.Text && isWord {
		c.Computed = word
	}
	if o.Text || text == none {
		if !o.Text && exists {
			c.Computed = quantity.Entry(v, o.Kind)
		}
		if c.Computed != text {
			return fmt.Sprintf("expected %s, computed %s%s", text, c.Computed, reason(o, a))
		}
		return ""
	}
	e, err := readExpectation(text, o.Kind)
	if err != nil {
		if exists {
			c.Computed = quantity.Entry(v, o.Kind)
		}
		return err.Error()
	}
	if e.unit == "" {
		e.unit = o.Kind.Suffix()
	}
	left, _, _ := strings.Cut(text, "±")
	c.Expected, c.Tolerance, c.number = strings.TrimSpace(left), quantity.Shortest(e.tolerance), e.number
	p.keepDigits(c.Block+"."+o.ID, e)
	if !exists {
		return fmt.Sprintf("expected %s ± %s, computed none%s", c.Expected, c.Tolerance, reason(o, a))
	}
	c.computed = v / e.factor
	c.Computed = withUnit(e.print(c.computed), e.unit)
	if e.holds(c.computed) {
		return ""
	}
	return fmt.Sprintf("expected %s ± %s, computed %s, off by %s", c.Expected, c.Tolerance, c.Computed, e.off(math.Abs(c.computed-e.number)))
}

// keepDigits remembers how fine a stated number is in the base unit, for the prose that prints it.
func (p prover) keepDigits(name string, e expectation) {
	shift := math.Log10(e.factor)
	if near := math.Round(shift); math.Abs(shift-near) < 1e-9 {
		p.digits[name] = max(e.decimals-int(near), 0)
	}
}

// reason tells why an output does not exist, when the calculator said.
func reason(o catalog.Output, a catalog.Answer) string {
	if a.Result.Has(o.ID) {
		return ""
	}
	for _, w := range a.Result.Warnings {
		if w.Field == o.ID {
			return " (" + strings.TrimSuffix(w.Text, ".") + ")"
		}
	}
	return ""
}
