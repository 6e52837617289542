package quantity

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// The inch is 2.54 cm exactly: international yard and pound agreement of 1959, as NIST SP 811 (2008), appendix B.8, gives it;
// from memory.
func TestLengthsAreReadInOtherUnits(t *testing.T) {
	for _, c := range []struct {
		units  Units
		v      float64
		kind   Kind
		digits int
		want   string
	}{
		{Centimetres, 1.456, Length, 2, "1.46\u00a0cm"},
		{Millimetres, 1.456, Length, 2, "14.6\u00a0mm"},
		{Millimetres, -45, Length, 0, "−450\u00a0mm"},
		{Inches, 2.54, Length, 2, "1.000\u00a0in"},
		{Inches, -0.0001, Length, 2, "0.000\u00a0in"},
		{Millimetres, 1.5, Area, 2, "150\u00a0mm²"},
		{Inches, 6.4516, Area, 2, "1.000\u00a0in²"},
		{Inches, 90, Angle, 1, "90.0°"},
		{Millimetres, 0.5, Ratio, 2, "0.50"},
		{Inches, 3, Count, 0, "3"},
	} {
		if got := c.units.Format(c.v, c.kind, c.digits); got != c.want {
			t.Errorf("%g is %q, want %q", c.v, got, c.want)
		}
	}
	if got := Millimetres.Point(1.2, -0.35, 0, 2); got != "(12.0, −3.5, 0.0) mm" {
		t.Errorf("a point is %q", got)
	}
	for symbol, want := range map[string]Units{"mm": Millimetres, "in": Inches, "cm": Centimetres, "": Centimetres, "ell": Centimetres} {
		if got := UnitsNamed(symbol); got != want {
			t.Errorf("%q is %d", symbol, got)
		}
	}
}

// What a form shows, with the unit that stands behind it, reads back as the same length: exactly in millimetres for what a
// person typed, within half of the last digit in inches.
func TestWhatIsShownIsReadBack(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	for range 20000 {
		v := float64(random.IntN(2000000)-1000000) / 1000 // to the hundredth of a millimetre
		for units, slack := range map[Units]float64{Centimetres: 0, Millimetres: 0, Inches: 0.5000001e-4 * 2.54} {
			text := units.Typed(v, Length) + " " + units.Unit(Length)
			got, err := Parse(text, Length)
			if err != nil || math.Abs(got-v) > slack {
				t.Fatalf("%g cm is shown as %q and read as %g (%v)", v, text, got, err)
			}
			if strings.Contains(text, "e") {
				t.Fatalf("%g cm is shown as %q", v, text)
			}
		}
	}
}
