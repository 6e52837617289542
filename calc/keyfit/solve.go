// Package keyfit is the calculator "key-fit": the pivot hidden in keyed rotation and translation.
//
// Start at Fit. If an animator had to key translation t_i beside rotation R_i, one moved pivot may explain all of it:
// the offset d with (I − R_i)·d ≈ t_i. Angles in radians inside, degrees in the Spec; any one unit of length.
package keyfit

import (
	"math"
	"slices"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Calculator is the catalogue's entry "key-fit".
type Calculator struct{}

// Key is one keyed frame: rotation, translation relative to rest in the parent frame, and how much it counts.
type Key struct {
	R      rigid.Rot
	T      rigid.Vec
	Weight float64
}

// Result of Fit.
type Result struct {
	Offset rigid.Vec   // the shortest one that leaves least
	Rank   int         // 3: a point; 2: a line along Axis; 0: nothing turns
	Axis   rigid.Vec   // direction in which the offset may slide, unit; zero unless Rank is 2
	Left   []rigid.Vec // t − (I − R)·d of each key
	Sigma  float64     // largest one-sigma of the offset in the determined directions
	Known  bool        // false when too few keys leave nothing to judge Sigma from
}

// weak is how far below the strongest direction (as a ratio of eigenvalues) a direction must lie before an offset along
// it has to earn its place by being significant; lost is where it is rounding whatever it says: each key adds some to the sums.
const (
	weak = 1e-6
	lost = 1e-15
)

// Fit returns the offset d that minimises Σ w·|(I − R_i)·d − t_i|², the transformation technique (source: ehrig2006), by
// the eigenvectors of its normal matrix with one step of refinement, so that its digits do not suffer from the squaring.
//
// A direction along which the keys say nothing, to rounding, or so little that the offset there is below five of its own
// standard deviations, is left out: the offset is then the shortest one. Needs at least one key.
func Fit(keys []Key) Result {
	var normal rigid.Sym
	total := 0.0
	for i := range keys {
		r, w := &keys[i].R, keys[i].Weight
		total += w
		normal = normal.AddOuter(w, rigid.Vec{X: 1 - r[0][0], Y: -r[0][1], Z: -r[0][2]})
		normal = normal.AddOuter(w, rigid.Vec{X: -r[1][0], Y: 1 - r[1][1], Z: -r[1][2]})
		normal = normal.AddOuter(w, rigid.Vec{X: -r[2][0], Y: -r[2][1], Z: 1 - r[2][2]})
	}
	values, vectors := normal.Eigen()
	rank := 0
	for rank < 3 && values[rank] > lost*float64(9+len(keys))*values[0] && values[0] > 1e-24*total {
		rank++
	}
	fit := solve(keys, values, vectors, rank)
	if rank == 3 && values[2] < weak*values[0] {
		along := math.Abs(vectors[2].Dot(fit.Offset))
		if along <= 5*spread(keys, fit)/math.Sqrt(values[2]) {
			fit = solve(keys, values, vectors, 2)
		}
	}
	if fit.Rank == 2 {
		fit.Axis = vectors[2]
	}
	if fit.Rank > 0 {
		fit.Sigma = spread(keys, fit) / math.Sqrt(values[fit.Rank-1])
		fit.Known = freedom(keys, fit) > 1 && varied(keys) // the third coordinate of a single key is its slide, which is no noise
	}
	return fit
}

// Left is t − (I − R)·d. The entries of I − R are taken first, so that a small turn keeps its digits.
func (k *Key) Left(d rigid.Vec) rigid.Vec {
	r := &k.R
	return rigid.Vec{
		X: k.T.X - ((1-r[0][0])*d.X - r[0][1]*d.Y - r[0][2]*d.Z),
		Y: k.T.Y - (-r[1][0]*d.X + (1-r[1][1])*d.Y - r[1][2]*d.Z),
		Z: k.T.Z - (-r[2][0]*d.X - r[2][1]*d.Y + (1-r[2][2])*d.Z),
	}
}

// pull is w·(I − R)ᵀ·v.
func (k *Key) pull(v rigid.Vec) rigid.Vec {
	r, w := &k.R, k.Weight
	return rigid.Vec{
		X: w * ((1-r[0][0])*v.X - r[1][0]*v.Y - r[2][0]*v.Z),
		Y: w * (-r[0][1]*v.X + (1-r[1][1])*v.Y - r[2][1]*v.Z),
		Z: w * (-r[0][2]*v.X - r[1][2]*v.Y + (1-r[2][2])*v.Z),
	}
}

// solve uses the first rank eigenvectors, again and again: each pass removes what the one before left by rounding, which is
// the more the less evenly the keys tie the directions.
func solve(keys []Key, values [3]float64, vectors [3]rigid.Vec, rank int) Result {
	if rank == 1 { // a rotation always ties two directions; one alone is rounding
		rank = 0
	}
	fit := Result{Rank: rank, Left: make([]rigid.Vec, len(keys))}
	for range 6 {
		var pull, step rigid.Vec
		for i := range keys {
			pull = pull.Add(keys[i].pull(keys[i].Left(fit.Offset)))
		}
		for i := range rank {
			step = step.Add(vectors[i].Scale(vectors[i].Dot(pull) / values[i]))
		}
		fit.Offset = fit.Offset.Add(step)
		if step.Len() <= 1e-15*fit.Offset.Len() {
			break
		}
	}
	for i := range keys {
		fit.Left[i] = keys[i].Left(fit.Offset)
	}
	return fit
}

// rounding bounds what the last digits of a rotation and a translation leave at a key, as a part of the offset's length.
const rounding = 1e-15

// spread is the standard deviation of one coordinate of a key of weight one, from what the fit leaves, and never less than
// rounding, which few keys may hide. Rounding need not cancel over many keys: what each is off by at most δ moves the offset
// along an eigenvector by √(Σ w·δ²)/√λ at most (Cauchy and Schwarz).
func spread(keys []Key, fit Result) float64 {
	squares, floor, least := 0.0, 0.0, rounding*rounding*fit.Offset.Dot(fit.Offset)
	for i := range keys {
		squares += keys[i].Weight * fit.Left[i].Dot(fit.Left[i])
		floor += keys[i].Weight * least
	}
	return math.Sqrt(math.Max(floor, squares/math.Max(1, float64(freedom(keys, fit)))))
}

// freedom is how many coordinates the fit leaves over; a key without weight, which is left out, gives none.
func freedom(keys []Key, fit Result) int {
	left := -fit.Rank
	for i := range keys {
		if keys[i].Weight > 0 {
			left += 3
		}
	}
	return left
}

// held is how little, as a part of the turn and of the translation, two keys of one pose may differ: what a file of single precision
// leaves of a pose that is held.
const held = 1e-6

// varied reports whether two keys turn, and not to the same pose. The rest pose and a pose that is held over many frames are met by whatever
// pivot fits the one turn, so they add to the count of numbers and say nothing of the error.
func varied(keys []Key) bool {
	first := -1
	for i := range keys {
		k := &keys[i]
		if !(k.Weight > 0) || !rigid.Turned(k.R, rigid.Identity()) {
			continue
		}
		if first < 0 {
			first = i
			continue
		}
		was := &keys[first]
		if rigid.Apart(k.R, was.R) > held*rigid.Apart(was.R, rigid.Identity()) || k.T.Sub(was.T).Len() > held*was.T.Len() {
			return true
		}
	}
	return false
}

// Read turns the keys table into keys. order is one of the six; the table has been prepared.
func Read(rows catalog.Rows, order rigid.Order) []Key {
	keys := make([]Key, rows.Len)
	n := rows.Numbers
	rx, ry, rz, tx, ty, tz, weight := n["rx"], n["ry"], n["rz"], n["tx"], n["ty"], n["tz"], slices.Clone(n["weight"])
	rigid.Level(weight)
	const degree = math.Pi / 180
	for i := range keys {
		k := &keys[i]
		// Whole turns are left out while they are exact: a hundred of them, in radians, would cost three digits.
		k.R = order.Rot(rigid.Vec{X: math.Mod(rx[i], 360) * degree, Y: math.Mod(ry[i], 360) * degree, Z: math.Mod(rz[i], 360) * degree})
		k.T, k.Weight = rigid.Vec{X: tx[i], Y: ty[i], Z: tz[i]}, weight[i]
	}
	return keys
}

// Solve implements catalog.Calculator.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	order, _ := rigid.ParseOrder(v.Choices["order"])
	rows := v.Tables["keys"]
	keys := Read(rows, order)
	weight := 0.0
	for _, k := range keys {
		weight += k.Weight
	}
	if !(weight > 0) {
		return catalog.Result{}, &catalog.InputError{Field: "keys.weight", Allowed: "must be above 0 for at least one key"}
	}
	fit := Fit(keys)
	r := catalog.NewResult()
	before, after := put(&r, keys, fit)
	r.Numbers["before_rms"], r.Numbers["key_count"] = math.Sqrt(before/weight), float64(len(keys))
	r.Texts["determined"] = [...]string{"none", "none", "line", "point"}[fit.Rank]
	if fit.Rank == 0 {
		for _, field := range []string{"offset_x", "offset_y", "offset_z", "after_rms", "removed", "axis_x", "axis_y", "axis_z", "sigma_major"} {
			r.Warn("no-rotation", field, "No key turns, so no pivot can explain the translation. Give keys that rotate.")
		}
		return r, nil
	}
	r.Numbers["after_rms"] = math.Sqrt(after / weight)
	r.Numbers["offset_x"], r.Numbers["offset_y"], r.Numbers["offset_z"] = fit.Offset.X, fit.Offset.Y, fit.Offset.Z
	if fit.Rank == 2 {
		r.Numbers["axis_x"], r.Numbers["axis_y"], r.Numbers["axis_z"] = fit.Axis.X, fit.Axis.Y, fit.Axis.Z
		r.Note("line", "offset_x", "All keys turn about one direction, so the pivot may slide along it; the shortest offset is given.")
	} else {
		for _, field := range []string{"axis_x", "axis_y", "axis_z"} {
			r.Note("point", field, "The keys turn about more than one direction, so the pivot is one point.")
		}
	}
	if before > 0 {
		r.Numbers["removed"] = 1 - math.Sqrt(after/before)
	} else {
		r.Warn("nothing-keyed", "removed", "No translation is keyed, so there is nothing to remove: the current pivot already serves.")
	}
	if fit.Known {
		r.Numbers["sigma_major"] = fit.Sigma
	} else {
		r.Note("no-sigma", "sigma_major", "A single turn leaves nothing over to judge the error from, however often it is keyed; add keys at other turns.")
	}
	return r, nil
}

