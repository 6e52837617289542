package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
)

// calc runs `centrode calc` with a text on standard input.
func calc(stdin string, args ...string) (stdout, stderr string, status int) {
	var out, errOut bytes.Buffer
	status = runCalc(args, strings.NewReader(stdin), &out, &errOut)
	return out.String(), errOut.String(), status
}

// A quarter turn about z with the pivot moved by (3, 0) owes (I − R)·(3, 0) = (3, −3), in every unit and at every door.
// In floating
// point it owes 2.999999999999999: what is compared is that no door adds an error of its own.
func TestAnAnswerIsTheSameThroughEveryDoor(t *testing.T) {
	const want = `"owed_length":4.242640687119285,"owed_x":2.999999999999999,"owed_y":-3,"owed_z":0,"lever":3,`
	for _, c := range []struct {
		name, stdin, line string
	}{
		{"words in the base units", "", "offset_x=3 offset_y=0 angle=90"},
		{"words with units", "", "offset_x=30mm offset_y=0in angle=0.25turn"},
		{"a unit with a space", "", "offset_x=0.03~m offset_y=0 angle=1.5707963267948966~rad"},
		{"an object on standard input", `{"offset_x": 3, "offset_y": "0 mm", "angle": "90 deg"}`, "-in -"},
		{"an object with a byte order mark", "\ufeff {\"offset_x\": 3, \"offset_y\": 0, \"angle\": 90}\r\n", "-in -"},
		{"words outrank the file", `{"offset_x": 9, "offset_y": 0}`, "-in - offset_x=3 angle=90"},
	} {
		t.Run(c.name, func(t *testing.T) {
			args := append([]string{"pivot-offset", "-format", "json"}, strings.Fields(c.line)...)
			for i := range args {
				args[i] = strings.ReplaceAll(args[i], "~", " ")
			}
			out, errOut, status := calc(c.stdin, args...)
			if status != 0 || errOut != "" || !strings.Contains(out, want) {
				t.Errorf("calc %s = %d %s%s\nwant %s", c.line, status, errOut, out, want)
			}
		})
	}
}

func TestEachFormatHoldsTheSameNumbers(t *testing.T) {
	var object struct {
		Outputs map[string]*float64
	}
	out, _, status := calc("", "finger-curl", "mcp_flex=85", "pip_flex=100deg", "pip_depth=16mm", "-format", "json")
	if err := json.Unmarshal([]byte(out), &object); err != nil || status != 0 || strings.Count(out, "\n") != 1 {
		t.Fatalf("-format json: %d %v\n%s", status, err, out)
	}
	out, _, _ = calc("", "finger-curl", "mcp_flex=85", "pip_flex=100deg", "pip_depth=16mm", "-format", "csv")
	records, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil || len(records) != 2 {
		t.Fatalf("-format csv: %v\n%s", err, out)
	}
	text, _, _ := calc("", "finger-curl", "mcp_flex=85", "pip_flex=100deg", "pip_depth=16mm")
	if !strings.HasPrefix(text, "The pulp stops 1.28\u00a0cm short of the palm") {
		t.Errorf("the text begins with no sentence that tells the result: %q", text[:60])
	}
	seen := 0
	for i, id := range records[0] {
		value, ok := object.Outputs[id]
		if !ok {
			continue
		}
		seen++
		cell := records[1][i]
		if value == nil {
			if cell != "" || !strings.Contains(text, id+" none") {
				t.Errorf("%s is null in JSON, %q in CSV, in words:\n%s", id, cell, text)
			}
			continue
		}
		if digits, _ := json.Marshal(*value); cell != string(digits) || !strings.Contains(text, " "+cell+" ") {
			t.Errorf("%s is %s in JSON, %q in CSV, in words:\n%s", id, digits, cell, text)
		}
	}
	if seen != 16 {
		t.Errorf("compared %d outputs of finger-curl, want all 16", seen)
	}
}

