package carry

import (
	"math"
	"slices"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// TestAMirroredJointIsAimedAndFollowed: a scale that mirrors the joint or its parent, along any axis, leaves the axis aimed at the
// child and each clip as it was, and the numbers to type in are those of a program that has the file's own scale.
func TestAMirroredJointIsAimedAndFollowed(t *testing.T) {
	order, _ := rigid.ParseOrder("xyz")
	far := func(a, b rigid.Rot) (worst float64) {
		for i := range a {
			for j := range a[i] {
				worst = max(worst, math.Abs(a[i][j]-b[i][j]))
			}
		}
		return worst
	}
	c, _ := character.Find("odalys-arm")
	for i, scale := range [][]float64{{-1, 1, 1}, {1, -1, 1}, {1, 1, -1}, {-1, -1, 1}, {1, -1, -1}, {-2, -2, -2}} {
		for _, name := range []string{c.Flawed, "shoulder"} {
			aim := []string{"", "+y"}[i%2] // along y, what turns the axis has a part about each of the three
			doc, err := gltf.Read(c.GLB(), nil)
			if err != nil {
				t.Fatal(err)
			}
			node := slices.IndexFunc(doc.Nodes, func(n gltf.Node) bool { return n.Name == name })
			doc.Root().Member("nodes").At(node).Set("scale", jsontree.NewNumbers(scale...))
			before, p, glb, drift := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{X: 1, Y: -0.5, Z: 2}, Aim: true, AimAxis: aim})
			after, joint := load(t, c.ID, glb), p.Joint
			for _, place := range p.Places {
				was, is := place.Values()
				n := before.Doc.Nodes[place.Node]
				typed := affine.FromTRS(is.Translation.Scale(1.0/gltf.CmPerUnit), is.Quaternion, n.Scale)
				if d := is.Quaternion.Rot(); far(order.Rot(is.Angles.Scale(math.Pi/180)), d) > 1e-9 || far(typed.L, place.Is.L) > 1e-9 || far(was.Quaternion.Rot(), n.Rotation.Rot()) > 1e-12 {
					t.Errorf("%s scaled by %v: %s is told to be turned by %v and then %v, which makes %v; it was %v and is to be %v", name, scale, place.Name, was, is, typed.L, n.Rotation, place.Is.L)
				}
			}
			axis, _ := rigid.ParseAxis(p.Options.AimAxis)
			points := after.Joints[joint].World.L.Apply(axis).Unit().Dot(after.At(after.Child(joint)).Sub(after.At(joint)).Unit())
			if worst := strays(before, after, joint); !(drift <= 1e-4) || !(worst <= 0.002) || !(points > 1-1e-9) {
				t.Errorf("%s scaled by %v: the rest surface drifts by %g cm, a joint strays by %g cm, the axis points at the child by %g", name, scale, drift, worst, points)
			}
		}
	}
}

// TestWhatWouldShearIsRefused: a joint whose own scale is uneven cannot be turned, though what is above it makes up for it.
func TestWhatWouldShearIsRefused(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	for name, scale := range map[string][]float64{"collar": {2, 1, 1}, "shoulder": {0.5, 1, 1}} {
		node := slices.IndexFunc(doc.Nodes, func(n gltf.Node) bool { return n.Name == name })
		doc.Root().Member("nodes").At(node).Set("scale", jsontree.NewNumbers(scale...)).Remove("rotation")
	}
	b := load(t, c.ID, doc.GLB())
	joint, err := b.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range []Options{{Aim: true}, {}} {
		o.To = b.At(joint).Add(rigid.Vec{Y: 2})
		if _, err := Make(b, joint, o); (err != nil) != o.Aim || err != nil && !strings.Contains(err.Error(), "shoulder: is scaled unevenly") {
			t.Errorf("aim %v: %v", o.Aim, err)
		}
	}
}

