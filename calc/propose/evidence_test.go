package propose

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/centre"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// shared is a skin of one joint that holds each vertex by its share, and another that holds the rest of it.
func shared(t *testing.T, points []rigid.Vec, shares []float64) *body.Body {
	t.Helper()
	d := gltf.New("test")
	var at, weights []float32
	var joints, corners []uint32
	for i, p := range points {
		at = append(at, float32(p.X), float32(p.Y), float32(p.Z))
		joints, weights = append(joints, 0, 1, 0, 0), append(weights, float32(shares[i]), float32(1-shares[i]), 0, 0)
	}
	for i := 2; i < len(points); i++ {
		corners = append(corners, 0, uint32(i-1), uint32(i))
	}
	mesh := d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: d.AddUints("SCALAR", 5123, corners), Attributes: []gltf.Attribute{
		{Name: "POSITION", Accessor: d.AddFloats("VEC3", at)}, {Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, joints)}, {Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", weights)}}}}})
	one := d.AddNode(gltf.Node{Name: "one", Parent: -1, Mesh: -1, Skin: -1, Rotation: rigid.Quat{W: 1}})
	other := d.AddNode(gltf.Node{Name: "other", Parent: -1, Mesh: -1, Skin: -1, Rotation: rigid.Quat{W: 1}})
	skin, err := d.AddSkin("", []int{one, other}, []affine.Map{affine.Identity(), affine.Identity()})
	if err != nil {
		t.Fatal(err)
	}
	d.AddNode(gltf.Node{Name: "surface", Parent: -1, Mesh: mesh, Skin: skin, Rotation: rigid.Quat{W: 1}})
	again, err := gltf.Read(d.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	b, err := body.New("test.glb", again)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// cloud is n places about a centimetre from the origin, no three of them in a line.
func cloud(n int) []rigid.Vec {
	list := make([]rigid.Vec, n)
	for i := range list {
		sin, cos := math.Sincos(float64(i))
		list[i] = rigid.Vec{X: 0.01 * cos, Y: 0.01 * sin, Z: 0.0003 * float64(i*i%17)}
	}
	return list
}

func repeated(share float64, n int) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = share
	}
	return list
}

// derived: 0.75⁴ = 0.31640625, and 0.75 is exact in a file.
func TestABlendedVertexCountsByTheFourthPowerOfItsShare(t *testing.T) {
	b := shared(t, cloud(20), repeated(0.75, 20))
	vertices, weights := held(b, 0, halves(b)[0])
	if len(vertices) != 20 || weights[0] != 0.31640625 {
		t.Errorf("%d vertices, the first counts %v; want 20 and 0.31640625", len(vertices), weights)
	}
}

func TestAVertexThatMostlyFollowsAnotherJointIsNotUsed(t *testing.T) {
	b := shared(t, cloud(20), append(repeated(0.75, 4), repeated(0.4375, 16)...))
	if vertices, _ := held(b, 0, halves(b)[0]); len(vertices) != 4 {
		t.Errorf("%d vertices are used, want the 4 that the joint holds by more than half", len(vertices))
	}
}

// Many vertices in a line fix no turn, so those that the joint holds a little less are used too.
func TestVerticesInALineAreNotEnough(t *testing.T) {
	points := cloud(32)
	for i := range 16 {
		points[i] = rigid.Vec{X: 0.001 * float64(i)}
	}
	b := shared(t, points, append(repeated(1, 16), repeated(0.9375, 16)...))
	if vertices, _ := held(b, 0, halves(b)[0]); len(vertices) != 32 {
		t.Errorf("%d vertices are used, want all 32", len(vertices))
	}
	for i := range points {
		points[i] = rigid.Vec{X: 0.01 * float64(i), Y: 1e-6 * float64(i%3)}
	}
	b = shared(t, points, repeated(1, 32))
	if vertices, _ := held(b, 0, halves(b)[0]); spread(b, vertices) {
		t.Error("vertices that all but lie in a line fix a turn")
	}
}

// Three vertices are the fewest that fix a turn: the farthest of them stays.
func TestTrimmingLeavesEnoughToFixATurn(t *testing.T) {
	rest := []rigid.Vec{{}, {X: 1}, {Y: 1}}
	posed := []rigid.Vec{{}, {X: 1.001}, {Y: 4}}
	kept, _, _ := trim(rest, posed, []float64{1, 1, 1e-9}, 1)
	for i, w := range kept {
		if w == 0 {
			t.Errorf("vertex %d of three was left out", i)
		}
	}
}

// What lies within a millionth of the body's size of its place is in its place, however exactly the others are.
func TestTrimmingForgivesRounding(t *testing.T) {
	rest := cloud(40)
	posed := append([]rigid.Vec(nil), rest...)
	posed[7] = posed[7].Add(rigid.Vec{Z: 1e-8})
	kept, _, _ := trim(rest, posed, repeated(1, 40), 1)
	if kept[7] == 0 {
		t.Error("a vertex that lies 1e-8 of the size off is left out")
	}
}

func placed(b *body.Body) []rigid.Vec {
	all := make([]rigid.Vec, len(b.Rest)/3)
	for v := range all {
		all[v] = b.Vertex(v)
	}
	return all
}

func demo(t *testing.T, id string) (b *body.Body, joint int) {
	t.Helper()
	c, ok := character.Find(id)
	if !ok {
		t.Fatalf("no character %s", id)
	}
	b, joint, _, _ = load(t, c)
	return b, joint
}

func TestWhatCarriesTheJointStandsStillWhereItOnlyTrembles(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	random := rand.New(rand.NewPCG(1, 1))
	all := placed(b)
	for v := range all {
		all[v] = all[v].Add(rigid.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()}.Scale(0.02))
	}
	p := Proposal{Joint: joint}
	if got, _ := p.carrier(b, all); got != affine.Identity() {
		t.Errorf("noise moves the upper arm by %v", got)
	}
}