// What is printed on standard error, whole, and the status with which it comes.
func TestARefusalSaysWhatToWriteInstead(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	for name, text := range map[string]string{
		"empty.csv": "", "blank.csv": " \r\n\n", "program.csv": "\x7fELF\x02\x00\x00", "wide.csv": "\xff\xfep\x00o\x00",
		"open.json": `{"angle": 90`, "list.json": `{"angle": [1]}`,
	} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	names := strings.Join(list.IDs(), ", ")
	for _, c := range []struct {
		line, stdin string
		status      int
		want        string
	}{
		{"", "", 2, "name a calculator: " + names},
		{"finger-crul", "", 2, `calculator "finger-crul" is unknown; nearest: "finger-curl"; centrode calc -list names them all`},
		{"finger-curl -format xml", "", 2, `-format "xml": must be text, json or csv`},
		{"finger-curl -format jsn", "", 2, `-format "jsn": must be text, json or csv; nearest: "json"`},
		{"finger-curl -table contacts", "", 2, "-table needs -format csv"},
		{"finger-curl -table contact -format csv", "", 2, `-table "contact": must be contacts; nearest: "contacts"`},
		{"pivot-offset -table x -format csv", "", 2, `-table "x": pivot-offset answers with no table`},
		{"finger-curl -fromat json", "", 2, "-fromat is no flag of calc; nearest: \"format\"; centrode calc -h tells more"},
		{"finger-curl -in", "", 2, "-in stands alone; a value must follow it; centrode calc -h tells more"},
		{"-list hinge-arc", "", 2, `-list names every calculator, and takes no "hinge-arc"`},
		{"finger-curl -figure drawing.png", "", 2, `-figure "drawing.png": must be a file name that ends in .svg`},
		{"finger-curl -figure nowhere/a.svg", "", 1, "nowhere/a.svg: the figure cannot be written: no such file or directory"},

		{"finger-curl mcp_depth=-2cm", "", 1, "mcp_depth: -2 cm: must be above 0 and at most 30 cm"},
		{"finger-curl mcp_deph=2", "", 1, `mcp_deph: is no field of finger-curl; nearest: "mcp_depth"`},
		{"finger-curl 85", "", 1, `"85" must be written field=value, as in "mcp_pivot=0.5"`},
		{"finger-curl mcp_flex=85cm", "", 1, `mcp_flex: "85cm": is a length; must be an angle such as 90 deg (deg, rad or turn)`},
		{"finger-curl mcp_flex=85grad", "", 1, `mcp_flex: "85grad": has the unknown unit "grad"; nearest: "rad"; must be an angle such as 90 deg (deg, rad or turn)`},
		{"finger-curl mcp_flex=", "", 1, `mcp_flex: "": must be an angle such as 90 deg (deg, rad or turn)`},
		{"finger-curl mcp_flex=NaN", "", 1, `mcp_flex: "NaN": must be an angle such as 90 deg (deg, rad or turn)`},
		{"finger-curl mcp_flex=1e999", "", 1, `mcp_flex: "1e999": must be a number between -1.8e308 and 1.8e308`},
		{"finger-curl mcp_flex=1,234", "", 1, `mcp_flex: "1,234": must use a point for decimals, as in "1.234", and nothing between thousands, as in "1234"`},
		{"pivot-offset axis_x=0 axis_y=0 axis_z=0", "", 1, "axis_x: 0, 0, 0: axis_x, axis_y and axis_z must not all be 0; for a hinge about z use 0, 0, 1"},

		{"pivot-offset -in missing.csv", "", 1, "missing.csv: cannot be read: no such file or directory"},
		{"pivot-offset -in .", "", 1, ".: is a folder; name a CSV or a JSON file"},
		{"pivot-offset -in empty.csv", "", 1, "empty.csv: the input is empty"},
		{"pivot-offset -in blank.csv", "", 1, "blank.csv: the input is empty"},
		{"pivot-offset -in -", "", 1, "standard input: the input is empty"},
		{"pivot-offset -in program.csv", "", 1, "program.csv: is no text; give a CSV or a JSON file, in UTF-8"},
		{"pivot-offset -in wide.csv", "", 1, "wide.csv: is no text; give a CSV or a JSON file, in UTF-8"},
		{"pivot-offset -in open.json", "", 1, `open.json: the input must be a JSON object such as {"angle": "60 deg"}: line 1, byte 12: the text ends inside a list or an object`},
		{"pivot-offset -in list.json", "", 1, `list.json: angle: [1]: must be a number, or a text such as "12 mm"`},
		{"pivot-offset -in -", `{"angel": 1}`, 1, `standard input: angel: is no field of pivot-offset; nearest: "angle"`},
		{"pivot-offset -in -", "offset_x;angel\n1;90\n", 1, `standard input: column "angel" is no field of pivot-offset; nearest: "angle"; a column "name" is copied, a row starts from its "preset", every other column must be a field; -keep angel copies it, if it is your own`},
		{"pose-fit -in -", "pose;x;y;z\n0;1;2;3\n1;1,234;5;6\n", 1, `standard input: landmarks.x row 2: "1,234": could mean 1.234 or 1234; write it with a point`},
		{"pivot-offset -in -", "offset_x,angel\n1,90\n", 1, `standard input: column "angel" is no field of pivot-offset; nearest: "angle"; a column "name" is copied, a row starts from its "preset", every other column must be a field; -keep angel copies it, if it is your own`},
		{"pivot-offset -in -", "angle,angle\n1,90\n", 1, `standard input: column "angle" stands twice in the header`},
		{"pivot-offset -in - -format text", "angle\n90\n", 2, "a batch prints -format csv or json, and no single table or figure"},
		{"pivot-offset -in - -figure a.svg", "angle\n90\n", 2, "a batch prints -format csv or json, and no single table or figure"},
	} {
		t.Run(c.line, func(t *testing.T) {
			out, errOut, status := calc(c.stdin, strings.Fields(c.line)...)
			if status != c.status || errOut != c.want+"\n" || out != "" {
				t.Errorf("centrode calc %s = %d\nstdout: %q\nstderr: %q\nwant %d and %q", c.line, status, out, errOut, c.status, c.want)
			}
		})
	}
}

