package reseat

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/keyfit"
	"centrode/calc/rigid"
)

// random makes a skeleton with every kind of parent, rows shuffled so that children may come before parents.
func random(r *rand.Rand, n int) catalog.Rows {
	t := catalog.Rows{Len: n, Numbers: map[string][]float64{}, Texts: map[string][]string{"name": make([]string, n), "parent": make([]string, n)}}
	at := r.Perm(n)
	for _, id := range []string{"x", "y", "z", "qx", "qy", "qz", "qw"} {
		t.Numbers[id] = make([]float64, n)
		for i := range n {
			t.Numbers[id][i] = 10 * r.NormFloat64()
		}
	}
	for i, row := range at {
		t.Texts["name"][row] = "j" + strconv.Itoa(i)
		if i > 0 {
			t.Texts["parent"][row] = "j" + strconv.Itoa(r.IntN(i))
		}
	}
	return t
}

func values(rows catalog.Rows, joint string, to rigid.Vec, orient string) catalog.Values {
	v := catalog.NewValues()
	v.Tables["joints"] = rows
	v.Choices["move"], v.Choices["orient"] = joint, orient
	v.Numbers["to_x"], v.Numbers["to_y"], v.Numbers["to_z"] = to.X, to.Y, to.Z
	return v
}

// The witness puts the world together from the printed local values by itself, through the quaternions of the table.
func TestOnlyTheMovedJointMoves(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		rows := random(r, 2+r.IntN(12))
		joint := rows.Texts["name"][r.IntN(rows.Len)]
		to := rigid.Vec{X: 5 * r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
		a, err := catalog.Run(Calculator{}, values(rows, joint, to, []string{"keep", "aim"}[r.IntN(2)]))
		if err != nil {
			t.Fatal(err)
		}
		out := a.Result.Tables["joints"].Numbers
		index := map[string]int{"": -1}
		for i, name := range rows.Texts["name"] {
			index[name] = i
		}
		var place func(i int) rigid.Motion
		place = func(i int) rigid.Motion {
			q := rigid.Quat{X: out["qx"][i], Y: out["qy"][i], Z: out["qz"][i], W: out["qw"][i]}
			local := rigid.Motion{R: q.Rot(), T: rigid.Vec{X: out["tx"][i], Y: out["ty"][i], Z: out["tz"][i]}}
			if p := index[rows.Texts["parent"][i]]; p >= 0 {
				return place(p).Then(local)
			}
			return local
		}
		for i, name := range rows.Texts["name"] {
			want := rigid.Vec{X: rows.Numbers["x"][i], Y: rows.Numbers["y"][i], Z: rows.Numbers["z"][i]}
			if name == joint {
				want = to
			}
			world := place(i)
			if off := world.T.Sub(want).Len(); !(off < 1e-12*200) {
				t.Fatalf("%s lands %.1e away, allowed 2e-10", name, off)
			}
			bind := rigid.Vec{X: out["m12"][i], Y: out["m13"][i], Z: out["m14"][i]}
			if off := world.Inverse().T.Sub(bind).Len(); !(off < 1e-10) {
				t.Fatalf("%s: the inverse bind matrix is off by %.1e", name, off)
			}
		}
		if drift := a.Result.Numbers["drift"]; !(drift < 1e-11) {
			t.Fatalf("drift %.1e, allowed 1e-11", drift)
		}
	}
}

