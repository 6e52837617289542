package fingercurl

import (
	"math"
	"math/rand/v2"

	"centrode/calc/plane"
)

// randomFinger draws a finger of plausible and of odd proportions, more often flexed than not.
func randomFinger(rng *rand.Rand) Finger {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	f := Finger{Palm: between(0.5, 10)}
	for i := range 3 {
		f.Length[i] = between(0.5, 6)
		f.Pivot[i] = between(-0.5, 1.5)
		f.Flex[i] = between(-45, 180) * math.Pi / 180
		if rng.IntN(2) == 0 {
			f.Shift[i] = between(-1, 1)
		}
		if rng.IntN(2) == 0 {
			f.Flex[i], f.Pivot[i] = between(40, 130)*math.Pi/180, between(0, 1)
		}
	}
	for i := range f.Depth {
		f.Depth[i] = between(0.3, 3)
	}
	return f
}

// roundFinger draws a finger of round numbers, whose surfaces are often parallel, collinear or coincident.
func roundFinger(rng *rand.Rand) Finger {
	pick := func(list ...float64) float64 { return list[rng.IntN(len(list))] }
	f := Finger{Palm: pick(2, 4, 6)}
	depth := pick(0.5, 1, 2)
	for i := range 3 {
		f.Length[i] = pick(1, 2, 4)
		f.Pivot[i] = pick(0, 0.5, 1, 1, 1.5)
		f.Flex[i] = pick(-45, 0, 45, 60, 72, 90, 90, 120, 135, 180) * math.Pi / 180
		f.Shift[i] = pick(0, 0, 0, 0.5, -0.5)
	}
	for i := range f.Depth {
		f.Depth[i] = depth
	}
	return f
}

// scaled returns the finger with every length multiplied by s.
func scaled(f Finger, s float64) Finger {
	f.Palm *= s
	for i := range f.Length {
		f.Length[i], f.Shift[i] = s*f.Length[i], s*f.Shift[i]
	}
	for i := range f.Depth {
		f.Depth[i] *= s
	}
	return f
}

// surfaceOf builds a surface from four numbers.
func surfaceOf(ax, ay, bx, by float64) Surface {
	return faced(plane.Segment{A: plane.Vec{X: ax, Y: ay}, B: plane.Vec{X: bx, Y: by}}, plane.Still())
}
