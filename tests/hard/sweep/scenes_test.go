// Package sweep asks every solver about data that are placed worse and worse, from well apart to lost in rounding, and holds
// what it answers to the truth that the data were made from.
//
// An answer may do one of three things: be refused, leave the place out (or the direction in which it is not known) with a
// warning, or lie within the error that it states. Start at TestTheStatedErrorBoundsTheTrueOne. The scenes are seeded, so the
// answers have a digest, which a build for the machine and one for WASM must share.
package sweep

import (
	"hash"
	"math"
	"math/rand/v2"
	"sort"

	"centrode/calc/catalog"
	"centrode/calc/rigid"
)

// worst is the last exponent of a sweep: data placed ill by 1, 1e-1, … 1e-14.
const worst = 14

// verdict is what became of one question.
type verdict struct {
	refused, open bool    // refused altogether; left out in part or whole, with a warning or a note
	ratio         float64 // true error over the error allowed by what was stated, where something was stated
}

// family is one way of placing data ill for one solver. Its ask makes the data for an exponent and judges the answer.
type family struct {
	name string
	ask  func(r *rand.Rand, exponent int, noise float64, digest hash.Hash) verdict
	// noises are standard deviations of what is added to the data, in cm.
	noises []float64
}

// small is 10^−exponent.
func small(exponent int) float64 { return math.Pow10(-exponent) }

func random(r *rand.Rand, size float64) rigid.Vec {
	return rigid.Vec{X: size * (2*r.Float64() - 1), Y: size * (2*r.Float64() - 1), Z: size * (2*r.Float64() - 1)}
}

// run asks the calculator and adds every bit of its answer to the digest.
func run(c catalog.Calculator, v catalog.Values, digest hash.Hash) (catalog.Result, bool) {
	a, err := catalog.Run(c, v)
	if err != nil {
		digest.Write([]byte(err.Error()))
		return catalog.Result{}, false
	}
	write := func(name string, values ...float64) {
		digest.Write([]byte(name))
		for _, x := range values {
			bits := math.Float64bits(x)
			digest.Write([]byte{byte(bits), byte(bits >> 8), byte(bits >> 16), byte(bits >> 24), byte(bits >> 32), byte(bits >> 40), byte(bits >> 48), byte(bits >> 56)})
		}
	}
	for _, id := range names(a.Result.Numbers) {
		write(id, a.Result.Numbers[id])
	}
	for _, id := range names(a.Result.Tables) {
		for _, column := range names(a.Result.Tables[id].Numbers) {
			write(id+"."+column, a.Result.Tables[id].Numbers[column]...)
		}
	}
	return a.Result, true
}

func names[T any](m map[string]T) []string {
	var list []string
	for id := range m {
		list = append(list, id)
	}
	sort.Strings(list)
	return list
}

func vector(n map[string]float64, name string) rigid.Vec {
	return rigid.Vec{X: n[name+"_x"], Y: n[name+"_y"], Z: n[name+"_z"]}
}

func within(err, allowed float64) float64 {
	if err <= allowed {
		return math.Min(1, err/math.Max(allowed, 1e-300))
	}
	return err / math.Max(allowed, 1e-300)
}
