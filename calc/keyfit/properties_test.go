package keyfit

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// keyed makes keys that hide an offset, about axes of their own or about one.
func keyed(r *rand.Rand, n int, coaxial bool, noise float64) (keys []Key, offset, axis rigid.Vec) {
	offset, axis = scatter.Vec(r, 3), scatter.Vec(r, 1).Unit()
	for range n {
		about := scatter.Vec(r, 1)
		if coaxial {
			about = axis
		}
		turn, _ := rigid.Turn(about, 0.3+2*r.Float64())
		keys = append(keys, Key{turn, offset.Sub(turn.Apply(offset)).Add(scatter.Vec(r, noise)), 0.5 + r.Float64()})
	}
	return keys, offset, axis
}

// mapped applies a rotation or mirror to the parent frame and makes it larger.
func mapped(keys []Key, m rigid.Rot, scale float64) []Key {
	out := make([]Key, len(keys))
	for i, k := range keys {
		out[i] = Key{m.Mul(k.R).Mul(m.Transpose()), m.Apply(k.T).Scale(scale), k.Weight}
	}
	return out
}

func TestTheOffsetTurnsAndGrowsWithTheFrame(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 11))
	mirror := rigid.Rot{{-1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for i := range 600 {
		keys, _, _ := keyed(r, 2+r.IntN(20), i%2 == 0, 0.01)
		plain := Fit(keys)
		turn, _ := rigid.Turn(scatter.Vec(r, 1), 3*r.Float64())
		for what, c := range map[string]struct {
			m     rigid.Rot
			scale float64
		}{"turned": {turn, 1}, "mirrored": {mirror, 1}, "in another unit": {rigid.Identity(), math.Exp(14*r.Float64() - 7)}} {
			got := Fit(mapped(keys, c.m, c.scale))
			off := got.Offset.Scale(1 / c.scale).Sub(c.m.Apply(plain.Offset)).Len()
			off += math.Abs(got.Sigma/c.scale - plain.Sigma)
			if got.Rank != plain.Rank || !(off < 1e-9) {
				t.Fatalf("case %d %s: rank %d then %d, off by %.1e, allowed 1e-9", i, what, plain.Rank, got.Rank, off)
			}
			for k := range keys {
				if off := got.Left[k].Scale(1 / c.scale).Sub(c.m.Apply(plain.Left[k])).Len(); !(off < 1e-9) {
					t.Fatalf("case %d %s: key %d leaves something else, off by %.1e", i, what, k, off)
				}
			}
		}
		shuffled := make([]Key, len(keys))
		for to, from := range r.Perm(len(keys)) {
			shuffled[to] = keys[from]
		}
		if off := Fit(shuffled).Offset.Sub(plain.Offset).Len(); !(off < 1e-10) {
			t.Fatalf("case %d in another order: off by %.1e", i, off)
		}
	}
}

// derived: an offset that is already taken out leaves nothing to find, and adding (I − R)·e to the keys adds e to the offset.
func TestOffsetsAddUp(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 12))
	for range 500 {
		keys, _, _ := keyed(r, 3+r.IntN(10), false, 0.05)
		plain, more := Fit(keys), scatter.Vec(r, 10)
		for i, k := range keys {
			keys[i].T = k.T.Add(more.Sub(k.R.Apply(more)))
		}
		if off := Fit(keys).Offset.Sub(plain.Offset).Sub(more).Len(); !(off < 1e-10) {
			t.Fatalf("off by %.1e", off)
		}
	}
}

