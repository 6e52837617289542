package models

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// samples is where Debian's package assimp-testmodels puts the glTF files that others made: 40-odd, some broken on
// purpose. Its copyright file gives the BSD-3-clause licence, and Expat for those of glTF-Asset-Generator. Nothing of it
// is part of this project.
const samples = "/usr/share/assimp/models/glTF2"

// refusals are the files that cannot be used, each with what the message must say.
var refusals = map[string]string{
	"BoxTextured-glTF-techniqueWebGL/BoxTextured.gltf":  "extensionsRequired[0]: the file cannot be read without KHR_technique_webgl",
	"BoxWithInfinites-glTF-Binary/BoxWithInfinites.glb": "accessors[2]: item 0 is no finite number",
	"IncorrectVertexArrays/Cube.gltf":                   "bufferViews[2].byteLength: 432",
	"IndexOutOfRange/AllIndicesOutOfRange.gltf":         "meshes[0].primitives[0].indices: vertex 65535",
	"IndexOutOfRange/IndexOutOfRange.gltf":              "meshes[0].primitives[0].indices: vertex 255",
	"MissingBin/BoxTextured.gltf":                       "buffers[0].uri: \"BoxTextured0.bin\" cannot be opened",
	"RecursiveNodes/RecursiveNodes.gltf":                "nodes[0].children: the node contains itself",
	"SchemaFailures/sceneWrongType.gltf":                "buffers[0].uri: \"BoxTextured0.bin\" cannot be opened",
	"TestNoRootNode/NoScene.gltf":                       "scene: 0; allowed is nothing, for the file has no scenes",
	"draco/2CylinderEngine.gltf":                        "extensionsRequired[0]: the file cannot be read without KHR_draco_mesh_compression",
	"wrongTypes/badArray.gltf":                          "meshes[0].primitives: an object; allowed is a list",
}

// sample is a file by somebody else that can be read.
type sample struct {
	name string
	data []byte
	doc  *gltf.Document
}

func readSamples(t *testing.T) (list []sample, refused int) {
	t.Helper()
	if _, err := os.Stat(samples); err != nil {
		t.Skip("the glTF files were not found; tests/run.sh installs them (on Debian: apt-get install assimp-testmodels)")
	}
	tree := os.DirFS(samples)
	err := fs.WalkDir(tree, ".", func(name string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(name, ".gltf") && !strings.HasSuffix(name, ".glb") {
			return err
		}
		data, err := fs.ReadFile(tree, name)
		if err != nil {
			return err
		}
		d, err := gltf.Read(data, func(beside string) ([]byte, error) {
			return fs.ReadFile(tree, filepath.ToSlash(filepath.Dir(name))+"/"+beside)
		})
		switch want := refusals[name]; {
		case want != "":
			refused++
			if err == nil || !strings.HasPrefix(err.Error(), want) {
				t.Errorf("%s: %v\nwant %s", name, err, want)
			}
		case err != nil:
			t.Errorf("%s: %v", name, err)
		default:
			list = append(list, sample{name, data, d})
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return list, refused
}

// severe are the errors and warnings of a verdict, counted by their words: places in the JSON may shift.
func (v verdict) severe() map[string]int {
	count := map[string]int{}
	for _, m := range v.Messages {
		if m.Severity <= 1 {
			count[m.Code]++
		}
	}
	return count
}

func TestFilesMadeByOthersAreReadAndWrittenWithoutNewFaults(t *testing.T) {
	list, refused := readSamples(t)
	if len(list) < 30 || refused != len(refusals) {
		t.Errorf("%d files were read and %d refused, want at least 30 and %d", len(list), refused, len(refusals))
	}
	var files [][]byte
	var beside []string
	for _, s := range list {
		files = append(files, s.data, s.doc.GLB(), s.doc.Text())
		folder := filepath.Join(samples, filepath.Dir(s.name))
		beside = append(beside, folder, folder, folder)
		again, err := gltf.Read(s.doc.GLB(), nil)
		if err != nil {
			t.Errorf("%s: written as .glb: %v", s.name, err)
		} else if string(again.GLB()) != string(s.doc.GLB()) {
			t.Errorf("%s: read and written a second time it differs", s.name)
		}
	}
	verdicts := validate(t, files, beside...)
	for i, s := range list {
		had := verdicts[3*i].severe()
		for form, v := range verdicts[3*i+1 : 3*i+3] {
			for code, n := range v.severe() {
				if n > had[code] {
					t.Errorf("%s: written as %s it has %d of %s where the file had %d", s.name, []string{".glb", ".gltf"}[form], n, code, had[code])
				}
			}
		}
	}
}

func TestAJointOfAFileMadeByOthersIsMoved(t *testing.T) {
	list, _ := readSamples(t)
	moved := 0
	for _, s := range list {
		if len(s.doc.Skins) == 0 {
			continue
		}
		moved++
		d := s.doc
		joint := d.Skins[0].Joints[len(d.Skins[0].Joints)-1]
		binds := d.InverseBinds(0)
		d.SetTranslation(joint, d.Nodes[joint].Translation.Add(rigid.Vec{X: 0.1}))
		back, _ := d.Worlds()[joint].Inverse()
		binds[len(binds)-1] = back
		if err := d.SetInverseBinds(0, binds); err != nil {
			t.Fatal(err)
		}
		folder := filepath.Join(samples, filepath.Dir(s.name))
		verdicts := validate(t, [][]byte{s.data, d.GLB()}, folder, folder)
		for code, n := range verdicts[1].severe() {
			if n > verdicts[0].severe()[code] {
				t.Errorf("%s: with a joint moved it has %d of %s", s.name, n, code)
			}
		}
	}
	if moved == 0 {
		t.Error("no file with a skin was found")
	}
}
