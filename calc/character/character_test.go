package character_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/centre"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// made is a character read back from its file, with what the file confesses.
type made struct {
	*gltf.Document
	surface gltf.Surface
	flawed  int       // node
	pivot   rigid.Vec // where it belongs, in the scene, m
	axis    rigid.Vec // of its hinge there
	segment float64   // m
}

// each runs a test for every character.
func each(t *testing.T, test func(t *testing.T, c character.Character, m made)) {
	t.Helper()
	all := character.All()
	if len(all) < 5 {
		t.Fatalf("%d characters, want at least 5", len(all))
	}
	for _, c := range all {
		t.Run(c.ID, func(t *testing.T) {
			d, err := gltf.Read(c.GLB(), nil)
			if err != nil {
				t.Fatal(err)
			}
			m := made{Document: d, surface: d.Surface(0, 0), flawed: -1}
			for i, n := range d.Nodes {
				if n.Name == c.Flawed {
					m.flawed = i
				}
			}
			extras := d.Root().Member("nodes").At(m.flawed).Member("extras").Member("centrode")
			vector := func(name string) rigid.Vec {
				var v [3]float64
				for i := range v {
					v[i], _ = extras.Member(name).At(i).Float()
				}
				return rigid.Vec{X: v[0], Y: v[1], Z: v[2]}
			}
			parent := d.Worlds()[d.Nodes[m.flawed].Parent]
			m.pivot, m.axis = parent.Apply(vector("true")), parent.L.Apply(vector("axis"))
			m.segment, _ = extras.Member("segment").Float()
			if off := c.True().Sub(m.pivot.Scale(100)).Len(); !(off <= 1e-4) { // cm; the file rounds to 32 bits
				t.Errorf("True is %v cm, the file's extras say %v m", c.True(), m.pivot)
			}
			test(t, c, m)
		})
	}
}

func (m made) point(i int) rigid.Vec {
	p := m.surface.Positions[3*i:]
	return rigid.Vec{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])}
}

// carried are the vertices that hang on one joint of the skin alone.
func (m made) carried(node int) []int {
	var list []int
	for i := range len(m.surface.Positions) / 3 {
		if m.Skins[0].Joints[m.surface.Joints[4*i]] == node && m.surface.Weights[4*i] == 1 {
			list = append(list, i)
		}
	}
	return list
}

// off is the distance of a point from the true hinge, m.
func (m made) off(p rigid.Vec) float64 { return p.Sub(m.pivot).Cross(m.axis).Len() }

func TestACharacterIsTheSameEveryTimeAndSaysThatItIsInvented(t *testing.T) {
	each(t, func(t *testing.T, c character.Character, m made) {
		if !bytes.Equal(c.GLB(), c.GLB()) {
			t.Error("two files of one character differ")
		}
		if extras := m.Root().Member("asset").Member("extras"); !extras.Member("invented").True() || extras.Member("title").Text() != c.Title {
			t.Error("asset.extras does not say that the character is invented")
		}
		if len(m.Notes) > 0 {
			t.Errorf("notes: %v", m.Notes)
		}
		if _, err := os.Stat(filepath.Join("..", "..", "content", "cast", c.Cast+".yaml")); err != nil {
			t.Error(err)
		}
		if found, ok := character.Find(c.ID); !ok || found.Title != c.Title {
			t.Error("is not found by its id")
		}
	})
	if _, ok := character.Find("odalys-hnad"); ok {
		t.Error("a misspelt character is found")
	}
}

func TestEverySurfaceIsClosedAndTurnedOutward(t *testing.T) {
	each(t, func(t *testing.T, c character.Character, m made) {
		s := m.surface
		if n := len(s.Positions) / 3; n < 1500 || n > 8000 {
			t.Errorf("%d vertices, want 1500 to 8000", n)
		}
		edges, part := map[[2]uint32]int{}, make([]int, len(s.Positions)/3)
		for i := range part {
			part[i] = i
		}
		var top func(int) int
		top = func(i int) int {
			if part[i] != i {
				part[i] = top(part[i])
			}
			return part[i]
		}
		for i := 0; i < len(s.Triangles); i += 3 {
			for k := range 3 {
				a, b := s.Triangles[i+k], s.Triangles[i+(k+1)%3]
				edges[[2]uint32{a, b}]++
				part[top(int(a))] = top(int(b))
			}
		}
		for e, n := range edges {
			if n != 1 || edges[[2]uint32{e[1], e[0]}] != 1 {
				t.Fatalf("edge %v is used %d times, and %d times the other way", e, n, edges[[2]uint32{e[1], e[0]}])
			}
		}
		volume := map[int]float64{}
		for i := 0; i < len(s.Triangles); i += 3 {
			a, b, c := m.point(int(s.Triangles[i])), m.point(int(s.Triangles[i+1])), m.point(int(s.Triangles[i+2]))
			if b.Sub(a).Cross(c.Sub(a)).Len() < 1e-10 {
				t.Fatalf("triangle %d has no area", i/3)
			}
			volume[top(int(s.Triangles[i]))] += a.Dot(b.Cross(c)) / 6
		}
		for _, v := range volume {
			if !(v > 1e-7) {
				t.Errorf("a part has the volume %.2e m³, so it is turned inside out", v)
			}
		}
	})
}

