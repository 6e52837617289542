package quantity

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"
)

func measures(t *testing.T, text string) Measures {
	t.Helper()
	m, err := MeasuresNamed(text)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestANumberIsWrittenInTheUnitThatWasAskedFor(t *testing.T) {
	for _, c := range []struct {
		units  string
		v      float64
		kind   Kind
		want   string
		source string
	}{
		{"mm", 1.4000000000000001, Length, "14.000000000000001 mm", "the digits of cm, the point moved"},
		{"mm", -0.05, Length, "-0.5 mm", "derived"},
		{"mm", 12, Area, "1200 mm2", "100 mm² are 1 cm²"},
		{"mm", 1e-9, Length, "1e-8 mm", "as JSON writes it"},
		{"mm", 1e300, Length, "1e301 mm", "derived"},
		{"m", 1234.5, Length, "12.345 m", "100 cm are 1 m"},
		{"m", 5, Length, "0.05 m", "derived"},
		{"m", 2.5e4, Area, "2.5 m2", "1e4 cm² are 1 m²"},
		{"in", 5.08, Length, "2 in", "2.54 cm are 1 in"},
		{"ft", 30.48, Length, "1 ft", "12 in"},
		{"ft", 929.0304, Area, "1 ft2", "30.48²"},
		{"turn", 90, Angle, "0.25 turn", "360 degrees"},
		{"rad", 90, Angle, "1.5707963267948966 rad", "π/2"},
		{"rad", 90, Length, "90 cm", "no unit of length was asked for"},
		{"in, rad", 0, Length, "0 in", "derived"},
		{"mm", 0.5, Ratio, "0.5", "a plain number"},
	} {
		if got := measures(t, c.units).Entry(c.v, c.kind); got != c.want {
			t.Errorf("%v in %s is %q, want %q (%s)", c.v, c.units, got, c.want, c.source)
		}
	}
}

// In units of a power of ten every number reads back exactly; in the others what is read back is written with the same digits.
func TestWhatIsWrittenInAnyUnitReadsBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	for _, c := range []struct {
		units string
		kind  Kind
		exact bool
	}{{"mm", Length, true}, {"m", Length, true}, {"mm", Area, true}, {"m", Area, true}, {"cm", Length, true}, {"deg", Angle, true},
		{"in", Length, false}, {"ft", Length, false}, {"ft", Area, false}, {"in", Area, false}, {"rad", Angle, false}, {"turn", Angle, false}} {
		m := measures(t, c.units)
		for i := range 20_000 {
			v := rng.NormFloat64() * math.Pow(10, float64(i%40)-20)
			if i%3 == 0 {
				v = math.Round(v*1e4) / 1e4
			}
			text := m.Entry(v, c.kind)
			if !json.Valid(m.Append(nil, v, c.kind)) {
				t.Fatalf("%q is no number of JSON", text)
			}
			back, err := Parse(text, c.kind)
			if err != nil || c.exact && back != v || m.Entry(back, c.kind) != text || math.Abs(back-v) > 1e-14*math.Abs(v) {
				t.Fatalf("%s: %v is written %q, reads back as %v (%v), which is written %q", c.units, v, text, back, err, m.Entry(back, c.kind))
			}
		}
	}
}

func TestUnitsThatCannotBeAskedForAreRefused(t *testing.T) {
	const must = "must be mm, cm, m, in or ft for lengths, or deg, rad or turn for angles"
	for text, want := range map[string]string{
		"furlong": `"furlong": ` + must, "cmm": `"cmm": ` + must + `; nearest: "mm"`, "mm2": `"mm2": ` + must + `; nearest: "mm"`, "": `"": ` + must, "mm,": `"": ` + must,
		"mm,cm": `"mm,cm": names two units of length`, "rad,turn": `"rad,turn": names two units of angle`,
	} {
		if _, err := MeasuresNamed(text); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
