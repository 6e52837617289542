// Package quantity reads and prints numbers with units.
//
// Start at Parse and Format. Every number inside the program is in the base unit of its Kind: centimetres, degrees,
// square centimetres or plain numbers. Other units are accepted with a suffix ("12 mm", "0.25 turn") and converted
// once, on the way in. It does not check ranges (see catalog) and knows no compound units.
package quantity

import (
	"math"
	"strconv"
	"strings"

	"centrode/calc/spell"
)

// Kind says what a number measures; it fixes the base unit and the suffixes that are accepted.
type Kind uint8

// The kinds, each with its base unit.
const (
	Ratio  Kind = iota // a plain number; "%" is accepted
	Length             // cm
	Angle              // degrees
	Area               // cm²
	Count              // a whole number
)

type unit struct {
	symbol string
	kind   Kind
	factor float64 // base units in one of this unit
}

// units lists what may follow a number. The base unit of a kind comes first.
var units = []unit{
	{"cm", Length, 1}, {"mm", Length, 0.1}, {"m", Length, 100}, {"in", Length, 2.54}, {"ft", Length, 30.48},
	{"deg", Angle, 1}, {"°", Angle, 1}, {"rad", Angle, 180 / math.Pi}, {"turn", Angle, 360},
	{"cm²", Area, 1}, {"cm2", Area, 1}, {"mm²", Area, 0.01}, {"mm2", Area, 0.01}, {"m²", Area, 1e4}, {"m2", Area, 1e4},
	{"in²", Area, 6.4516}, {"in2", Area, 6.4516}, {"ft²", Area, 929.0304}, {"ft2", Area, 929.0304},
	{"%", Ratio, 0.01},
}

// written are the units in full, as people type them; messages offer the short forms alone.
var written = []unit{
	{"millimetre", Length, 0.1}, {"millimetres", Length, 0.1}, {"millimeter", Length, 0.1}, {"millimeters", Length, 0.1},
	{"centimetre", Length, 1}, {"centimetres", Length, 1}, {"centimeter", Length, 1}, {"centimeters", Length, 1},
	{"metre", Length, 100}, {"metres", Length, 100}, {"meter", Length, 100}, {"meters", Length, 100},
	{"inch", Length, 2.54}, {"inches", Length, 2.54}, {"\"", Length, 2.54}, {"″", Length, 2.54}, {"foot", Length, 30.48}, {"feet", Length, 30.48},
	{"degree", Angle, 1}, {"degrees", Angle, 1}, {"radian", Angle, 180 / math.Pi}, {"radians", Angle, 180 / math.Pi}, {"turns", Angle, 360},
}

// Name returns the word for the kind as it stands in messages and in a calculator's description.
func (k Kind) Name() string {
	return [...]string{"number", "length", "angle", "area", "count"}[k]
}

// Unit returns the base unit as printed after a number: "cm", "°", "cm²" or "".
func (k Kind) Unit() string { return [...]string{"", "cm", "°", "cm²", ""}[k] }

// Suffix returns the base unit as typed on a command line: "cm", "deg", "cm2" or "".
func (k Kind) Suffix() string { return [...]string{"", "cm", "deg", "cm2", ""}[k] }

// Error says why a text is no quantity of the wanted kind. Allowed is a condition in words.
type Error struct {
	Given   string
	Allowed string
}

// Error prints what was given, then what is allowed.
func (e *Error) Error() string { return Quoted(e.Given) + ": " + e.Allowed }

// Quoted puts a text in quotes for one line of a message and keeps a huge one short.
func Quoted(text string) string {
	if len(text) > 60 {
		text = strings.ToValidUTF8(text[:57], "") + "…"
	}
	return strconv.Quote(text)
}

// Parse reads text as a quantity of the kind and returns it in the base unit. A bare number is in the base unit.
// A typographic minus, spaces around number and unit, and a decimal comma ("1,45 cm") are accepted; infinities, NaN,
// hexadecimal and a comma that may divide thousands ("1,234") are refused with an *Error that says what to write instead.
func Parse(text string, kind Kind) (float64, error) {
	trimmed := decimalPoint(strings.Replace(strings.TrimSpace(text), "−", "-", 1))
	split := numberEnd(trimmed)
	digits, suffix := trimmed[:split], strings.TrimSpace(trimmed[split:])
	value, err := strconv.ParseFloat(digits, 64)
	switch {
	case digits == "" || (err != nil && !math.IsInf(value, 0)):
		return 0, &Error{text, "must be " + example(kind)}
	case math.IsInf(value, 0):
		return 0, &Error{text, "must be a number between -1.8e308 and 1.8e308"}
	case strings.HasPrefix(suffix, ","):
		return 0, &Error{text, withPoint(trimmed)}
	}
	factor, err := factorOf(text, suffix, kind)
	if err != nil {
		return 0, err
	}
	value = converted(digits, value, factor)
	if math.IsInf(value, 0) {
		return 0, &Error{text, "must be a number between -1.8e308 and 1.8e308"}
	}
	if kind == Count && value != math.Trunc(value) {
		return 0, &Error{text, "must be a whole number"}
	}
	return value + 0, nil
}