func TestTheListNamesEveryCalculatorOnALineOfItsOwn(t *testing.T) {
	out, errOut, status := calc("", "-list")
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	if status != 0 || errOut != "" || len(lines) != len(list.All()) {
		t.Fatalf("calc -list = %d %s, %d lines\n%s", status, errOut, len(lines), out)
	}
	for i, c := range list.All() {
		spec := c.Spec()
		if words := strings.Fields(lines[i]); words[0] != spec.ID || !strings.HasSuffix(lines[i], " "+spec.Purpose) {
			t.Errorf("line %d is %q, want %s and its purpose", i+1, lines[i], spec.ID)
		}
	}
}

func TestADescriptionIsJSONThatNamesEveryFieldAndOutput(t *testing.T) {
	type named struct{ ID, Quantity string }
	for _, c := range list.All() {
		spec := c.Spec()
		out, errOut, status := calc("", spec.ID, "-describe")
		var told struct {
			ID              string
			Fields, Outputs []named
		}
		if err := json.Unmarshal([]byte(out), &told); err != nil || status != 0 || errOut != "" {
			t.Fatalf("calc %s -describe = %d %s %v", spec.ID, status, errOut, err)
		}
		if told.ID != spec.ID || len(told.Fields) != len(spec.Fields) || len(told.Outputs) != len(spec.Outputs) {
			t.Errorf("%s describes itself as %q with %d fields and %d outputs, want %d and %d", spec.ID, told.ID, len(told.Fields), len(told.Outputs), len(spec.Fields), len(spec.Outputs))
		}
	}
}

