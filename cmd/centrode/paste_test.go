package main

import (
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
)

// A file of a table and the same text pasted into a page are the same question: whatever divides the cells, whichever sign the decimals,
// and whatever the first line calls the columns.
func TestAFileOfATableIsReadAsAPageReadsIt(t *testing.T) {
	const points = "pose,x,y,z\n0,0.5,2.25,3\n0,10,2,1.125\n0,4,-6.5,2\n1,2.25,-0.5,3\n1,2,-10,1.125\n1,-6.5,-4,2\n"
	decimals := strings.NewReplacer(",", ";", ".", ",").Replace(points)
	want, errOut, status := calc(points, "pose-fit", "-in", "-", "-format", "json")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errOut)
	}
	c, err := list.Find("pose-fit")
	if err != nil {
		t.Fatal(err)
	}
	table, _ := c.Spec().Table("landmarks")
	headed := func(text, head, divider string) string {
		return strings.Replace(text, strings.Join([]string{"pose", "x", "y", "z"}, divider), head, 1)
	}
	for i, text := range []string{points, headed(points, "Pose,X (cm),y [cm],Z / cm", ","), headed(decimals, "POSE;x in cm;y;z (cm);name", ";"), "\ufeff" + decimals, strings.ReplaceAll(points, ",", ";"), strings.ReplaceAll(decimals, ";", "\t"),
		strings.ReplaceAll(decimals, "\n", "\r\n"), strings.ReplaceAll(points, "\n", "\r"), `"` + strings.NewReplacer(";", `";"`, "\n", "\"\n\"").Replace(strings.TrimSpace(decimals)) + `"`} {
		if got, errOut, status := calc(text, "pose-fit", "-in", "-", "-format", "json"); status != 0 || got != want {
			t.Errorf("%d: status %d, %s\n%s\nwant\n%s", i, status, errOut, got, want)
		}
		p, err := plate.ReadPasted(table, text)
		if err != nil {
			t.Fatalf("%d: %v", i, err)
		}
		rows := catalog.NewRows(table)
		for _, cells := range p.Rows {
			if err := rows.Add(cells); err != nil {
				t.Fatalf("%d: %v", i, err)
			}
		}
		v := catalog.NewValues()
		v.Tables["landmarks"] = rows.Rows()
		answer, err := catalog.Run(c, v)
		if err != nil {
			t.Fatalf("%d: %v", i, err)
		}
		if got := string(answer.AppendJSON(nil)) + "\n"; got != want {
			t.Errorf("%d, pasted: %s\nwant %s", i, strconv.Quote(got), want)
		}
	}
}
