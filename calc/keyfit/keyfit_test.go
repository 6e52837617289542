package keyfit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/rigid"
)

func TestTheExampleFindsTheOffsetItWasMadeFrom(t *testing.T) {
	a, err := catalog.Run(Calculator{}, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	n := a.Result.Numbers
	// A hundredth of rounding on each translation can move the offset by a few hundredths.
	for id, want := range map[string]float64{"offset_x": -0.6, "offset_y": -0.9, "offset_z": 0.2} {
		if !(math.Abs(n[id]-want) < 0.03) {
			t.Errorf("%s = %v, made from %v", id, n[id], want)
		}
	}
	if !(n["removed"] > 0.98) {
		t.Errorf("removed %v of the translation, want nearly all", n["removed"])
	}
}

func TestNoiselessKeysGiveBackTheirOffset(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for i := range 2000 {
		d := rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
		axis := rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
		coaxial := i%2 == 0
		var keys []Key
		for range 2 + r.IntN(6) {
			a := axis
			if !coaxial {
				a = rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
			}
			rot, _ := rigid.Turn(a, 0.1+2*r.Float64())
			keys = append(keys, Key{rot, d.Sub(rot.Apply(d)), 0.5 + r.Float64()})
		}
		fit := Fit(keys)
		want, rank := d, 3
		if coaxial { // the shortest offset has nothing along the axis
			want, rank = d.Sub(axis.Scale(axis.Dot(d))), 2
		}
		if off := fit.Offset.Sub(want).Len(); fit.Rank != rank || !(off < 1e-10) {
			t.Fatalf("coaxial %v: rank %d, off by %.1e, allowed 1e-10", coaxial, fit.Rank, off)
		}
	}
}

func TestRoundedAnglesDoNotInventAPointOnTheAxis(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		var keys []Key
		for range 8 { // rotations about z as an editor rounds them, translations with a hundredth of noise
			order, _ := rigid.ParseOrder("xyz")
			rot := order.Rot(rigid.Vec{X: 1e-5 * r.NormFloat64(), Y: 1e-5 * r.NormFloat64(), Z: 0.5 + r.Float64()})
			d := rigid.Vec{X: 1, Y: -0.5}
			keys = append(keys, Key{rot, d.Sub(rot.Apply(d)).Add(rigid.Vec{X: 0.01 * r.NormFloat64(), Z: 0.01 * r.NormFloat64()}), 1})
		}
		if fit := Fit(keys); fit.Rank != 2 || fit.Offset.Len() > 2 {
			t.Fatalf("rank %d, offset %v: noise along the axis was taken for a pivot", fit.Rank, fit.Offset)
		}
	}
}

// Rows of the answer say which key they are of: a table that is sorted by what is left would not.
func TestAnAnswerNumbersItsKeys(t *testing.T) {
	a, err := catalog.Run(Calculator{}, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	rows := a.Result.Tables["keys"]
	if rows.Len < 2 || len(rows.Numbers["key"]) != rows.Len {
		t.Fatalf("%d rows with %d numbers", rows.Len, len(rows.Numbers["key"]))
	}
	for i, n := range rows.Numbers["key"] {
		if n != float64(i+1) {
			t.Errorf("row %d is of key %v", i+1, n)
		}
	}
}

func TestKeysWithoutRotationDetermineNothing(t *testing.T) {
	fit := Fit([]Key{{rigid.Identity(), rigid.Vec{X: 1}, 1}, {rigid.Identity(), rigid.Vec{Y: 1}, 1}})
	if fit.Rank != 0 || fit.Offset != (rigid.Vec{}) {
		t.Errorf("rank %d, offset %v", fit.Rank, fit.Offset)
	}
}

// turned returns so many keys with any rotation and some translation.
func turned(n int) (keys []Key) {
	r := rand.New(rand.NewPCG(1, 3))
	for range n {
		rot, _ := rigid.Turn(rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: 1}, r.Float64())
		keys = append(keys, Key{rot, rigid.Vec{X: r.NormFloat64()}, 1})
	}
	return keys
}

func TestAFitAllocatesItsResidualsAlone(t *testing.T) {
	for _, n := range []int{2, 200} {
		keys := turned(n)
		if got := testing.AllocsPerRun(20, func() { Fit(keys) }); got > 1 {
			t.Errorf("%d keys: %v allocations", n, got)
		}
	}
}

func BenchmarkFit(b *testing.B) {
	keys := turned(200)
	b.ReportAllocs()
	for b.Loop() {
		Fit(keys)
	}
}

// A single key says nothing of its own error: along the axis it has a slide, which is no noise. What turns does not hang on the unit of
// the weights.
func TestOneKeyHasNoStandardDeviation(t *testing.T) {
	for rows, want := range map[string]struct {
		determined string
		known      bool
	}{
		"0,0,60,1,0.3,0":                        {"line", false},
		"0,0,60,1,0.3,0.5":                      {"line", false},
		"0,0,60,1,0.3,0;0,0,30,9,9,9,0":         {"line", false},
		"0,0,60,1,0,0;0,60,0,0,0,1":             {"point", true},
		"0,0,0,0,0,0;0,0,60,1,0.3,0":            {"line", false}, // the rest pose and one other
		"0,0,60,1,0.3,0;0,0,60,1,0.3,0":         {"line", false}, // a pose that is held
		"0,0,60,1,0.3,0;0,0,420,1,0.3000001,0":  {"line", false},
		"0,0,60,1,0,0,1e-25;0,60,0,0,0,1,1e-25": {"point", true},
		"0,0,60,1,0.3,0;0,0,30,0.5,0.1,0":       {"line", true},
	} {
		v := catalog.NewValues()
		if err := catalog.Set(Calculator{}.Spec(), &v, "keys", rows); err != nil {
			t.Fatal(err)
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		_, known := a.Result.Numbers["sigma_major"]
		noted := false
		for _, w := range a.Result.Warnings {
			noted = noted || w.Code == "no-sigma"
		}
		if told := strings.Contains(a.Say(), "a single turn always has"); told == want.known {
			t.Errorf("%s: %s", rows, a.Say())
		}
		if got := a.Result.Texts["determined"]; got != want.determined || known != want.known || noted == want.known {
			t.Errorf("%s: %s, a standard deviation: %v, a note that it lacks: %v; want %s, %v", rows, got, known, noted, want.determined, want.known)
		}
	}
}

// Weights count only against each other: in whatever unit they are, the answer has the same digits.
func TestWeightsCountOnlyAgainstEachOther(t *testing.T) {
	keys := func(unit float64) map[string]float64 {
		v, rows := catalog.NewValues(), KeysTable().Default
		rows.Numbers["weight"] = make([]float64, rows.Len)
		for k := range rows.Len {
			rows.Numbers["weight"][k] = unit * []float64{1, 0.5, 0.25}[k%3]
		}
		v.Tables["keys"] = rows
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatalf("weights of about %g: %v", unit, err)
		}
		return a.Result.Numbers
	}
	want := keys(1)
	for _, unit := range []float64{0x1p19, 0x1p-100, 0x1p-600, 0x1p-1000, 0x1p-1070} {
		got := keys(unit)
		for id, x := range want {
			if got[id] != x {
				t.Errorf("weights of about %g: %s is %v, want %v", unit, id, got[id], x)
			}
		}
	}
}
