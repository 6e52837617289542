package main

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/calc/character"
	"centrode/calc/gltf"
)

// armIn writes the demo arm into a new folder, which it returns.
func armIn(t *testing.T) string {
	t.Helper()
	c, ok := character.Find("odalys-arm")
	if !ok {
		t.Fatal("there is no odalys-arm")
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "arm.glb"), c.GLB(), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// found is what rig fit tells, as far as it is asked for here.
type found struct {
	Format         string
	Current, Pivot [3]float64
	Determined     string
	Residual       float64 `json:"residual_rms"`
	Now            float64 `json:"current_rms"`
}

func fitted(t *testing.T, dir string, args ...string) found {
	t.Helper()
	out, errOut, status := command(t, dir, append([]string{"rig", "fit"}, append(args, "-format", "json")...)...)
	var f found
	if err := json.Unmarshal([]byte(out), &f); err != nil || status != 0 || f.Format != "centrode-fit-1" {
		t.Fatalf("status %d, %v: %s%s", status, err, out, errOut)
	}
	return f
}

func TestAPivotIsFoundMovedAndNothingIsLeftToFind(t *testing.T) {
	dir := armIn(t)
	before := fitted(t, dir, "arm.glb", "-joint", "elbow", "-target", "morph:target-bent", "-target", "morph:target-folded")
	if !(before.Now > 1) || !(before.Residual < 1e-4) {
		t.Fatalf("the flaw is not there: %+v", before)
	}
	to := strings.Trim(strings.ReplaceAll(jsonText(t, before.Pivot), " ", ""), "[]")
	for _, name := range []string{"new.glb", "new.gltf"} {
		out, errOut, status := command(t, dir, "rig", "move", "arm.glb", "-joint", "elbow", "-to", to, "-out", name)
		if status != 0 || !strings.Contains(out, name+" was written.") || !strings.Contains(out, "What could be lost:") {
			t.Fatalf("status %d: %s%s", status, out, errOut)
		}
		after := fitted(t, dir, name, "-joint", "elbow", "-target", "morph:target-bent", "-target", "morph:target-folded")
		if !(after.Now < 1e-3) || distance(after.Current, before.Pivot) > 1e-6 {
			t.Errorf("%s: after the move the joint stands at %v and leaves %g; want %v and nothing", name, after.Current, after.Now, before.Pivot)
		}
		if text, err := os.ReadFile(filepath.Join(dir, name)); err != nil || json.Valid(text) != (name == "new.gltf") {
			t.Errorf("%s is text: %v, %v", name, json.Valid(text), err)
		}
	}
	if names, err := filepath.Glob(filepath.Join(dir, ".*")); err != nil || len(names) > 0 {
		t.Errorf("left behind: %v", names)
	}
}

func jsonText(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func distance(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

func TestASecondFileIsATarget(t *testing.T) {
	dir := armIn(t)
	_, errOut, status := command(t, dir, "rig", "fit", "arm.glb", "-joint", "elbow", "-target", "file:arm.glb")
	if status != 1 || !strings.Contains(errOut, "does not turn by more than the noise") {
		t.Errorf("the same file as a target: status %d: %s", status, errOut)
	}
	jaw, _ := character.Find("lockmaster-jaw")
	if err := os.WriteFile(filepath.Join(dir, "jaw.glb"), jaw.GLB(), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, errOut, status = command(t, dir, "rig", "fit", "arm.glb", "-joint", "elbow", "-target", "file:jaw.glb"); status != 1 || !strings.Contains(errOut, "the same vertices in the same order") {
		t.Errorf("another character as a target: status %d: %s", status, errOut)
	}
}

func TestAMoveNeverReplacesAFile(t *testing.T) {
	dir := armIn(t)
	was, err := os.ReadFile(filepath.Join(dir, "arm.glb"))
	if err != nil {
		t.Fatal(err)
	}
	for _, out := range []string{"arm.glb", "./arm.glb", filepath.Join(dir, "arm.glb")} {
		_, errOut, status := command(t, dir, "rig", "move", "arm.glb", "-joint", "elbow", "-to", "1,2,3", "-out", out)
		if status != 1 || !strings.Contains(errOut, "exists already") {
			t.Errorf("-out %s: status %d: %s", out, status, errOut)
		}
	}
	is, err := os.ReadFile(filepath.Join(dir, "arm.glb"))
	if err != nil || string(is) != string(was) {
		t.Errorf("the input was changed (%v)", err)
	}
	if _, errOut, status := command(t, dir, "rig", "move", "arm.glb", "-joint", "elbow", "-to", "1,2,3", "-out", "nowhere/new.glb"); status != 1 || !strings.Contains(errOut, "cannot be written") {
		t.Errorf("a folder that is not there: status %d: %s", status, errOut)
	}
}

// TestANewFileIsThereWholeOrNotAtAll, at any moment: whoever stops the command, or looks meanwhile, finds no empty one.
func TestANewFileIsThereWholeOrNotAtAll(t *testing.T) {
	name, data := filepath.Join(t.TempDir(), "new.glb"), make([]byte, 64<<20)
	done := make(chan error)
	go func() { done <- place(fresh{name, data}) }()
	for {
		if info, err := os.Stat(name); err == nil && info.Size() != int64(len(data)) {
			t.Errorf("a file of %d bytes has %d", len(data), info.Size())
			<-done
			return
		}
		select {
		case err := <-done:
			if names, _ := filepath.Glob(filepath.Join(filepath.Dir(name), ".*")); err != nil || len(names) > 0 {
				t.Errorf("%v; left behind: %v", err, names)
			}
			return
		default:
		}
	}
}

// A chunk for another program goes on in a .glb; that a .gltf lacks it is told, and told beforehand.
func TestAChunkThatATextLacksIsTold(t *testing.T) {
	dir := armIn(t)
	data, err := os.ReadFile(filepath.Join(dir, "arm.glb"))
	if err != nil {
		t.Fatal(err)
	}
	data = append(data, "\x04\x00\x00\x00MOREabcd"...)
	binary.LittleEndian.PutUint32(data[8:], uint32(len(data)))
	if err := os.WriteFile(filepath.Join(dir, "more.glb"), data, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		told bool
	}{{"more.glb -plan", true}, {"more.glb -out new.glb", false}, {"more.glb -out new.gltf", true}, {"more.glb -out more.GLTF -format json", true}, {"arm.glb -out arm.gltf", false}} {
		out, errOut, status := command(t, dir, strings.Fields("rig move -joint elbow -to 1,2,3 "+c.name)...)
		if told := strings.Contains(out, "The file has 1 chunk for other programs behind its bytes, which a .gltf has no place for."); status != 0 || told != c.told {
			t.Errorf("%s: status %d, told %v, want %v: %s%s", c.name, status, told, c.told, out, errOut)
		}
	}
}

// A segment may stray as far as is typed, in any unit; what rotation alone would stray is told, and typing it is enough.
func TestASegmentMayStray(t *testing.T) {
	dir := armIn(t)
	for _, c := range []struct{ args, says string }{
		{"-plan", "49 keys that keep the segment on its old path, in the place of 13; it strays between them by up to 0.00058 cm, and would by 0.0094 cm if it only turned."},
		{"-plan -within 0.0094", "13 keys are dropped, so that the joint only turns; the segment leaves its old path by up to 0.009 cm"},
		{"-plan -within 0.05mm", "25 keys that keep the segment on its old path, in the place of 13"},
		{"-plan -format json -within 0.05mm", `"within":0.005,`},
	} {
		out, errOut, status := command(t, dir, strings.Fields("rig move arm.glb -joint elbow -to 30,142,1.8 "+c.args)...)
		if out = strings.ReplaceAll(out, "\u00a0", " "); status != 0 || !strings.Contains(strings.ReplaceAll(out, "\u00A0", " "), c.says) {
			t.Errorf("%s: status %d, %s%s; want %s", c.args, status, out, errOut, c.says)
		}
	}
	for args, says := range map[string]string{
		"-within far": `-within: "far": must be a length`, "-within 0": `-within: "0": must be more than nought`, "-within -1mm": "must be more than nought",
		"-within 1mm -animation leave": "-within needs -animation keep", "-within 1e9": "must be a length from nought to ten kilometres",
	} {
		_, errOut, status := command(t, dir, strings.Fields("rig move arm.glb -joint elbow -to 30,142,1.8 -plan "+args)...)
		if status == 0 || !strings.Contains(errOut, says) {
			t.Errorf("%s: status %d, %s; want %s", args, status, errOut, says)
		}
	}
}

func TestASheetComesWithTheFileOrNeither(t *testing.T) {
	dir := armIn(t)
	move := []string{"rig", "move", "arm.glb", "-joint", "elbow", "-to", "1,2,3", "-out", "new.glb", "-sheet", "sheet.json"}
	if err := os.WriteFile(filepath.Join(dir, "sheet.json"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, errOut, status := command(t, dir, move...); status != 1 || !strings.Contains(errOut, "sheet.json: exists already") {
		t.Errorf("status %d: %s", status, errOut)
	}
	if names, _ := filepath.Glob(filepath.Join(dir, "*")); len(names) != 2 {
		t.Errorf("after a refusal the folder holds %v", names)
	}
	if err := os.Remove(filepath.Join(dir, "sheet.json")); err != nil {
		t.Fatal(err)
	}
	if _, errOut, status := command(t, dir, move...); status != 0 {
		t.Fatalf("status %d: %s", status, errOut)
	}
	text, err := os.ReadFile(filepath.Join(dir, "sheet.json"))
	var sheet struct {
		Format  string
		Entries []struct {
			Joint, Measured string
			Candidate       [3]float64
		}
	}
	if err := errors.Join(err, json.Unmarshal(text, &sheet)); err != nil || len(sheet.Entries) != 1 || sheet.Format != "centrode-sheet-1" {
		t.Fatalf("%v: %s", err, text)
	}
	if e := sheet.Entries[0]; e.Joint != "elbow" || e.Measured != "arm.glb" || e.Candidate != [3]float64{1, 2, 3} {
		t.Errorf("%+v", e)
	}
}

func TestAPlanWritesNothing(t *testing.T) {
	dir := armIn(t)
	out, errOut, status := command(t, dir, "rig", "move", "arm.glb", "-joint", "elbow", "-to", "30cm,-15mm,0", "-plan", "-animation", "leave", "-format", "json")
	var change struct {
		Format    string
		To        [3]float64
		Animation string
		Tracks    []struct {
			How   string
			Error float64
		}
	}
	if err := json.Unmarshal([]byte(out), &change); err != nil || status != 0 || change.Format != "centrode-move-1" || change.To != [3]float64{30, -1.5, 0} {
		t.Fatalf("status %d, %v: %s%s", status, err, out, errOut)
	}
	dropped := false
	for _, track := range change.Tracks {
		dropped = dropped || track.How == "dropped" && track.Error > 0
	}
	if !dropped || change.Animation != "leave" {
		t.Errorf("no dropped translation is told: %s", out)
	}
	if names, _ := filepath.Glob(filepath.Join(dir, "*")); len(names) != 1 {
		t.Errorf("the folder holds %v", names)
	}
}

func TestWrongWordsOfRigAreRefusedWithTheNearest(t *testing.T) {
	dir := armIn(t)
	move := func(args ...string) []string { return append([]string{"rig", "move", "arm.glb", "-plan"}, args...) }
	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{[]string{"rig", "fit", "arm.glb", "-joint", "elbo", "-target", "clip:fold"}, 1, "elbow"},
		{[]string{"rig", "fit", "arm.glb", "-joint", "elbow", "-target", "clip:fald"}, 1, "fold"},
		{[]string{"rig", "fit", "arm.glb", "-joint", "elbow", "-target", "shape:x"}, 1, "morph, clip or file"},
		{[]string{"rig", "fit", "arm.glb", "-joint", "elbow", "-target", "clip:fold", "-kind", "hing"}, 2, "hinge"},
		{[]string{"rig", "fit", "arm.glb", "-joint", "elbow"}, 2, "-target"},
		{[]string{"rig", "fti", "arm.glb"}, 2, "fit"},
		{move("-joint", "elbow", "-to", "1,2"), 2, "three lengths"},
		{move("-joint", "elbow", "-to", "1,2,3 kg"), 2, "kg"},
		{move("-joint", "elbow", "-to", "1,2,9e9"), 1, "ten kilometres"},
		{move("-joint", "elbow", "-to", "1,2,3", "-orient", "aims"), 2, "aim"},
		{move("-joint", "elbow", "-to", "1,2,3", "-axis", "+x"), 2, "-orient aim"},
		{move("-joint", "elbow", "-to", "1,2,3", "-out", "x.glb"), 2, "either -out"},
		{[]string{"rig", "move", "arm.glb", "-joint", "elbow", "-to", "1,2,3", "-out", "x.txt"}, 2, "must be a file name that ends in .glb or .gltf"},
		{move("-joint", "shoulderr", "-to", "1,2,3"), 1, "shoulder"},
	} {
		if out, errOut, status := command(t, dir, c.args...); status != c.status || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: status %d: %s%s; want %d and %q", c.args, status, out, errOut, c.status, c.says)
		}
	}
}

func TestTheExamplesOfRigWork(t *testing.T) {
	for _, id := range []string{"odalys-arm", "odalys-hand"} {
		dir, ran := t.TempDir(), 0
		if _, errOut, status := command(t, dir, "new", "character", id); status != 0 {
			t.Fatal(errOut)
		}
		for line := range strings.Lines(rigHelp + rigShowHelp + rigFitHelp + rigMoveHelp) {
			if line, ok := strings.CutPrefix(strings.TrimSpace(line), "centrode rig "); ok && strings.Contains(line, id+".glb") {
				ran++
				if _, errOut, status := command(t, dir, append([]string{"rig"}, strings.Fields(line)...)...); status != 0 {
					t.Errorf("rig %s: status %d: %s", line, status, errOut)
				}
			}
		}
		if ran == 0 {
			t.Errorf("no example uses %s", id)
		}
	}
}

func TestNamesOfAFileDoNotCommandTheTerminal(t *testing.T) {
	dir := t.TempDir()
	twoJoints(t, dir, "arm.glb", false)
	_, errOut, status := command(t, dir, "rig", "fit", "arm.glb", "-joint", "lower", "-target", "morph:x")
	if status != 1 || strings.Contains(errOut, "\x1b") {
		t.Errorf("status %d: %q", status, errOut)
	}
	if err := os.Rename(filepath.Join(dir, "arm.glb"), filepath.Join(dir, "a\x1b[2J.glb")); err != nil {
		t.Fatal(err)
	}
	out, errOut, status := command(t, dir, "rig", "show", "a\x1b[2J.glb")
	if status != 0 || strings.Contains(out, "\x1b") || !strings.Contains(out, "a·[2J.glb") {
		t.Errorf("status %d: %q %q", status, out, errOut)
	}
}

// A mesh on the joint itself gets a node of its own, whose values to type in are told under the name that the file has it by.
func TestTheNewNodeOfAMeshIsTold(t *testing.T) {
	d := gltf.New("test")
	ball := d.AddMesh(gltf.Mesh{Name: "ball", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 1, 0, 0, 0, 1, 0})}}}}})
	for _, name := range []string{"hook", "hook mesh"} {
		d.AddNode(gltf.Node{Name: name, Parent: -1, Mesh: ball, Skin: -1})
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "crane.glb"), d.GLB(), 0o644); err != nil {
		t.Fatal(err)
	}
	out, errOut, status := command(t, dir, "rig", "move", "crane.glb", "-joint", "hook", "-to", "2,0,0", "-out", "new.glb")
	if status != 0 || !strings.Contains(out, "\n  hook mesh 2          is     -2.0000") {
		t.Errorf("status %d: %s%s", status, out, errOut)
	}
	if shown, _, _ := command(t, dir, "rig", "show", "new.glb"); !strings.Contains(shown, "hook mesh 2") {
		t.Errorf("the new file has no such node:\n%s", shown)
	}
}