func TestHelpIsAskedForInEveryPlace(t *testing.T) {
	for _, line := range []string{"-h", "--help", "finger-curl -h", "finger-curl mcp_flex=85 -help"} {
		if out, errOut, status := calc("", strings.Fields(line)...); status != 0 || errOut != "" || out != calcHelp {
			t.Errorf("calc %s = %d %q %.40q, want the help", line, status, errOut, out)
		}
	}
}

// Every example of the help that reads no file is a command that answers.
func TestTheExamplesOfTheHelpAnswer(t *testing.T) {
	t.Chdir(t.TempDir())
	seen := 0
	_, examples, _ := strings.Cut(calcHelp, "examples:\n")
	for line := range strings.Lines(examples) {
		words := strings.Fields(strings.NewReplacer(`"0.25 turn"`, "0.25turn").Replace(line))
		if len(words) == 0 || slices.Contains(words, "-in") {
			continue
		}
		seen++
		if out, errOut, status := calc("", words[2:]...); status != 0 || errOut != "" || out == "" {
			t.Errorf("%s = %d %s", line, status, errOut)
		}
	}
	if seen < 3 {
		t.Errorf("the help holds %d examples that need no file, want at least 3", seen)
	}
	if _, err := os.Stat("elbow.svg"); err != nil {
		t.Error("the example with -figure drew nothing:", err)
	}
}

// poses are four corners of a square that turned by 90° about (1, 0, 0) with axis z: (x, y) → (1 − y, x − 1).
const poses = "pose,x,y,z\n0,0,0,0\n0,2,0,0\n0,2,2,0\n0,0,2,0.5\n1,1,-1,0\n1,1,1,0\n1,-1,1,0\n1,-1,-1,0.5\n"

// Columns of a table fill that table; the answer is then one.
func TestATableIsReadFromAFileAndPrintedAsOne(t *testing.T) {
	headed := func(head string) string { return strings.Replace(poses, "pose,x,y,z", head, 1) }
	for _, text := range []string{poses, strings.ReplaceAll("\ufeff"+poses, "\n", "\r\n"), strings.ReplaceAll(poses, "0.5", `" 5 mm"`),
		headed("Pose,X,y (cm),z [cm]"), strings.ReplaceAll(headed("pose,x,y,z (mm)"), "0.5", " 5 "), strings.ReplaceAll(headed("pose,x,y,z / m,name"), ",0.5", ",0.005,claw"),
	} {
		out, errOut, status := calc(text, "pose-fit", "kind=hinge", "-in", "-", "-format", "json")
		var answer struct {
			Outputs map[string]any
			Inputs  struct{ Landmarks []map[string]float64 }
		}
		if err := json.Unmarshal([]byte(out), &answer); err != nil || status != 0 {
			t.Fatalf("calc pose-fit -in = %d %s %v", status, errOut, err)
		}
		if n := len(answer.Inputs.Landmarks); n != 8 || answer.Inputs.Landmarks[7]["z"] != 0.5 {
			t.Fatalf("%d landmarks were read, want 8; the last is %v", n, answer.Inputs.Landmarks[n-1])
		}
		for id, want := range map[string]float64{"pivot_x": 1, "pivot_y": 0, "residual_rms": 0} {
			if got, ok := answer.Outputs[id].(float64); !ok || !(got-want <= 1e-9 && want-got <= 1e-9) {
				t.Errorf("%s = %v, want %v; derived: the square was turned about (1, 0)", id, answer.Outputs[id], want)
			}
		}
	}
	out, errOut, status := calc(poses, "pose-fit", "-in", "-", "-format", "csv", "-table", "poses")
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	if status != 0 || len(lines) != 2 || !strings.HasPrefix(lines[0], "pose,angle,") {
		t.Fatalf("-table poses = %d %s\n%s", status, errOut, out)
	}
	cells := strings.Split(lines[1], ",")
	angle, err := strconv.ParseFloat(cells[1], 64)
	if cells[0] != "1" || err != nil || !(math.Abs(angle-90) < 1e-9) {
		t.Errorf("-table poses says pose %s turns by %s, want 90; derived: the square was turned a quarter", cells[0], cells[1])
	}
}

