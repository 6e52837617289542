package quantity

import "strconv"

// Units says in what a reader wants lengths printed, and areas with them. The zero value is the base unit, the
// centimetre. Only what is printed for reading follows it; states, files and computations keep base units.
type Units uint8

// The units a reader can choose.
const (
	Centimetres Units = iota
	Millimetres
	Inches
	Metres // of the command alone, as feet are
	Feet
)

// UnitsNamed finds units by their symbol, "cm", "mm", "in", "m" or "ft"; any other text means centimetres.
func UnitsNamed(symbol string) Units {
	switch symbol {
	case "mm":
		return Millimetres
	case "in":
		return Inches
	case "m":
		return Metres
	case "ft":
		return Feet
	}
	return Centimetres
}

// Unit returns what is printed behind a number of the kind: "mm", "in²", "°".
func (u Units) Unit(kind Kind) string {
	switch kind {
	case Length:
		return [...]string{"cm", "mm", "in", "m", "ft"}[u]
	case Area:
		return [...]string{"cm²", "mm²", "in²", "m²", "ft²"}[u]
	}
	return kind.Unit()
}

// Change reports whether numbers of the kind are printed in another unit than the base unit.
func (u Units) Change(kind Kind) bool { return u != Centimetres && (kind == Length || kind == Area) }

// measure returns v in these units and with how many decimals it says as much as with digits decimals in base units: a
// decimal less where the unit is a tenth, one more for inches, which are coarser, and two for metres and feet.
func (u Units) measure(v float64, kind Kind, digits int) (float64, int) {
	if !u.Change(kind) {
		return v, digits
	}
	powers := 1
	if kind == Area {
		powers = 2
	}
	for range powers {
		switch u {
		case Millimetres:
			v *= 10
		case Inches:
			v /= 2.54
		case Metres:
			v /= 100
		case Feet:
			v /= 30.48
		}
	}
	switch u {
	case Millimetres:
		return v, max(0, digits-powers)
	case Inches:
		return v, digits + 1
	}
	return v, digits + 2*powers
}

// In returns v, given in the base unit, in these units.
func (u Units) In(v float64, kind Kind) float64 {
	v, _ = u.measure(v, kind, 0)
	return v
}

// Number prints v, given in the base unit, as the package's Number does, but in these units.
func (u Units) Number(v float64, kind Kind, digits int) string {
	return Number(u.measure(v, kind, digits))
}

// Format prints v, given in the base unit, as the package's Format does, but in these units ("14.5 mm", "0.571 in").
func (u Units) Format(v float64, kind Kind, digits int) string {
	return u.Number(v, kind, digits) + u.After(kind)
}

// After is what stands after a number of the kind on a page: the unit with the space it takes.
func (u Units) After(kind Kind) string {
	switch kind {
	case Angle:
		return "°"
	case Length, Area:
		return "\u00a0" + u.Unit(kind)
	}
	return ""
}

// Point prints the coordinates of a point, given in cm, with so many digits: "(1.20, −0.35, 0.00) cm" with 2.
func (u Units) Point(x, y, z float64, digits int) string {
	return "(" + u.Number(x, Length, digits) + ", " + u.Number(y, Length, digits) + ", " + u.Number(z, Length, digits) + ")" + u.After(Length)
}

// Typed prints v, given in the base unit, as a form shows it, without its unit: shortest digits, and in inches at most four decimals,
// since few tenths of a millimetre are short there.
func (u Units) Typed(v float64, kind Kind) string {
	number, digits := u.measure(v, kind, 3)
	if u != Inches || !u.Change(kind) {
		return Shortest(Significant(number))
	}
	short, err := strconv.ParseFloat(Fixed(number, digits), 64)
	if err != nil {
		return Shortest(number)
	}
	return Shortest(short)
}