func TestCarriedKeysReproduceTheOldAnimation(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	order, _ := rigid.ParseOrder("zxy")
	for _, orient := range []string{"keep", "aim"} {
		for range 200 {
			rows := catalog.Rows{Len: 3, Texts: map[string][]string{"name": {"a", "b", "c"}, "parent": {"", "a", "b"}}, Numbers: map[string][]float64{}}
			for _, id := range []string{"x", "y", "z", "qx", "qy", "qz", "qw"} {
				rows.Numbers[id] = []float64{r.NormFloat64(), 5 + r.NormFloat64(), 10 + r.NormFloat64()}
			}
			keys := catalog.Rows{Len: 4, Numbers: map[string][]float64{}}
			for _, id := range []string{"rx", "ry", "rz", "tx", "ty", "tz"} {
				keys.Numbers[id] = []float64{40 * r.NormFloat64(), 40 * r.NormFloat64(), 40 * r.NormFloat64(), 0}
			}
			to := rigid.Vec{X: 5, Y: 6, Z: 4}
			v := values(rows, "b", to, orient)
			v.Choices["order"], v.Tables["keys"] = "zxy", keys
			a, err := catalog.Run(Calculator{}, v)
			if err != nil {
				t.Fatal(err)
			}
			before, _ := read(a.Values.Tables["joints"])
			after := before
			var aim *Aim
			if orient == "aim" {
				aim = &Aim{Axis: rigid.Vec{X: 1}, Child: before.firstChild(1)}
			}
			after.world, _ = Move(before.names, before.parent, before.world, 1, to, aim)
			// A point of the segment, anywhere, must go where it went before: old pivot and old key, new pivot and new key.
			p := rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
			old, carried := keyfit.Read(a.Values.Tables["keys"], order), catalog.Rows{}
			carried = a.Result.Tables["keys"]
			carried.Numbers["weight"] = []float64{1, 1, 1, 1}
			if orient == "keep" {
				for _, id := range []string{"rx", "ry", "rz"} {
					if !slices.Equal(carried.Numbers[id], keys.Numbers[id]) {
						t.Fatalf("%s was typed as %v and comes back as %v, though the parent's frame is the old one", id, keys.Numbers[id], carried.Numbers[id])
					}
				}
			}
			for i, k := range keyfit.Read(carried, order) {
				want := turned(before, old[i], p)
				got := turned(after, k, p)
				if off := want.Sub(got).Len(); !(off < 1e-10) {
					t.Fatalf("%s: key %d moves a point %.1e away from where it went, allowed 1e-10", orient, i, off)
				}
			}
		}
	}
}

// turned moves a world point with joint 1 of the skeleton by a key given in the parent's frame.
func turned(s skeleton, k keyfit.Key, p rigid.Vec) rigid.Vec {
	parent, pivot := s.world[0].R, s.world[1].T
	local := parent.Transpose().Apply(p.Sub(pivot))
	return pivot.Add(parent.Apply(k.R.Apply(local).Add(k.T)))
}

// Source: reference case inverse-bind (glTF 2.0, column-major).
func TestInverseBindMatrixIsColumnMajor(t *testing.T) {
	q, _ := rigid.Quat{Z: math.Sqrt(0.5), W: math.Sqrt(0.5)}.Unit() // a quarter turn about z
	m := inverseBind(rigid.Motion{R: q.Rot(), T: rigid.Vec{X: 2, Y: 3, Z: 4}})
	want := [16]float64{0, -1, 0, 0, 1, 0, 0, 0, 0, 0, 1, 0, -3, 2, -4, 1} // derived: (R p)⁻¹ by hand
	for i := range m {
		if !(math.Abs(m[i]-want[i]) < 4e-15) {
			t.Errorf("m%d = %v, want %v", i, m[i], want[i])
		}
	}
}

func TestBrokenSkeletonsAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		"a,,0,0,0;a,,0,0,0":      `joints.name row 2: "a": stands in row 1 already; names must differ`,
		"a,b,0,0,0;b,a,0,0,0":    `joints.parent row 1: "a": is its own ancestor; break the cycle`,
		"arm,,0,0,0;b,amr,0,0,0": `joints.parent row 2: "amr": is no joint of the table; nearest: "arm"; leave the parent of a root empty`,
		"a,,0,0,0,0,0,0,0":       "joints.qw row 1: 0, 0, 0, 0: a quaternion must have a length; no turn is 0, 0, 0, 1",
		"elbo,,0,0,0":            `move: "elbow": must be a joint of the table; nearest: "elbo"`,
	} {
		v := catalog.NewValues()
		if err := catalog.Set(Calculator{}.Spec(), &v, "joints", text); err != nil {
			t.Fatal(err)
		}
		if _, err := catalog.Run(Calculator{}, v); err == nil || err.Error() != want {
			t.Errorf("%s:\n got %v\nwant %s", text, err, want)
		}
	}
}
