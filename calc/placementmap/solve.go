// Package placementmap is the calculator "placement-map": how wrong is every other place for a pivot.
//
// Start at Solve; Field answers single places and is what a worker asks row by row. The poses are those of pose-fit, and
// so are the units. A hinge is mapped with the axis that fits best, kept the same for every cell.
package placementmap

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/centre"
	"centrode/calc/posefit"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Calculator is the catalogue's entry "placement-map".
type Calculator struct{}

// Field tells the residual of any pivot for one set of poses.
type Field struct {
	pairs   []rigid.Pair
	turning []rigid.Turning // of the pairs about the axis of a hinge, none for a ball
	poses   posefit.Poses
	axis    rigid.Vec // unit for a hinge, zero for a ball
	weight  float64
}

// NewField takes the moments of the poses once; every place then costs the same for any number of landmarks. A zero axis is a
// ball; where all landmarks lie in one plane it turns within it, as pose-fit has it.
func NewField(p posefit.Poses, axis rigid.Vec) *Field {
	if normal, flat := centre.Plane(p.Rest, p.Targets); flat && axis == (rigid.Vec{}) {
		axis = normal
	}
	f := &Field{poses: p, axis: axis}
	for _, target := range p.Targets {
		pair := rigid.NewPair(p.Rest, target.Points, target.Weights)
		f.pairs = append(f.pairs, pair)
		f.weight += pair.W
	}
	if axis != (rigid.Vec{}) {
		for i := range f.pairs {
			f.turning = append(f.turning, f.pairs[i].Turning(axis))
		}
	}
	return f
}

// RMS returns the root mean square distance that the best rotations about the pivot leave, to about 1e-8 of the
// landmarks' own size, for a pivot up to a thousand times that away. Allocates nothing.
func (f *Field) RMS(pivot rigid.Vec) float64 {
	squares := 0.0
	if f.axis == (rigid.Vec{}) {
		for i := range f.pairs {
			squares += f.pairs[i].LeastSquares(pivot)
		}
	}
	for i := range f.turning {
		squares += f.turning[i].LeastSquares(pivot)
	}
	return math.Sqrt(squares / f.weight)
}

// Exact is RMS summed landmark by landmark, for the one place that is reported to the last digit.
func (f *Field) Exact(pivot rigid.Vec) float64 {
	squares := 0.0
	for i := range f.pairs {
		best := f.pairs[i].About(pivot)
		if f.axis != (rigid.Vec{}) {
			_, best = f.pairs[i].AboutAxis(pivot, f.axis)
		}
		target := f.poses.Targets[i]
		squares += rigid.Residual(rigid.TurnAbout(pivot, best.R), f.poses.Rest, target.Points, target.Weights)
	}
	return math.Sqrt(squares / f.weight)
}

// Grid is the region that is mapped: cells × cells places in one of the three coordinate planes.
type Grid struct {
	Plane                  string // xy, yz or zx: u, v are its letters in this order
	Level                  float64
	MinU, MaxU, MinV, MaxV float64
	Cells                  int
}

// Centre returns the centre of cell (i, j), i along u.
func (g Grid) Centre(i, j int) (u, v float64) {
	n := float64(g.Cells)
	return g.MinU + (float64(i)+0.5)*(g.MaxU-g.MinU)/n, g.MinV + (float64(j)+0.5)*(g.MaxV-g.MinV)/n
}

// At returns the point of the plane in space.
func (g Grid) At(u, v float64) rigid.Vec {
	switch g.Plane {
	case "yz":
		return rigid.Vec{X: g.Level, Y: u, Z: v}
	case "zx":
		return rigid.Vec{X: v, Y: g.Level, Z: u}
	}
	return rigid.Vec{X: u, Y: v, Z: g.Level}
}

// Row appends the residuals of row j to out.
func (g Grid) Row(f *Field, j int, out []float64) []float64 {
	for i := range g.Cells {
		u, v := g.Centre(i, j)
		out = append(out, f.RMS(g.At(u, v)))
	}
	return out
}

// narrowest is how wide a region must be, in cm. At the farthest place there is, 400 cells of it are still numbers apart; of a narrower
// one neither cells nor the numbers at its edge would be, and to count from one such number to the next never ends.
const narrowest = 1e-6

