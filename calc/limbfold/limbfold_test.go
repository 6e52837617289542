package limbfold

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
)

// Source: reference case limb-fold-zigzag (a grid search refined by SciPy's bounded minimiser; formula craig2005).
func TestAZigzagLegHasItsMaximumInsideTheLimits(t *testing.T) {
	v := catalog.NewValues()
	if err := catalog.Set(Calculator{}.Spec(), &v, "segments", "0.4,0,0,0;0.4,-50,-70,45;0.3,60,-30,70"); err != nil {
		t.Fatal(err)
	}
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string]float64{"total_length": 1.1, "span_rest": 0.985923879325, "span_max": 1.07664325675,
		"span_min": 0.576268023057, "extension": 0.978766597047, "fold": 0.523880020961} {
		if got := a.Result.Numbers[id]; !(math.Abs(got-want) < 1e-9) {
			t.Errorf("%s = %v, want %v", id, got, want)
		}
	}
	// The reference's own angle, 37.1919675153°, comes from a search that stops where the span is flat to 1e-12, which leaves
	// a thousandth of a degree; the exact one lays the last two segments' chord in line with the first.
	exact := 50 - math.Atan2(0.3*math.Sin(math.Pi/6), 0.4+0.3*math.Cos(math.Pi/6))*180/math.Pi
	got := a.Result.Tables["extremes"].Numbers["at_max"][1]
	if !(math.Abs(got-exact) < 1e-9) || !(math.Abs(got-37.1919675153) < 1e-3) {
		t.Errorf("second segment at the longest = %v°, want %v° (reference 37.1919675153°)", got, exact)
	}
}

func random(r *rand.Rand, n int) []Segment {
	chain := make([]Segment, n)
	for i := range chain {
		low := -2 * r.Float64()
		chain[i] = Segment{0.3 + r.Float64(), 2 * r.NormFloat64(), low, low + 3*r.Float64()}
	}
	return chain
}

// A dense sample of the permitted angles is the witness: it can never beat a global extreme, and comes near it.
func TestNoSampledPoseBeatsTheExtremes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		chain := random(r, 2+r.IntN(4))
		greatest, atMax := Greatest(chain)
		least, atMin := Least(chain)
		for name, fold := range map[string][]float64{"longest": atMax, "shortest": atMin} {
			for i, s := range chain {
				if fold[i] < s.FoldMin-1e-9 || fold[i] > s.FoldMax+1e-9 {
					t.Fatalf("%s: joint %d folds by %v, allowed %v to %v", name, i, fold[i], s.FoldMin, s.FoldMax)
				}
			}
		}
		if off := math.Abs(span(chain, atMax)-greatest) + math.Abs(span(chain, atMin)-least); !(off < 1e-12) {
			t.Fatalf("the angles given do not give the spans: off by %.1e", off)
		}
		high, low, fold := 0.0, math.Inf(1), make([]float64, len(chain))
		for range 20000 {
			for i, s := range chain {
				fold[i] = s.FoldMin + (s.FoldMax-s.FoldMin)*math.Max(0, math.Min(1, 1.2*r.Float64()-0.1))
			}
			value := span(chain, fold)
			high, low = math.Max(high, value), math.Min(low, value)
		}
		if high > greatest+1e-12 || low < least-1e-12 {
			t.Fatalf("chain %v: sampled %v to %v, found %v to %v", chain, low, high, least, greatest)
		}
		if high < 0.97*greatest {
			t.Fatalf("chain %v: sampled at most %v, found %v", chain, high, greatest)
		}
	}
}

func TestAChainThatCanCloseHasNoShortestSpan(t *testing.T) {
	free := 2 * math.Pi
	for _, chain := range [][]Segment{
		{{1, 0, 0, 0}, {1, 0, -free, free}, {1, 0, -free, free}},
		{{1, 0, 0, 0}, {1.1, 0, -2.2, 2.2}, {0.9, 0, -2.4, 2.4}, {1.2, 0, -2, 2}},
		{{1, 0, 0, 0}, {1, 0, 0, 1.3}, {1, 0, 0, 1.3}, {1, 0, 0, 1.3}, {1, 0, 0, 1.3}}, // a regular pentagon needs 1.257
	} {
		if least, _ := Least(chain); !(least < 1e-9) {
			t.Errorf("chain %v: shortest span %v, want 0", chain, least)
		}
	}
}

