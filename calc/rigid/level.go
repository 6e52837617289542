package rigid

import "math"

// Level multiplies weights that count only against each other by one power of two, so that the largest is at least 1 and below 2. That
// changes no digit of a fit, while moments and their squares stay where they can be represented, whatever unit the weights came in.
func Level(lists ...[]float64) {
	largest := 0.0
	for _, weights := range lists {
		for _, w := range weights {
			largest = math.Max(largest, w)
		}
	}
	if largest == 0 {
		return
	}
	_, exponent := math.Frexp(largest)
	for _, weights := range lists {
		for i, w := range weights {
			weights[i] = math.Ldexp(w, 1-exponent)
		}
	}
}
