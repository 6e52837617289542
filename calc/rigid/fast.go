package rigid

import "math"

// BestSum returns the same greatest Σ w·b·(R·a) as Best, without the rotation: the greatest root of the characteristic
// quartic λ⁴ + c₂λ² + c₁λ + c₀, by Newton's method from above. It costs a tenth of Best and is what a map of thousands of
// pivots asks. bound is any value that the sum cannot exceed, such as (Σ w|a|² + Σ w|b|²)/2.
// Absolute error about 1e-15·bound, except near a double root (points on a line, mirror images), where it is 1e-8·bound;
// Best is then used instead. Source: horn1987 for the matrix; the quartic is its determinant expanded.
func (m *Cross) BestSum(bound float64) float64 {
	if bound <= 0 {
		return 0
	}
	scale := 1 / bound
	var s [3][3]float64
	squares := 0.0
	for i := range 3 {
		for j := range 3 {
			s[i][j] = m[i][j] * scale
			squares += s[i][j] * s[i][j]
		}
	}
	c2 := -2 * squares
	c1 := -8 * determinant(s)
	c0 := quarticConstant(s)
	x := 1.0
	for range 30 {
		x2 := x * x
		value := (x2+c2)*x2 + c1*x + c0
		slope := 4*x*x2 + 2*c2*x + c1
		if slope < 1e-6 { // a double root is near: Newton crawls and loses half its digits
			return m.Best().Sum
		}
		step := value / slope
		x -= step
		if math.Abs(step) <= 1e-15 {
			return x * bound
		}
	}
	return m.Best().Sum
}

func determinant(s [3][3]float64) float64 {
	return s[0][0]*(s[1][1]*s[2][2]-s[1][2]*s[2][1]) - s[0][1]*(s[1][0]*s[2][2]-s[1][2]*s[2][0]) + s[0][2]*(s[1][0]*s[2][1]-s[1][1]*s[2][0])
}

// quarticConstant is det of Horn's matrix, as (Σs²)² − 4·Σ of the squared 2 × 2 minors: with singular values σ it equals
// Σσ⁴ − 2·Σσᵢ²σⱼ².
func quarticConstant(s [3][3]float64) float64 {
	squares, minors := 0.0, 0.0
	for i := range 3 {
		i1 := (i + 1) % 3
		for j := range 3 {
			j1 := (j + 1) % 3
			squares += s[i][j] * s[i][j]
			minor := s[i][j]*s[i1][j1] - s[i][j1]*s[i1][j]
			minors += minor * minor
		}
	}
	return squares*squares - 4*minors
}
