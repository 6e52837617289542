// Package models holds glTF files against programs that are not ours: the validator of the standard's makers, and files
// that others made.
package models

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// verdict is what the validator says of one file. Severity 0 is an error, 1 a warning.
type verdict struct {
	Errors, Warnings int
	Messages         []struct {
		Severity int
		Code     string
		Text     string
	}
}

// validate asks the validator about all files at once: starting it takes longer than its work. beside is where the files
// lie that they name: one folder for each, or none at all.
func validate(t *testing.T, files [][]byte, beside ...string) []verdict {
	t.Helper()
	folder := t.TempDir()
	args := []string{"validate.mjs"}
	for i, data := range files {
		name := filepath.Join(folder, strconv.Itoa(i)+".glb")
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, name, folder)
		if len(beside) > 0 {
			args[len(args)-1] = beside[i]
		}
	}
	out, err := exec.Command("node", args...).Output()
	if err != nil {
		t.Fatalf("the validator does not run (npm ci --prefix theme brings it): %v", err)
	}
	var list []verdict
	if err := json.Unmarshal(out, &list); err != nil || len(list) != len(files) {
		t.Fatalf("%d verdicts for %d files, %v", len(list), len(files), err)
	}
	return list
}

// small is a triangle that a joint carries.
func small(t *testing.T) *gltf.Document {
	t.Helper()
	d := gltf.New("centrode tests")
	mesh := d.AddMesh(gltf.Mesh{Name: "leaf", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1, Attributes: []gltf.Attribute{
		{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 1, 0, 0, 0, 1, 0})},
		{Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, make([]uint32, 12))},
		{Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", []float32{1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0})},
	}}}})
	joint := d.AddNode(gltf.Node{Name: "stem", Parent: -1, Mesh: -1, Skin: -1, Translation: rigid.Vec{Y: 1}})
	back, _ := d.Worlds()[joint].Inverse()
	skin, err := d.AddSkin("stems", []int{joint}, []affine.Map{back})
	if err != nil {
		t.Fatal(err)
	}
	d.AddNode(gltf.Node{Name: "surface", Parent: -1, Mesh: mesh, Skin: skin})
	if err := d.AddTrack(d.AddAnimation("sway"), joint, "translation", []float32{0, 1}, []float32{0, 1, 0, 0, 2, 0}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	return d
}

func TestTheValidatorSeesWhatIsWrong(t *testing.T) {
	d := small(t)
	good := d.GLB()
	d.Root().Member("asset").Remove("version")
	list := validate(t, [][]byte{good, d.GLB()})
	if list[0].Errors+list[0].Warnings > 0 {
		t.Errorf("a sound file: %v", list[0].Messages)
	}
	if list[1].Errors == 0 {
		t.Error("a file without a version passes, so nobody knows whether the validator looks")
	}
}

func TestEveryCharacterOfTheCastIsValid(t *testing.T) {
	var files [][]byte
	for _, c := range character.All() {
		d, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatalf("%s: %v", c.ID, err)
		}
		files = append(files, c.GLB(), d.Text())
	}
	list := validate(t, files)
	if len(list) < 10 {
		t.Fatalf("%d files were validated, want at least 10", len(list))
	}
	for i, v := range list {
		if v.Errors+v.Warnings > 0 {
			t.Errorf("%s: %v", character.All()[i/2].ID, v.Messages)
		}
	}
}

func TestEveryChangeLeavesAFileValid(t *testing.T) {
	d := small(t)
	d.SetTranslation(0, rigid.Vec{X: 0.25, Y: 1})
	d.SetRotation(0, rigid.Quat{Z: 1, W: 1})
	back, _ := d.Worlds()[0].Inverse()
	if err := d.SetInverseBinds(0, []affine.Map{back}); err != nil {
		t.Fatal(err)
	}
	if err := d.SetTrack(0, 0, []float32{0, 1, 2}, make([]float32, 27), "CUBICSPLINE"); err != nil {
		t.Fatal(err)
	}
	if err := d.SetFloats(d.Meshes[0].Primitives[0].Attribute("POSITION"), []float32{0, 0, 0, 2, 0, 0, 0, 2, 0}); err != nil {
		t.Fatal(err)
	}
	for _, form := range [][]byte{d.GLB(), d.Text()} {
		again, err := gltf.Read(form, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range validate(t, [][]byte{form, again.GLB(), again.Text()}) {
			if v.Errors+v.Warnings > 0 {
				t.Errorf("%v", v.Messages)
			}
		}
	}
}
