package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
	"centrode/cmd/centrode/internal/inventory"
)

// twoJoints writes a file of two joints 25 cm apart into the folder.
func twoJoints(t *testing.T, dir, name string, text bool) {
	t.Helper()
	d := gltf.New("centrode tests")
	upper := d.AddNode(gltf.Node{Name: "upper", Parent: -1, Mesh: -1, Skin: -1, Translation: rigid.Vec{Y: 1.2}})
	d.AddNode(gltf.Node{Name: "lower\x1b[2J", Parent: upper, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 0.15, Y: 0.2}})
	if _, err := d.AddSkin("arm", []int{0, 1}, d.Worlds()); err != nil {
		t.Fatal(err)
	}
	data := d.GLB()
	if text {
		data = d.Text()
	}
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestAModelIsShownInCentimetres(t *testing.T) {
	dir := t.TempDir()
	twoJoints(t, dir, "arm.glb", false)
	twoJoints(t, dir, "arm.gltf", true)
	for _, name := range []string{"arm.glb", "arm.gltf"} {
		out, errOut, status := command(t, dir, "rig", "show", name, "-format", "json")
		var list inventory.Inventory
		if err := json.Unmarshal([]byte(out), &list); err != nil || status != 0 {
			t.Fatalf("%s: status %d, %v: %s%s", name, status, err, out, errOut)
		}
		// derived: √(15² + 20²) = 25
		if len(list.Nodes) != 2 || !list.Nodes[1].Joint || *list.Nodes[1].FromParent != 25 || list.Nodes[1].Position != [3]float64{15, 140, 0} {
			t.Errorf("%s: nodes %+v", name, list.Nodes)
		}
	}
	out, _, status := command(t, dir, "rig", "show", "arm.glb")
	if status != 0 || !strings.Contains(out, "lower·[2J  0       25.00") || strings.Contains(out, "\x1b") {
		t.Errorf("status %d, text:\n%s", status, out)
	}
}

// A file in another unit than the metre is told of where its lengths are listed.
func TestAModelOfOddSizeIsTold(t *testing.T) {
	dir := armIn(t)
	data, err := os.ReadFile(filepath.Join(dir, "arm.glb"))
	if err != nil {
		t.Fatal(err)
	}
	doc, err := gltf.Read(data, nil)
	if err != nil {
		t.Fatal(err)
	}
	for node, n := range doc.Nodes {
		if n.Parent < 0 {
			doc.SetLocal(node, affine.FromTRS(n.Translation.Scale(100), n.Rotation, rigid.Vec{X: 100, Y: 100, Z: 100}))
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "large.glb"), doc.GLB(), 0o644); err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]bool{"arm.glb": false, "large.glb": true} {
		out, errOut, status := command(t, dir, "rig", "show", file)
		if told := strings.Contains(out, "odd, but usable\n  scenes: The surface measures "); status != 0 || told != want {
			t.Errorf("%s: status %d %s\n%s", file, status, errOut, out)
		}
	}
}

func TestACharacterIsWrittenAndShown(t *testing.T) {
	dir := t.TempDir()
	out, errOut, status := command(t, dir, "new", "character", "odalys-hand")
	if status != 0 || !strings.Contains(out, "odalys-hand.glb\n") {
		t.Fatalf("status %d: %s%s", status, out, errOut)
	}
	out, errOut, status = command(t, dir, "rig", "show", "odalys-hand.glb")
	for _, want := range []string{"measurements are invented", "23 nodes, 1 mesh, 1 skin, 1 animation", "index-middle", "target-fist"} {
		if status != 0 || !strings.Contains(out, want) {
			t.Errorf("status %d, %q is missing: %s%s", status, want, out, errOut)
		}
	}
	// A file that is there stays.
	if _, errOut, status = command(t, dir, "new", "character", "odalys-hand"); status != 1 || !strings.Contains(errOut, "odalys-hand.glb: exists already") {
		t.Errorf("status %d: %s", status, errOut)
	}
	_, errOut, status = command(t, dir, "new", "character", "odalys-hnad")
	if want := `"odalys-hnad": is none of the characters odalys-hand, odalys-arm, moss-hind-leg, lockmaster-jaw, gantry-crane; nearest: "odalys-hand"`; status != 2 || !strings.Contains(errOut, want) {
		t.Errorf("status %d: %s", status, errOut)
	}
}