// put fills the table of keys and returns Σ w·|t|² before and after.
func put(r *catalog.Result, keys []Key, fit Result) (before, after float64) {
	n := len(keys)
	cells := make([]float64, 6*n)
	number, was, is, x, y, z := cells[:n:n], cells[n:2*n:2*n], cells[2*n:3*n:3*n], cells[3*n:4*n:4*n], cells[4*n:5*n:5*n], cells[5*n:]
	for i := range keys {
		k, left := &keys[i], fit.Left[i]
		wasSquare, isSquare := k.T.Dot(k.T), left.Dot(left) // of ten kilometres at most, so nothing overflows
		before += k.Weight * wasSquare
		after += k.Weight * isSquare
		number[i], was[i], is[i], x[i], y[i], z[i] = float64(i+1), math.Sqrt(wasSquare), math.Sqrt(isSquare), left.X, left.Y, left.Z
	}
	r.Tables["keys"] = catalog.Rows{Len: n, Numbers: map[string][]float64{"key": number, "before": was, "after": is, "left_x": x, "left_y": y, "left_z": z}}
	return before, after
}

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	n := r.Numbers
	if r.Texts["determined"] == "none" {
		return "No key turns, so no pivot can be found."
	}
	text := "Moving the pivot by " + v.Units.Point(n["offset_x"], n["offset_y"], n["offset_z"], 2)
	if !r.Has("removed") {
		return "No translation is keyed: the current pivot already serves."
	}
	return text + " leaves " + v.Units.Format(n["after_rms"], quantity.Length, 3) + " of keyed translation out of " +
		v.Units.Format(n["before_rms"], quantity.Length, 3) + ": " + quantity.Number(100*n["removed"], 1) + "\u00a0% is gone" + only(r) + "."
}

// only qualifies an answer that any keys would have got.
func only(r catalog.Result) string {
	if r.Has("sigma_major") {
		return ""
	}
	return ", but a single turn always has a pivot that takes what does not slide along its axis: add keys at other turns"
}