// run asks the calculator itself, with angles in degrees in the given order.
func run(t *testing.T, keys []Key, order string) catalog.Answer {
	t.Helper()
	o, _ := rigid.ParseOrder(order)
	rows := catalog.Rows{Len: len(keys), Numbers: map[string][]float64{}}
	for _, k := range keys {
		a := o.Angles(k.R)
		const degree = 180 / math.Pi
		for id, x := range map[string]float64{"rx": a.X * degree, "ry": a.Y * degree, "rz": a.Z * degree, "tx": k.T.X, "ty": k.T.Y, "tz": k.T.Z, "weight": k.Weight} {
			rows.Numbers[id] = append(rows.Numbers[id], x)
		}
	}
	v := catalog.NewValues()
	v.Choices["order"], v.Tables["keys"] = order, rows
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestAnyOrderAndAnySizeGiveBackTheOffset(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 13))
	for i := range 300 {
		keys, offset, axis := keyed(r, 2+r.IntN(8), i%2 == 0, 0)
		if i%2 == 0 {
			offset = offset.Sub(axis.Scale(axis.Dot(offset)))
		}
		for _, size := range []float64{0.1, 1, 1e4} { // a millimetre to a hundred metres
			n := run(t, mapped(keys, rigid.Identity(), size), rigid.Orders()[i%6]).Result.Numbers
			got := rigid.Vec{X: n["offset_x"], Y: n["offset_y"], Z: n["offset_z"]}
			if off := got.Scale(1 / size).Sub(offset).Len(); !(off < 1e-10) || !(n["after_rms"] < 1e-12*size) || !(n["removed"] > 1-1e-12) {
				t.Fatalf("case %d at size %v: off by %.1e, %v left, %v removed", i, size, off, n["after_rms"], n["removed"])
			}
		}
	}
}

// Turns of θ magnify the rounding of translations and angles by 1/θ.
func TestTinyTurnsStillHideAnOffset(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 14))
	for _, angle := range []float64{1e-2, 1e-4, 1e-6} {
		for range 100 {
			d := scatter.Vec(r, 3)
			var keys []Key
			for range 6 {
				turn, _ := rigid.Turn(scatter.Vec(r, 1), angle*(1+r.Float64()))
				keys = append(keys, Key{turn, d.Sub(turn.Apply(d)), 1})
			}
			if off := Fit(keys).Offset.Sub(d).Len(); !(off < 1e-14/angle) {
				t.Fatalf("turns of %v rad: off by %.1e, allowed %.1e", angle, off, 1e-14/angle)
			}
		}
	}
}

// TestAKeyWithoutWeightIsLeftOut: it changes neither the offset nor how sure it is.
func TestAKeyWithoutWeightIsLeftOut(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 12))
	for range 50 {
		for _, coaxial := range []bool{false, true} {
			keys, _, _ := keyed(r, 4, coaxial, 0.2)
			meant, _, _ := keyed(r, 3, false, 5)
			for i := range meant {
				meant[i].Weight = 0
			}
			want, got := Fit(keys), Fit(append(meant, keys...))
			if off := got.Offset.Sub(want.Offset).Len(); got.Known != want.Known || got.Rank != want.Rank || !(off <= 1e-12*(1+want.Offset.Len())) || !(math.Abs(got.Sigma-want.Sigma) <= 1e-12*want.Sigma) {
				t.Errorf("with keys left out: offset off by %.1e, sigma %g, known %v; without them %g, %v", off, got.Sigma, got.Known, want.Sigma, want.Known)
			}
		}
	}
}

func TestSigmaMajorCoversTheTruthAtItsRate(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 15))
	for _, coaxial := range []bool{false, true} {
		exact, offset, axis := keyed(r, 8, coaxial, 0)
		for i := range exact { // noise is the same for every key, so the weights are too
			exact[i].Weight = 1
		}
		if coaxial {
			offset = offset.Sub(axis.Scale(axis.Dot(offset)))
		}
		const trials = 2000
		offs, sigmas := make([]rigid.Vec, trials), make([]float64, trials)
		var spread rigid.Sym
		for i := range trials {
			keys := append([]Key(nil), exact...)
			for k := range keys {
				keys[k].T = keys[k].T.Add(scatter.Vec(r, 0.02))
			}
			n := run(t, keys, "zxy").Result.Numbers
			offs[i], sigmas[i] = rigid.Vec{X: n["offset_x"], Y: n["offset_y"], Z: n["offset_z"]}.Sub(offset), n["sigma_major"]
			spread = spread.AddOuter(1, offs[i])
		}
		_, vectors := spread.Eigen()
		covered := 0
		for i, off := range offs {
			if math.Abs(off.Dot(vectors[0])) <= sigmas[i] {
				covered++
			}
		}
		rate := float64(covered) / trials
		t.Logf("coaxial %v: %.1f %% covered", coaxial, 100*rate)
		if !(rate > 0.65 && rate < 0.71) {
			t.Errorf("coaxial %v: one sigma covers the truth in %.1f %% of trials, want 68 ± 3", coaxial, 100*rate)
		}
	}
}
