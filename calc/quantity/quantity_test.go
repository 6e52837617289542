package quantity

import (
	"centrode/tests/hard/bound"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

var kinds = []Kind{Ratio, Length, Angle, Area, Count}

func TestAQuantityIsReadInItsBaseUnit(t *testing.T) {
	for _, c := range []struct {
		text   string
		kind   Kind
		want   float64
		tol    float64 // base units
		source string
	}{
		{"1.8", Length, 1.8, 0, "derived: a bare number is in cm"},
		{"1.8 cm", Length, 1.8, 0, "derived"},
		{"18mm", Length, 1.8, 3e-16, "derived: 1 mm = 0.1 cm; one rounding"},
		{"0.018 m", Length, 1.8, 3e-16, "derived: 1 m = 100 cm; one rounding"},
		{"2 in", Length, 5.08, 0, "definition: 1 in = 2.54 cm exactly (international yard and pound agreement, 1959)"},
		{"1 ft", Length, 30.48, 0, "definition: 12 in"},
		{"  −3.5 cm ", Length, -3.5, 0, "derived: typographic minus, spaces outside"},
		{"1.45\u00a0cm", Length, 1.45, 0, "derived: what Format prints"},
		{"1e-2 m", Length, 1, 0, "derived"},
		{"2E1 mm", Length, 2, 0, "derived"},
		{"+.5", Ratio, 0.5, 0, "derived"},
		{"5.", Ratio, 5, 0, "derived"},
		{"25 %", Ratio, 0.25, 0, "derived"},
		{"90", Angle, 90, 0, "derived: a bare number is in degrees"},
		{"85°", Angle, 85, 0, "derived: what Format prints"},
		{"0.25 turn", Angle, 90, 0, "derived: a turn is 360 degrees"},
		{"3.141592653589793 rad", Angle, 180, 0, "derived: π rad"},
		{"4 cm2", Area, 4, 0, "derived"},
		{"400 mm²", Area, 4, 0, "derived"},
		{"1 in2", Area, 6.4516, 0, "derived: 2.54²"},
		{"1 m²", Area, 1e4, 0, "derived"},
		{"7", Count, 7, 0, "derived"},
		{"2 inches", Length, 5.08, 0, "derived: 2.54 cm each"},
		{`3.5"`, Length, 8.89, 0, "derived: as on a drawing"},
		{"0.3 metres", Length, 30, 0, "derived"},
		{"12 millimeters", Length, 1.2, 0, "derived: as of mm"},
		{"2 feet", Length, 60.96, 0, "derived"},
		{"90 degrees", Angle, 90, 0, "derived"},
		{"1,45 cm", Length, 1.45, 0, "derived: one comma, two digits behind it"},
		{"14,5mm", Length, 1.45, 0, "derived"},
		{"−0,5", Length, -0.5, 0, "derived"},
		{",5", Ratio, 0.5, 0, "derived: as .5"},
		{"1,2345", Length, 1.2345, 0, "derived: four digits are no group of thousands"},
		{"0,125 m", Length, 12.5, 0, "derived: no group of thousands follows a 0"},
		{"1234,567", Length, 1234.567, 0, "derived: a fourth digit would have had a comma before it"},
		{"1,5e1 mm", Length, 1.5, 0, "derived"},
		{"12,5 %", Ratio, 0.125, 0, "derived"},
		{"7,0", Count, 7, 0, "derived"},
		{"-0", Length, 0, 0, "derived: no negative zero leaves Parse"},
		{"1e-999", Length, 0, 0, "derived: nearest representable number"},
	} {
		t.Run(c.text+" as "+c.kind.Name(), func(t *testing.T) {
			got, err := Parse(c.text, c.kind)
			if err != nil || !(math.Abs(got-c.want) <= c.tol) || math.Signbit(got) && got == 0 {
				t.Errorf("Parse(%q) = %v, %v, want %v\n\t%s", c.text, got, err, c.want, c.source)
			}
		})
	}
}

func TestARefusalSaysWhatToWriteInstead(t *testing.T) {
	const length = "must be a length such as 1.2 cm (mm, cm, m, in or ft)"
	for _, c := range []struct {
		text string
		kind Kind
		want string // the whole message
	}{
		{"", Length, `"": ` + length},
		{"long", Length, `"long": ` + length},
		{"cm", Length, `"cm": ` + length},
		{".", Length, `".": ` + length},
		{"1.2.3", Length, `"1.2.3": ` + length},
		{"--5", Length, `"--5": ` + length},
		{"NaN", Length, `"NaN": ` + length},
		{"Inf", Length, `"Inf": ` + length},
		{"-Infinity", Length, `"-Infinity": ` + length},
		{"1, cm", Length, `"1, cm": must use a point for decimals, as in "1. cm"`},
		{"1 ,5", Length, `"1 ,5": must use a point for decimals, as in "1 .5"`},
		{"-12,345", Length, `"-12,345": must use a point for decimals, as in "-12.345", and nothing between thousands, as in "-12345"`},
		{"1,234e2", Length, `"1,234e2": must use a point for decimals, as in "1.234e2", and nothing between thousands, as in "1234e2"`},
		{"1,5,25", Length, `"1,5,25": must use one point for decimals and nothing between thousands, as in "1234.5"`},
		{"1.5,25", Length, `"1.5,25": must use one point for decimals and nothing between thousands, as in "1234.5"`},
		{"2,5", Count, `"2,5": must be a whole number`},
		{"1,234 mm", Length, `"1,234 mm": must use a point for decimals, as in "1.234 mm", and nothing between thousands, as in "1234 mm"`},
		{"1.234,5", Length, `"1.234,5": must use one point for decimals and nothing between thousands, as in "1234.5"`},
		{"1,234,567", Length, `"1,234,567": must use one point for decimals and nothing between thousands, as in "1234.5"`},
		{"0x10", Length, `"0x10": has the unknown unit "x10"; ` + length},
		{"1_000", Length, `"1_000": has the unknown unit "_000"; ` + length},
		{"1e999", Length, `"1e999": must be a number between -1.8e308 and 1.8e308`},
		{"-1e999 mm", Length, `"-1e999 mm": must be a number between -1.8e308 and 1.8e308`},
		{"1e308 m", Length, `"1e308 m": must be a number between -1.8e308 and 1.8e308`},
		{"3 cmm", Length, `"3 cmm": has the unknown unit "cmm"; nearest: "cm"; ` + length},
		{"3 furlongs", Length, `"3 furlongs": has the unknown unit "furlongs"; ` + length},
		{"90 deg", Length, `"90 deg": is an angle; ` + length},
		{"90 degrees", Length, `"90 degrees": is an angle; ` + length},
		{"4 cm2", Length, `"4 cm2": is an area; ` + length},
		{"50 %", Length, `"50 %": is a percentage; ` + length},
		{"3 cm", Angle, `"3 cm": is a length; must be an angle such as 90 deg (deg, rad or turn)`},
		{"3 cm", Area, `"3 cm": is a length; must be an area such as 4 cm2 (mm2, cm2, m2 or in2)`},
		{"3 cm", Ratio, `"3 cm": is a length; must be a number such as 0.5 (or 50 %)`},
		{"3 cm", Count, `"3 cm": is a length; must be a whole number such as 3`},
		{"2.5", Count, `"2.5": must be a whole number`},
		{"1\n7", Length, `"1\n7": has the unknown unit "7"; ` + length},
	} {
		t.Run(c.text+" as "+c.kind.Name(), func(t *testing.T) {
			_, err := Parse(c.text, c.kind)
			var refusal *Error
			if !errors.As(err, &refusal) {
				t.Fatalf("Parse(%q) gave %v, want an *Error", c.text, err)
			}
			if got := err.Error(); got != c.want {
				t.Errorf("Parse(%q):\n got %s\nwant %s", c.text, got, c.want)
			}
		})
	}
}

func TestAMegabyteOfTextIsRefusedInAShortLine(t *testing.T) {
	for name, text := range map[string]string{
		"letters":         strings.Repeat("x", 1<<20),
		"a unit":          "1 " + strings.Repeat("é", 1<<19),
		"points":          strings.Repeat(".", 1<<20),
		"a comma":         "1,5," + strings.Repeat("5", 1<<20),
		"a long fraction": "1," + strings.Repeat("5", 1<<20) + " x",
		"many digits":     strings.Repeat("9", 1<<20),
		"a long invalid":  strings.Repeat("\xff", 1<<20),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Parse(text, Length)
			if err == nil {
				t.Fatal("accepted")
			}
			if n := len(err.Error()); n > 400 {
				t.Errorf("the message has %d bytes, allowed 400", n)
			}
		})
	}
}

