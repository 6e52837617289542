package gltf

import (
	"slices"
	"testing"

	"centrode/calc/jsontree"
)

// A name alone tells what took over a mesh, so one that only begins alike is another's.
func TestANodeIsKnownByTheNameThatItGot(t *testing.T) {
	for _, c := range []struct {
		name, of string
		want     bool
	}{{"hook mesh", "hook", true}, {"hook mesh 12", "hook", true}, {"mesh", "", true}, {"mesh 2", "", true}, {"meshes", "", false}, {"hook meshes", "hook", false}, {"hook mesh ", "hook", false}, {"hook mesh a", "hook", false}, {"hook", "hook", false}} {
		if got := IsHung(c.name, c.of); got != c.want {
			t.Errorf("%q on %q: %v, want %v", c.name, c.of, got, c.want)
		}
	}
}

// What would take too long to find out is taken for spoken of: a node that is kept in its place harms nobody. Else only the node that is named is.
func TestNodesAreSpokenOfWhereTheFileDoesOrWouldTakeTooLong(t *testing.T) {
	d := New("test")
	for _, name := range []string{"cloth", "sleeve", "hem"} {
		d.AddNode(Node{Name: name, Parent: -1, Mesh: -1, Skin: -1})
	}
	d.Root().Set("extras", jsontree.NewObject().Set("follows", jsontree.NewString("sleeve")))
	d.Root().Member("nodes").At(2).Set("extras", jsontree.NewObject().Set("width", jsontree.NewInt(3)))
	if got, want := d.Spoken([]int{0, 1, 2, 0}), []bool{false, true, true, false}; !slices.Equal(got, want) {
		t.Errorf("spoken of: %v, want %v", got, want)
	}
	if got := d.Spoken(make([]int, mostHeard/4)); slices.Contains(got, false) {
		t.Error("so many nodes were asked for one by one")
	}
	if got := d.Spoken(nil); len(got) != 0 {
		t.Errorf("of no node: %v", got)
	}
}