func TestABadTableNamesRowAndColumn(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a word", strings.Replace(poses, "0,2,2,0", "0,2,two,0", 1), `standard input: landmarks.y row 3: "two": must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"a missing cell", strings.Replace(poses, "0,2,2,0", "0,2,2", 1), "standard input: landmarks.z row 3: is missing; every row needs it"},
		{"a cell too many", strings.Replace(poses, "0,2,2,0", "0,2,2,0,9", 1), "standard input: landmarks row 3: 5 cells: must have at most 4 cells, one for each column of the header"},
		{"an open quote", poses + "2,\"0,0,0\n", `standard input: line 10: extraneous or missing " in quoted-field; put a cell that holds a quote into quotes, and double the quote`},
		{"a missing column", "pose,x,y\n0,1,2\n", "standard input: landmarks.z: is missing from the header; every row needs it"},
		{"a misspelt column", "pose,x,y,z,weigth\n0,1,2,3,1\n", `standard input: landmarks.weigth: is no column of landmarks; nearest: "weight"; a column "name" may stand beside them`},
		{"a unit of another kind in the header", "pose,x (deg),y,z\n0,1,2,3\n", `standard input: landmarks."x (deg)": "1 deg": is an angle; must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"units of no kind in the header", "pose,x (px),y (px),z (px)\n0,1,2,3\n", `standard input: column "x (px)": "1 px": has the unknown unit "px"; must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"a label twice", "pose,x,y,z,X (m)\n0,1,2,3,1\n", "standard input: landmarks.x: stands twice in the header"},
		{"names of another program", "frame,px,py,pz\n0,1,2,3\n", `standard input: column "frame" is no field of pose-fit; a column "name" is copied, a row starts from its "preset", every other column must be a field; a file of landmarks has the columns pose, x, y, z, weight`},
		{"a column twice", "pose,x,y,z,x\n0,1,2,3,1\n", "standard input: landmarks.x: stands twice in the header"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, errOut, status := calc(c.text, "pose-fit", "-in", "-")
			if status != 1 || out != "" || errOut != c.want+"\n" {
				t.Errorf("= %d %s\nstderr %q\nwant   %q", status, out, errOut, c.want)
			}
		})
	}
}

func TestABatchGoesOnAfterABadRowAndTellsAtTheEnd(t *testing.T) {
	in := "name,offset_x,offset_y,angle\nhip,3,0,90\nknee,3,0,ninety\nankle,30 mm,0,0.25 turn\n"
	out, errOut, status := calc(in, "pivot-offset", "-in", "-")
	records, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil || len(records) != 4 || status != 1 {
		t.Fatalf("= %d %v\n%s", status, err, out)
	}
	if want := "1 row of 3 was refused; its error says why\n"; errOut != want {
		t.Errorf("stderr %q, want %q", errOut, want)
	}
	last := len(records[0]) - 1
	if records[0][last] != "error" || records[2][last] != `angle: "ninety": must be an angle such as 90 deg (deg, rad or turn)` {
		t.Errorf("the error column of the bad row holds %q", records[2][last])
	}
	for _, row := range []int{1, 3} {
		if records[row][4] != "4.242640687119285" || records[row][last] != "" {
			t.Errorf("row %d owes %q with error %q, want √18", row, records[row][4], records[row][last])
		}
	}
}

