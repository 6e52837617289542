package body

import (
	"errors"
	"slices"
)

// Bare reports whether the file shows no surface of triangles: it holds a skeleton and its clips alone. Then Parts, Binds, Positions and
// Triangles are empty, no joint holds a vertex, and the only targets are clips.
func (b *Body) Bare() bool { return b.bare }

// Surfaced refuses a bare body, for what poses or measures a surface.
func (b *Body) Surfaced() error {
	if !b.bare {
		return nil
	}
	return errors.New(b.Name + ": shows no surface of triangles, so there is nothing to pose or to measure; take the file that holds the surface too. Where a joint of a skeleton without one belongs, centrode rig fit finds at the command line from clips that key its translation, and centrode rig move moves it")
}

// draws reports whether a node of the scene that is shown first places triangles.
func (b *Body) draws(shown []bool) bool {
	looked := make([]bool, len(b.Doc.Meshes)) // many nodes may place one mesh
	for i, n := range b.Doc.Nodes {
		if n.Mesh < 0 || !shown[i] || looked[n.Mesh] {
			continue
		}
		looked[n.Mesh] = true
		if len(b.solid(n.Mesh)) > 0 {
			return true
		}
	}
	return false
}

// skeleton marks the nodes that a file without a surface is about: the joints of its skins; where it has none, the nodes that its clips
// move; where these move none, all that the scene shows. Skins and clips name nodes of any scene.
func (b *Body) skeleton(shown []bool) []bool {
	holds := b.Doc.Jointed()
	if slices.Contains(holds, true) {
		return holds
	}
	for _, a := range b.Doc.Animations {
		for _, c := range a.Channels {
			if c.Node >= 0 && slices.Contains([]string{"translation", "rotation", "scale"}, c.Path) {
				holds[c.Node] = true
			}
		}
	}
	if slices.Contains(holds, true) {
		return holds
	}
	return shown
}
