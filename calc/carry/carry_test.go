package carry

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/body"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
	"centrode/calc/sheet"
)

func load(t *testing.T, name string, glb []byte) *body.Body {
	t.Helper()
	doc, err := gltf.Read(glb, nil)
	if err != nil {
		t.Fatal(err)
	}
	b, err := body.New(name, doc)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// moved carries out a move of a character's flawed joint by an offset, in cm.
func moved(t *testing.T, c character.Character, o Options) (before *body.Body, p *Plan, glb []byte) {
	t.Helper()
	before, p, glb, drift := movedIn(t, c, c.GLB(), o)
	if bound := 1e-6 * gltf.CmPerUnit * math.Max(1, before.Size()/gltf.CmPerUnit); !(drift <= bound) {
		t.Errorf("%s: the rest surface drifts by %g cm; want at most %g", c.ID, drift, bound)
	}
	return before, p, glb
}

// movedIn does so in a file that was made of the character's; its surface may drift.
func movedIn(t *testing.T, c character.Character, file []byte, o Options) (before *body.Body, p *Plan, glb []byte, drift float64) {
	t.Helper()
	before = load(t, c.ID, file)
	joint, err := before.Find(c.Flawed)
	if err != nil {
		t.Fatal(err)
	}
	o.To = before.At(joint).Add(o.To)
	if p, err = Make(before, joint, o); err != nil {
		t.Fatal(err)
	}
	if glb, drift, err = p.GLB(); err != nil {
		t.Fatal(err)
	}
	return before, p, glb, drift
}

// text is the JSON part of a .glb.
func text(t *testing.T, glb []byte) map[string]any {
	t.Helper()
	var v map[string]any
	if err := json.Unmarshal(glb[20:20+binary.LittleEndian.Uint32(glb[12:16])], &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// TestNothingElseChanges compares every member of the JSON and every number of every accessor of the old file with the new.
func TestNothingElseChanges(t *testing.T) {
	for _, c := range character.All() {
		for _, o := range []Options{{}, {Aim: true}, {Leave: true}} {
			o.To = rigid.Vec{X: 0.7, Y: -0.4, Z: 0.3}
			before, p, glb := moved(t, c, o)
			old := text(t, c.GLB())
			fresh := text(t, glb)
			may := map[string]bool{} // paths that the plan names
			for _, place := range p.Places {
				for _, member := range []string{"translation", "rotation"} {
					may["/nodes/"+strconv.Itoa(place.Node)+"/"+member] = true
				}
			}
			for _, track := range p.Tracks {
				may["/animations/"+strconv.Itoa(track.Animation)] = true
			}
			changed := map[int]bool{} // accessors that the plan renews
			for _, s := range p.Skins {
				changed[before.Doc.Skins[s.Skin].InverseBinds] = true
			}
			for _, track := range p.Tracks {
				if track.Channel >= 0 {
					a := before.Doc.Animations[track.Animation]
					s := a.Samplers[a.Channels[track.Channel].Sampler]
					changed[s.Input], changed[s.Output] = true, true
				}
			}
			for i := range changed {
				may["/accessors/"+strconv.Itoa(i)] = true
			}
			compare(t, c.ID, "", old, fresh, may)
			again, err := gltf.Read(glb, nil)
			if err != nil {
				t.Fatal(err)
			}
			for i, a := range before.Doc.Accessors {
				same := slices.Equal(again.Floats(i), before.Doc.Floats(i))
				if a.Type == "SCALAR" && a.Component != 5126 || a.Component != 5126 {
					same = slices.Equal(again.Uints(i), before.Doc.Uints(i))
				}
				if !same && !changed[i] {
					t.Errorf("%s: accessor %d has changed, which the plan does not name", c.ID, i)
				}
			}
		}
	}
}

// compare reports members that differ though nothing names them. Lists of accessors, views and buffers may grow.
func compare(t *testing.T, file, path string, old, fresh any, may map[string]bool) {
	t.Helper()
	if may[path] || reflect.DeepEqual(old, fresh) {
		return
	}
	switch was := old.(type) {
	case map[string]any:
		is, _ := fresh.(map[string]any)
		for name := range was {
			compare(t, file, path+"/"+name, was[name], is[name], may)
		}
		for name := range is {
			if _, ok := was[name]; !ok && !may[path+"/"+name] {
				t.Errorf("%s: %s/%s is new", file, path, name)
			}
		}
	case []any:
		is, _ := fresh.([]any)
		if grows := path == "/accessors" || path == "/bufferViews"; len(is) != len(was) && !(grows && len(is) > len(was)) {
			t.Errorf("%s: %s had %d items and has %d", file, path, len(was), len(is))
		}
		for i := range min(len(was), len(is)) {
			compare(t, file, path+"/"+strconv.Itoa(i), was[i], is[i], may)
		}
	default:
		if path != "/buffers/0/byteLength" {
			t.Errorf("%s: %s was %v and is %v", file, path, old, fresh)
		}
	}
}

// TestTheNumbersToTypeMoveNothingElse puts the new skeleton together from the printed numbers alone.
func TestTheNumbersToTypeMoveNothingElse(t *testing.T) {
	order, _ := rigid.ParseOrder("xyz")
	for _, c := range character.All() {
		for _, aim := range []bool{false, true} {
			before, p, _ := moved(t, c, Options{To: rigid.Vec{X: -0.5, Y: 0.6, Z: 0.2}, Aim: aim})
			locals := before.Locals()
			for _, place := range p.Places {
				_, is := place.Values()
				j := before.JointOf(place.Node)
				_, _, s, _ := locals[j].TRS()
				if s.Sub(rigid.Vec{X: 1, Y: 1, Z: 1}).Len() > 1e-6 {
					continue
				}
				locals[j].T, locals[j].L = is.Translation, order.Rot(is.Angles.Scale(math.Pi/180))
			}
			for i, world := range before.Worlds(locals, nil) {
				want := before.At(i)
				if i == p.Joint {
					want = p.Options.To
				}
				if d := world.T.Sub(want).Len(); d > 1e-6 {
					t.Errorf("%s, aim %v: %s lands %g cm beside its place", c.ID, aim, before.Joints[i].Name, d)
				}
			}
		}
	}
}

// TestAimingPointsTheSegment: after aiming, the axis of the moved joint points at its child.
func TestAimingPointsTheSegment(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	before, p, glb := moved(t, c, Options{To: rigid.Vec{X: 1, Y: -2, Z: 0.5}, Aim: true})
	after := load(t, c.ID, glb)
	axis, _ := rigid.ParseAxis(p.Options.AimAxis)
	child := after.Child(p.Joint)
	points := after.Joints[p.Joint].World.L.Apply(axis).Unit().Dot(after.At(child).Sub(after.At(p.Joint)).Unit())
	if !(points > 1-1e-9) {
		t.Errorf("%s of %s points at its child by %g", p.Options.AimAxis, c.Flawed, points)
	}
	if d := after.At(child).Sub(before.At(child)).Len(); d > 1e-9 {
		t.Errorf("the child moves by %g cm", d)
	}
}

// TestAJumpingClipStaysExact: where keys jump, so do the compensating ones, and nothing is lost to straight pieces.
func TestAJumpingClipStaysExact(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range doc.Animations {
		for k := range doc.Animations[i].Channels {
			if track := doc.Track(i, k); track.Interpolation == "LINEAR" {
				if err := doc.SetTrack(i, k, track.Times, track.Values, "STEP"); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	b := load(t, c.ID, doc.GLB())
	joint, err := b.Find(c.Flawed)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Make(b, joint, Options{To: b.At(joint).Add(rigid.Vec{X: 1, Y: 2, Z: 3})})
	if err != nil {
		t.Fatal(err)
	}
	compensated := 0
	for _, track := range p.Tracks {
		if track.How == "compensated" {
			compensated++
			if track.Error > 1e-5 || track.interpolation != "STEP" || track.After != track.Before {
				t.Errorf("%s of %s: error %g cm, %s, %d keys of %d", track.Path, track.Name, track.Error, track.interpolation, track.After, track.Before)
			}
		}
	}
	if compensated == 0 {
		t.Error("no track was compensated; the test shows nothing")
	}
}

func TestWhatCannotBeMovedIsRefused(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	b := load(t, c.ID, c.GLB())
	for _, x := range []float64{math.NaN(), math.Inf(1), 2e6} {
		if _, err := Make(b, 0, Options{To: rigid.Vec{X: x}}); err == nil {
			t.Errorf("a place at %g is not refused", x)
		}
	}
}

// TestEveryKindOfTrackIsFollowed: whatever the interpolations, each other joint stands where it stood at any moment, to what the
// plan tells and a ten thousandth of a centimetre.
func TestEveryKindOfTrackIsFollowed(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, kinds := range [][2]string{{"LINEAR", "LINEAR"}, {"CUBICSPLINE", "LINEAR"}, {"CUBICSPLINE", "CUBICSPLINE"}, {"LINEAR", "STEP"}, {"STEP", "LINEAR"}} {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		for k := range doc.Animations[0].Channels {
			track := doc.Track(0, k)
			kind := kinds[map[string]int{"rotation": 0, "translation": 1}[track.Path]]
			if err := doc.SetTrack(0, k, track.Times, spline(track, kind), kind); err != nil {
				t.Fatal(err)
			}
		}
		before, p, glb, _ := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{X: 1, Y: -0.5, Z: 2}, Aim: true})
		worst := strays(before, load(t, c.ID, glb), p.Joint)
		told := told(p)
		if !(worst <= told+1e-4) || !(told < 0.002) {
			t.Errorf("rotation %s, translation %s: a joint strays by %g cm; told %g", kinds[0], kinds[1], worst, told)
		}
	}
}

// told is the most that a plan says its tracks stray by, cm.
func told(p *Plan) (most float64) {
	for _, track := range p.Tracks {
		most = max(most, track.Error)
	}
	return most
}

// strays is the farthest, in cm, that the first clip has any joint but one from where it had it before.
func strays(before, after *body.Body, but int) (worst float64) {
	for i := range 2001 {
		at := before.Clips[0].Seconds * float64(i) / 2000
		old, fresh := before.Locals(), after.Locals()
		before.Play(&before.Clips[0], at, old)
		after.Play(&after.Clips[0], at, fresh)
		was, is := before.Worlds(old, nil), after.Worlds(fresh, nil)
		for j := range was {
			if j != but {
				worst = math.Max(worst, was[j].T.Sub(is[j].T).Len())
			}
		}
	}
	return worst
}

// TestImagesBesideTheFileAreTold: the new file may lie elsewhere, and finds them no more.
func TestImagesBesideTheFileAreTold(t *testing.T) {
	for want, images := range map[string][]string{
		"": {"data:image/png;base64,AA==", "DATA:,"},
		`The file takes an image, "skin.png", from beside it. The new one`:                 {"DATA:,", "skin.png"},
		`The file takes 2 images, such as "tex/skin%20a.png", from beside it. The new one`: {"tex/skin%20a.png", "b.png"},
	} {
		b := chain(t)
		list := b.Doc.Root().List("images")
		for _, uri := range images {
			list.Append(jsontree.NewObject().Set("uri", jsontree.NewString(uri)))
		}
		p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}})
		if err != nil {
			t.Fatal(err)
		}
		if told := strings.Join(p.Lose(), "\n"); !strings.Contains(told, want) || want == "" && strings.Contains(told, "beside it") {
			t.Errorf("%q: told %q", images, told)
		}
	}
}

// A place in metres, or in the parent's frame, is a place like another to the file; only its distance gives it away.
func TestAMoveLongerThanTheSegmentsIsTold(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	b := load(t, c.ID, c.GLB())
	elbow, err := b.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range []struct {
		name string
		to   rigid.Vec
		far  bool
	}{
		{"where it belongs", rigid.Vec{X: 30, Y: 142, Z: 1.8}, false},
		{"the same in metres", rigid.Vec{X: 0.3, Y: 1.42, Z: 0.018}, true},
		{"the same in the parent's frame", rigid.Vec{X: 30.054}, true},
		{"as far as the shoulder", rigid.Vec{X: 0.01, Y: 142}, false},
	} {
		p, err := Make(b, elbow, Options{To: one.to})
		if err != nil {
			t.Fatal(err)
		}
		if told := strings.Join(p.Lose(), "\n"); strings.Contains(told, "farther than its segments are long (30.000") != one.far {
			t.Errorf("%s: %s", one.name, told)
		}
	}
}

// TestACurveThatBecomesStraightPiecesIsTold: its path is kept and its tangents, which somebody set by hand, are not.
func TestACurveThatBecomesStraightPiecesIsTold(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, kind := range []string{"LINEAR", "CUBICSPLINE"} {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		for k := range doc.Animations[0].Channels {
			if track := doc.Track(0, k); track.Path == "translation" {
				if err := doc.SetTrack(0, k, track.Times, spline(track, kind), kind); err != nil {
					t.Fatal(err)
				}
			}
		}
		for _, leave := range []bool{false, true} { // what is dropped is told as dropped
			_, p, _, _ := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{Y: 1}, Leave: leave})
			if told := strings.Join(p.Lose(), "\n"); strings.Contains(told, "becomes straight pieces, and its tangents") != (kind == "CUBICSPLINE" && !leave) {
				t.Errorf("%s, leave %v: %s", kind, leave, told)
			}
		}
	}
}