// Chains whose free end reaches the base only where it is nearly straight, closed by folds that were found with a bounded minimiser.
func TestAChainThatCanOnlyJustCloseIsClosed(t *testing.T) {
	const degree = math.Pi / 180
	lengths := []float64{9.4346, 4.3187, 1.401, 1.6195, 3.2274, 1.4453, 3.6161, 1.2611}
	least := []float64{0, -52.668, -180, -33.36, -52.356, -39.353, -11.483, -54.728}
	most := []float64{0, -37.192, 180, 50.055, 25.564, 20.874, 40.981, 6.838}
	closed := []float64{0, -52.668, -134.61248807733605, -13.106007552787405, 0.5448924747972661, 0.23640607765088453, 6.76930497291379, -1.3239813279414538}
	chain, folds := make([]Segment, len(lengths)), make([]float64, len(lengths))
	for i := range chain {
		chain[i] = Segment{lengths[i], 0, least[i] * degree, most[i] * degree}
		if folds[i] = closed[i] * degree; closed[i] < least[i] || closed[i] > most[i] {
			t.Fatalf("joint %d: the known fold %v is not allowed", i, closed[i])
		}
	}
	if known := span(chain, folds); known > 1e-12 {
		t.Fatalf("the known folds leave %v", known)
	}
	if got, at := Least(chain); got > 1e-12 || span(chain, at) > 1e-12 {
		t.Errorf("the shortest span is %v, of folds that leave %v; want 0", got, span(chain, at))
	}
	// Limbs that fold back on a rigid piece, stretched a hair longer than it, so that they close when they bend a little.
	r := rand.New(rand.NewPCG(7, 1))
	for range 300 {
		n := 4 + r.IntN(5)
		chain := []Segment{{Length: 10}, {1 + r.Float64(), 0, -math.Pi, math.Pi}}
		rest := chain[1].Length
		for len(chain) < n {
			chain = append(chain, Segment{1 + r.Float64(), 0, -(0.1 + r.Float64()), 0.1 + r.Float64()})
			rest += chain[len(chain)-1].Length
		}
		for i := range chain[1:] { // all stretched, with a little to spare, so that a bend closes it
			chain[i+1].Length *= 10 * (1 + 1e-6*math.Pow(10, 4*r.Float64())) / rest
		}
		if got, _ := Least(chain); got > 1e-9*20 {
			t.Errorf("%d segments that are a hair longer than the first: shortest span %v, want 0", n, got)
		}
	}
}

// The warning speaks of angles: a rest pose that no permitted angle reaches may well be as long as one that is.
func TestARestPoseOutsideTheAnglesIsToldOf(t *testing.T) {
	for rows, want := range map[string]bool{
		"10,0,0,0;10,90,-200,-100":         true, // its span lies between the extremes
		"10,0,0,0;10,0,0,90;10,90,-150,60": false,
		"10,0,0,0;10,0,20,60;10,0,0,90":    true,
		"10,0,5,10;10,0,0,90":              false, // the first angle turns the whole chain
	} {
		v := catalog.NewValues()
		if err := catalog.Set(Calculator{}.Spec(), &v, "segments", rows); err != nil {
			t.Fatal(err)
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		told := false
		for _, w := range a.Result.Warnings {
			told = told || w.Code == "rest-outside"
		}
		if told != want {
			t.Errorf("%s: told of %v, want %v", rows, told, want)
		}
	}
}

// The search allocates its room and its result, however many candidates it tries: eight segments have thousands.
func TestTheSearchForExtremesAllocatesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{3, 8} {
		chain := random(r, n)
		if got := testing.AllocsPerRun(2, func() { Greatest(chain); Least(chain) }); got > 6 {
			t.Errorf("%d segments: %v allocations", n, got)
		}
	}
}

func BenchmarkExtremes(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	for name, n := range map[string]int{"segments=3": 3, "segments=8": 8} {
		chain := random(r, n)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Greatest(chain)
				Least(chain)
			}
		})
	}
}