// A small turn of the segment that carries the joint is a turn all the same.
func TestASmallMotionOfWhatCarriesTheJointIsTakenBack(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	all := placed(b)
	for v := range all {
		all[v] = all[v].Add(rigid.Vec{Y: 0.3})
	}
	p := Proposal{Joint: joint}
	if motion, _ := p.carrier(b, all); !(motion.Apply(rigid.Vec{}).Sub(rigid.Vec{Y: 0.3}).Len() <= 1e-4) {
		t.Errorf("an upper arm that rose by 0.3 cm is read as one that rose by %v", motion.Apply(rigid.Vec{}))
	}
}

// A key carries the landmarks as the clip does when it is played.
func TestAKeyCarriesTheLandmarksAsTheClipDoes(t *testing.T) {
	for _, c := range character.All() {
		b, joint, _, _ := load(t, c)
		target, err := b.Target("clip:#0")
		if err != nil {
			t.Fatal(err)
		}
		keys, err := keyed(b, joint, target)
		if err != nil {
			t.Fatal(err)
		}
		m, _ := b.Clips[target.Clip].Of(joint)
		rest := []rigid.Vec{b.At(joint), b.At(joint).Add(rigid.Vec{X: 3, Y: 1, Z: -2})}
		back, _ := b.Joints[joint].World.Inverse()
		for i, at := range m.Times() {
			locals := b.Locals()
			b.Play(&b.Clips[target.Clip], at, locals)
			world := b.Worlds(locals, nil)[joint]
			for k, got := range carried(b.ParentFrame(joint), b.Locals()[joint].T, keys[i], rest) {
				if want := world.Apply(back.Apply(rest[k])); !(got.Sub(want).Len() <= 1e-3) {
					t.Errorf("%s, key %d: landmark %d is carried to %v, played to %v", c.ID, i, k, got, want)
				}
			}
		}
	}
}

// Keys alone are fitted as keys; a shape beside them, or a hinge, makes poses of them.
func TestKeysAreFittedAsKeysOnlyAlone(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	shape, _ := b.Target("morph:#0")
	clip, _ := b.Target("clip:#0")
	for _, c := range []struct {
		name    string
		targets []*body.Target
		hinge   bool
		want    bool
	}{
		{"a clip", []*body.Target{clip}, false, true},
		{"a clip and a shape", []*body.Target{clip, shape}, false, false},
		{"a clip about a hinge", []*body.Target{clip}, true, false},
	} {
		p, err := Find(b, joint, c.targets, c.hinge)
		if err != nil || p.FromKeys != c.want {
			t.Errorf("%s: from keys %v, %v; want %v", c.name, p.FromKeys, err, c.want)
		}
	}
}

