package quantity

import (
	"math"
	"strconv"
	"strings"

	"centrode/calc/spell"
)

// Measures says in what units the numbers of an answer are written for a reader or a program who asked for them. The zero value is the base
// units. Unlike Units it rounds nothing away: what is written reads back as what it was, to every digit of it.
type Measures struct{ length, angle, area unit }

// MeasuresNamed finds units by their symbols, at most one of length and one of angle: "mm", "in,rad". Areas go with the length.
func MeasuresNamed(text string) (m Measures, err error) {
	for word := range strings.SplitSeq(text, ",") {
		symbol := strings.TrimSpace(word)
		u, ok := unitOf(symbol)
		switch {
		case !ok || u.kind != Length && u.kind != Angle:
			return m, &Error{symbol, "must be mm, cm, m, in or ft for lengths, or deg, rad or turn for angles" + spell.Offer(symbol, []string{"mm", "cm", "ft", "deg", "rad", "turn"})}
		case u.kind == Length && m.length.symbol != "" || u.kind == Angle && m.angle.symbol != "":
			return m, &Error{text, "names two units of " + u.kind.Name()}
		case u.kind == Angle:
			m.angle = u
		default:
			m.length = u
			m.area, _ = unitOf(symbol + "2")
		}
	}
	return m, nil
}

func unitOf(symbol string) (unit, bool) {
	for _, u := range units {
		if u.symbol == symbol {
			return u, true
		}
	}
	return unit{}, false
}

// of is the unit of a kind; without a symbol where it is the base unit.
func (m Measures) of(kind Kind) (u unit) {
	switch kind {
	case Length:
		u = m.length
	case Angle:
		u = m.angle
	case Area:
		u = m.area
	}
	return u
}

// Unit is the unit of a kind as it is typed: "mm", "rad", "mm2", or "".
func (m Measures) Unit(kind Kind) string {
	if u := m.of(kind); u.symbol != "" {
		return u.symbol
	}
	return kind.Suffix()
}

// Asked reports whether any unit was.
func (m Measures) Asked() bool { return m != Measures{} }

// Head is the head of a column, with the unit behind it where one was asked for: "owed_x (mm)". Parse reads such heads.
func (m Measures) Head(id string, kind Kind) string {
	if u := m.of(kind); u.symbol != "" {
		return id + " (" + u.symbol + ")"
	}
	return id
}

// Entry prints v, given in the base unit, as the package's Entry does, but in these units.
func (m Measures) Entry(v float64, kind Kind) string {
	text := string(m.Append(nil, v, kind))
	if unit := m.Unit(kind); unit != "" {
		text += " " + unit
	}
	return text
}

// Append appends v, given in the base unit, as AppendShortest does, but in these units. Where they differ by a power of ten the point is moved
// and no digit changes, so the number reads back the same. Others are written so that they do where a number can, else with the fifteen digits
// that one always holds, and what reads back is written with the same digits again.
func (m Measures) Append(b []byte, v float64, kind Kind) []byte {
	u := m.of(kind)
	shift, decimal := map[float64]int{0.1: 1, 0.01: 2, 100: -2, 1e4: -4}[u.factor]
	switch {
	case u.symbol == "" || u.factor == 1 || v == 0:
		return AppendShortest(b, v)
	case decimal:
		return appendShifted(b, v, shift)
	}
	near := v / u.factor
	short, err := strconv.ParseFloat(strconv.FormatFloat(near, 'g', 15, 64), 64)
	if err != nil {
		return AppendShortest(b, near)
	}
	for _, x := range []float64{short, near, math.Nextafter(near, math.Inf(1)), math.Nextafter(near, math.Inf(-1))} {
		if x*u.factor == v {
			return AppendShortest(b, x)
		}
	}
	return AppendShortest(b, short)
}

// appendShifted appends the digits of v with the point moved to the right by so many places.
func appendShifted(b []byte, v float64, shift int) []byte {
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	text := strconv.FormatFloat(v, 'e', -1, 64)
	mantissa, power, _ := strings.Cut(text, "e")
	exponent, _ := strconv.Atoi(power)
	exponent += shift
	digits := strings.Replace(mantissa, ".", "", 1)
	switch {
	case exponent < -6 || exponent >= 21:
		return strconv.AppendInt(append(append(b, mantissa...), 'e'), int64(exponent), 10)
	case exponent < 0:
		return append(append(b, "0."+strings.Repeat("0", -exponent-1)...), digits...)
	case exponent >= len(digits)-1:
		return append(append(b, digits...), strings.Repeat("0", exponent-len(digits)+1)...)
	}
	return append(append(append(b, digits[:exponent+1]...), '.'), digits[exponent+1:]...)
}
