package sheet

import (
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/calc/figure"
	"centrode/calc/plate"
)

// A map of 120 by 120 cells is on a sheet, and a finer one is refused by its member.
func TestAMapOfManyCellsIsRefusedOnASheet(t *testing.T) {
	for cells, want := range map[string]string{"120": "", "121": "must be at most 120 on a sheet"} {
		_, err := Prove(Sheet{Entries: []Entry{{Calculator: "placement-map", Candidate: "cells=" + cells}}}, list.Find)
		if (err != nil) != (want != "") || err != nil && !(strings.HasPrefix(err.Error(), "entries[1].candidate") && strings.Contains(err.Error(), want)) {
			t.Errorf("%s cells: %v; want %q", cells, err, want)
		}
	}
}

// What is left over and how sure it is goes first, then what changes, then what stays, and last what does not exist.
func TestWhatDecidesComesFirst(t *testing.T) {
	for _, c := range []struct {
		row  Row
		want int
	}{
		{Row{Key: "residual_rms", Current: "1", Candidate: "1"}, 0}, {Row{Key: "sigma_major", Current: "1", Candidate: "2"}, 0},
		{Row{Key: "sigma_major", Candidate: plate.None}, 3}, {Row{Key: "reach", Current: "1", Candidate: "2"}, 1},
		{Row{Key: "reach", Candidate: "2"}, 1}, {Row{Key: "reach", Current: "2", Candidate: "2"}, 2}, {Row{Key: "reach", Current: "2", Candidate: plate.None}, 3},
	} {
		if got := rankOf(c.row); got != c.want {
			t.Errorf("%+v: rank %d, want %d", c.row, got, c.want)
		}
	}
}

// An error stands behind a number, and not behind a word or behind nothing; nor is a word an error.
func TestAnErrorStandsBehindANumber(t *testing.T) {
	e := Entry{Numbers: []Number{{ID: "a", Digits: 2, Candidate: Of(1), Sigma: Of(0.25)}, {ID: "b", Digits: 2, Sigma: Of(0.25)}, {ID: "c", Digits: 2, Candidate: Of(1), Sigma: Word("small")}, {ID: "d", Digits: 2, Candidate: Of(1)}}}
	for i, want := range []string{"1.00 ± 0.25", "", "1.00", "1.00"} {
		if got := e.stated()[i].Candidate; got != want {
			t.Errorf("%+v: stated as %q, want %q", e.Numbers[i], got, want)
		}
	}
}

// On paper nobody can look into the plate: what was asked stands there, each input once, or is counted where there is no room.
func TestWhatWasAskedStandsOnTheSheet(t *testing.T) {
	for _, c := range []struct{ calculator, current, candidate, want, not string }{
		{"finger-curl", "mcp_flex=60", "mcp_flex=60&mcp_pivot=0.3", "Knuckle flexion (MCP) 60°, Middle joint flexion (PIP) ", "Knuckle pivot depth"},
		{"hinge-arc", "", "candidate_x=1", "Sweep to 150°", "Candidate pivot x"},
		{"pose-fit", "", "kind=hinge", "With: Landmarks by pose (20 rows).", "Kind of joint"},
	} {
		entry := Entry{Calculator: c.calculator, Current: c.current, Candidate: c.candidate}
		for entries := 1; entries <= MaxEntries; entries++ {
			v, err := Prove(Sheet{Entries: slices.Repeat([]Entry{entry}, entries)}, list.Find)
			if err != nil {
				t.Fatal(err)
			}
			e := v.Entries[0]
			fields, placed := len(e.live.Spec.Fields)+len(e.live.Values.Tables), len(e.Rows)-len(slices.DeleteFunc(slices.Clone(e.Rows), func(r Row) bool { return r.Placement }))
			if named := strings.Count(e.With, ", ") + 1; !strings.Contains(e.With, c.want) || strings.Contains(e.With, c.not) || named+placed+e.Unshown != fields {
				t.Errorf("%s, %d a sheet: %q, with %d placed and %d not shown of %d; want %q in it and no %q", c.calculator, entries, e.With, placed, e.Unshown, fields, c.want, c.not)
			}
			if page := string(figure.AppendJSON(nil, Page(v, "s"))); strings.Count(page, e.With) != entries || !strings.Contains(page, "sheet-blank") {
				t.Errorf("%s: the page of %d does not say so, or has no line for the reasons", c.calculator, entries)
			}
		}
	}
}

// A table is too long for paper: the sheet says how many rows it has, and whether both placements were asked with the same.
func TestASheetSaysWhetherATableIsTheSameInBoth(t *testing.T) {
	for _, c := range []struct{ calculator, current, candidate, want string }{
		{"limb-fold", "", "segments=10,0,0,90;12,0,0,90", "on (2 rows, against 3 rows for the current)."},
		{"limb-fold", "", "segments=10,0,0,90;12,0,0,90;9,0,0,90", "on (3 rows, against 3 rows for the current)."},
		{"limb-fold", "near=9", "near=10", "on (3 rows)."},
		{"reseat", "", "joints=root,,0,0,0&move=root", "at rest (1 row)."},
	} {
		v, err := Prove(Sheet{Entries: []Entry{{Calculator: c.calculator, Current: c.current, Candidate: c.candidate}}}, list.Find)
		if err != nil {
			t.Fatal(err)
		}
		if with := v.Entries[0].With; !strings.HasSuffix(with, c.want) {
			t.Errorf("%s, %q and %q: %q, want %q at its end", c.calculator, c.current, c.candidate, with, c.want)
		}
	}
}

// A place is three numbers from somewhere: the sheet says from where.
func TestAMeasuredPlaceSaysWhereItIsMeasured(t *testing.T) {
	v, err := Prove(Sheet{Entries: []Entry{measuredEntry()}, Reasons: "Because."}, list.Find)
	if err != nil {
		t.Fatal(err)
	}
	page := string(figure.AppendJSON(nil, Page(v, "s")))
	if !strings.Contains(page, "Measured from odalys.glb, in the world of the rest pose") || strings.Count(page, "sheet-blank") != 3 {
		t.Errorf("the page says %s", page)
	}
}