// TestWhatIsToldOfATrackIsInTheWorld: under a root that scales the file's units, or scales them in the clip, keys are as many as
// without it, and the error that is told is how far the segment is from its old path in centimetres of the world.
func TestWhatIsToldOfATrackIsInTheWorld(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	keys := 0
	for _, scale := range []float64{1, 0.01, 100} {
		for _, o := range []Options{{}, {Leave: true}} {
			doc, err := gltf.Read(c.GLB(), nil)
			if err != nil {
				t.Fatal(err)
			}
			doc.Root().Member("nodes").At(0).Set("scale", jsontree.NewNumbers(scale, scale, scale))
			for i, n := range doc.Nodes {
				if n.Parent >= 0 {
					doc.SetTranslation(i, n.Translation.Scale(1/scale))
				}
			}
			for k := range doc.Animations[0].Channels {
				if track := doc.Track(0, k); track.Path == "translation" {
					for i := range track.Values {
						track.Values[i] /= float32(scale)
					}
					if err := doc.SetTrack(0, k, track.Times, track.Values, track.Interpolation); err != nil {
						t.Fatal(err)
					}
				}
			}
			if o.Leave {
				s := float32(scale)
				if err := doc.AddTrack(0, 0, "scale", []float32{0, 0.4, 2}, []float32{s, s, s, 3 * s, 2 * s, s, s, s, s}, "LINEAR"); err != nil {
					t.Fatal(err)
				}
			}
			o.To = rigid.Vec{X: 1, Y: -0.5, Z: 2}
			before, p, glb, _ := movedIn(t, c, doc.GLB(), o)
			var told Track
			for _, track := range p.Tracks {
				if track.Path == "translation" && track.Node == p.node() {
					told = track
				}
			}
			if keys == 0 {
				keys = told.After
			}
			switch worst := strays(before, load(t, c.ID, glb), p.Joint); {
			case !o.Leave && (told.After != keys || !(told.Error <= 0.002)):
				t.Errorf("scaled by %g: %d keys, at most %g cm off; want %d, as without scale", scale, told.After, told.Error, keys)
			case !(math.Abs(worst-told.Error) <= 0.01*worst+1e-4):
				t.Errorf("scaled by %g, %+v: told %g cm, but a joint strays by %g", scale, o, told.Error, worst)
			}
		}
	}
}

func TestWhatADroppedSplineLeavesIsToldBetweenItsKeysToo(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	b := load(t, c.ID, c.GLB())
	joint, _ := b.Find(c.Flawed)
	node := b.Joints[joint].Node
	for k := range doc.Animations[0].Channels {
		track := doc.Track(0, k)
		if track.Node != node || track.Path != "translation" {
			continue
		}
		x := track.Values[:3]
		if err := doc.SetTrack(0, k, []float32{0, 0.05}, []float32{0, 0, 0, x[0], x[1], x[2], 0, 20, 0, 0, -20, 0, x[0], x[1], x[2], 0, 0, 0}, "CUBICSPLINE"); err != nil {
			t.Fatal(err)
		}
	}
	before, p, glb, _ := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{X: 0.1}, Leave: true})
	told := told(p)
	if worst := strays(before, load(t, c.ID, glb), p.Joint); !(math.Abs(worst-told) <= 0.01*worst) || worst < 5 {
		t.Errorf("told %g cm, but a joint strays by %g", told, worst)
	}
}

func TestWhatHangsOnTheJointIsTold(t *testing.T) {
	for _, c := range []struct {
		member string
		value  *jsontree.Value
		told   bool
	}{
		{"camera", jsontree.NewInt(0), true},
		{"extensions", jsontree.NewObject().Set("EX_follow", jsontree.NewObject()), true},
		{"extensions", jsontree.NewObject(), false}, // some programs write it everywhere
	} {
		b := chain(t)
		node := b.Joints[1].Node
		b.Doc.Root().Member("nodes").At(node).Set(c.member, c.value)
		p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}})
		if err != nil {
			t.Fatal(err)
		}
		if told := strings.Join(p.Lose(), "\n"); strings.Contains(told, "hangs a camera, a light or data of a program on") != c.told {
			t.Errorf("%s: told %q; want it %v", c.member, told, c.told)
		}
	}
}

// TestAClipThatWouldShearRefusesAim: a joint that a clip scales unevenly, or mirrors otherwise than its rest does, cannot be turned; one
// whose size alone is keyed can, and every other joint stands where the clip had it.
func TestAClipThatWouldShearRefusesAim(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, k := range []struct {
		name   string
		values []float32
		kind   string
		bends  bool
	}{
		{"uneven", []float32{1, 1, 1, 1, 1.5, 1}, "LINEAR", true},
		{"uneven by a thousandth", []float32{1, 1, 1, 1, 1.001, 1}, "LINEAR", true},
		{"mirrored", []float32{1, 1, 1, -1, 1, 1}, "STEP", true},
		{"uneven between its keys", []float32{0, 0, 0, 1, 1, 1, 3, 0, 0, 0, 0, 0, 1, 1, 1, 0, 0, 0}, "CUBICSPLINE", true},
		{"of one size", []float32{1, 1, 1, 2, 2, 2}, "LINEAR", false},
	} {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		node := slices.IndexFunc(doc.Nodes, func(n gltf.Node) bool { return n.Name == c.Flawed })
		if err := doc.AddTrack(0, node, "scale", []float32{0, 2}, k.values, k.kind); err != nil {
			t.Fatal(err)
		}
		b := load(t, c.ID, doc.GLB())
		joint, err := b.Find(c.Flawed)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range []Options{{Aim: true}, {}} {
			o.To = b.At(joint).Add(rigid.Vec{X: 1, Y: 2, Z: 1})
			p, err := Make(b, joint, o)
			if refused := err != nil; refused != (o.Aim && k.bends) || refused && !strings.Contains(err.Error(), c.Flawed+": is scaled unevenly by clip fold") {
				t.Errorf("%s, aim %v: %v", k.name, o.Aim, err)
			}
			if err != nil {
				continue
			}
			glb, _, err := p.GLB()
			if err != nil {
				t.Fatal(err)
			}
			if worst := strays(b, load(t, c.ID, glb), joint); !(worst <= 0.005) {
				t.Errorf("%s, aim %v: a joint strays by %g cm", k.name, o.Aim, worst)
			}
		}
	}
}