func TestABatchPrintsJSONLinesWhenAskedAndForAnArray(t *testing.T) {
	array := `[{"offset_x": 3, "offset_y": 0, "angle": 90}, {"angle": "?"}]`
	for _, c := range []struct{ name, stdin, format string }{
		{"an array", array, ""}, {"CSV", "offset_x,offset_y,angle\n3,0,90\n0,0,?\n", "json"},
	} {
		t.Run(c.name, func(t *testing.T) {
			args := []string{"pivot-offset", "-in", "-"}
			if c.format != "" {
				args = append(args, "-format", c.format)
			}
			out, _, status := calc(c.stdin, args...)
			lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
			if status != 1 || len(lines) != 2 {
				t.Fatalf("= %d\n%s", status, out)
			}
			if !strings.Contains(lines[0], `"owed_x":2.999999999999999,"owed_y":-3,`) {
				t.Errorf("the first line is %s", lines[0])
			}
			if want := `{"calculator":"pivot-offset","row":2,"error":"angle: \"?\": must be an angle such as 90 deg (deg, rad or turn)"}`; lines[1] != want {
				t.Errorf("the second line is %s\nwant %s", lines[1], want)
			}
		})
	}
}

// brokenPipe takes some bytes and then nothing more.
type brokenPipe struct{ left int }

func (w *brokenPipe) Write(b []byte) (int, error) {
	if w.left -= len(b); w.left < 0 {
		return 0, errors.New("the reader has left")
	}
	return len(b), nil
}

func TestAFailingWriterIsToldOfAtEveryDoor(t *testing.T) {
	rows := "angle\n" + strings.Repeat("90\n", 20_000)
	for _, c := range []struct{ line, stdin string }{
		{"-list", ""}, {"pivot-offset -describe", ""}, {"pivot-offset", ""}, {"pivot-offset -format json", ""},
		{"finger-curl -format csv -table contacts", ""}, {"pivot-offset -in -", rows}, {"pivot-offset -in -", `[{"angle":90}]`},
	} {
		for _, room := range []int{0, 100_000} {
			if room > 0 && c.stdin != rows {
				continue // all else is written at once
			}
			var errOut bytes.Buffer
			status := run(strings.Fields("calc "+c.line), strings.NewReader(c.stdin), &brokenPipe{room}, &errOut)
			if status != 1 || !strings.Contains(errOut.String(), "the reader has left") {
				t.Errorf("calc %s with room for %d bytes = %d %q, want 1 and the reason", c.line, room, status, errOut.String())
			}
		}
	}
}

