package placementmap

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/centre"
	"centrode/calc/posefit"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

func TestTheMapIsLowestNearTheFittedPivot(t *testing.T) {
	fit, err := catalog.Run(posefit.Calculator{}, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	v := catalog.NewValues()
	v.Numbers["level"], v.Numbers["cells"] = fit.Result.Numbers["pivot_z"], 120
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	// The best cell's centre lies within half a cell's diagonal of the pivot, or the floor is flatter than a cell.
	if off := math.Hypot(a.Result.Numbers["best_u"]-fit.Result.Numbers["pivot_x"], a.Result.Numbers["best_v"]-fit.Result.Numbers["pivot_y"]); !(off < 0.15) {
		t.Errorf("best cell is %v from the fitted pivot, a cell is 0.1 wide", off)
	}
	if a.Result.Numbers["best_rms"] < fit.Result.Numbers["residual_rms"] {
		t.Errorf("the map finds %v, below the least-squares residual %v", a.Result.Numbers["best_rms"], fit.Result.Numbers["residual_rms"])
	}
}

// mapped is the example of a kind.
func mapped(t *testing.T, kind string) (*Field, Grid) {
	t.Helper()
	v := catalog.NewValues()
	v.Choices["kind"] = kind
	full, err := catalog.Prepare(Calculator{}.Spec(), v)
	if err != nil {
		t.Fatal(err)
	}
	field, _, err := ReadField(full)
	if err != nil {
		t.Fatal(err)
	}
	grid, err := ReadGrid(full)
	if err != nil {
		t.Fatal(err)
	}
	return field, grid
}

func TestFastCellsAgreeWithTheDirectSum(t *testing.T) {
	for _, kind := range []string{"ball", "hinge"} {
		field, _ := mapped(t, kind)
		for i := range 40 {
			for j := range 40 {
				p := rigid.Vec{X: float64(i) - 15, Y: float64(j) - 20, Z: 0.3 * float64(i-j)}
				if fast, exact := field.RMS(p), field.Exact(p); !(math.Abs(fast-exact) < 1e-6) {
					t.Fatalf("%s at %v: fast %v, direct %v", kind, p, fast, exact)
				}
			}
		}
	}
}

// derived: a pivot far off asks little of the landmarks but where their middle goes, so what is left must not be the
// difference of squares that grow with the distance.
func TestFastCellsAgreeWithTheDirectSumFarAway(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	point := func() rigid.Vec { return rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()} }
	for _, away := range []float64{1, 10, 20, 30, 40, 100, 300, 1000} {
		for range 40 {
			p := posefit.Poses{Rest: make([]rigid.Vec, 8)}
			for i := range p.Rest {
				p.Rest[i] = point()
			}
			for _, angle := range []float64{0.02, 0.5, 2} {
				turn, _ := rigid.Turn(point(), angle)
				pose := centre.Pose{}
				for _, x := range p.Rest {
					pose.Points = append(pose.Points, turn.Apply(x).Add(point().Scale(1e-3)))
				}
				p.Targets = append(p.Targets, pose)
			}
			for _, axis := range []rigid.Vec{{}, point().Unit()} {
				field, at := NewField(p, axis), point().Unit().Scale(away)
				if fast, exact := field.RMS(at), field.Exact(at); !(math.Abs(fast-exact) <= 1e-8) {
					t.Fatalf("%g sizes away, axis %v: fast %v, direct %v, off by %.1e", away, axis, fast, exact, fast-exact)
				}
			}
		}
	}
}

func TestRegionsInsideOutAreRefused(t *testing.T) {
	v := catalog.NewValues()
	v.Numbers["min_v"], v.Numbers["max_v"] = 3, 1
	if _, err := catalog.Run(Calculator{}, v); err == nil || err.Error() != "max_v: 1 cm: must be above min_v, which is 3 cm" {
		t.Errorf("%v", err)
	}
}

// A map of forty thousand cells makes its room once and then nothing.
func TestCellsAllocateNothing(t *testing.T) {
	for _, kind := range []string{"ball", "hinge"} {
		field, grid := mapped(t, kind)
		row := make([]float64, 0, grid.Cells)
		if n := testing.AllocsPerRun(5, func() { row = grid.Row(field, 3, row[:0]) }); n != 0 || len(row) < 20 {
			t.Errorf("%s: %v allocations for a row of %d cells", kind, n, len(row))
		}
	}
}

