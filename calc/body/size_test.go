package body

import (
	"strings"
	"testing"

	"centrode/calc/gltf"
)

// A file saved in centimetres looks right and measures wrong: the joint goes to the right place, and every length that is handed on is a
// hundred times too large.
func TestAFileInAnotherUnitIsToldAndACharacterIsNot(t *testing.T) {
	for _, c := range []struct {
		name string
		edge float32 // of the triangle, in the file's unit; corner to corner it is √2 of that
		want string
	}{
		{"a hound's leg in centimetres", 44.2, "The surface measures 62.5 m from corner to corner. "}, // derived: 44.2·√2
		{"a hand in centimetres", 14.2, "The surface measures 20.1 m from corner to corner. "},
		{"a man in metres", 1.7, ""},
		{"an unloading crane in metres", 9, ""},
		{"a fly in metres", 0.02, ""},
		{"a man in kilometres", 0.0017, "The surface measures 0.24 cm from corner to corner. "},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := begin(t)
			m.corners.Accessor = m.AddFloats("VEC3", []float32{0, 0, 0, c.edge, 0, 0, 0, c.edge, 0})
			m.AddNode(gltf.Node{Name: "root", Parent: -1, Mesh: m.mesh(m.bare()), Skin: -1})
			b, err := m.body()
			if err != nil {
				t.Fatal(err)
			}
			told := ""
			for _, note := range b.Notes {
				if strings.HasPrefix(note, "The surface measures ") {
					told = note
				}
			}
			if (told == "") != (c.want == "") || !strings.HasPrefix(told, c.want) {
				t.Errorf("it says %q, want %q", told, c.want)
			}
		})
	}
}
