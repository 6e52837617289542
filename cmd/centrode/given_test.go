package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const (
	child  = "pose,x,y,z\n0,8,1.5,0.5\n0,8,-1.5,-0.5\n0,18,1,1.2\n1,5.08,5.53,0.75\n1,7.03,3.24,-0.31\n1,13.1,11.51,1.76\n"
	parent = "pose,x,y,z\n0,0,0,0\n0,10,0,0\n0,0,10,0\n1,3,0,0\n1,3,10,0\n1,-7,0,0\n"
)

// inFolder writes files and returns where they are.
func inFolder(t *testing.T, texts map[string]string) string {
	t.Helper()
	folder := t.TempDir()
	for name, text := range texts {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// Two tables of one question come from two files, in any order, as CSV or JSON, and are the same as typed in words.
func TestEachTableMayComeFromAFileOfItsOwn(t *testing.T) {
	link := func(text string) string {
		return strings.ReplaceAll(strings.TrimSpace(strings.TrimPrefix(text, "pose,x,y,z\n")), "\n", ";")
	}
	want, errOut, status := calc("", "pose-fit", "landmarks="+link(child), "parent="+link(parent), "-format", "json")
	if status != 0 || !strings.Contains(want, `"angle":90`) {
		t.Fatalf("status %d, %s%s", status, errOut, want)
	}
	at := inFolder(t, map[string]string{"child.csv": child, "torso.csv": parent, "torso.json": `[{"pose":0,"x":0,"y":0,"z":0},{"pose":0,"x":10,"y":0,"z":0},{"pose":0,"x":0,"y":10,"z":0},
		{"pose":1,"x":3,"y":0,"z":0},{"pose":1,"x":"30 mm","y":10,"z":0},{"pose":1,"x":-7,"y":0,"z":0}]`,
		"old=child.csv": child})
	file := func(name string) string { return filepath.Join(at, name) }
	for _, args := range [][]string{
		{"-in", file("child.csv"), "-in", "parent=" + file("torso.csv")},
		{"-in", "parent=" + file("torso.json"), "-in", "landmarks=" + file("child.csv")},
		{"-in", "parent=-", "-in", file("child.csv")},
		{"-in", "parent=" + file("torso.csv"), "-in", file("old=child.csv")},
	} {
		stdin := ""
		if args[1] == "parent=-" {
			stdin = strings.ReplaceAll(parent, ",", "   ")
		}
		if got, errOut, status := calc(stdin, append([]string{"pose-fit", "-format", "json"}, args...)...); status != 0 || got != want {
			t.Errorf("%v: status %d, %s\n%s\nwant\n%s", args, status, errOut, got, want)
		}
	}
	empty := inFolder(t, map[string]string{"torso.csv": "pose,x,y,z\n", "torso.json": "[]"})
	for _, c := range []struct {
		args string
		want string
		code int
	}{
		{"-in parent=" + filepath.Join(empty, "torso.csv"), filepath.Join(empty, "torso.csv") + ": holds no row of parent; fill it, or leave it out", 1},
		{"-in parent=" + filepath.Join(empty, "torso.json"), filepath.Join(empty, "torso.json") + ": holds no row of parent; fill it, or leave it out", 1},
		{"-in " + file("child.csv") + " -in " + file("torso.csv"), "-in " + file("torso.csv") + ": one file asks; say of another which table it fills, as in -in parent=" + file("torso.csv"), 2},
		{"-in parent=- -in -", "-in -: standard input can be read once; give a file for the other", 2},
		{"-in parent=", "-in parent=: names no file for the table", 2},
		{"-in parent=- -in parent=" + file("torso.csv"), "-in parent=" + file("torso.csv") + ": the table has a file already", 2},
		{"-in parent=-", `standard input: parent.0: is no column of parent; its columns are pose, x, y, z, weight; a column "name" may stand beside them`, 1},
		{"-keep shot", "-keep needs a batch, from -in", 2},
		{"-in " + file("child.csv") + " -keep shot", "-keep is for a batch; this file is one question", 2},
		{"-in - -keep kind", `-keep "kind": names columns of your own; fields, name and preset are copied anyway`, 2},
		{"-in - -keep pivot_x", `-keep "pivot_x": is what the answers call a column of theirs; give your own another name`, 2},
	} {
		if _, errOut, status := calc("0,1,2,3\n", append([]string{"pose-fit"}, strings.Fields(c.args)...)...); status != c.code || strings.TrimSpace(errOut) != c.want {
			t.Errorf("%s: status %d\n got %s\nwant %s", c.args, status, errOut, c.want)
		}
	}
}

// A table whose columns stand apart by spaces alone, as a terminal shows it, is read as a page reads it.
func TestATableFromATerminalIsRead(t *testing.T) {
	want, errOut, status := calc(child, "pose-fit", "-in", "-", "-format", "json")
	if status != 0 {
		t.Fatal(errOut)
	}
	for _, text := range []string{strings.ReplaceAll(child, ",", " "), "\ufeff" + strings.ReplaceAll(child, ",", "    "), strings.NewReplacer(",", "  ", "\n", "\r\n   ").Replace(child)} {
		if got, errOut, status := calc(text, "pose-fit", "-in", "-", "-format", "json"); status != 0 || got != want {
			t.Errorf("%q: status %d, %s", text, status, errOut)
		}
	}
	const refused = "standard input: where spaces alone divide the columns, each line below the first must have numbers alone, one for each column; put tabs or commas between them\n"
	for _, text := range []string{"pose x y z\n0 1 2\n", "pose x y z\n0 1 2 1 cm\n", "pose x y z\n0 1 2 low\n"} {
		if _, errOut, status := calc(text, "pose-fit", "-in", "-"); status != 1 || errOut != refused {
			t.Errorf("%q: status %d, %s", text, status, errOut)
		}
	}
}

// What is offered to be typed next can be typed: a folder with a space stands in quotes.
func TestTheNextCommandCanBeTyped(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "our st")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	var out, errOut strings.Builder
	if status := run([]string{"new", "lesson", "our-neck-rule", "-overlay", folder}, strings.NewReader(""), &out, &errOut); status != 0 {
		t.Fatal(errOut.String())
	}
	if want := `centrode serve -overlay "` + folder + `" and edit it`; !strings.Contains(out.String(), want) {
		t.Errorf("%q does not say %s", out.String(), want)
	}
}

// An answer in units that were asked for says which they are, in every format, and asked again gives the same answer.
func TestAnAnswerIsGivenInTheUnitsAskedFor(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"offset_y=4mm -units mm,rad", "\n  offset_y 4 mm "},
		{"offset_y=4mm -units mm,rad", "\n  angle    1.0471975511966 rad "},
		{"-units in", "must still key 0.440 in of translation"},
		{"-units ft,turn -format csv", "offset_x (ft),offset_y (ft),offset_z (ft),angle (turn),axis_x,"},
		{"-units m -format json", `{"calculator":"pivot-offset","units":{"length":"m","angle":"deg","area":"m2"},"inputs":{"offset_x":0.01,`},
	} {
		if out, errOut, status := calc("", append([]string{"pivot-offset"}, strings.Fields(c.args)...)...); status != 0 || !strings.Contains(out, c.want) {
			t.Errorf("%s: status %d, %s\n%s\nlacks %s", c.args, status, errOut, out, c.want)
		}
	}
	for _, units := range []string{"mm", "m,deg", "mm,rad", "in", "cm,turn", "ft"} {
		for _, name := range []string{"pivot-offset", "finger-curl", "limb-fold", "pose-fit", "bend-section", "reseat"} {
			answer := func(stdin string, args ...string) string {
				out, errOut, status := calc(stdin, append([]string{name, "-format", "json"}, args...)...)
				if status != 0 {
					t.Fatalf("%s %v: %s", name, args, errOut)
				}
				return out
			}
			first := answer("", "-units", units)
			again := answer(first, "-in", "-", "-units", units)
			was, _, _ := strings.Cut(first, `,"outputs"`)
			if is, _, _ := strings.Cut(again, `,"outputs"`); is != was {
				t.Errorf("%s in %s, asked again, differs:\n%s\n%s", name, units, is, was)
			}
			if exact := units == "mm" || units == "m,deg"; exact && (again != first || answer(first, "-in", "-") != answer("")) {
				t.Errorf("%s in %s, asked again, or in centimetres, differs", name, units)
			}
		}
	}
	csv, _, _ := calc("name,offset_x,angle\na,3,90\n", "pivot-offset", "-in", "-", "-units", "mm")
	if want := "name,offset_x,angle,owed_length (mm),"; !strings.HasPrefix(csv, want) || !strings.Contains(csv, "\na,3,90,") {
		t.Errorf("a batch in millimetres is\n%s", csv)
	}
	if _, errOut, status := calc("", "pivot-offset", "-units", "mm,cm"); status != 2 || errOut != "-units \"mm,cm\": names two units of length\n" {
		t.Errorf("status %d, %s", status, errOut)
	}
}