// The figure is written whole or not at all: what stood there stays when there is nothing to draw.
func TestAFigureReplacesAnOldOneOnlyWhenThereIsAnAnswer(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "elbow.svg")
	if err := os.WriteFile(file, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, status := calc("", "hinge-arc", "to_angle=wide", "-figure", file); status != 1 {
		t.Errorf("a refused input ends with %d, want 1", status)
	}
	if text, err := os.ReadFile(file); err != nil || string(text) != "old" {
		t.Errorf("a refused input leaves %q, %v; want the old file", text, err)
	}
	out, errOut, status := calc("", "hinge-arc", "candidate_y=-2", "-figure", file)
	plain, _, _ := calc("", "hinge-arc", "candidate_y=-2")
	if status != 0 || errOut != "" || out != plain {
		t.Errorf("-figure changes the answer: %d %s\n%s", status, errOut, out)
	}
	text, err := os.ReadFile(file)
	if err != nil || !bytes.HasPrefix(text, []byte(`<svg xmlns="http://www.w3.org/2000/svg"`)) || !bytes.HasSuffix(text, []byte("</svg>\n")) {
		t.Errorf("the figure is not whole: %v\n%.80s", err, text)
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1 {
		t.Errorf("beside the figure lie %v, %v", left, err)
	}
	link := filepath.Join(dir, "link.svg")
	if err := errors.Join(os.Symlink("elbow.svg", link), os.WriteFile(file, nil, 0o600), os.Chmod(file, 0o600)); err != nil {
		t.Fatal(err)
	}
	_, errOut, status = calc("", "hinge-arc", "candidate_y=-2", "-figure", link)
	if info, err := os.Lstat(link); status != 0 || err != nil || info.Mode().Type() != os.ModeSymlink {
		t.Errorf("written through a link: %d %s, and the link is %v, %v", status, errOut, info, err)
	}
	through, err := os.ReadFile(file)
	if info, _ := os.Stat(file); err != nil || !bytes.Equal(through, text) || info.Mode().Perm() != 0o600 {
		t.Errorf("a private file behind a link has %d bytes of %d, %v, and is %v", len(through), len(text), err, info.Mode())
	}
	folder := filepath.Join(dir, "folder.svg")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if _, errOut, status := calc("", "hinge-arc", "-figure", folder); status != 1 || errOut != folder+": is no plain file; name another for the figure\n" {
		t.Errorf("a folder as figure = %d %q", status, errOut)
	}
	question := filepath.Join(dir, "question.svg")
	if err := os.WriteFile(question, []byte(`{"candidate_y": -2}`), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, errOut, status := calc("", "hinge-arc", "-in", question, "-figure", question); status != 1 || errOut != question+": is the file that was read, and would be lost; name another for the figure\n" {
		t.Errorf("the question's own file as figure = %d %q", status, errOut)
	}
	if text, _ := os.ReadFile(question); string(text) != `{"candidate_y": -2}` {
		t.Errorf("the question is now %.40q", text)
	}
}

// An input that breaks while it is read is told of with its name, and what was answered before it stays.
func TestAReaderThatFailsIsToldOf(t *testing.T) {
	broken := io.MultiReader(strings.NewReader("angle\n90\n"), failing{})
	var out, errOut bytes.Buffer
	status := runCalc([]string{"pivot-offset", "-in", "-"}, broken, &out, &errOut)
	if status != 1 || errOut.String() != "standard input: the disk is gone\n" || strings.Count(out.String(), "\n") != 2 {
		t.Errorf("= %d %q\n%s", status, errOut.String(), out.String())
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("the disk is gone") }

// A hundred thousand rows come out complete, in order, and each as it would alone.
func TestManyRowsKeepTheirOrder(t *testing.T) {
	const rows = 100_000
	var in strings.Builder
	in.WriteString("name,angle\n")
	for i := range rows {
		fmt.Fprintf(&in, "joint %d,%d\n", i, i%360-180)
	}
	out, errOut, status := calc(in.String(), "pivot-offset", "-in", "-")
	if status != 0 || errOut != "" {
		t.Fatalf("= %d %s", status, errOut)
	}
	alone := map[int]string{}
	i := -1
	for line := range strings.Lines(out) {
		if i++; i == 0 {
			continue
		}
		angle := (i-1)%360 - 180
		want, ok := alone[angle]
		if !ok {
			one, _, _ := calc("", "pivot-offset", fmt.Sprintf("angle=%d", angle), "-format", "csv")
			want = strings.Join(strings.Split(strings.Split(one, "\n")[1], ",")[10:], ",") // after the ten inputs
			alone[angle] = want
		}
		if want := fmt.Sprintf("joint %d,%d,%s\n", i-1, angle, want); line != want {
			t.Fatalf("row %d is %q, want %q", i, line, want)
		}
	}
	if i != rows {
		t.Errorf("%d rows came out of %d", i, rows)
	}
}

// Consoles of Windows show the sequences that steer a terminal.
func TestProgressStandsOnOneLineWithoutSequences(t *testing.T) {
	var screen strings.Builder
	progress(&screen)(math.MaxInt)
	line, blank := strings.TrimPrefix(screen.String(), "\r"), strings.Trim(clearLine, "\r")
	if line != "9223372036854775807 rows" || len(blank) < len(line) || strings.TrimSpace(blank) != "" {
		t.Errorf("progress %q is cleared by %q", screen.String(), clearLine)
	}
}
