package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Shortest prints the fewest digits that read back as exactly v, in the form JSON allows. Negative zero prints as 0.
// Very small and very large magnitudes use an exponent, at the same thresholds as ECMAScript.
func Shortest(v float64) string {
	var room [32]byte // on the stack; no number has more than 25 characters
	return string(AppendShortest(room[:0], v))
}

// AppendShortest appends what Shortest prints: a batch prints millions of numbers and should not make a string of each.
func AppendShortest(b []byte, v float64) []byte {
	if v == 0 {
		return append(b, '0')
	}
	format := byte('f')
	if a := math.Abs(v); a < 1e-6 || a >= 1e21 {
		format = 'e'
	}
	return strconv.AppendFloat(b, v, format, -1, 64)
}

// Fixed prints v rounded to the given number of decimals, or with −1 the fewest that read back as exactly v, with an ASCII minus
// and no exponent; a value that rounds to zero has no sign.
func Fixed(v float64, digits int) string {
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// Number prints v as Fixed does with a typographic minus, as it stands on a page, without a unit.
func Number(v float64, digits int) string { return strings.Replace(Fixed(v, digits), "-", "−", 1) }

// Format prints v for a page: rounded to digits decimals, typographic minus, no-break space, unit ("1.45 cm", "85°").
func Format(v float64, kind Kind, digits int) string { return Centimetres.Format(v, kind, digits) }

// Entry prints v as a person would type it: shortest digits and the unit's suffix ("1.45 cm", "85 deg").
func Entry(v float64, kind Kind) string {
	if suffix := kind.Suffix(); suffix != "" {
		return Shortest(v) + " " + suffix
	}
	return Shortest(v)
}

// Things counts: "1 row", "2 rows". Whatever the engine says of a number of things is told by it, so that one of them reads right.
func Things(n int, one, many string) string {
	if n == 1 {
		many = one
	}
	return strconv.Itoa(n) + " " + many
}

// In prints v, which is in the unit named, for a page. The unit may be one that only a keyboard has: "deg" is printed as "°"
// and "mm2" as "mm²". A unit that nobody knows is printed as it is given.
func In(v float64, symbol string, digits int) string {
	switch symbol {
	case "deg", "°":
		return Format(v, Angle, digits)
	case "%":
		return Number(v, digits) + "%"
	}
	if end := strings.TrimSuffix(symbol, "2"); end != symbol {
		symbol = end + "²"
	}
	return Number(v, digits) + "\u00a0" + symbol
}

// Significant rounds v to twelve significant digits. A number that has few is left alone, which is quicker.
func Significant(v float64) float64 {
	if math.Round(v*1e4)/1e4 == v {
		return v
	}
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return short
}