// What an answer says of its units is believed or refused, and never passed over: its numbers would be read ten times too large.
func TestUnitsOfAnAnswerAreUnderstoodOrRefused(t *testing.T) {
	const must = `; it must name units of length, angle and area, as in {"length": "mm"}`
	for units, want := range map[string]string{
		`{"length":5}`:        `standard input: "units" of the answer has "length": 5` + must,
		`{"length":""}`:       `standard input: "units" of the answer has "length": ""` + must,
		`{"lenght":"mm"}`:     `standard input: "units" of the answer has "lenght": "mm"` + must,
		`{"length":"stride"}`: `standard input: offset_y: "4 stride": has the unknown unit "stride"; must be a length such as 1.2 cm (mm, cm, m, in or ft)`,
		`{"length":"rad"}`:    `standard input: offset_y: "4 rad": is an angle; must be a length such as 1.2 cm (mm, cm, m, in or ft)`,
		`["mm"]`:              `standard input: "units" of the answer is a list; it must be an object`,
	} {
		if out, errOut, status := calc(`{"calculator":"pivot-offset","units":`+units+`,"inputs":{"offset_y":4}}`, "pivot-offset", "-in", "-"); status != 1 || strings.TrimSpace(errOut) != want {
			t.Errorf("%s: status %d\n got %s%s\nwant %s", units, status, out, errOut, want)
		}
	}
	want, _, _ := calc("", "pivot-offset", "offset_y=4mm", "angle=0.5rad", "offset_x=1in", "-format", "json")
	const said = `{"calculator":"pivot-offset","units":{"length":"mm","angle":"rad"},"inputs":{"offset_y":"4","angle":" 0.5 ","offset_x":"1 in"}}`
	if got, errOut, _ := calc(said, "pivot-offset", "-in", "-", "-format", "json"); got != want {
		t.Errorf("numbers in quotes are read as %s%s\nwant %s", got, errOut, want)
	}
}