func TestWeightsSumToOneAndFadeSmoothly(t *testing.T) {
	each(t, func(t *testing.T, c character.Character, m made) {
		blended := 0
		for w := m.surface.Weights; len(w) > 0; w = w[4:] {
			if sum := w[0] + w[1] + w[2] + w[3]; math.Abs(float64(sum)-1) > 1e-7 {
				t.Fatalf("weights %v sum to %v", w[:4], sum)
			}
			if w[1] > 0 {
				blended++
			}
		}
		if c.ID != "gantry-crane" && blended < 100 {
			t.Errorf("%d vertices hang on two joints, want some hundred: a joint of flesh fades", blended)
		}
	})
}

func TestTheFlawIsThere(t *testing.T) {
	each(t, func(t *testing.T, c character.Character, m made) {
		at := m.Worlds()[m.flawed].T
		if off := m.off(at); !(off > 0.01*m.segment) {
			t.Errorf("the joint lies %.5f m from its true hinge, with a segment of %.3f m: too near to be a flaw", off, m.segment)
		}
	})
}

// The landmarks are what hangs on the joint alone, seen from what hangs on its parent alone.
func TestTheTruePivotIsFoundFromEachMorphTarget(t *testing.T) {
	each(t, func(t *testing.T, c character.Character, m made) {
		names, found := m.Meshes[0].TargetNames, 0
		own, above := m.carried(m.flawed), m.carried(m.Nodes[m.flawed].Parent)
		for k, name := range names {
			if !strings.HasPrefix(name, "target-") {
				t.Errorf("the target is called %q", name)
			}
			moved := m.Target(0, 0, k)
			posed := func(list []int) (rest, to []rigid.Vec) {
				for _, i := range list {
					p := m.point(i)
					rest, to = append(rest, p), append(to, p.Add(rigid.Vec{X: float64(moved[3*i]), Y: float64(moved[3*i+1]), Z: float64(moved[3*i+2])}))
				}
				return rest, to
			}
			rest, to := posed(above)
			base := centre.Ball(rest, []centre.Pose{{Points: to, Weights: ones(len(to))}}).Free[0].Inverse()
			rest, to = posed(own)
			for i := range to {
				to[i] = base.Apply(to[i])
			}
			fit := centre.Hinge(rest, []centre.Pose{{Points: to, Weights: ones(len(to))}})
			if fit.Determined == centre.Line {
				found++
				if off := m.off(fit.Pivot) / m.segment; !(off < 1e-3) {
					t.Errorf("%s: the pivot is found %.2e of a segment from the true one, allowed 1e-3", name, off)
				}
			}
		}
		if found < 2 {
			t.Errorf("%d of the targets %v bend the joint, want at least 2", found, names)
		}
	})
}

func ones(n int) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = 1
	}
	return list
}

func TestEveryKeyTurnsTheJointAboutItsTruePivot(t *testing.T) {
	each(t, func(t *testing.T, c character.Character, m made) {
		at := m.Worlds()[m.flawed].T
		drift, moves := 0.0, 0.0
		if turn, move := m.Track(0, 0), m.Track(0, 1); turn.Node != m.flawed || move.Node != m.flawed || len(m.Animations[0].Channels) != 2 {
			t.Fatalf("the clip moves %v; want the flawed joint alone, turned and moved", m.Animations[0].Channels)
		}
		for k, seconds := range m.Track(0, 0).Times {
			n, locals := m.Nodes[m.flawed].Keyed(float64(seconds), m.Track(0, 0), m.Track(0, 1)), m.Locals()
			locals[m.flawed] = affine.FromTRS(n.Translation, n.Rotation, n.Scale)
			world := m.WorldsOf(locals)[m.flawed]
			back, _ := m.Worlds()[m.flawed].Inverse()
			for _, along := range []float64{-0.1, 0, 0.1} { // three points of the hinge stay where they are
				p := m.pivot.Add(m.axis.Scale(along))
				if off := world.Then(back).Apply(p).Sub(p).Len(); !(off < 1e-6*(1+m.pivot.Len())) {
					t.Fatalf("key %d moves the true hinge by %.1e m", k, off)
				}
			}
			drift = math.Max(drift, world.T.Sub(at).Len())
			moves = math.Max(moves, world.Apply(rigid.Vec{X: m.segment}).Sub(m.Worlds()[m.flawed].Apply(rigid.Vec{X: m.segment})).Len())
		}
		if !(drift > 1e-3*m.segment) || !(moves > 0.3*m.segment) {
			t.Errorf("the clip moves the joint by %.5f m and the end of its segment by %.4f m: too little to find anything from", drift, moves)
		}
	})
}

func TestTheSkinAtRestLeavesTheSurface(t *testing.T) {
	each(t, func(t *testing.T, c character.Character, m made) {
		worlds := m.Worlds()
		for i, bind := range m.InverseBinds(0) {
			still, at := worlds[m.Skins[0].Joints[i]].Then(bind).Columns(), affine.Identity().Columns()
			for k := range still {
				if !(math.Abs(still[k]-at[k]) < 2e-6) {
					t.Fatalf("joint %d moves the surface at rest: %v", i, still)
				}
			}
		}
	})
}
