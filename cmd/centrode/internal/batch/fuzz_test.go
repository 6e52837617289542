package batch

import (
	"bytes"
	"centrode/tests/hard/bound"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"
)

// hostileCells are what a stranger's spreadsheet may hold, to run where somebody opens the answer.
var hostileCells = []string{"=1+1", "=HYPERLINK(\"https://a.example\",\"x\")", "+cmd|' /C calc'!A0", "-2+3+cmd|' /C calc'!A0", "@SUM(1,1)", "\t=1", "\r=1", "=1\"\",\"\"", "<script>alert(1)</script>"}

// FuzzCSV answers any text: what comes out has as many cells in every row, and no cell that a spreadsheet would compute.
func FuzzCSV(f *testing.F) {
	for _, s := range []string{"offset_x,offset_y,angle\n3,0,90\n", "name,angle\nx,90 deg\n", "\ufeffangle\r\n1e999\r\n", "angle;offset_x\n1;2\n", "name\n\"a\nb\"\n", "angle\n\"", "angle,angle\n1,2\n", "name,angle\n,,,\n", ""} {
		f.Add(s)
	}
	for _, cell := range hostileCells {
		f.Add("name,angle\n\"" + strings.ReplaceAll(cell, `"`, `""`) + "\",\"" + strings.ReplaceAll(cell, `"`, `""`) + "\"\n")
	}
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		var out bytes.Buffer
		if _, err := CSV(job(t), strings.NewReader(text), &out); err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Errorf("%q is refused without a word", text)
			}
			return
		}
		records, err := csv.NewReader(&out).ReadAll() // which insists on equal lengths
		if err != nil {
			t.Fatalf("%q gives no CSV: %v", text, err)
		}
		for _, r := range records {
			for _, cell := range r {
				if computes(cell) {
					t.Errorf("%q puts %q into a spreadsheet, which computes it", text, cell)
				}
			}
		}
	})
}

// computes reports whether a spreadsheet would take the cell as a formula.
func computes(cell string) bool {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return false
	}
	_, err := strconv.ParseFloat(cell, 64)
	return err != nil
}

func TestNoCellOfAnAnswerIsAFormula(t *testing.T) {
	if !computes("=1+1") || computes("-1.5e-3") {
		t.Error("the test tells formulas and numbers apart wrongly")
	}
	for _, cell := range hostileCells {
		quoted := `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
		rows, _ := answers(t, job(t), "name,angle\n"+quoted+",90\nplain,"+quoted+"\n")
		for _, row := range rows {
			for column, got := range row {
				if computes(got) {
					t.Errorf("%q comes out of column %s as %q", cell, column, got)
				}
			}
		}
		if rows[1]["error"] == "" {
			t.Errorf("%q was taken for a number", cell)
		}
	}
}