func TestAModelThatCannotBeShownSaysWhy(t *testing.T) {
	dir := t.TempDir()
	twoJoints(t, dir, "arm.glb", false)
	for name, text := range map[string]string{
		"longer.glb": "glTF\x02\x00\x00\x00\x0c\x00\x00\x00\x00\x00\x01\x00", "short.glb": "glTF\x02\x00\x00\x00\xff\x00\x00\x00", "old.gltf": `{"asset":{"version":"1.0"}}`,
		"needs.gltf": `{"asset":{"version":"2.0"},"buffers":[{"byteLength":4,"uri":"../arm.bin"}]}`, "picture.png": "\x89PNG",
		"lacks.gltf":  `{"asset":{"version":"2.0"},"buffers":[{"byteLength":4,"uri":"gone%20away.bin"}]}`,
		"beside.gltf": `{"asset":{"version":"2.0"},"buffers":[{"byteLength":4,"uri":"four.bin"}]}`, "four.bin": "four",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		line   string
		status int
		err    string
	}{
		{"rig", 2, "centrode rig VERB FILE"},
		{"rig shwo arm.glb", 2, `"shwo" is no verb of rig; nearest: "show"; centrode rig -h tells more`},
		{"rig show", 2, "takes one file"},
		{"rig show arm.glb -format jsn", 2, `-format "jsn": must be text or json; nearest: "json"`},
		{"rig show gone.glb", 1, "gone.glb: no such file or directory"},
		{"rig show .", 1, ".: is a folder"},
		{"rig show short.glb", 1, "short.glb: file: 12 bytes where the header promises 255"},
		{"rig show longer.glb", 1, "longer.glb: file: 16 bytes where the header promises 12; allowed is a file that ends where its header says, or goes on with zeros"},
		{"rig show old.gltf", 1, `old.gltf: asset.version: "1.0"; allowed is "2.0"`},
		{"rig show picture.png", 1, "picture.png: file: begins like no glTF file"},
		{"rig show needs.gltf", 1, `needs.gltf: buffers[0].uri: "../arm.bin" cannot be opened`},
		{"rig show lacks.gltf", 1, `lacks.gltf: buffers[0].uri: "gone away.bin" cannot be opened`},
		{"rig show beside.gltf", 0, ""},
	} {
		_, errOut, status := command(t, dir, strings.Fields(c.line)...)
		if status != c.status || !strings.Contains(errOut, c.err) {
			t.Errorf("%s: status %d, %s\nwant %d, %s", c.line, status, errOut, c.status, c.err)
		}
	}
}

// A name out of a file stays on its line, and in its order: what stands behind an end of line would look like a line of ours.
func TestANameStaysOnItsLine(t *testing.T) {
	dir := t.TempDir()
	if _, errOut, status := command(t, dir, "new", "character", "odalys-arm"); status != 0 {
		t.Fatal(errOut)
	}
	d, err := readModel(filepath.Join(dir, "odalys-arm.glb"))
	if err != nil {
		t.Fatal(err)
	}
	const forged = "fold\nThe rest surface moves by 0.0000000 cm at most.\u202e"
	d.Root().Member("animations").At(0).Set("name", jsontree.NewString(forged))
	d.Root().Member("nodes").At(4).Set("name", jsontree.NewString(forged))
	if err := os.WriteFile(filepath.Join(dir, "forged.glb"), d.GLB(), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"rig", "move", "forged.glb", "-joint", "elbow", "-to", "30,141,1", "-plan"},
		{"rig", "fit", "forged.glb", "-joint", "#4", "-target", "morph:target-folded"},
	} {
		out, errOut, _ := command(t, dir, args...)
		for _, line := range strings.Split(out+errOut, "\n") {
			if strings.HasPrefix(line, "The rest surface moves by 0.0000000") || strings.Contains(line, "\u202e") {
				t.Errorf("%s: %q", args, line)
			}
		}
	}
}
