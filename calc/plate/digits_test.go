package plate

import (
	"encoding/json"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
	"centrode/calc/quantity"
)

// A number in another unit shows about as much as it does in cm: metres two decimals more, millimetres one less, inches as many.
func TestAMeasureHasTheDecimalsOfItsUnit(t *testing.T) {
	for _, c := range []struct {
		v      float64
		kind   quantity.Kind
		digits int
		unit   string
		want   string
	}{
		{125, quantity.Length, 2, "", "125.00 cm"}, {125, quantity.Length, 2, "cm", "125.00 cm"}, {125, quantity.Length, 2, "m", "1.2500 m"},
		{125, quantity.Length, 2, "mm", "1250.0 mm"}, {125, quantity.Length, 0, "mm", "1250 mm"}, {5.08, quantity.Length, 2, "in", "2.00 in"},
		{30.48, quantity.Length, 2, "ft", "1.000 ft"}, {1, quantity.Length, 2, "deg", None},
	} {
		if got := strings.ReplaceAll(Measure(c.v, c.kind, c.digits, c.unit), "\u00a0", " "); got != c.want {
			t.Errorf("%v with %d decimals in %q: %q, want %q", c.v, c.digits, c.unit, got, c.want)
		}
	}
}

// What was typed is shown to its last digit, up to six decimals.
func TestTheDigitsThatWereTypedAreShown(t *testing.T) {
	for _, c := range []struct {
		v            float64
		digits, want int
	}{{1, 0, 0}, {1, 2, 2}, {1.5, 0, 1}, {1.25, 1, 2}, {1.000005, 0, 6}, {0.000003, 0, 6}, {1.0000001, 0, 0}, {1. / 3, 0, 6}, {1. / 3, 6, 6}} {
		if got := ExactDigits(c.v, c.digits); got != c.want {
			t.Errorf("%v with at least %d: %d decimals, want %d", c.v, c.digits, got, c.want)
		}
	}
}

func TestADifferenceThatRoundsToNothingHasNoSign(t *testing.T) {
	for v, want := range map[float64]string{0.004: "0.00 cm", -0.004: "0.00 cm", 0: "0.00 cm", 0.006: "+0.01 cm", -0.006: "−0.01 cm", 10: "+10.00 cm"} {
		if got := strings.ReplaceAll(Signed(quantity.Centimetres, v, quantity.Length, 2), "\u00a0", " "); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
}

// A field without a step of its own moves by a hundredth of its slider, and a tolerance below nought is none.
func TestWhatIsNotGivenHasItsDefault(t *testing.T) {
	for _, c := range []struct {
		field catalog.Field
		want  float64
	}{{catalog.Field{Max: 50}, 0.5}, {catalog.Field{Max: 1e6, SlideMin: -10, SlideMax: 10}, 0.2}, {catalog.Field{Max: 50, Step: 0.25}, 0.25}} {
		if got := stride(c.field); got != c.want {
			t.Errorf("%+v: a stride of %v, want %v", c.field, got, c.want)
		}
	}
	for tolerance, want := range map[string]string{"0": "right", "-1": "right", "": "right"} {
		var got struct{ Verdict string }
		if err := json.Unmarshal(GradeOutput(pivotoffset.Calculator{}, "owed_length", "2.5", "2.5", tolerance, ""), &got); err != nil || got.Verdict != want {
			t.Errorf("the right answer within %q: %+v, %v", tolerance, got, err)
		}
	}
}

func TestTheNearestOfTheMistakesIsTold(t *testing.T) {
	for _, c := range []struct {
		hints []float64
		want  int
	}{{[]float64{2.005, 2.008}, 0}, {[]float64{2.008, 2.005}, 1}, {[]float64{2.02, 1.993, 2.008}, 1}, {[]float64{2.02}, -1}, {nil, -1}} {
		if got := nearest(2, c.hints, 0.01); got != c.want {
			t.Errorf("2 among %v: %d, want %d", c.hints, got, c.want)
		}
	}
}
