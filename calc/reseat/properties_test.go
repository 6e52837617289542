package reseat

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/keyfit"
	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

func randomRot(r *rand.Rand) rigid.Rot {
	q, _ := rigid.Quat{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64(), W: r.NormFloat64()}.Unit()
	return q.Rot()
}

// rig is a skeleton with one joint to move.
type rig struct {
	parents []int
	world   []rigid.Motion
	moved   int
	to      rigid.Vec
}

func randomRig(r *rand.Rand) rig {
	n := 1 + r.IntN(8)
	g := rig{moved: r.IntN(n), to: scatter.Vec(r, 20)}
	for i := range n {
		parent := -1
		if i > 0 && r.IntN(8) > 0 {
			parent = r.IntN(i)
		}
		g.parents = append(g.parents, parent)
		g.world = append(g.world, rigid.Motion{R: randomRot(r), T: scatter.Vec(r, 20)})
	}
	return g
}

// values writes the rig in the given order of rows.
func (g rig) values(order []int, orient string, keys catalog.Rows) catalog.Values {
	rows := catalog.Rows{Len: len(order), Numbers: map[string][]float64{}, Texts: map[string][]string{}}
	for _, i := range order {
		parent := ""
		if g.parents[i] >= 0 {
			parent = "j" + strconv.Itoa(g.parents[i])
		}
		rows.Texts["name"], rows.Texts["parent"] = append(rows.Texts["name"], "j"+strconv.Itoa(i)), append(rows.Texts["parent"], parent)
		q, t := g.world[i].R.Quat(), g.world[i].T
		for id, x := range map[string]float64{"x": t.X, "y": t.Y, "z": t.Z, "qx": q.X, "qy": q.Y, "qz": q.Z, "qw": q.W} {
			rows.Numbers[id] = append(rows.Numbers[id], x)
		}
	}
	v := catalog.NewValues()
	v.Tables["joints"], v.Choices["move"], v.Choices["orient"], v.Choices["order"] = rows, "j"+strconv.Itoa(g.moved), orient, "yzx"
	v.Numbers["to_x"], v.Numbers["to_y"], v.Numbers["to_z"] = g.to.X, g.to.Y, g.to.Z
	if keys.Len > 0 {
		v.Tables["keys"] = keys
	}
	return v
}

func (g rig) natural() []int {
	order := make([]int, len(g.parents))
	for i := range order {
		order[i] = i
	}
	return order
}

func solve(t *testing.T, v catalog.Values) catalog.Result {
	t.Helper()
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	return a.Result
}

// locals reads the local transforms of an answer, through the quaternions, by joint number.
func locals(r catalog.Result) map[string]rigid.Motion {
	t, out := r.Tables["joints"], map[string]rigid.Motion{}
	for i, name := range t.Texts["name"] {
		n := func(id string) float64 { return t.Numbers[id][i] }
		q := rigid.Quat{X: n("qx"), Y: n("qy"), Z: n("qz"), W: n("qw")}
		out[name] = rigid.Motion{R: q.Rot(), T: rigid.Vec{X: n("tx"), Y: n("ty"), Z: n("tz")}}
	}
	return out
}

// globals puts the locals together along the parents.
func (g rig) globals(local map[string]rigid.Motion) []rigid.Motion {
	world := make([]rigid.Motion, len(g.parents))
	for i, p := range g.parents { // parents come before their children here
		world[i] = local["j"+strconv.Itoa(i)]
		if p >= 0 {
			world[i] = world[p].Then(world[i])
		}
	}
	return world
}

func apart(a, b rigid.Motion) float64 {
	worst := a.T.Sub(b.T).Len()
	for j := range 3 {
		worst = math.Max(worst, a.R.Column(j).Sub(b.R.Column(j)).Len())
	}
	return worst
}

func TestLocalsPutTogetherMoveOneJointAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 400 {
		g := randomRig(r)
		result := solve(t, g.values(g.natural(), "keep", catalog.Rows{}))
		for i, got := range g.globals(locals(result)) {
			want := g.world[i]
			if i == g.moved {
				want.T = g.to
			}
			if off := apart(got, want); !(off < 1e-10) {
				t.Fatalf("joint %d of %v is off by %.1e after moving %d", i, g.parents, off, g.moved)
			}
			var bind rigid.Motion // the inverse bind matrix times the world transform is the identity
			m := func(k int) float64 { return result.Tables["joints"].Numbers["m"+strconv.Itoa(k)][i] }
			for column := range 3 {
				for row := range 3 {
					bind.R[row][column] = m(4*column + row)
				}
			}
			bind.T = rigid.Vec{X: m(12), Y: m(13), Z: m(14)}
			if off := apart(bind.Then(want), rigid.Motion{R: rigid.Identity()}); !(off < 1e-10) || m(15) != 1 {
				t.Fatalf("the inverse bind matrix of joint %d is off by %.1e", i, off)
			}
		}
	}
}

func TestRowsMayStandInAnyOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		g := randomRig(r)
		plain, shuffled := solve(t, g.values(g.natural(), "keep", catalog.Rows{})), solve(t, g.values(r.Perm(len(g.parents)), "keep", catalog.Rows{}))
		a, b := locals(plain), locals(shuffled)
		for name, m := range a {
			if m != b[name] {
				t.Fatalf("%s: %v in one order of rows, %v in another", name, m, b[name])
			}
		}
	}
}

