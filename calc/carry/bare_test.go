package carry

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// troupe is a random skeleton with clips of every kind of channel. Its last node carries the surface where it is wanted; without one, that
// node, the skin and the clips stay, so that all numbers of nodes and channels are the same.
func troupe(t *testing.T, seed uint64, surface, skin bool) *body.Body {
	t.Helper()
	r, d := rand.New(rand.NewPCG(seed, 5)), gltf.New("test")
	float := func() float32 { return float32(r.NormFloat64()) }
	turned := func() rigid.Quat {
		q, _ := rigid.Quat{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64(), W: r.NormFloat64()}.Unit()
		return q
	}
	const joints = 7
	var list []int
	for i := range joints {
		parent := i - 1 - r.IntN(max(i, 1))         // −1 for the first alone
		size := 1 + 0.5*float64(seed%2)*r.Float64() // an even seed has no scale
		list = append(list, d.AddNode(gltf.Node{Name: fmt.Sprint("joint ", i), Parent: parent, Mesh: -1, Skin: -1,
			Translation: rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}, Rotation: turned(), Scale: rigid.Vec{X: size, Y: size, Z: size}}))
	}
	binds := make([]affine.Map, joints)
	for i := range binds {
		binds[i] = affine.FromTRS(rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}, turned(), rigid.Vec{X: 1, Y: 1, Z: 1})
	}
	last := gltf.Node{Name: "surface", Parent: -1, Mesh: -1, Skin: -1}
	if surface {
		corners := gltf.Attribute{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 1, 0, 0, 0, 1, 0})}
		part := gltf.Primitive{Mode: 4, Material: -1, Indices: -1, Targets: [][]gltf.Attribute{{corners}}, Attributes: []gltf.Attribute{corners,
			{Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, make([]uint32, 12))},
			{Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", []float32{1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0})}}}
		last.Mesh = d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{part}, Weights: []float64{0}, TargetNames: []string{"wide"}})
	}
	if skin {
		at, err := d.AddSkin("", list, binds)
		if err != nil {
			t.Fatal(err)
		}
		if surface {
			last.Skin = at
		}
	}
	shown := d.AddNode(last)
	track := func(clip, node int, path, how string) {
		times, width, each := []float32{0, 0.4, 1.1}, map[string]int{"translation": 3, "rotation": 4, "scale": 3}[path], 1
		if how == "CUBICSPLINE" {
			each = 3
		}
		var values []float32
		for range len(times) * each {
			key := []float32{float(), float(), float(), float()}[:width]
			if path == "scale" {
				size := 1 + 0.3*float()*float()
				key = []float32{size, size, size}
			}
			if q, _ := gltf.Quat([]float32{float(), float(), float(), 3}).Unit(); path == "rotation" {
				key = []float32{float32(q.X), float32(q.Y), float32(q.Z), float32(q.W)}
			}
			values = append(values, key...)
		}
		if err := d.AddTrack(clip, node, path, times, values, how); err != nil {
			t.Fatal(err)
		}
	}
	for _, how := range []string{"LINEAR", "STEP", "CUBICSPLINE"} {
		clip := d.AddAnimation(how)
		track(clip, 0, "rotation", how) // the root moves, so that all below it are joints also where no skin says so
		for i := range joints {
			for _, path := range []string{"translation", "rotation", "scale"} {
				if wanted := r.IntN(3) > 0; wanted && (i > 0 || path != "rotation") && (path != "scale" || seed%2 == 1) {
					track(clip, i, path, how)
				}
			}
		}
		others(d, clip, shown)
	}
	data := d.GLB()
	return load(t, "troupe.glb", data)
}

// others adds channels of weights and of a path that is not of the standard, as a file may hold them whose mesh was left out.
func others(d *gltf.Document, clip, shown int) {
	list := d.Root().Member("animations").At(clip)
	times, values := d.AddFloats("SCALAR", []float32{0, 2}), d.AddFloats("SCALAR", []float32{0, 1})
	for _, path := range []string{"weights", "pointer"} {
		sampler := list.List("samplers").Append(jsontree.NewObject().Set("input", jsontree.NewInt(times)).Set("output", jsontree.NewInt(values)))
		list.List("channels").Append(jsontree.NewObject().Set("sampler", jsontree.NewInt(sampler)).
			Set("target", jsontree.NewObject().Set("node", jsontree.NewInt(shown)).Set("path", jsontree.NewString(path))))
	}
}

