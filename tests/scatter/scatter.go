// Package scatter draws random places for the tests of other packages: the same from the same seed.
package scatter

import (
	"math/rand/v2"

	"centrode/calc/rigid"
)

// Vec draws a place about the origin, each coordinate with a standard deviation of size.
func Vec(r *rand.Rand, size float64) rigid.Vec {
	return rigid.Vec{X: size * r.NormFloat64(), Y: size * r.NormFloat64(), Z: size * r.NormFloat64()}
}