// A motion of the whole world changes the local values of the roots alone; a change of unit only the translations. What
// aiming does is the same in both, and in a mirror.
func TestLocalValuesDoNotKnowWhereTheWorldIs(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for i := range 300 {
		g, orient := randomRig(r), []string{"keep", "aim"}[i%2]
		plain := locals(solve(t, g.values(g.natural(), orient, catalog.Rows{})))
		motion, factor := rigid.Motion{R: randomRot(r), T: scatter.Vec(r, 30)}, math.Exp(8*r.Float64()-4)
		moved, grown := g, g
		moved.world, grown.world = nil, nil
		for _, w := range g.world {
			moved.world = append(moved.world, motion.Then(w))
			grown.world = append(grown.world, rigid.Motion{R: w.R, T: w.T.Scale(factor)})
		}
		moved.to, grown.to = motion.Apply(g.to), g.to.Scale(factor)
		inMoved, inGrown := locals(solve(t, moved.values(g.natural(), orient, catalog.Rows{}))), locals(solve(t, grown.values(g.natural(), orient, catalog.Rows{})))
		for k, parent := range g.parents {
			name := "j" + strconv.Itoa(k)
			want := plain[name]
			if parent < 0 {
				want = motion.Then(want)
			}
			if off := apart(inMoved[name], want); !(off < 1e-9) {
				t.Fatalf("%s, %s in a moved world: off by %.1e", orient, name, off)
			}
			scaled := inGrown[name]
			scaled.T = scaled.T.Scale(1 / factor)
			if off := apart(scaled, plain[name]); !(off < 1e-9) {
				t.Fatalf("%s, %s in another unit: off by %.1e", orient, name, off)
			}
		}
	}
}

// mirrored is a motion seen in the plane x = 0, the mirror's image of each axis in its place but for x.
func mirrored(m rigid.Motion) rigid.Motion {
	s := rigid.Rot{{-1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	return rigid.Motion{R: s.Mul(m.R).Mul(s), T: s.Apply(m.T)}
}

func TestAMirroredSkeletonHasMirroredValues(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for i := range 300 {
		g, orient := randomRig(r), []string{"keep", "aim"}[i%2]
		other := g
		other.world = nil
		for _, w := range g.world {
			other.world = append(other.world, mirrored(w))
		}
		other.to = rigid.Vec{X: -g.to.X, Y: g.to.Y, Z: g.to.Z}
		mine, theirs := g.values(g.natural(), orient, catalog.Rows{}), other.values(g.natural(), orient, catalog.Rows{})
		mine.Choices["aim_axis"], theirs.Choices["aim_axis"] = "+y", "+y" // an axis that the mirror keeps
		a, b := locals(solve(t, mine)), locals(solve(t, theirs))
		for name, m := range a {
			if off := apart(mirrored(m), b[name]); !(off < 1e-9) {
				t.Fatalf("%s, %s: off by %.1e", orient, name, off)
			}
		}
	}
}

// Old keys, carried over, put every child exactly where the old pivot put it, whatever the orientation afterwards.
func TestCarriedKeysGiveTheOldAnimation(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	order, _ := rigid.ParseOrder("yzx")
	for i := range 300 {
		g, orient := randomRig(r), []string{"keep", "aim"}[i%2]
		keys := catalog.Rows{Len: 3, Numbers: map[string][]float64{}}
		for range keys.Len {
			for _, id := range []string{"rx", "ry", "rz"} {
				keys.Numbers[id] = append(keys.Numbers[id], 360*r.Float64()-180)
			}
			for _, id := range []string{"tx", "ty", "tz"} {
				keys.Numbers[id] = append(keys.Numbers[id], r.NormFloat64())
			}
			keys.Numbers["weight"] = append(keys.Numbers["weight"], 1)
		}
		result := solve(t, g.values(g.natural(), orient, keys))
		carried := result.Tables["keys"]
		after := g.globals(locals(result))
		old := keyfit.Read(keys, order)
		carried.Numbers["weight"] = []float64{1, 1, 1}
		fresh := keyfit.Read(carried, order)
		before, now := rigid.Motion{R: rigid.Identity()}, rigid.Motion{R: rigid.Identity()}
		if p := g.parents[g.moved]; p >= 0 {
			before, now = g.world[p], after[p]
		}
		point := scatter.Vec(r, 10) // of the segment, at rest, in the world
		for k := range old {
			was := keyedPoint(before, g.world[g.moved].T, old[k], point)
			is := keyedPoint(now, after[g.moved].T, fresh[k], point)
			if off := was.Sub(is).Len(); !(off < 1e-9) {
				t.Fatalf("%s, key %d: a point of the segment is off by %.1e", orient, k, off)
			}
		}
	}
}

// keyedPoint is where a key takes a point of the segment: turned about the pivot and translated, both in the axes of the
// parent.
func keyedPoint(parent rigid.Motion, pivot rigid.Vec, k keyfit.Key, point rigid.Vec) rigid.Vec {
	in := parent.R.Transpose()
	moved := k.R.Apply(in.Apply(point.Sub(pivot))).Add(k.T)
	return pivot.Add(parent.R.Apply(moved))
}