// spline gives the values of a track the tangents that a cubic one has: slopes of a tenth of the next step.
func spline(track gltf.Track, kind string) []float32 {
	if kind != "CUBICSPLINE" {
		return track.Values
	}
	var values []float32
	for i := range track.Times {
		next := track.Key(min(i+1, len(track.Times)-1))
		tangent := make([]float32, track.Width)
		for k := range tangent {
			tangent[k] = (next[k] - track.Key(i)[k]) / 10
		}
		values = append(append(append(values, tangent...), track.Key(i)...), tangent...)
	}
	return values
}

// TestASheetOfAMoveIsRead: whatever a file calls its joints, the sheet that is written is one that can be read.
func TestASheetOfAMoveIsRead(t *testing.T) {
	for _, name := range []string{"elbow", strings.Repeat("ü\n", 200), "a\u202eb\u2066c\u0085d", ""} {
		b := chain(t)
		joint, err := b.Find("elbow")
		if err != nil {
			t.Fatal(err)
		}
		b.Joints[joint].Name = name
		p, err := Make(b, joint, Options{To: rigid.Vec{X: 30, Y: 4}})
		if err != nil {
			t.Fatal(err)
		}
		s, err := sheet.Read(Sheet("a.glb", []Moved{{Entry: p.Entry(nil)}}).AppendJSON(nil))
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		if e := s.Entries[0]; len(e.Numbers) != 1 || e.Numbers[0].Candidate != sheet.Word("keep") || e.Measured.Candidate != p.Options.To || *e.Measured.Parent != (rigid.Vec{}) || math.Abs(e.Measured.Child.X-60) > 1e-5 || !strings.HasPrefix(s.Title, "The pivot of") {
			t.Errorf("%q: %+v", name, s)
		}
	}
}

