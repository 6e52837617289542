package room

import (
	"math"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// limb is an invented arm along x, in metres: shoulder, elbow, hand, and a ball on a node of its own at the hand. The elbow
// belongs at truth; the file has it at flawed. It holds a shape "fold", bent by 80° about the truth with soft weights, and
// a clip "bend" whose keys turn about the flawed pivot and owe translation.
type limb struct {
	truth, flawed rigid.Vec
	scale         float64 // of the root node
	tilt          rigid.Quat
	rings, around int
}

func newLimb() limb {
	return limb{truth: rigid.Vec{X: 0.3, Y: -0.015}, flawed: rigid.Vec{X: 0.31, Y: 0.01}, scale: 1, tilt: rigid.Quat{W: 1}, rings: 61, around: 16}
}

func (l limb) file(t testing.TB) []byte {
	t.Helper()
	rings, around := l.rings, l.around
	var positions, shape, weights []float32
	var joints, indices []uint32
	fold, _ := rigid.Turn(rigid.Vec{Z: 1}, 80*math.Pi/180)
	about := rigid.TurnAbout(l.truth, fold)
	for i := range rings {
		x := 0.6 * float64(i) / float64(rings-1)
		w := math.Max(0, math.Min(1, 0.5+(x-l.truth.X)/0.08))
		for k := range around {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(around))
			p := rigid.Vec{X: x, Y: 0.04 * cos, Z: 0.05 * sin}
			moved := about.Apply(p).Sub(p).Scale(w)
			positions = append(positions, float32(p.X), float32(p.Y), float32(p.Z))
			shape = append(shape, float32(moved.X), float32(moved.Y), float32(moved.Z))
			joints = append(joints, 0, 1, 0, 0)
			weights = append(weights, float32(1-w), float32(w), 0, 0)
			if a, b := uint32(i*around+k), uint32(i*around+(k+1)%around); i+1 < rings {
				n := uint32(around)
				indices = append(indices, a, b, a+n, b, b+n, a+n)
			}
		}
	}
	d := gltf.New("test")
	mesh := d.AddMesh(gltf.Mesh{Name: "arm", TargetNames: []string{"fold"}, Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: d.AddUints("SCALAR", 5125, indices),
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", positions)}, {Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, joints)}, {Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", weights)}},
		Targets:    [][]gltf.Attribute{{{Name: "POSITION", Accessor: d.AddFloats("VEC3", shape)}}}}}})
	s := l.scale
	root := d.AddNode(gltf.Node{Name: "root", Parent: -1, Mesh: -1, Skin: -1, Scale: rigid.Vec{X: s, Y: s, Z: s}, Rotation: l.tilt})
	shoulder := d.AddNode(gltf.Node{Name: "shoulder", Parent: root, Mesh: -1, Skin: -1})
	elbow := d.AddNode(gltf.Node{Name: "elbow", Parent: shoulder, Mesh: -1, Skin: -1, Translation: l.flawed})
	hand := d.AddNode(gltf.Node{Name: "hand", Parent: elbow, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 0.6}.Sub(l.flawed)})
	ball := d.AddMesh(gltf.Mesh{Name: "ball", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0.02, 0, 0, 0, 0.02, 0})}}}}})
	d.AddNode(gltf.Node{Name: "ball", Parent: hand, Mesh: ball, Skin: -1, Translation: rigid.Vec{Y: 0.03}})
	worlds := d.Worlds()
	var inverse []affine.Map
	for _, node := range []int{shoulder, elbow} {
		m, _ := worlds[node].Inverse()
		inverse = append(inverse, m.Then(affine.Map{L: worlds[root].L, T: worlds[root].T}))
	}
	skin, err := d.AddSkin("arm", []int{shoulder, elbow}, inverse)
	if err != nil {
		t.Fatal(err)
	}
	d.AddNode(gltf.Node{Name: "arm", Parent: -1, Mesh: mesh, Skin: skin})
	clip := d.AddAnimation("bend")
	var times, turns, shifts []float32
	for i := range 5 {
		r, _ := rigid.Turn(rigid.Vec{X: 0.1 * float64(i%2), Y: 0.2 * float64(i%3), Z: 1}, 0.5*float64(i))
		q, offset := r.Quat(), l.truth.Sub(l.flawed)
		owed := l.flawed.Add(offset.Sub(r.Apply(offset)))
		times = append(times, 0.5*float32(i))
		turns = append(turns, float32(q.X), float32(q.Y), float32(q.Z), float32(q.W))
		shifts = append(shifts, float32(owed.X), float32(owed.Y), float32(owed.Z))
	}
	for _, err := range []error{d.AddTrack(clip, elbow, "rotation", times, turns, "LINEAR"), d.AddTrack(clip, elbow, "translation", times, shifts, "LINEAR"),
		d.AddTrack(clip, hand, "rotation", times, turns, "LINEAR"), d.AddTrack(clip, hand, "translation", times, shifts, "LINEAR")} {
		if err != nil {
			t.Fatal(err)
		}
	}
	turn := d.AddAnimation("turn only")
	if err := d.AddTrack(turn, elbow, "rotation", times, turns, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	return d.GLB()
}

func open(t testing.TB, data []byte) *Room {
	t.Helper()
	r, err := Open([]File{{"limb.glb", data}})
	if err != nil {
		t.Fatal(err)
	}
	return r
}
