package figure

import (
	"math"
	"os"
	"regexp"
	"strings"
	"testing"
)

func styleSheet(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../theme/styles/figure.css")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestFluidTextIsTwelvePixelsInTheNarrowestColumn reads each size against the narrowest column it is for.
func TestFluidTextIsTwelvePixelsInTheNarrowestColumn(t *testing.T) {
	sizes := regexp.MustCompile(`--figure-text-(\d+): ([\d.]+)px`).FindAllStringSubmatch(styleSheet(t), -1)
	for _, m := range sizes {
		column, size := num(t, m[1]), num(t, m[2])
		if seen := size * column / Fluid; !(seen >= 12) {
			t.Errorf("in a column of %v px, text of %v units is seen at %v px", column, size, seen)
		}
	}
	rules := regexp.MustCompile(`min-width: ([\d.]+)rem\) \{ \.figure-fluid \{ font-size: var\(--figure-text-(\d+)\)`).FindAllStringSubmatch(styleSheet(t), -1)
	for _, m := range rules {
		if num(t, m[1])*16 != num(t, m[2]) {
			t.Errorf("the size for %s px is used from %s rem", m[2], m[1])
		}
	}
	if len(sizes) != 8 || len(rules) != 7 {
		t.Errorf("found %d sizes and %d rules, want 8 and 7", len(sizes), len(rules))
	}
}

// TestTheHeatRampIsEven measures the steps between neighbouring colours in OKLab, where equal distances look equal.
func TestTheHeatRampIsEven(t *testing.T) {
	found := regexp.MustCompile(`--heat-\d+: light-dark\(oklch\(([\d.]+)% ([\d.]+) ([\d.]+)\), oklch\(([\d.]+)% ([\d.]+) ([\d.]+)\)\)`).FindAllStringSubmatch(styleSheet(t), -1)
	if len(found) != heatSteps {
		t.Fatalf("%d colours, want %d", len(found), heatSteps)
	}
	for scheme, first := range map[string]int{"light": 1, "dark": 4} {
		var last [3]float64
		low, high := math.Inf(1), 0.0
		for i, m := range found {
			hue := num(t, m[first+2]) * math.Pi / 180
			chroma := num(t, m[first+1])
			lab := [3]float64{num(t, m[first]) / 100, chroma * math.Cos(hue), chroma * math.Sin(hue)}
			if i > 0 {
				d := math.Sqrt((lab[0]-last[0])*(lab[0]-last[0]) + (lab[1]-last[1])*(lab[1]-last[1]) + (lab[2]-last[2])*(lab[2]-last[2]))
				low, high = min(low, d), max(high, d)
				if step := math.Abs(lab[0] - last[0]); !(math.Abs(step-0.024) <= 1e-9) {
					t.Errorf("%s: lightness steps by %v at %d; every step must be 0.024, so that it reads without colour", scheme, step, i)
				}
			}
			last = lab
		}
		if !(high/low <= 1.15) {
			t.Errorf("%s: steps differ by a factor of %v in OKLab, allowed 1.15", scheme, high/low)
		}
	}
}

// TestEveryClassHasARule keeps drawing and style sheet together.
func TestEveryClassHasARule(t *testing.T) {
	sheet := styleSheet(t)
	// Groups that only hold other things need no look.
	plain := map[string]bool{"figure-marks": true, "figure-labels": true, "figure-handles": true, "arrowed": true, "heat": true}
	checked := 0
	for _, f := range []Figure{Specimen(), HeatSpecimen(30)} {
		Each(Layout(f, Options{}), func(n Node) {
			for _, class := range strings.Fields(n.Attr("class")) {
				checked++
				if !plain[class] && !regexp.MustCompile(`\.`+class+`\b`).MatchString(sheet) {
					t.Errorf("class %q has no rule", class)
				}
			}
		})
	}
	if checked < 60 {
		t.Errorf("only %d classes checked", checked)
	}
}
