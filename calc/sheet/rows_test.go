package sheet

import (
	"strings"
	"testing"

	"centrode/calc/catalog/list"
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