func BenchmarkMap(b *testing.B) {
	v := catalog.NewValues()
	v.Numbers["cells"] = 200
	b.ReportAllocs()
	for b.Loop() {
		if _, err := catalog.Run(Calculator{}, v); err != nil {
			b.Fatal(err)
		}
	}
}

func TestABestCellAtAnyEdgeIsTold(t *testing.T) {
	c := Calculator{}
	whole, err := catalog.Run(c, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	u, v := whole.Result.Numbers["best_u"], whole.Result.Numbers["best_v"]
	for name, set := range map[string][4]float64{"low u": {u + 1, u + 3, v - 1, v + 1}, "high u": {u - 3, u - 1, v - 1, v + 1}, "low v": {u - 1, u + 1, v + 1, v + 3}, "high v": {u - 1, u + 1, v - 3, v - 1}, "inside": {u - 1, u + 1, v - 1, v + 1}} {
		given := catalog.NewValues()
		for i, id := range []string{"min_u", "max_u", "min_v", "max_v"} {
			given.Numbers[id] = set[i]
		}
		given.Numbers["cells"] = 21
		a, err := catalog.Run(c, given)
		if err != nil {
			t.Fatal(err)
		}
		told := slices.ContainsFunc(a.Result.Warnings, func(w catalog.Warning) bool { return w.Code == "at-edge" })
		if told != (name != "inside") {
			t.Errorf("%s: the edge is told of: %v", name, told)
		}
	}
}

// A map of a pose in another unit has a best place like any other.
func TestAPoseInAnotherUnitIsToldOfAMapToo(t *testing.T) {
	for rows, want := range map[string]bool{
		"0,8,1,0;0,8,-1,1;0,18,0,0;1,1,8,0;1,-1,8,1;1,0,18,0":            false,
		"0,8,1,0;0,8,-1,1;0,18,0,0;1,10,80,0;1,-10,80,10;1,0,180,0":      true,
		"0,8,1,0;0,8,-1,1;0,18,0,0;1,0.1,0.8,0;1,-0.1,0.8,0.1;1,0,1.8,0": true,
	} {
		v := catalog.NewValues()
		if err := catalog.Set(Calculator{}.Spec(), &v, "landmarks", rows); err != nil {
			t.Fatal(err)
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		if told := slices.ContainsFunc(a.Result.Warnings, func(w catalog.Warning) bool { return w.Code == "other-size" }); told != want {
			t.Errorf("%s: told %v, want %v", rows, told, want)
		}
	}
}

// derived: next to 10⁶ the numbers are 1.2e-10 apart, so a tenth of a region of that width is no step from one to the next; half of the
// smallest number above 0 is 0. Either kept the drawing of a map at work until memory ended.
func TestARegionTooNarrowForCellsIsRefused(t *testing.T) {
	far, next := 1e6, math.Nextafter(1e6, 0)
	for _, c := range []struct {
		least, most float64
		want        string
	}{
		{next, far, "max_u: 1000000 cm: must be above min_u by 0.000001 cm or more"},
		{0, 5e-324, "must be above min_u by 0.000001 cm or more"},
		{-1e-7, 1e-7, "must be above min_u by 0.000001 cm or more"},
		{far - 2e-6, far, ""},
		{-1e-6, 1e-6, ""},
	} {
		v := catalog.NewValues()
		for _, axis := range []string{"u", "v"} {
			v.Numbers["min_"+axis], v.Numbers["max_"+axis] = c.least, c.most
		}
		v.Numbers["cells"] = 400
		a, err := catalog.Run(Calculator{}, v)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("from %g to %g: %v, want %q", c.least, c.most, err, c.want)
		}
		if err == nil {
			for i, u := range a.Result.Tables["cells"].Numbers["u"][1:400] {
				if before := a.Result.Tables["cells"].Numbers["u"][i]; !(u > before) {
					t.Errorf("from %g to %g: cell %d is at %g, the one before it at %g", c.least, c.most, i+1, u, before)
				}
			}
			for _, units := range []quantity.Units{quantity.Centimetres, quantity.Millimetres, quantity.Inches} {
				a.Values.Units = units
				if marks := len(Calculator{}.Figure(a.Values, a.Result).Marks); marks > 200 {
					t.Errorf("from %g to %g: %d marks", c.least, c.most, marks)
				}
			}
		}
	}
}
