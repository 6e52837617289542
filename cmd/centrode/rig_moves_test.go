package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/calc/carry"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// write puts a file into a folder.
func write(t *testing.T, dir, name string, data []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// read is a file of a folder.
func read(t *testing.T, dir, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Several moves at once are the same moves one after another, to the byte, in whatever order they are written down.
func TestSeveralMovesAreThoseOneAfterAnother(t *testing.T) {
	dir := armIn(t)
	for _, how := range []string{"", " -orient aim", " -animation leave", " -within 1mm"} {
		last := "arm.glb"
		for _, one := range []string{"shoulder -to 0.1,142,0", "elbow -to 30,142,1.8", "wrist -to 55,142.4,0.2"} {
			next := strings.Fields(one)[0] + ".glb"
			os.Remove(filepath.Join(dir, next))
			if _, errOut, status := command(t, dir, strings.Fields("rig move "+last+" -joint "+one+" -out "+next+how)...); status != 0 {
				t.Fatal(errOut)
			}
			last = next
		}
		want := read(t, dir, last)
		for _, file := range []string{"joint,x,y,z\nshoulder,0.1,142,0\nelbow,30,142,1.8\nwrist,55,142.4,0.2\n",
			"joint;x (mm);y;z (m)\n#4;550;142,4;0,002\nelbow;300;142;0,018\n#2;1;142;0\n"} {
			write(t, dir, "moves.csv", []byte(file))
			os.Remove(filepath.Join(dir, "all.glb"))
			if out, errOut, status := command(t, dir, strings.Fields("rig move arm.glb -moves moves.csv -out all.glb"+how)...); status != 0 || !bytes.Equal(read(t, dir, "all.glb"), want) {
				t.Errorf("%s, %s: status %d, another file than by three commands\n%s%s", how, file, status, out, errOut)
			}
		}
	}
}

// What is told to type in after all moves is what the file holds, and each node is told once; also where a joint carries a mesh and is aimed.
func TestTheValuesOfSeveralMovesAreThoseOfTheFile(t *testing.T) {
	dir := armIn(t)
	crane, _ := character.Find("gantry-crane")
	write(t, dir, "crane.glb", crane.GLB())
	for _, c := range []struct{ file, moves string }{
		{"arm.glb", "joint,x,y,z\nshoulder,0.1,142,0\nelbow,30,142,1.8\nwrist,55,142.4,0.2\n"},
		{"crane.glb", cranesMoves(t, crane)},
	} {
		for _, orient := range []string{"keep", "aim"} {
			write(t, dir, "moves.csv", []byte(c.moves))
			rows, err := readMoves(filepath.Join(dir, "moves.csv"), nil)
			if err != nil {
				t.Fatal(err)
			}
			list, glb, _, err := carryOut(filepath.Join(dir, c.file), rows, carry.Options{Aim: orient == "aim"})
			if err != nil {
				t.Fatal(err)
			}
			doc, err := gltf.Read(glb, nil)
			if err != nil {
				t.Fatal(err)
			}
			told, known := carry.Type(list), map[int]bool{}
			for _, p := range told {
				n := doc.Nodes[p.Node]
				at, turn := n.Local.T.Scale(gltf.CmPerUnit), p.Is.Quaternion
				if off := at.Sub(p.Is.Translation).Len(); known[p.Node] || n.Name != p.Name || off > 1e-4 || rigid.Apart(turn.Rot(), n.Rotation.Rot()) > 1e-6 {
					t.Errorf("%s, %s: %s (node %d) is told to stand at %v, turned by %v; in the file %q stands at %v, turned by %v", c.file, orient, p.Name, p.Node, p.Is.Translation, turn, n.Name, at, n.Rotation)
				}
				known[p.Node] = true
			}
			if len(told) < len(list)+1 {
				t.Errorf("%s, %s: values of %d nodes for %d moves", c.file, orient, len(told), len(list))
			}
		}
	}
}

// cranesMoves shifts every joint of the crane a little.
func cranesMoves(t *testing.T, c character.Character) string {
	t.Helper()
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	text := "joint,x,y,z\n"
	worlds := doc.Worlds()
	for _, name := range []string{"boom", "jib", "hook", "mast", c.Flawed} {
		for i, n := range doc.Nodes {
			if at := worlds[i].T.Scale(gltf.CmPerUnit); n.Name == name && !strings.Contains(text, "\n"+name+",") {
				text += name + "," + number(at.X+2) + "," + number(at.Y-3) + "," + number(at.Z+0.5) + "\n"
			}
		}
	}
	return text
}

func number(x float64) string {
	data, _ := json.Marshal(math.Round(x*1e6) / 1e6)
	return string(data)
}

// The own offsets that are told are a file for -moves: by it a file goes where the coordinates take the character.
func TestOwnOffsetsOfSeveralMovesAreAFileOfMoves(t *testing.T) {
	dir := armIn(t)
	write(t, dir, "moves.csv", []byte("joint,x,y,z\nwrist,55,142.4,0.2\nelbow,30,142,1.8\n"))
	out, errOut, status := command(t, dir, strings.Fields("rig move arm.glb -moves moves.csv -plan")...)
	_, own, found := strings.Cut(out, "as a file for -moves:\n")
	own, _, _ = strings.Cut(own, "The rest surface")
	if status != 0 || !found {
		t.Fatal(out, errOut)
	}
	write(t, dir, "own.csv", []byte(own))
	values := func(file string) (text string) {
		out, errOut, status := command(t, dir, strings.Fields("rig move arm.glb -moves "+file+" -plan")...)
		if status != 0 {
			t.Fatal(errOut)
		}
		_, text, _ = strings.Cut(out, "Values to type in")
		text, _, _ = strings.Cut(text, "The rest surface")
		return strings.ReplaceAll(text, "-0.0000 ", " 0.0000 ")
	}
	if a, b := values("moves.csv"), values("own.csv"); a != b {
		t.Errorf("by coordinates\n%s\nby own offsets\n%s", a, b)
	}
}

func TestMovesThatCannotBeMadeAreRefusedWhole(t *testing.T) {
	dir := armIn(t)
	for _, c := range []struct {
		moves, args, says string
		status            int
	}{
		{"joint,x,y,z\nelbow,1,2,3\nelbow,1,2,4\n", "", `"elbow": is moved twice; give each joint one place`, 1},
		{"joint,x,y,z\nelbow,1,2,3\n#3,1,2,4\n", "", `"elbow": is moved twice`, 1},
		{"joint,x,y,z\nelbow,1,2,3\nelbwo,1,2,3\n", "", `"elbwo": is no joint of arm.glb; nearest: "elbow"`, 1},
		{"joint,x,y\nelbow,1,2\n", "", `moves.csv: moves.z: is missing from the header`, 1},
		{"joint,x,y,z\nelbow,1,two,3\n", "", `"two": must be a length`, 1},
		{"joint,x,y,z\n", "", "moves.csv: holds no move", 1},
		{"", "", "moves.csv: the input is empty", 1},
		{"joint,x,y,z\nelbow,1,2,3\n", "-joint elbow", "give either -moves with a file, or -joint", 2},
		{"joint,x,y,z\n" + strings.Repeat("elbow,1,2,3\n", 5), "-sheet s.json", "a sheet has room for 4 placements, and 5 joints move", 2},
		{"joint,x,y,z\n" + strings.Repeat("elbow,1,2,3\n", 201), "", "at most 200", 1},
	} {
		write(t, dir, "moves.csv", []byte(c.moves))
		_, errOut, status := command(t, dir, strings.Fields("rig move arm.glb -moves moves.csv -out new.glb "+c.args)...)
		if status != c.status || !strings.Contains(errOut, c.says) {
			t.Errorf("%q %s: status %d, %s; want %d, %s", c.moves, c.args, status, errOut, c.status, c.says)
		}
		if names, _ := filepath.Glob(filepath.Join(dir, "*")); len(names) != 2 {
			t.Fatalf("%q: after a refusal the folder holds %v", c.moves, names)
		}
	}
}

// For programs each move is a line, and on a sheet each is a placement.
func TestEachOfSeveralMovesIsToldToPrograms(t *testing.T) {
	dir := armIn(t)
	write(t, dir, "moves.csv", []byte("joint,x,y,z\nwrist,55,142.4,0.2\nelbow,30,142,1.8\n"))
	out, errOut, status := command(t, dir, strings.Fields("rig move arm.glb -moves moves.csv -out new.glb -sheet s.json -format json")...)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if status != 0 || len(lines) != 2 {
		t.Fatalf("status %d, %d lines: %s%s", status, len(lines), out, errOut)
	}
	for i, want := range []string{"elbow", "wrist"} {
		var m struct {
			Format, Joint string
			Drift         float64 `json:"rest_drift"`
		}
		if err := json.Unmarshal([]byte(lines[i]), &m); err != nil || m.Joint != want || m.Format != "centrode-move-1" || !(m.Drift < 1e-4) {
			t.Errorf("line %d: %v, %+v; want %s", i+1, err, m, want)
		}
	}
	if page, errOut, status := command(t, dir, "sheet", "s.json"); status != 0 || strings.Count(page, "sheet-entry") < 2 || !strings.Contains(page, "Pivots of arm.glb") {
		t.Errorf("status %d: %s%s", status, errOut, page)
	}
}

// What is found for several joints at once is what is found for each, and its table is a file of moves.
func TestPlacesThatAreFoundAreAFileOfMoves(t *testing.T) {
	dir := t.TempDir()
	c, _ := character.Find("odalys-hand")
	write(t, dir, "hand.glb", c.GLB())
	fit := strings.Fields("rig fit hand.glb -target morph:target-fist")
	table, told, status := command(t, dir, append(fit, "-joint", "index-middle", "-joint", "#11", "-format", "csv")...)
	if lines := strings.Split(table, "\n"); status != 0 || len(lines) != 4 || lines[0] != "joint,x,y,z" || !strings.HasPrefix(lines[2], "long-middle,") || !strings.Contains(told, "index-middle: All turns share one axis") {
		t.Fatalf("status %d: %s%s", status, table, told)
	}
	write(t, dir, "moves.csv", []byte(table))
	out, errOut, status := command(t, dir, strings.Fields("rig move hand.glb -moves moves.csv -plan -format json")...)
	moved := strings.Split(strings.TrimSpace(out), "\n")
	if status != 0 || len(moved) != 2 {
		t.Fatalf("status %d: %s%s", status, out, errOut)
	}
	var each string
	for i, joint := range []string{"index-middle", "long-middle"} {
		one, _, _ := command(t, dir, append(fit, "-joint", joint, "-format", "json")...)
		each += one
		var found struct{ Pivot [3]float64 }
		var move struct{ To [3]float64 }
		if err := errors.Join(json.Unmarshal([]byte(one), &found), json.Unmarshal([]byte(moved[i]), &move)); err != nil || found.Pivot != move.To {
			t.Errorf("%s belongs at %v and is moved to %v: %v", joint, found.Pivot, move.To, err)
		}
	}
	if both, _, _ := command(t, dir, append(fit, "-joint", "index-middle", "-joint", "long-middle", "-format", "json")...); both != each {
		t.Errorf("both at once\n%s\none by one\n%s", both, each)
	}
	table, told, status = command(t, dir, append(fit, "-joint", "wrist", "-joint", "index-middle", "-format", "csv")...)
	if status != 1 || !strings.Contains(table, "\nindex-middle,") || strings.Contains(table, "wrist") || !strings.Contains(told, "wrist: ") {
		t.Errorf("of two the one tells nothing: status %d: %s%s", status, table, told)
	}
	for args, says := range map[string]string{"-joint index-middle -joint #7": `"#7": is asked for twice`, "-joint index-middle -joint index-midle": `"index-midle": is no joint`} {
		if _, told, status := command(t, dir, append(fit, strings.Fields(args)...)...); status != 1 || !strings.Contains(told, says) {
			t.Errorf("%s: status %d: %s; want %s", args, status, told, says)
		}
	}
}
