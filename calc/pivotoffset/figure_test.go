package pivotoffset

import (
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
)

// Pivots that differ along the line of sight alone, and those that a hand has just pulled apart on the sheet where they lay in one
// place, are enlarged as all others are.
func TestTheDetailSaysInOnePlaceOfPivotsInOnePlaceAlone(t *testing.T) {
	run := func(x, z float64, on *catalog.Answer) (catalog.Answer, string) {
		v := catalog.NewValues()
		v.Numbers["offset_x"], v.Numbers["offset_y"], v.Numbers["offset_z"] = x, 0, z
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		a.Values.On = on
		for _, m := range a.Calculator.Figure(a.Values, a.Result).Marks {
			if m, ok := m.(figure.Label); ok && (strings.Contains(m.Text, "larger") || strings.Contains(m.Text, "enlarged")) {
				return a, m.Text
			}
		}
		return a, ""
	}
	together, said := run(0, 0, nil)
	if said != "in one place, enlarged 20 times" {
		t.Errorf("pivots in one place are said to be %q", said)
	}
	if _, said := run(0, 0.5, nil); said != "20 times larger" {
		t.Errorf("pivots one behind the other are said to be %q", said)
	}
	if _, said := run(0.1, 0, &together); said != "20 times larger" {
		t.Errorf("pivots just pulled apart are said to be %q", said)
	}
}
