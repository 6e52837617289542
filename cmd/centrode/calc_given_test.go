package main

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Of two values for one thing, or of what a flag cannot go with, none is left out without a word.
func TestWhatIsGivenTwiceOrForNothingIsRefused(t *testing.T) {
	for _, c := range []struct {
		stdin string
		line  string
		want  int
		told  string
	}{
		{"", "pivot-offset angle=60 angle=90", 1, "angle: stands twice; give it once"},
		{"", "pivot-offset -format json -format csv", 2, "-format stands twice; give it once; centrode calc -h tells more"},
		{"", "pivot-offset -describe -describe", 2, "-describe stands twice; give it once; centrode calc -h tells more"},
		{"", "pivot-offset -describe=maybe", 2, "-describe=maybe: takes no value; centrode calc -h tells more"},
		{"", "pivot-offset -describe angle=9", 2, `-describe tells what pivot-offset takes, and takes no "angle=9"`},
		{"", "pivot-offset -describe -format json", 2, "-describe tells what pivot-offset takes, and takes no other flag"},
		{"", "-list -in nowhere", 2, "-list names every calculator, and takes no other flag"},
		{`{"angle":60,"offset_x":1,"angle":90}`, "pivot-offset -in -", 1, `standard input: the input must be a JSON object such as {"angle": "60 deg"}: line 1, byte 33: the name "angle" stands twice in one object; allowed is once`},
		{`{"segments":[{"length":20},{"length":30,"length":40}]}`, "limb-fold -in -", 1, `standard input: the input must be a JSON object such as {"angle": "60 deg"}: line 1, byte 49: the name "length" stands twice in one object; allowed is once`},
		{`{"segments":[{"length":20,"rest":0,"fold_min":0,"fold_max":0},{"length":30,"rest":0,"fold_min":0,"fold_max":90}]}`, "limb-fold -in -", 0, ""},
		{`{"angle":60,"offset_x":"angle"}`, "pivot-offset -in -", 1, `standard input: offset_x: "angle"`},
	} {
		out, errOut, status := calc(c.stdin, strings.Fields(c.line)...)
		if status != c.want || !strings.HasPrefix(errOut, c.told) || (out == "") != (status != 0) {
			t.Errorf("%s < %s = %d %q, want %d %q", c.line, c.stdin, status, errOut, c.want, c.told)
		}
	}
	if out, errOut, status := calc(`[{"angle":60},{"angle":60,"angle":90}]`, "pivot-offset", "-in", "-"); status != 1 || !strings.Contains(out, `byte 20: the name \"angle\" stands twice`) {
		t.Errorf("a name that stands twice in a batch = %d %s %s", status, out, errOut)
	}
}

// What is printed as CSV can be asked again: the apostrophe that keeps a spreadsheet from reading a formula is no part of a cell.
func TestCellsThatLookLikeFormulasAreReadAsTheyWereMeant(t *testing.T) {
	first, errOut, status := calc("name,aim_axis\na,+y\n", "hinge-plane", "hinge_axis=+z", "-in", "-")
	if status != 0 || !strings.Contains(first, "\na,'+y,") {
		t.Fatalf("status %d, %s\n%s", status, errOut, first)
	}
	lines := strings.SplitN(first, "\n", 3)
	cut := func(line string) string { return strings.Join(strings.SplitN(line, ",", 3)[:2], ",") }
	again, errOut, status := calc(cut(lines[0])+"\n"+cut(lines[1])+"\n", "hinge-plane", "hinge_axis=+z", "-in", "-")
	if status != 0 || strings.ReplaceAll(again, "'", "") != strings.ReplaceAll(first, "'", "") {
		t.Errorf("asked again: status %d, %s\n%s\nwant\n%s", status, errOut, again, first)
	}
	german, errOut, status := calc("name;offset_y;angle\n-4,19;-4,19;90\n-a,1;1;90\n", "pivot-offset", "-in", "-") // a number is no formula
	if status != 0 || !strings.Contains(german, "\n\"-4,19\",\"-4,19\",90,") || !strings.Contains(german, "\n\"'-a,1\",1,90,") {
		t.Errorf("decimal commas: status %d, %s\n%s", status, errOut, german)
	}
	const table = "name,parent,x,y,z\nhip,,0,0,0\n%s,hip,0,-10,0\ntoe,%[1]s,0,-20,0\n"
	plain, errOut, status := calc(fmt.Sprintf(table, "-l"), "reseat", "move=-l", "to_y=-11", "-in", "-")
	guarded, errOutGuarded, _ := calc(fmt.Sprintf(table, "'-l"), "reseat", "move=-l", "to_y=-11", "-in", "-")
	if status != 0 || plain != guarded {
		t.Errorf("a joint -l: status %d %s %s\n%s\n%s", status, errOut, errOutGuarded, plain, guarded)
	}
}

