package rigid

// BestSum returns the same greatest Σ w·b·(R·a) as Best, without the rotation: the greatest root of the characteristic
// quartic λ⁴ + c₂λ² + c₁λ + c₀, by Newton's method from above. It costs a tenth of Best and is what a map of thousands of
// pivots asks. bound is any value that the sum cannot exceed, such as (Σ w|a|² + Σ w|b|²)/2.
// Absolute error some 1e-15·bound, which grows to 1e-9·bound the nearer a double root is (points on a line, mirror images);
// right beside one Best is used instead. Source: horn1987 for the matrix; the quartic is its determinant expanded.
//
// With singular values σ, c₂ = −2Σσ², c₁ = −8 det and c₀ = Σσ⁴ − 2Σσᵢ²σⱼ², which is (Σs²)² − 4·Σ of the squared 2 × 2 minors.
// It is written without arrays and loops, which WASM pays for index by index.
func (m *Cross) BestSum(bound float64) float64 {
	if bound <= 0 {
		return 0
	}
	scale := 1 / bound
	a, b, c := m[0][0]*scale, m[0][1]*scale, m[0][2]*scale
	d, e, f := m[1][0]*scale, m[1][1]*scale, m[1][2]*scale
	g, h, i := m[2][0]*scale, m[2][1]*scale, m[2][2]*scale
	squares := a*a + b*b + c*c + d*d + e*e + f*f + g*g + h*h + i*i
	ca, cb, cc := e*i-f*h, f*g-d*i, d*h-e*g
	cd, ce, cf := h*c-i*b, i*a-g*c, g*b-h*a
	cg, ch, ci := b*f-c*e, c*d-a*f, a*e-b*d
	minors := ca*ca + cb*cb + cc*cc + cd*cd + ce*ce + cf*cf + cg*cg + ch*ch + ci*ci
	c2, c1, c0 := -2*squares, -8*(a*ca+b*cb+c*cc), squares*squares-4*minors
	x := 1.0
	for range 30 {
		x2 := x * x
		value := (x2+c2)*x2 + c1*x + c0
		slope := (4*x2+2*c2)*x + c1
		if slope < 1e-6 { // a double root is near: Newton crawls and loses half its digits
			break
		}
		step := value / slope
		x -= step
		if step*step <= 1e-17*slope { // the next step would be step²·6x²/slope at most
			return x * bound
		}
	}
	return m.Best().Sum
}

// about splits Σ w·b·(R·a) for a rotation by θ about the unit axis u into along + across·cos θ + swirl·sin θ: u·(M·u), the
// rest of the trace, and u·Σ w(a × b).
func (m *Cross) about(u Vec) (along, across, swirl float64) {
	along = u.X*(m[0][0]*u.X+m[0][1]*u.Y+m[0][2]*u.Z) + u.Y*(m[1][0]*u.X+m[1][1]*u.Y+m[1][2]*u.Z) + u.Z*(m[2][0]*u.X+m[2][1]*u.Y+m[2][2]*u.Z)
	across = m[0][0] + m[1][1] + m[2][2] - along
	swirl = u.X*(m[1][2]-m[2][1]) + u.Y*(m[2][0]-m[0][2]) + u.Z*(m[0][1]-m[1][0])
	return along, across, swirl
}