// chain is root, elbow and hand along x, 30 cm apart, with a twist joint on the elbow that is listed before the hand.
func chain(t *testing.T) *body.Body {
	t.Helper()
	d := gltf.New("test")
	node := func(name string, parent, mesh int, x float64) int {
		return d.AddNode(gltf.Node{Name: name, Parent: parent, Mesh: mesh, Skin: -1, Translation: rigid.Vec{X: x}, Rotation: rigid.Quat{W: 1}, Scale: rigid.Vec{X: 1, Y: 1, Z: 1}})
	}
	ball := d.AddMesh(gltf.Mesh{Name: "ball", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0.02, 0, 0, 0, 0.02, 0})}}}}})
	root := node("root", -1, -1, 0)
	elbow := node("elbow", root, -1, 0.3)
	node("ball", node("twist", elbow, -1, 0), ball, 0)
	node("ball", node("hand", elbow, -1, 0.3), ball, 0)
	return load(t, "chain", d.GLB())
}

// TestWhatIsToldOfAimingIsDone: the axis is chosen for the child that it is then pointed at, the sentence names what was turned
// and nothing else, and what could not be turned is named as the file names it.
func TestWhatIsToldOfAimingIsDone(t *testing.T) {
	for _, c := range []struct {
		joint      string
		to         rigid.Vec
		told, note string
	}{
		{"elbow", rigid.Vec{X: 30, Y: 4}, "Its axis +x points at its first child, and its parent's at it; all other orientations stay.", ""},
		{"elbow", rigid.Vec{X: 35}, "Every orientation stays.", ""},
		{"elbow", rigid.Vec{}, "Every orientation stays.", "Joint root stands where it should aim, so its orientation is kept."},
		{"root", rigid.Vec{Y: 5}, "Its axis +x points at its first child; all other orientations stay.", ""},
		{"ball", rigid.Vec{X: 60, Z: 5}, "The axis +x of its parent points at it; all other orientations stay.", "The moved joint has no child to aim at, so its orientation is kept."},
		{"hand", rigid.Vec{X: 60, Z: 5}, "The axis +x of its parent points at it; all other orientations stay.", "The moved joint has no child to aim at, so its orientation is kept."},
	} {
		b := chain(t)
		joint := slices.IndexFunc(b.Joints, func(j body.Joint) bool { return j.Name == c.joint })
		p, err := Make(b, joint, Options{To: c.to, Aim: true})
		if err != nil {
			if !strings.Contains(err.Error(), c.note) {
				t.Errorf("%s to %v: %v", c.joint, c.to, err)
			}
			continue
		}
		if !slices.Contains(p.Will(), c.told) || strings.Join(p.Notes, " ") != c.note {
			t.Errorf("%s to %v: told %q, notes %q; want %q and %q", c.joint, c.to, p.Will(), p.Notes, c.told, c.note)
		}
	}
	b := chain(t)
	joint, err := b.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	p, err := Make(b, joint, Options{To: rigid.Vec{X: 30, Y: 4}, Aim: true})
	if err != nil {
		t.Fatal(err)
	}
	glb, _, err := p.GLB()
	if err != nil {
		t.Fatal(err)
	}
	after := load(t, "chain", glb)
	hand, err := after.Find("hand")
	if err != nil {
		t.Fatal(err)
	}
	if points := after.Joints[joint].World.L.Column(0).Dot(after.At(hand).Sub(after.At(joint)).Unit()); !(points > 1-1e-9) {
		t.Errorf("the elbow points at the hand by %g", points)
	}
}