// numbers are all places of nodes, in their parents' frames, and all times and values of channels, also those that are not read.
func numbers(t *testing.T, glb []byte) (nodes []affine.Map, channels []string) {
	t.Helper()
	d, err := gltf.Read(glb, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range d.Animations {
		for _, c := range a.Channels {
			s := a.Samplers[c.Sampler]
			channels = append(channels, fmt.Sprint(a.Name, c.Node, c.Path, s.Interpolation, d.Floats(s.Input), d.Floats(s.Output)))
		}
	}
	return d.Locals(), channels
}

func TestASkeletonWithoutItsSurfaceIsMovedAsWithIt(t *testing.T) {
	hows, refused := map[string]bool{}, 0
	for seed := range uint64(10) {
		full := troupe(t, seed, true, true)
		for _, skin := range []bool{true, false} {
			bare := troupe(t, seed, false, skin)
			if full.Bare() || !bare.Bare() || len(bare.Joints) < 7 {
				t.Fatalf("seed %d: bare %v and %v, %d joints", seed, full.Bare(), bare.Bare(), len(bare.Joints))
			}
			for k, o := range []Options{{}, {Leave: true}, {Aim: true}} {
				joint := int(seed+uint64(k)) % 7
				o.To = full.At(joint).Add(rigid.Vec{X: 3, Y: -7, Z: 5})
				at, err := bare.Find(full.Joints[joint].Name)
				if err != nil {
					t.Fatal(err)
				}
				p, err := Make(full, joint, o)
				q, errBare := Make(bare, at, o)
				if err != nil || errBare != nil {
					if refused++; fmt.Sprint(err) != fmt.Sprint(errBare) {
						t.Errorf("seed %d, %+v: refused with %v, without the surface with %v", seed, o, err, errBare)
					}
					continue
				}
				for _, track := range p.Tracks {
					hows[track.Path+" "+track.How] = true
				}
				same(t, fmt.Sprintf("seed %d, skin %v, %+v", seed, skin, o), p, q)
			}
		}
	}
	for _, how := range []string{"rotation turned", "translation compensated", "translation dropped", "translation shifted"} {
		if !hows[how] || refused > 0 {
			t.Errorf("no track is %s, or %d moves are refused; too little was seen", how, refused)
		}
	}
}

// same compares a move in a file with its surface and in the same without.
func same(t *testing.T, what string, p, q *Plan) {
	t.Helper()
	if !reflect.DeepEqual(p.Places, q.Places) || !reflect.DeepEqual(p.Tracks, q.Tracks) || p.Own() != q.Own() {
		t.Errorf("%s: plans differ:\n%+v\n%+v", what, p.Places, q.Places)
	}
	if len(q.Body.Doc.Skins) > 0 && !reflect.DeepEqual(p.Skins, q.Skins) {
		t.Errorf("%s: inverse binds differ", what)
	}
	glb, drift, err := p.GLB()
	bare, none, errBare := q.GLB()
	if err != nil || errBare != nil || !(drift < 1e-3) || !math.IsNaN(none) {
		t.Fatalf("%s: %v, %v; drift %g, and %g where there is no surface", what, err, errBare, drift, none)
	}
	nodes, channels := numbers(t, glb)
	nodesBare, channelsBare := numbers(t, bare)
	if !slices.Equal(nodes, nodesBare) || !slices.Equal(channels, channelsBare) {
		t.Errorf("%s: the written files differ in nodes or channels", what)
	}
}

// What is told of a file without a surface speaks of none, and says what its rest pose leaves open.
func TestWhatIsToldOfASkeletonAloneIsTrueOfIt(t *testing.T) {
	for _, skin := range []bool{true, false} {
		for _, aim := range []bool{false, true} {
			b := troupe(t, 2, false, skin)
			p, err := Make(b, 1, Options{To: b.At(1).Add(rigid.Vec{X: 4}), Aim: aim})
			if err != nil {
				t.Fatal(err)
			}
			var told struct {
				Drift *float64   `json:"rest_drift"`
				Own   [3]float64 `json:"own_offset"`
				Lose  []string   `json:"could_lose"`
			}
			text := p.JSON(math.NaN()).AppendTo(nil)
			if err := json.Unmarshal(text, &told); err != nil {
				t.Fatal(err)
			}
			// The new pivot, seen from the joint where it stood: derived apart from the plan.
			back, _ := b.Joints[1].World.Inverse()
			own := rigid.Vec{X: told.Own[0], Y: told.Own[1], Z: told.Own[2]}
			if told.Drift != nil || own.Sub(back.Apply(p.Options.To)).Len() > 1e-9 {
				t.Errorf("drift %v, own offset %v; want null and %v", told.Drift, own, back.Apply(p.Options.To))
			}
			for _, word := range []string{"painted", "rest surface", "Corrective", "shots"} {
				if strings.Contains(string(text), word) {
					t.Errorf("%q is told of a file without a surface: %s", word, text)
				}
			}
			lose := strings.Join(told.Lose, "\n")
			for word, wanted := range map[string]bool{"rest pose may be another than the character's": true, "make the same move in each": true, "aimed in another rest pose": aim} {
				if strings.Contains(lose, word) != wanted {
					t.Errorf("aim %v: %q told: %v; want %v\n%s", aim, word, !wanted, wanted, lose)
				}
			}
		}
	}
}
