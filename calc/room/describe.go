package room

import (
	"strconv"

	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// Describe tells what the file holds, as JSON.
func (r *Room) Describe() []byte {
	b := r.body
	least, greatest := b.Box()
	text := jsontree.NewString
	joints := jsontree.NewArray()
	for i, j := range b.Joints {
		own := func(k int) rigid.Vec { return j.World.L.Column(k).Unit().Scale(b.Sense(i)) } // about which the dial turns as a key of its rotation does
		x, y, z := own(0), own(1), own(2)
		joints.Append(jsontree.NewObject().Set("id", jsontree.NewInt(i)).Set("name", text(j.Name)).Set("parent", jsontree.NewInt(j.Parent)).
			Set("at", vec(j.World.T)).Set("length", jsontree.NewNumber(j.Length)).Set("vertices", jsontree.NewInt(j.Vertices)).
			Set("frame", jsontree.NewNumbers(x.X, x.Y, x.Z, y.X, y.Y, y.Z, z.X, z.Y, z.Z)).Set("fold", vec(b.Fold(i))))
	}
	clips := jsontree.NewArray()
	for i, c := range b.Clips {
		moved := jsontree.NewArray()
		for _, m := range c.Moves {
			moved.Append(jsontree.NewInt(m.Joint))
		}
		clips.Append(jsontree.NewObject().Set("id", jsontree.NewInt(i)).Set("name", text(c.Name)).
			Set("seconds", jsontree.NewNumber(c.Seconds)).Set("joints", moved))
	}
	targets, count := jsontree.NewArray(), map[string]int{}
	for _, t := range b.Targets {
		targets.Append(jsontree.NewObject().Set("id", text(t.Kind+":#"+strconv.Itoa(count[t.Kind]))).Set("name", text(t.Name)).Set("kind", text(t.Kind)))
		count[t.Kind]++
	}
	return jsontree.NewObject().Set("name", text(b.Name)).Set("vertices", jsontree.NewInt(len(b.Rest)/3)).
		Set("triangles", jsontree.NewInt(len(b.Triangles)/3)).Set("height", jsontree.NewNumber(greatest.Y-least.Y)).
		Set("least", vec(least)).Set("greatest", vec(greatest)).
		Set("notes", jsontree.NewStrings(b.Notes...)).Set("joints", joints).Set("clips", clips).Set("targets", targets).AppendTo(nil)
}
