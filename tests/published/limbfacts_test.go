package published

import (
	"math"
	"strconv"
	"testing"
)

// jawKeys: a jaw keyed to turn by the measured angle and to translate by the implied chord hides the measured centre.
func jawKeys(t testing.TB, need func(string) fact) []check {
	t.Helper()
	below, chord := need("jaw-316").number(t, 0), need("jaw-317")
	var checks []check
	for i, degrees := range []float64{34, 32} {
		// About z, a centre at (0, −d) owes d·(−sin θ, −(1 − cos θ)): its length is the chord.
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		half := math.Sin(degrees * math.Pi / 360)
		scale := chord.number(t, i) / 10 / (2 * half) // cm
		in := given("keys", cells([][]float64{{0, 0, degrees, -scale * sin, -scale * (1 - cos), 0}}))
		name, slack := strconv.FormatFloat(degrees, 'g', -1, 64)+" deg: ", 0.05/(2*half)
		checks = append(checks,
			chord.expect(name+"centre below the condyle", "key-fit", in, millimetres("offset_y"), -below, slack, "half of the last printed digit of the chord, over 2 sin(θ/2)"),
			chord.expect(name+"centre behind the condyle", "key-fit", in, millimetres("offset_x"), 0, 1e-9, "exact formula"),
			chord.expect(name+"keyed chord", "key-fit", in, millimetres("before_rms"), 2*below*half, 0.05, halfDigit))
	}
	return checks
}

// lawOfCosines is the distance between the ends of two links folded by an angle from straight.
func lawOfCosines(a, b, degrees float64) float64 {
	return math.Sqrt(a*a + b*b + 2*a*b*math.Cos(degrees*math.Pi/180))
}

// foldedLimbs: how far an arm and a leg fold at published ranges of motion, with published segment fractions; the span is
// the law of cosines.
func foldedLimbs(t testing.TB, need func(string) fact) []check {
	t.Helper()
	const exact = "exact formula from the printed angle and fractions"
	hip, knee, ankle := need("body-fraction-378").number(t, 0), need("body-fraction-377").number(t, 0), need("body-fraction-376").number(t, 0)
	thigh, shank := need("body-fraction-380"), need("body-fraction-381")
	upper, fore := need("body-fraction-370").number(t, 0), need("body-fraction-371").number(t, 0)
	standing := chain([]float64{hip - knee, 0, 0, 0}, []float64{knee - ankle, 0, 0, 0})
	checks := []check{
		thigh.expect("thigh", "limb-fold", standing, func(n map[string]float64) float64 { return of("span_max")(n) - shank.number(t, 0) }, thigh.number(t, 0), 1e-12, exact),
		shank.expect("shank", "limb-fold", standing, func(n map[string]float64) float64 { return of("span_max")(n) - thigh.number(t, 0) }, shank.number(t, 0), 1e-12, exact),
		need("body-fraction-382").expect("arm as a chain", "limb-fold", chain([]float64{upper, 0, 0, 0}, []float64{fore, 0, 0, need("rom-229").number(t, 0)}), of("fold"), need("body-fraction-382").number(t, 0), 0.0005, halfDigit),
	}
	limb := func(id string, a, b float64) {
		f := need(id)
		flex := f.number(t, 0)
		in := chain([]float64{a, 0, 0, 0}, []float64{b, 0, 0, flex})
		checks = append(checks,
			f.expect("fold", "limb-fold", in, of("fold"), lawOfCosines(a, b, flex)/(a+b), 1e-12, exact),
			f.expect("stroke", "limb-fold", in, of("stroke"), a+b-lawOfCosines(a, b, flex), 1e-12, exact),
			f.expect("angle at the shortest", "limb-fold", in, of("extremes.at_min.2"), flex, 1e-9, exact))
	}
	for _, id := range []string{"rom-187", "rom-188", "rom-189", "rom-190", "rom-191", "rom-244", "rom-258"} {
		limb(id, upper, fore)
	}
	for _, id := range []string{"rom-251", "rom-273"} {
		limb(id, thigh.number(t, 0), shank.number(t, 0))
	}
	return checks
}

// dogLimbs: included angles of a dog's joints, as the spans of two equal links: 2 sin(included/2).
func dogLimbs(t testing.TB, need func(string) fact) []check {
	t.Helper()
	var checks []check
	for n := 350; n <= 355; n++ {
		f := need("dog-rom-" + strconv.Itoa(n))
		flexed, extended := f.number(t, 0), f.number(t, 1)
		in := chain([]float64{1, 0, 0, 0}, []float64{1, 0, 180 - extended, 180 - flexed})
		widest := math.Min(extended, 180) // beyond straight the limits hold the straight pose
		checks = append(checks,
			f.expect("shortest span", "limb-fold", in, of("span_min"), 2*math.Sin(flexed*math.Pi/360), 1e-12, "exact formula from the printed angle"),
			f.expect("longest span", "limb-fold", in, of("span_max"), 2*math.Sin(widest*math.Pi/360), 1e-12, "exact formula from the printed angle"))
	}
	return checks
}

// keptThickness: cos(θ/2) of a blended bend, at the angles whose cosine is a surd.
func keptThickness(need func(string) fact) []check {
	f := need("skinning-425")
	printed := map[float64]float64{45: 0.92388, 90: 0.70711, 180: 0}
	surds := []struct{ flex, cosine float64 }{
		{0, 1}, {30, (math.Sqrt(6) + math.Sqrt(2)) / 4}, {36, math.Sqrt(10+2*math.Sqrt(5)) / 4}, {45, math.Sqrt(2+math.Sqrt(2)) / 2},
		{60, math.Sqrt(3) / 2}, {72, (1 + math.Sqrt(5)) / 4}, {90, math.Sqrt(2) / 2}, {108, math.Sqrt(10-2*math.Sqrt(5)) / 4},
		{120, 0.5}, {135, math.Sqrt(2-math.Sqrt(2)) / 2}, {144, (math.Sqrt(5) - 1) / 4}, {150, (math.Sqrt(6) - math.Sqrt(2)) / 4}, {180, 0},
	}
	var checks []check
	for _, s := range surds {
		for _, sense := range []float64{1, -1} {
			name := strconv.FormatFloat(sense*s.flex, 'g', -1, 64) + " deg"
			if s.flex == 0 && sense < 0 {
				continue
			}
			in := given("flex", sense*s.flex, "depth", 2.5, "pivot", 0.4, "blend", 5.0, "length", 10.0)
			checks = append(checks, f.expect(name, "bend-section", in, of("thickness_ratio"), s.cosine, 1e-12, "a surd; rounding"))
			if want, ok := printed[s.flex]; ok && sense > 0 {
				checks = append(checks, f.expect(name+" as printed", "bend-section", in, of("thickness_ratio"), want, 5e-6, halfDigit))
			}
		}
	}
	return checks
}