func TestAClipWithoutTranslationTeachesNothing(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	first, _, _, _ := read(t, c, doc)
	elbow, _ := first.Find("elbow")
	clip := doc.AddAnimation("only turns")
	if err := doc.AddTrack(clip, first.Joints[elbow].Node, "rotation", []float32{0, 1}, []float32{0, 0, 0, 1, 0, 1, 0, 0}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	if doc, err = gltf.Read(doc.GLB(), nil); err != nil {
		t.Fatal(err)
	}
	b, joint, _, _ := read(t, c, doc)
	target, err := b.Target("clip:only turns")
	if err != nil {
		t.Fatal(err)
	}
	if _, err = Find(b, joint, []*body.Target{target}, false); err == nil || !strings.Contains(err.Error(), "keys no translation of elbow") {
		t.Errorf("the refusal is %v", err)
	}
}

// A character twice as large, or in a mirror, has errors twice as large, and none below zero.
func TestErrorsFromKeysGrowWithTheCharacter(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	fitted := func(scale rigid.Vec) Proposal {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range doc.Roots {
			doc.Root().Member("nodes").At(r).Set("scale", jsontree.NewNumbers(scale.X, scale.Y, scale.Z))
		}
		if doc, err = gltf.Read(doc.GLB(), nil); err != nil {
			t.Fatal(err)
		}
		b, joint, _, _ := read(t, c, doc)
		clip, err := b.Target("clip:#0")
		if err != nil {
			t.Fatal(err)
		}
		p, err := Find(b, joint, []*body.Target{clip}, false)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	once := fitted(rigid.Vec{X: 1, Y: 1, Z: 1})
	for name, scale := range map[string]rigid.Vec{"twice as large": {X: 2, Y: 2, Z: 2}, "twice as large in a mirror": {X: -2, Y: 2, Z: 2}} {
		p := fitted(scale)
		for _, n := range []struct {
			name     string
			got, was float64
		}{{"left", p.Left, once.Left}, {"sigma", p.Sigma, once.Sigma}} {
			if !(math.Abs(n.got-2*n.was) <= 1e-3*n.was) || !(n.was > 0) {
				t.Errorf("%s: %s is %v, want twice %v", name, n.name, n.got, n.was)
			}
		}
	}
}

// On a line the pivot is its point nearest the current one: the offset has nothing along the axis.
func TestAPivotOnALineIsTheNearestPointOfIt(t *testing.T) {
	lines := 0
	for _, c := range character.All() {
		b, joint, _, _ := load(t, c)
		target, _ := b.Target("morph:#0")
		p, err := Find(b, joint, []*body.Target{target}, false)
		if err != nil {
			t.Fatal(err)
		}
		if p.Determined != centre.Line {
			continue
		}
		lines++
		if along := p.Axis.Dot(p.Offset); !(math.Abs(along) <= 1e-9*b.Size()) {
			t.Errorf("%s: the offset has %v cm along the axis", c.ID, along)
		}
	}
	if lines < 3 {
		t.Errorf("%d characters leave a line, want at least 3", lines)
	}
}

// derived: noise of 0.02 cm along each axis leaves its root mean square length, √3 times that, but for the few numbers fitted.
func TestTheNoiseFloorIsThatOfTheSurface(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 3))
	for _, target := range doc.Meshes[0].Primitives[0].Targets {
		values := doc.Floats(target[0].Accessor)
		for i := range values {
			values[i] += float32(0.0002 * random.NormFloat64())
		}
		if err := doc.SetFloats(target[0].Accessor, values); err != nil {
			t.Fatal(err)
		}
	}
	b, joint, _, _ := read(t, c, doc)
	one, _ := b.Target("morph:#0")
	two, _ := b.Target("morph:#1")
	ball, err := Find(b, joint, []*body.Target{one, two}, false)
	if err != nil {
		t.Fatal(err)
	}
	if want := 0.02 * math.Sqrt(3); !(math.Abs(ball.Noise-want) <= 0.15*want) {
		t.Errorf("noise = %v cm, want %v", ball.Noise, want)
	}
	hinge, err := Find(b, joint, []*body.Target{one, two}, true)
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []rigid.Vec{b.At(joint), b.At(joint).Add(rigid.Vec{X: 2, Y: 3, Z: 1})} {
		if !(hinge.At(at) > ball.At(at)) { // turning about one axis alone cannot leave less
			t.Errorf("at %v a hinge leaves %v, a ball %v", at, hinge.At(at), ball.At(at))
		}
	}
}

