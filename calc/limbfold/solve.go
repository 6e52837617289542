// Package limbfold is the calculator "limb-fold": how far a planar chain of segments stretches and folds.
//
// Start at Greatest and Least, which find the farthest and the nearest span over all permitted angles. Radians inside, any one
// unit of length. Not covered: chains in space, and limits that depend on each other.
package limbfold

import (
	"math"
	"slices"

	"centrode/calc/catalog"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Calculator is the catalogue's entry "limb-fold".
type Calculator struct{}

// Solve implements catalog.Calculator.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	chain, err := read(v.Tables["segments"])
	if err != nil {
		return catalog.Result{}, err
	}
	near, far := v.Numbers["near"], v.Numbers["far"]
	if near > 0 && far > 0 && near > far {
		return catalog.Result{}, &catalog.InputError{Field: "near", Given: quantity.Entry(near, quantity.Length),
			Allowed: "must be at most the farthest span asked for, which is " + quantity.Entry(far, quantity.Length)}
	}
	r := catalog.NewResult()
	for _, s := range chain {
		r.Numbers["total_length"] += s.Length
	}
	greatest, atMax := Greatest(chain)
	least, atMin := Least(chain)
	rest := span(chain, make([]float64, len(chain)))
	r.Numbers["span_rest"], r.Numbers["span_max"], r.Numbers["span_min"] = rest, greatest, least
	r.Numbers["extension"] = greatest / r.Numbers["total_length"]
	r.Numbers["fold"] = least / r.Numbers["total_length"]
	r.Numbers["stroke"] = greatest - least
	r.Numbers["missing_near"], r.Numbers["missing_far"] = missing(near, far, least, greatest)
	r.Tables["extremes"] = extremes(atMax, atMin)
	if slices.ContainsFunc(chain[1:], func(s Segment) bool { return s.FoldMin > 0 || s.FoldMax < 0 }) {
		r.Warn("rest-outside", "segments", "The rest pose itself lies outside the permitted angles: some fold_min is above 0 or some fold_max below it.")
	}
	return r, nil
}

func read(rows catalog.Rows) ([]Segment, error) {
	chain := make([]Segment, rows.Len)
	const degree = math.Pi / 180
	for i := range chain {
		n := rows.Numbers
		chain[i] = Segment{n["length"][i], n["rest"][i] * degree, n["fold_min"][i] * degree, n["fold_max"][i] * degree}
		if n["fold_min"][i] > n["fold_max"][i] {
			return nil, &catalog.InputError{Field: "segments.fold_min", Row: i + 1, Given: quantity.Entry(n["fold_min"][i], quantity.Angle),
				Allowed: "must be at most fold_max, which is " + quantity.Entry(n["fold_max"][i], quantity.Angle)}
		}
	}
	return chain, nil
}

func extremes(atMax, atMin []float64) catalog.Rows {
	t := catalog.Rows{Len: len(atMax), Numbers: map[string][]float64{}}
	for i := range atMax {
		t.Numbers["segment"] = append(t.Numbers["segment"], float64(i+1))
		t.Numbers["at_max"] = append(t.Numbers["at_max"], atMax[i]*180/math.Pi)
		t.Numbers["at_min"] = append(t.Numbers["at_min"], atMin[i]*180/math.Pi)
	}
	return t
}

// Joints returns the ends of the segments, from the base on, when each is folded from rest by the given angles.
func Joints(chain []Segment, fold []float64) []plane.Vec {
	points := make([]plane.Vec, 1, len(chain)+1)
	var end step
	for i, s := range chain {
		end = end.next(s, fold[i])
		points = append(points, end.at)
	}
	return points
}

func span(chain []Segment, fold []float64) float64 { return end(chain, fold).Len() }

// end returns where the last of the segments ends; it allocates nothing, since searches ask for it at every step.
func end(chain []Segment, fold []float64) plane.Vec {
	var to step
	for i, s := range chain {
		to = to.next(s, fold[i])
	}
	return to.at
}

// step is the end of a segment and the segment's heading.
type step struct {
	at      plane.Vec
	heading float64
}

func (s step) next(segment Segment, fold float64) step {
	heading := s.heading + (segment.Rest + fold)
	return step{s.at.Add(plane.Polar(segment.Length, heading)), heading}
}

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	n := r.Numbers
	return answer(v, r) + "Stretched, the chain spans " + v.Units.Format(n["span_max"], quantity.Length, 1) + ", " + quantity.Number(100*n["extension"], 1) +
		"\u00a0% of its length; folded, " + v.Units.Format(n["span_min"], quantity.Length, 1) + ": a stroke of " + v.Units.Format(n["stroke"], quantity.Length, 1) + "."
}
