package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// motionIn writes the demo arm and, beside it, motion.gltf: its skeleton and its clips without meshes, and without skins unless they are kept.
func motionIn(t *testing.T, skins bool) (dir string) {
	t.Helper()
	dir = armIn(t)
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	root := doc.Root()
	for i := range root.Member("nodes").Len() {
		node := root.Member("nodes").At(i)
		node.Remove("mesh")
		node.Remove("skin")
	}
	root.Remove("meshes")
	if !skins {
		root.Remove("skins")
	}
	if err := os.WriteFile(filepath.Join(dir, "motion.gltf"), doc.Text(), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// change is what rig move tells, as far as it is asked for here.
type change struct {
	Own    [3]float64 `json:"own_offset"`
	Joints json.RawMessage
	Tracks []struct{ Path, How string }
	Drift  *float64 `json:"rest_drift"`
}

func TestAJointIsMovedInAFileOfMotionAsInTheCharacter(t *testing.T) {
	for _, skins := range []bool{true, false} {
		dir := motionIn(t, skins)
		told := func(file string) (c change) {
			out, errOut, status := command(t, dir, "rig", "move", file, "-joint", "elbow", "-to", "30,142,1.8", "-plan", "-format", "json")
			if err := json.Unmarshal([]byte(out), &c); err != nil || status != 0 {
				t.Fatalf("%s: status %d, %v: %s%s", file, status, err, out, errOut)
			}
			return c
		}
		character, motion := told("arm.glb"), told("motion.gltf")
		if character.Drift == nil || motion.Drift != nil || character.Own != motion.Own || len(motion.Tracks) == 0 || len(motion.Tracks) != len(character.Tracks) {
			t.Errorf("skins %v: %+v in the character, %+v in its motion", skins, character, motion)
		}
		if len(motion.Joints) < 100 || string(motion.Joints) != string(character.Joints) {
			t.Errorf("skins %v: values to type in differ:\n%s\n%s", skins, character.Joints, motion.Joints)
		}
		out, errOut, status := command(t, dir, "rig", "move", "motion.gltf", "-joint", "elbow", "-to", "30,142,1.8", "-out", "moved.gltf")
		if status != 0 || !strings.Contains(out, "The file shows no surface that could be compared.") || strings.Contains(out, "rest surface") || !strings.Contains(out, " -own -0.12926") {
			t.Errorf("skins %v: status %d: %s%s", skins, status, out, errOut)
		}
		if out, errOut, status := command(t, dir, "rig", "show", "moved.gltf"); status != 0 || !strings.Contains(out, "30.00  142.00  1.80") || strings.Contains(out, " joint\n") != skins {
			t.Errorf("skins %v, rig show: status %d: %s%s", skins, status, out, errOut)
		}
	}
}

// A file of motion that rests turned, shifted and in another size of its root: the same coordinates are another place there, the same own
// offset is the same place in the parent's frame. derived: only the root rests differently, so all below it keep their values.
func TestTheOwnOffsetIsTheSameMoveWhereTheRestPoseIsAnother(t *testing.T) {
	dir := motionIn(t, true)
	text, err := os.ReadFile(filepath.Join(dir, "motion.gltf"))
	if err != nil {
		t.Fatal(err)
	}
	doc, err := gltf.Read(text, nil)
	if err != nil {
		t.Fatal(err)
	}
	top := 0
	for i, n := range doc.Nodes {
		if n.Name == "elbow" {
			for top = i; doc.Nodes[top].Parent >= 0; top = doc.Nodes[top].Parent {
			}
		}
	}
	doc.SetLocal(top, affine.FromTRS(rigid.Vec{X: 0.3, Y: 2, Z: -1}, rigid.Quat{Y: 0.6, W: 0.8}, rigid.Vec{X: 2, Y: 2, Z: 2}))
	if err := os.WriteFile(filepath.Join(dir, "turned.gltf"), doc.Text(), 0o644); err != nil {
		t.Fatal(err)
	}
	elbow := func(args ...string) (is [3]float64, own string) {
		out, errOut, status := command(t, dir, append([]string{"rig", "move"}, append(args, "-joint", "elbow", "-plan", "-format", "json")...)...)
		var c struct {
			Own    [3]float64 `json:"own_offset"`
			Joints []struct {
				Name string
				Is   struct{ Translation [3]float64 }
			}
		}
		if err := json.Unmarshal([]byte(out), &c); err != nil || status != 0 {
			t.Fatalf("%v: status %d, %v: %s%s", args, status, err, out, errOut)
		}
		for _, j := range c.Joints {
			if j.Name == "elbow" {
				is = j.Is.Translation
			}
		}
		return is, strings.Trim(strings.ReplaceAll(jsonText(t, c.Own), " ", ""), "[]")
	}
	want, own := elbow("arm.glb", "-to", "30,142,1.8")
	out, _, _ := command(t, dir, "rig", "move", "arm.glb", "-joint", "elbow", "-to", "30,142,1.8", "-plan") // what a person copies from the text
	_, copied, _ := strings.Cut(out, " -own ")
	copied, _, _ = strings.Cut(copied, "\n")
	if is, _ := elbow("turned.gltf", "-own", copied); distance(is, want) > 1e-5 {
		t.Errorf("by -own %s the elbow goes to %v in a file that rests differently; want %v", copied, is, want)
	}
	if is, _ := elbow("arm.glb", "-own", own); distance(is, want) > 1e-9 {
		t.Errorf("by its own offset the elbow goes to %v in the character; want %v", is, want)
	}
	if is, _ := elbow("turned.gltf", "-own", own); distance(is, want) > 1e-6 {
		t.Errorf("by the same own offset the elbow goes to %v in a file that rests differently; want %v", is, want)
	}
	if is, _ := elbow("turned.gltf", "-to", "30,142,1.8"); distance(is, want) < 1 {
		t.Errorf("by coordinates the elbow goes to %v, as in the character, though the file rests differently", is)
	}
	if _, errOut, status := command(t, dir, "rig", "move", "arm.glb", "-joint", "elbow", "-to", "1,2,3", "-own", "1,2,3", "-plan"); status != 2 || !strings.Contains(errOut, "give either -to") {
		t.Errorf("both: status %d: %s", status, errOut)
	}
}

// The keys of a clip tell where a joint belongs, with or without the surface; a hinge and a shape need that.
func TestAFileOfMotionIsFittedFromItsKeysOrSaysWhatIsMissing(t *testing.T) {
	dir := motionIn(t, true)
	fitted := func(file string) (is struct {
		Pivot    [3]float64
		Vertices int
	}) {
		out, errOut, status := command(t, dir, "rig", "fit", file, "-joint", "elbow", "-target", "clip:fold", "-format", "json")
		if err := json.Unmarshal([]byte(out), &is); err != nil || status != 0 {
			t.Errorf("%s: status %d, %v: %s%s", file, status, err, out, errOut)
		}
		return is
	}
	if character, motion := fitted("arm.glb"), fitted("motion.gltf"); motion.Vertices != 0 || character.Vertices == 0 || distance(motion.Pivot, character.Pivot) > 1e-9 {
		t.Errorf("from the keys %+v with the surface, %+v without", character, motion)
	}
	if out, errOut, status := command(t, dir, "rig", "fit", "motion.gltf", "-joint", "elbow", "-target", "clip:fold"); status != 0 || !strings.Contains(out, "none: found from keys alone") {
		t.Errorf("for a person: status %d: %s%s", status, out, errOut)
	}
	for _, c := range []struct{ file, target, kind, want string }{
		{"motion.gltf", "clip:fold", "hinge", "elbow: moves no surface in this file, and a hinge is fitted to what it moves; take the file that holds the surface too, or ask for a ball"},
		{"motion.gltf", "morph:target-folded", "ball", "motion.gltf has no morph target"},
		{"motion.gltf", "file:arm.glb", "ball", "motion.gltf: shows no surface of triangles"},
		{"arm.glb", "file:motion.gltf", "ball", "motion.gltf: shows no surface of triangles"},
	} {
		if _, errOut, status := command(t, dir, "rig", "fit", c.file, "-joint", "elbow", "-target", c.target, "-kind", c.kind); status != 1 || !strings.Contains(errOut, c.want) {
			t.Errorf("%+v: status %d: %s", c, status, errOut)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "empty.gltf"), []byte(`{"asset":{"version":"2.0"}}`), 0o644); err != nil {
		t.Fatal(err)
	}
	_, errOut, status := command(t, dir, "rig", "move", "empty.gltf", "-joint", "elbow", "-to", "30,142,1.8", "-plan")
	if status != 1 || !strings.Contains(errOut, "holds neither a surface of triangles nor a skeleton") {
		t.Errorf("an empty file: status %d: %s", status, errOut)
	}
}