func TestAWarningComesWithItsCause(t *testing.T) {
	sure := Proposal{Known: true, size: 10, Noise: 0.01, Left: 0.01, Now: 1, Angles: []float64{1, 2}, Offset: rigid.Vec{X: 1}, frame: affine.Identity()}
	for _, c := range []struct {
		name   string
		change func(*Proposal)
		want   string // "" for none
	}{
		{"a sure pivot", func(*Proposal) {}, ""},
		{"a slide within the noise", func(p *Proposal) { p.Slide = 0.02 }, ""},
		{"a slide beyond it", func(p *Proposal) { p.Slide = -0.04 }, "The target also moves by −0.04 cm along its axis"},
		{"a slide that nobody sees, of a shape without noise", func(p *Proposal) { p.Slide, p.Noise, p.Left = 9e-4, 0, 0 }, ""},
		{"one that is told, of a shape without noise", func(p *Proposal) { p.Slide, p.Noise, p.Left = 1.1e-3, 0, 0 }, "along its axis"},
		{"one pose that leaves much", func(p *Proposal) { p.Left, p.Angles = 1, p.Angles[:1] }, ""},
		{"two that leave much", func(p *Proposal) { p.Left = 1 }, "the centre moves, or the part is not rigid"},
		{"keys that move", func(p *Proposal) { p.FromKeys = true }, ""},
		{"keys that only turn", func(p *Proposal) { p.FromKeys, p.Now = true, 0 }, "the current pivot already serves"},
		{"a pivot just within the segment", func(p *Proposal) { p.Offset.X = 9.9 }, ""},
		{"a pivot farther than the segment is long", func(p *Proposal) { p.Offset.X = 10.1 }, "farther from the current one than the segment is long"},
		{"nothing left over", func(p *Proposal) { p.Known = false }, "Nothing is left over to judge the error from"},
	} {
		p := sure
		c.change(&p)
		p.warn()
		got := strings.ReplaceAll(strings.Join(p.Warnings, " "), "\u00a0", " ")
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: warns %q, want %q", c.name, got, c.want)
		}
	}
}

func TestTheWidestTurnIsToldEitherWay(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	p := Proposal{Joint: joint, Angles: []float64{-0.5, 0.2}}
	for _, row := range p.Rows(b) {
		if row.ID == "turn" && row.Text != "28.6°" { // derived: half a radian
			t.Errorf("the widest turn is told as %s, want 28.6°", row.Text)
		}
	}
}

func TestASlideIsToldOfOnePoseAlone(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	for _, c := range []struct {
		angles []float64
		keys   bool
		known  bool
	}{{[]float64{1}, false, true}, {[]float64{1, 2}, false, false}, {[]float64{1}, true, false}} {
		p := Proposal{Joint: joint, Angles: c.angles, FromKeys: c.keys, Slide: 0.25}
		if _, known := p.JSON(b).Member("slide").Float(); known != c.known {
			t.Errorf("%d angles, from keys %v: the slide is told: %v, want %v", len(c.angles), c.keys, known, c.known)
		}
	}
}

// derived: the middle of all cells is the place that the map goes through.
func TestAMapLiesAboutItsPlace(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	target, _ := b.Target("morph:#0")
	p, err := Find(b, joint, []*body.Target{target}, false)
	if err != nil {
		t.Fatal(err)
	}
	through := rigid.Vec{X: 30, Y: 142, Z: 1}
	s := p.Across(through, rigid.Vec{Z: 1}, 3, 4)
	middle := s.Origin.Add(s.U.Add(s.V).Scale(1.5))
	if !(middle.Sub(through).Len() <= 1e-12*through.Len()) || !(math.Abs(s.U.Len()-1.5) <= 1e-12) {
		t.Errorf("the map lies about %v in steps of %v cm, want %v and 1.5", middle, s.U.Len(), through)
	}
	for _, c := range []struct{ size, offset, want float64 }{{10, 1, 6}, {10, 8, 12}, {0, 2, 3}} {
		p := Proposal{size: c.size, Offset: rigid.Vec{Y: c.offset}}
		if got := p.Half(); got != c.want {
			t.Errorf("a segment of %v cm and an offset of %v cm: the map reaches %v cm, want %v", c.size, c.offset, got, c.want)
		}
	}
}