func TestWhatEntryPrintsIsReadBackExactly(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 20_000 {
		v := math.Float64frombits(rng.Uint64())
		if math.IsNaN(v) || math.IsInf(v, 0) {
			continue
		}
		kind := kinds[i%len(kinds)]
		if kind == Count {
			v = math.Trunc(v)
		}
		if got, err := Parse(Entry(v, kind), kind); err != nil || got != v {
			t.Fatalf("seed 1,1 case %d: Parse(%q) = %v, %v, want %v", i, Entry(v, kind), got, err, v)
		}
	}
}

func TestNumbersArePrintedForTheirReader(t *testing.T) {
	for _, c := range []struct{ name, got, want string }{
		{"a length on a page", Format(1.4549, Length, 2), "1.45\u00a0cm"},
		{"an angle on a page", Format(-85.04, Angle, 1), "−85.0°"},
		{"an area on a page", Format(4, Area, 1), "4.0\u00a0cm²"},
		{"a ratio on a page", Format(0.5, Ratio, 2), "0.50"},
		{"a count on a page", Format(3, Count, 0), "3"},
		{"a number that rounds to nothing has no sign", Number(-0.004, 2), "0.00"},
		{"a number that does not has one", Number(-0.006, 2), "−0.01"},
		{"zeros inside a number stay", Fixed(-100, 2), "-100.00"},
		{"all of a number that was typed", Number(-0.1, -1), "−0.1"},
		{"a small one has no exponent on a page", Number(-2.5e-7, -1), "−0.00000025"},
		{"nothing has no sign", Number(math.Copysign(0, -1), -1), "0"},
		{"as typed, a length", Entry(1.8, Length), "1.8 cm"},
		{"as typed, an angle", Entry(-85, Angle), "-85 deg"},
		{"as typed, an area", Entry(4, Area), "4 cm2"},
		{"as typed, a ratio", Entry(0.25, Ratio), "0.25"},
		{"shortest, a third", Shortest(1.0 / 3), "0.3333333333333333"},
		{"shortest, negative zero", Shortest(math.Copysign(0, -1)), "0"},
		{"shortest, tiny", Shortest(1e-7), "1e-07"},
		{"shortest, at the lower threshold", Shortest(1e-6), "0.000001"},
		{"shortest, at the upper threshold", Shortest(1e21), "1e+21"},
		{"shortest, below it", Shortest(1e20), "100000000000000000000"},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, c.got, c.want)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"1.8 cm", "−3.5 in", "0.25 turn", "1,5 cm", "1,234", "1,5,", ",5", "NaN", "Inf", "0x10", "1e999", "1e308 m", "1_0", ".", "", "5e", "5e+", "90°", "50 %", "\xff", "1 cm2", "--1", "1e-400"} {
		for kind := range kinds {
			f.Add(seed, uint8(kind))
		}
	}
	f.Fuzz(func(t *testing.T, text string, which uint8) {
		defer bound.Watch(t, len(text))()
		kind := kinds[int(which)%len(kinds)]
		v, err := Parse(text, kind)
		if err != nil {
			var refusal *Error
			if !errors.As(err, &refusal) || refusal.Allowed == "" {
				t.Fatalf("Parse(%q) gave %v, want an *Error that says what is allowed", text, err)
			}
			if strings.Contains(err.Error(), "\n") || len(err.Error()) > 1000 {
				t.Fatalf("the message is no single short line: %q", err.Error())
			}
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("Parse(%q) = %v", text, v)
		}
		if again, err := Parse(Entry(v, kind), kind); err != nil || again != v {
			t.Fatalf("Parse(%q) = %v, but its Entry %q reads as %v, %v", text, v, Entry(v, kind), again, err)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse("12.5 mm", Length); err != nil {
			b.Fatal(err)
		}
	}
}

// derived: moving the decimal point of the text is what a person does.
func TestDecimalUnitsMoveThePoint(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		want float64
	}{
		{"55.3 mm", Length, 5.53}, {"12mm", Length, 1.2}, {"-0.7 mm", Length, -0.07}, {"1.5e1 mm", Length, 1.5}, {"0.57 m", Length, 57}, {"1.1 m", Length, 110},
		{"3.3 mm2", Area, 0.033}, {"0.00021 m2", Area, 2.1}, {"57.3 %", Ratio, 0.573}, {".5 mm", Length, 0.05}, {"5. mm", Length, 0.5},
	} {
		if got, err := Parse(c.text, c.kind); err != nil || got != c.want {
			t.Errorf("Parse(%q) = %v, %v, want %v", c.text, got, err, c.want)
		}
	}
	if _, err := Parse("1e307 m2", Area); err == nil {
		t.Error("1e307 m2 is more than can be held, and is accepted")
	}
}

func TestAUnitOfAKeyboardIsPrintedAsOfAPage(t *testing.T) {
	for _, c := range []struct{ symbol, want string }{
		{"deg", "−1.5°"}, {"°", "−1.5°"}, {"%", "−1.5%"}, {"cm2", "−1.5\u00a0cm²"}, {"mm²", "−1.5\u00a0mm²"}, {"rad", "−1.5\u00a0rad"}, {"mm", "−1.5\u00a0mm"},
	} {
		if got := In(-1.5, c.symbol, 1); got != c.want {
			t.Errorf("%s: %q, want %q", c.symbol, got, c.want)
		}
	}
}

func TestTwelveDigitsStayAndThirteenDoNot(t *testing.T) {
	for given, want := range map[float64]float64{1.23456789012: 1.23456789012, 1.234567890123: 1.23456789012, 0.1 + 0.2: 0.3} {
		if got := Significant(given); got != want {
			t.Errorf("Significant(%v) = %v, want %v", given, got, want)
		}
	}
}
