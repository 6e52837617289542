package placementmap

import (
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

func TestAPointOfTheMapReadsAsItsCell(t *testing.T) {
	v := catalog.NewValues()
	v.Numbers["cells"] = 7
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	cells := a.Result.Tables["cells"]
	for i := range cells.Len {
		text := Calculator{}.Probe(a.Values, cells.Numbers["u"][i], cells.Numbers["v"][i])
		want := quantity.Format(cells.Numbers["rms"][i], quantity.Length, 3) + "."
		if !strings.HasSuffix(text, "rotation alone leaves "+want) {
			t.Errorf("cell %d reads %q, want …%s", i, text, want)
		}
	}
	for _, outside := range [][2]float64{{-5.001, 0}, {7.001, 0}, {0, 6.001}, {0, -6.001}} {
		if text := (Calculator{}).Probe(a.Values, outside[0], outside[1]); text != "" {
			t.Errorf("beside the map %v reads %q", outside, text)
		}
	}
}

func TestARoughMapHasFewCellsAndIsOtherwiseTheSame(t *testing.T) {
	full, err := catalog.Prepare(Calculator{}.Spec(), catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	rough := Calculator{}.Rough(full)
	if rough.Numbers["cells"] != roughCells || full.Numbers["cells"] != 48 {
		t.Errorf("%v cells a side instead of %v", rough.Numbers["cells"], full.Numbers["cells"])
	}
	rough.Numbers["cells"] = full.Numbers["cells"]
	for id, n := range full.Numbers {
		if rough.Numbers[id] != n {
			t.Errorf("%s is %v instead of %v", id, rough.Numbers[id], n)
		}
	}
	few := full.Clone()
	few.Numbers["cells"] = 5
	if got := (Calculator{}).Rough(few).Numbers["cells"]; got != 5 {
		t.Errorf("5 cells become %v", got)
	}
}

func TestTheStagesOfAMapAreItsRows(t *testing.T) {
	v := catalog.NewValues()
	v.Numbers["cells"] = 9
	w, err := catalog.Begin(Calculator{}, v)
	if err != nil || w.Total() != 9 {
		t.Fatalf("%v stages, %v; want 9", w, err)
	}
	v.Numbers["max_u"] = -9
	if _, err := catalog.Begin(Calculator{}, v); err == nil || !strings.HasPrefix(err.Error(), "max_u: ") {
		t.Errorf("a region inside out is begun: %v", err)
	}
}