// TestTracksThatAreNotReadAreTold: a clip may point at a joint through an extension, and nothing of that is carried over.
func TestTracksThatAreNotReadAreTold(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	target := doc.Root().Member("animations").At(0).Member("channels").At(0).Member("target")
	target.Remove("node")
	target.Set("path", jsontree.NewString("pointer"))
	for points, file := range map[bool][]byte{false: c.GLB(), true: doc.GLB()} {
		_, p, _, _ := movedIn(t, c, file, Options{To: rigid.Vec{X: 1, Y: -0.5, Z: 2}})
		if told := strings.Contains(strings.Join(p.Lose(), "\n"), "Clip fold has 1 track of a kind that is not read here (pointer)."); told != points {
			t.Errorf("a track that points by an extension: %v, told: %v", points, told)
		}
	}
}

// TestWhatIsDroppedIsToldThroughUnevenScalesAndJumps: what stands above and is scaled unevenly makes another length of the same miss
// when the clip turns what is between, and a clip that jumps is farthest off just before it does.
func TestWhatIsDroppedIsToldThroughUnevenScalesAndJumps(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, up := range []float32{0, 0.2, -0.2} { // metres by which a clip that jumps shifts the joint meanwhile
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		shoulder := slices.IndexFunc(doc.Nodes, func(n gltf.Node) bool { return n.Name == "shoulder" })
		if up != 0 {
			for k := range doc.Animations[0].Channels {
				if track := doc.Track(0, k); track.Path == "rotation" { // in one of the two directions the jump takes some of the miss back
					err = doc.SetTrack(0, k, []float32{0, 2}, append(slices.Clone(track.Key(0)), track.Key(6)...), "STEP")
				} else {
					x := track.Key(0)
					err = doc.SetTrack(0, k, []float32{0, 2}, []float32{x[0], x[1], x[2], x[0] + up, x[1], x[2]}, "LINEAR")
				}
				if err != nil {
					t.Fatal(err)
				}
			}
		} else {
			doc.Root().Member("nodes").At(0).Set("scale", jsontree.NewNumbers(1, 2, 0.5))
			if err := doc.AddTrack(0, shoulder, "rotation", []float32{0, 2}, []float32{0, 0, 0, 1, 0, 0.7071068, 0, 0.7071068}, "LINEAR"); err != nil {
				t.Fatal(err)
			}
		}
		before, p, glb, _ := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{X: 1, Y: 4, Z: 2}, Leave: true})
		told := told(p)
		if worst := strays(before, load(t, c.ID, glb), p.Joint); !(math.Abs(worst-told) <= 0.01*worst) || worst < 1 {
			t.Errorf("shifted by %g m: told %g cm, but a joint strays by %g", up, told, worst)
		}
	}
}

// TestATurnBelowAnUnevenScaleIsTold: what turns between the joint and a root that is scaled unevenly changes how long in the world a
// miss is, though the clip scales nothing.
func TestATurnBelowAnUnevenScaleIsTold(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	doc.Root().Member("nodes").At(0).Set("scale", jsontree.NewNumbers(1, 8, 0.5))
	shoulder := slices.IndexFunc(doc.Nodes, func(n gltf.Node) bool { return n.Name == "shoulder" })
	if err := doc.AddTrack(0, shoulder, "rotation", []float32{0.3, 1.9}, []float32{0, 0, 0, 1, 0.6, 0, 0, 0.8}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	before, p, glb, _ := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{X: 1, Y: -0.5, Z: 2}, Leave: true})
	told := told(p)
	if worst := strays(before, load(t, c.ID, glb), p.Joint); !(math.Abs(worst-told) <= 0.01*worst) || worst < 1 {
		t.Errorf("told %g cm, but a joint strays by %g", told, worst)
	}
}
