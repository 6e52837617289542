package fingercurl

import (
	"math"
	"testing"
)

// The ends of the range and of the palm belong to it, and rounding, which may put a touch a unit in the last place outside, takes none
// away; what lies past them by a thousand millionth is outside. The fingers are 4 cm long, all joints as deep; derived by hand from
// T·x = c + R·(x − c), with d the depth, t that of the tip, and the pulp at rest at (4 − t/2, −t/2):
//
//	half a turn at the knuckle      lands at (t/2 − 4, d − 2p·d + t/2), so p = 3/4 + t/(4d)
//	a quarter at the knuckle        lands at (−t/2 − k, k − 4 + t/2) with k = d/2 − p·d, so k = 4 − t/2 − d/2
//	half a turn at the first two    lands at (4 − t/2 − 2·proximal, −t/2) for every p
func TestATouchAtTheVeryEndCounts(t *testing.T) {
	half, quarter, twice := [3]float64{math.Pi}, [3]float64{math.Pi / 2}, [3]float64{math.Pi, math.Pi}
	const tiny = 1e-9
	for _, c := range []struct {
		name             string
		flex             [3]float64
		palm, depth, tip float64
		proximal         float64
		want             float64
		ok               bool
	}{
		{"at the palm-side surface", half, 6, 1, 1, 2, 1, true},
		{"at the palm-side surface, by tenths", half, 6, 0.7, 0.7, 2, 1, true},
		{"past it", half, 6, 1, 1 + tiny, 2, 0, false},
		{"at the palm's far end", half, 3.75, 1, 0.5, 2, 0.875, true},
		{"at the palm's far end, by tenths", half, 3.9, 1, 0.2, 2, 0.8, true},
		{"past the palm's far end", half, 3.75 - tiny, 1, 0.5, 2, 0, false},
		{"at the back", quarter, 6, 3.5, 1, 2, 0, true},
		{"at the back, by tenths", quarter, 6, 3.7, 0.6, 2, 0, true},
		{"past the back", quarter, 6, 3.5 - 4*tiny, 1, 2, 0, false},
		{"at the knuckle", quarter, 6, 8, 1, 2, 0.5625, true},
		{"at the knuckle, by tenths", quarter, 6, 8, 0.8, 2, 0.55, true},
		{"past the knuckle", quarter, 6, 8 + 4*tiny, 1, 2, 0, false},
		{"all along", twice, 6, 1, 1, 2, 1, true},
		{"all along, by tenths", twice, 6, 0.7, 0.7, 2, 1, true},
		{"never, by little", twice, 6, 1, 1 + 4*tiny, 2, 0, false},
		{"all along, at the knuckle", twice, 6, 1, 1, 1.75, 1, true},
		{"all along, at the knuckle, by tenths", twice, 6, 0.6, 0.6, 1.85, 1, true},
		{"all along, past the knuckle", twice, 6, 1, 1, 1.75 - tiny, 0, false},
		{"all along, at the far end", twice, 0.5, 1, 1, 2, 1, true},
		{"all along, at the far end, by tenths", twice, 0.35, 0.7, 0.7, 2, 1, true},
		{"all along, past the far end", twice, 0.5 - tiny, 1, 1, 2, 0, false},
	} {
		f := level(c.flex, c.palm, c.depth, c.tip, c.proximal)
		got, ok := f.DepthToTouch()
		if ok != c.ok || ok && !(math.Abs(got-c.want) <= 1e-12) {
			t.Errorf("%s: %v, %v, want %v, %v", c.name, got, ok, c.want, c.ok)
		}
	}
	for k := 1; k <= 40; k++ { // the same ends by tenths, of which most are no numbers of the machine
		x := float64(k) / 10
		for name, c := range map[string]struct {
			finger Finger
			want   float64
		}{
			"at the palm-side surface": {level(half, 8, x, x, 2), 1},
			"at the palm's far end":    {level(half, 4-x/2, 4, x, 2), 0.75 + x/16},
			"at the back":              {level(quarter, 8, 4-x/2, x, 2), 0},
			"at the knuckle":           {level(quarter, 8, 8, x, 2), 0.5 + x/16},
			"all along":                {level(twice, 8, x, x, 2), 1},
			"all along, at its ends":   {level(twice, x/2, x, x, 2), 1},
		} {
			if got, ok := c.finger.DepthToTouch(); !ok || !(math.Abs(got-c.want) <= 1e-12) {
				t.Errorf("%s, tip %v: %v, %v, want %v", name, x, got, ok, c.want)
			}
		}
	}
}

// The same at any turn φ of the knuckle, the tip as deep as the touch asks for. derived: with c the height of the pivot, d/2 − p·d, the
// pulp comes to (cos φ·(4 − t/2) − sin φ·(t/2 + c), c − sin φ·(4 − t/2) − cos φ·(t/2 + c)), and its height is to be −d/2.
func TestATouchAtTheVeryEndCountsAtAnyTurn(t *testing.T) {
	for degrees := 91; degrees < 180; degrees++ {
		for _, depth := range []float64{0.3, 1, 1.7} {
			for _, p := range []float64{0.2, 0.55, 0.9, 1} {
				sin, cos := math.Sincos(float64(degrees) * math.Pi / 180)
				c := depth/2 - p*depth
				tip := 2 * (4*sin - depth/2 - c*(1-cos)) / (sin - cos)
				if !(tip > 0) {
					continue
				}
				x := cos*(4-tip/2) - sin*(tip/2+c)
				for name, palm := range map[string]float64{"on the palm": 9, "at its far end": -x} {
					got, ok := level([3]float64{math.Acos(cos)}, palm, depth, tip, 2).DepthToTouch()
					if !ok || !(math.Abs(got-p) <= 1e-12*4/depth*10) {
						t.Errorf("%s, turned by %d°, %v deep: %v, %v, want %v", name, degrees, depth, got, ok, p)
					}
				}
			}
		}
	}
}

// level is a finger of 4 cm whose joints are as deep as each other.
func level(flex [3]float64, palm, depth, tip, proximal float64) Finger {
	return Finger{Palm: palm, Length: [3]float64{proximal, 3 - proximal, 1}, Depth: [4]float64{depth, depth, depth, tip}, Flex: flex}
}
