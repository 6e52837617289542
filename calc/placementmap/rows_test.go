package placementmap

import (
	"fmt"
	"math"
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

// The most cells and the most landmarks together would take an hour; what is allowed for so many poses is told.
func TestAMapThatWouldTakeForEverIsRefused(t *testing.T) {
	var text strings.Builder
	for pose := range 2001 {
		angle := 0.3 + float64(pose%50)/40
		if pose == 0 {
			angle = 0
		}
		sin, cos := math.Sincos(angle)
		for _, at := range [][2]float64{{10, 0}, {4, 3}, {7, -2}} {
			fmt.Fprintf(&text, "%d,%.4f,%.4f,0;", pose, at[0]*cos-at[1]*sin, at[0]*sin+at[1]*cos)
		}
	}
	v := catalog.NewValues()
	if err := catalog.Set(Calculator{}.Spec(), &v, "landmarks", strings.TrimSuffix(text.String(), ";")); err != nil {
		t.Fatal(err)
	}
	for cells, want := range map[float64]string{400: "cells: 400: must be at most 141 for 2000 poses", 142: "cells: 142: must be at most 141", 141: ""} {
		v.Numbers["cells"] = cells
		prepared, err := catalog.Prepare(Calculator{}.Spec(), v)
		if err != nil {
			t.Fatal(err)
		}
		_, err = Calculator{}.Stages(prepared)
		if (err == nil) != (want == "") || err != nil && !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%g cells a side: %v, want %q", cells, err, want)
		}
	}
}