// What a spreadsheet calls its rows comes back with the answers and the refusals, at every door that can hold it.
func TestTheNamesOfABatchComeBack(t *testing.T) {
	const rows, list = "name,angle\n'-l,90\nknee,x\n,30\n", `[{"name":"-l","angle":90},{"angle":"x","name":"knee"},{"angle":30}]`
	for _, input := range []string{rows, list} {
		out, errOut, status := calc(input, "pivot-offset", "-in", "-", "-format", "json")
		lines := strings.Split(out, "\n")
		if status != 1 || len(lines) != 4 || !strings.HasPrefix(lines[0], `{"name":"-l","calculator":"pivot-offset","inputs":{`) ||
			!strings.HasPrefix(lines[1], `{"name":"knee","calculator":"pivot-offset","row":2,"error":"angle: `) || !strings.HasPrefix(lines[2], `{"calculator":`) {
			t.Errorf("%s = %d %s\n%s", input, status, errOut, out)
		}
	}
	if out, errOut, status := calc(`[{"name":7,"angle":90}]`, "pivot-offset", "-in", "-"); status != 1 || !strings.Contains(out, `"error":"name: 7: must be a text"`) {
		t.Errorf("a number as name = %d %s %s", status, out, errOut)
	}
	fromRows, _, _ := calc(`name,angle
'-l,90
knee,30
`, "pivot-offset", "-in", "-")
	fromList, errOut, status := calc(`[{"name":"-l","angle":90},{"angle":30,"name":"knee"},{"angle":30}]`, "pivot-offset", "-in", "-", "-format", "csv")
	if lines := strings.Split(fromList, "\n"); status != 0 || !strings.HasPrefix(fromList, "name,offset_x,") || len(lines) != 5 || !strings.HasPrefix(lines[3], ",") ||
		!slices.Equal(columns(t, fromList, "name", "angle", "owed_length")[:9], columns(t, fromRows, "name", "angle", "owed_length")) {
		t.Errorf("names of a list in CSV = %d %s\n%s\nwant those of\n%s", status, errOut, fromList, fromRows)
	}
	late := `[{"angle":90},{"angle":30,"name":"knee"}]`
	if out, _, status := calc(late, "pivot-offset", "-in", "-", "-format", "csv"); status != 1 || !strings.Contains(out, `name: ""knee"": the answers have no column for it`) {
		t.Errorf("%s in CSV = %d\n%s", late, status, out)
	}
	for _, none := range []string{"angle\n", "[]"} {
		if out, errOut, status := calc(none, "pivot-offset", "-in", "-", "-format", "json"); status != 0 || out != "" || errOut != "standard input: asks nothing: no row follows\n" {
			t.Errorf("%q = %d %q %q", none, status, out, errOut)
		}
	}
}

// columns gives the cells of these columns, row by row, the header first.
func columns(t *testing.T, text string, names ...string) (cells []string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	for _, row := range rows {
		for _, name := range names {
			cells = append(cells, row[slices.Index(rows[0], name)])
		}
	}
	return cells
}