// ReadGrid checks the region: each maximum above its minimum, and the region wide enough for cells.
func ReadGrid(v catalog.Values) (Grid, error) {
	n := v.Numbers
	g := Grid{v.Choices["plane"], n["level"], n["min_u"], n["max_u"], n["min_v"], n["max_v"], int(n["cells"])}
	for _, pair := range [2][2]string{{"min_u", "max_u"}, {"min_v", "max_v"}} {
		if !(n[pair[1]] > n[pair[0]]) {
			return g, &catalog.InputError{Field: pair[1], Given: quantity.Entry(n[pair[1]], quantity.Length),
				Allowed: "must be above " + pair[0] + ", which is " + quantity.Entry(n[pair[0]], quantity.Length)}
		}
		if !(n[pair[1]]-n[pair[0]] >= narrowest) {
			return g, &catalog.InputError{Field: pair[1], Given: quantity.Entry(n[pair[1]], quantity.Length),
				Allowed: "must be above " + pair[0] + " by " + quantity.Entry(narrowest, quantity.Length) + " or more"}
		}
	}
	return g, nil
}

// ReadField reads the poses and, for a hinge, finds the axis that is kept.
func ReadField(v catalog.Values) (*Field, centre.Fit, error) {
	hinge := v.Choices["kind"] == "hinge"
	poses, err := posefit.Read(v, hinge)
	if err != nil {
		return nil, centre.Fit{}, err
	}
	fit := posefit.Fit(poses, hinge)
	axis := rigid.Vec{}
	if hinge {
		if axis = fit.Axis; fit.Determined == centre.None {
			return nil, fit, &catalog.InputError{Field: "landmarks", Allowed: "must turn by more than their own noise: a hinge's axis cannot be found from them"}
		}
	}
	return NewField(poses, axis), fit, nil
}

// Solve implements catalog.Calculator.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	rows, err := begin(v)
	if err != nil {
		return catalog.Result{}, err
	}
	for range rows.Total() {
		rows.Next()
	}
	return rows.Result(), nil
}

// Summarise turns the residuals of all cells, row by row, into the answer.
func Summarise(v catalog.Values, g Grid, f *Field, fit centre.Fit, cells []float64) catalog.Result {
	r := catalog.NewResult()
	r.Own = &fit
	best, worst := 0, 0
	for k, rms := range cells {
		if rms < cells[best] {
			best = k
		}
		if rms > cells[worst] {
			worst = k
		}
	}
	u, w := g.Centre(best%g.Cells, best/g.Cells)
	r.Numbers["best_u"], r.Numbers["best_v"] = u, w
	r.Numbers["best_rms"], r.Numbers["worst_rms"] = f.Exact(g.At(u, w)), cells[worst]
	within, limit := 0, r.Numbers["best_rms"]+v.Numbers["tolerance"]
	for _, rms := range cells {
		if rms <= limit {
			within++
		}
	}
	r.Numbers["cell_area"] = (g.MaxU - g.MinU) * (g.MaxV - g.MinV) / float64(len(cells))
	r.Numbers["cells_within"] = float64(max(1, within))
	r.Numbers["area_within"] = r.Numbers["cells_within"] * r.Numbers["cell_area"]
	if i, j := best%g.Cells, best/g.Cells; i == 0 || j == 0 || i == g.Cells-1 || j == g.Cells-1 {
		r.Warn("at-edge", "best_u", "The best cell lies at the edge of the region: the best place may be outside. Widen the region.")
	}
	posefit.Doubt(&r, f.poses, fit, "best_rms")
	if fit.Determined == centre.None {
		r.Warn("no-rotation", "best_u", "The poses do not turn by more than the noise in the landmarks, so no place is better than another.")
	}
	r.Tables["cells"] = table(g, cells)
	return r
}

func table(g Grid, cells []float64) catalog.Rows {
	us, vs := make([]float64, len(cells)), make([]float64, len(cells))
	for k := range cells {
		us[k], vs[k] = g.Centre(k%g.Cells, k/g.Cells)
	}
	return catalog.Rows{Len: len(cells), Numbers: map[string][]float64{"u": us, "v": vs, "rms": cells}}
}

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	n, plane := r.Numbers, v.Choices["plane"]
	return "The best place in this plane is at " + plane[:1] + " " + v.Units.Format(n["best_u"], quantity.Length, 2) + ", " + plane[1:] + " " +
		v.Units.Format(n["best_v"], quantity.Length, 2) + ", where rotation alone leaves " + v.Units.Format(n["best_rms"], quantity.Length, 3) +
		"; an area of " + v.Units.Format(n["area_within"], quantity.Area, 2) + " leaves at most " + v.Units.Format(v.Numbers["tolerance"], quantity.Length, 2) + " more."
}
