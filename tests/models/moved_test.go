package models

import (
	"testing"

	"centrode/calc/body"
	"centrode/calc/carry"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// TestAMovedCharacterIsAsSoundAsBefore asks the validator about each demo character before and after its joint was moved: no
// error, and no warning that the file did not have.
func TestAMovedCharacterIsAsSoundAsBefore(t *testing.T) {
	var files [][]byte
	var names []string
	for _, c := range character.All() {
		was := c.GLB()
		files, names = append(files, was), append(names, c.ID)
		doc, err := gltf.Read(was, nil)
		if err != nil {
			t.Fatal(err)
		}
		b, err := body.New(c.ID, doc)
		if err != nil {
			t.Fatal(err)
		}
		joint, err := b.Find(c.Flawed)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range []carry.Options{{}, {Aim: true}, {Leave: true}} {
			o.To = b.At(joint).Add(rigid.Vec{X: 0.7, Y: -0.4, Z: 0.3})
			p, err := carry.Make(b, joint, o)
			if err != nil {
				t.Fatal(err)
			}
			data, _, err := p.GLB()
			if err != nil {
				t.Fatal(err)
			}
			files, names = append(files, data), append(names, c.ID+", moved")
		}
	}
	known := map[string]bool{}
	for i, v := range validate(t, files) {
		for _, m := range v.Messages {
			if i%4 == 0 {
				known[names[i]+m.Code] = true
			}
			if m.Severity == 0 || m.Severity == 1 && !known[names[i-i%4]+m.Code] {
				t.Errorf("%s: %s: %s", names[i], m.Code, m.Text)
			}
		}
	}
}