// decimalPoint puts a point for a comma that can only be a decimal one: the single mark of its number, with digits behind
// it that are no group of thousands. Any other text is returned as it is.
func decimalPoint(text string) string {
	whole, rest, ok := strings.Cut(text, ",")
	fraction, digits := leadingDigits(rest), strings.TrimLeft(whole, "+-")
	if !ok || fraction == "" || leadingDigits(digits) != digits || strings.ContainsAny(rest, ".,") || Thousands(whole, fraction) {
		return text
	}
	return whole + "." + rest
}

// Thousands reports whether the digits before and behind a comma could be a whole number in groups: one to three, then
// three. "1,234" could, and a guess could be wrong by a thousand; "0,234" and "1,45" could not. A sign before is no digit.
func Thousands(before, behind string) bool {
	before = strings.TrimLeft(before, "+-−")
	return len(behind) == 3 && len(before) >= 1 && len(before) <= 3 && before[0] != '0'
}

// withPoint says how to write a number that has a comma which decimalPoint left.
func withPoint(text string) string {
	whole, rest, _ := strings.Cut(text, ",")
	if strings.ContainsAny(whole, ".") || strings.ContainsAny(rest, ".,") {
		return "must use one point for decimals and nothing between thousands, as in \"1234.5\""
	}
	point := "must use a point for decimals, as in " + Quoted(whole+"."+rest)
	if Thousands(whole, leadingDigits(rest)) {
		return point + ", and nothing between thousands, as in " + Quoted(whole+rest)
	}
	return point
}

// leadingDigits are the digits that s begins with.
func leadingDigits(s string) string {
	for i := range len(s) {
		if !isDigit(s[i]) {
			return s[:i]
		}
	}
	return s
}

// converted is the number in the base unit. Where units differ by a power of ten the decimal point of the text is moved and
// the number read again: a tenth is no binary fraction, and 55.3 mm must be 5.53 cm and not 5.529999999999999.
func converted(digits string, value, factor float64) float64 {
	shift := 0
	switch factor {
	case 0.1:
		shift = -1
	case 0.01:
		shift = -2
	case 100:
		shift = 2
	case 1e4:
		shift = 4
	default:
		return value * factor
	}
	mantissa, exponent := digits, 0
	if i := strings.IndexAny(digits, "eE"); i >= 0 {
		var err error
		if exponent, err = strconv.Atoi(digits[i+1:]); err != nil {
			return value * factor // an exponent of twenty digits: the value is 0 or infinite whatever the unit
		}
		mantissa = digits[:i]
	}
	shifted, err := strconv.ParseFloat(mantissa+"e"+strconv.Itoa(exponent+shift), 64)
	if err != nil && !math.IsInf(shifted, 0) {
		return value * factor
	}
	return shifted
}

// numberEnd returns where the leading decimal number of s ends. An "e" counts only when digits follow it.
func numberEnd(s string) int {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	for i < len(s) && (isDigit(s[i]) || s[i] == '.') {
		i++
	}
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if j < len(s) && (s[j] == '+' || s[j] == '-') {
			j++
		}
		if j < len(s) && isDigit(s[j]) {
			for j < len(s) && isDigit(s[j]) {
				j++
			}
			return j
		}
	}
	return i
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func factorOf(text, suffix string, kind Kind) (float64, error) {
	if suffix == "" {
		return 1, nil
	}
	var all []string
	for i := range len(units) + len(written) {
		var u unit
		if i < len(units) {
			u = units[i]
			all = append(all, u.symbol)
		} else {
			u = written[i-len(units)]
		}
		switch {
		case u.symbol != suffix:
		case u.kind == kind:
			return u.factor, nil
		default:
			return 0, &Error{text, "is " + articled(u.kind) + "; must be " + example(kind)}
		}
	}
	return 0, &Error{text, `has the unknown unit ` + Quoted(suffix) + spell.Offer(suffix, all) + "; must be " + example(kind)}
}

// articled names what a unit measures; the only unit of a plain number is the percent sign.
func articled(kind Kind) string {
	switch kind {
	case Angle, Area:
		return "an " + kind.Name()
	case Ratio:
		return "a percentage"
	}
	return "a " + kind.Name()
}

// example says what a quantity of the kind looks like.
func example(kind Kind) string {
	switch kind {
	case Length:
		return "a length such as 1.2 cm (mm, cm, m, in or ft)"
	case Angle:
		return "an angle such as 90 deg (deg, rad or turn)"
	case Area:
		return "an area such as 4 cm2 (mm2, cm2, m2 or in2)"
	case Count:
		return "a whole number such as 3"
	}
	return "a number such as 0.5 (or 50 %)"
}
