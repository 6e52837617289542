package skin

import (
	"math"
	"testing"
)

// The ends of an open tube lie in a plane each, and are pulled along their own rim alone. derived: a mean of points of a plane lies in
// it, so however often the tube is relaxed, it gets no shorter.
func TestAnOpeningDoesNotShrinkInward(t *testing.T) {
	positions, triangles, held := tube(21, 12, 10, 2, 5, true)
	s := mustNew(t, positions, triangles, held)
	relaxed := make([]float32, 3*s.Points())
	s.Mix(held, 20, 0.5).Pose(relaxed, still(2))
	ends := 0
	for p, v := range s.first {
		if x := positions[3*v]; x == 10 || x == -10 {
			if ends++; !(math.Abs(float64(relaxed[3*p]-x)) < 2e-5) {
				t.Fatalf("a point of the end at %g is relaxed to %g", x, relaxed[3*p])
			}
		}
	}
	if ends != 2*12 {
		t.Errorf("%d points of the ends were seen", ends)
	}
}

// A direction is told from the normal while what single precision leaves of it points somewhere. derived: a part of 2.5e-4 across the
// normal, of numbers rounded by 6e-8, is known to a thousandth of a radian or so; below 4e-5 several times less well.
func TestAFrameNeedsADirectionAcrossTheNormal(t *testing.T) {
	for across, want := range map[float32]bool{1: true, 1e-2: true, 2.5e-4: true, 4e-5: false, 0: false} {
		for k := range 16 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 16)
			n := [3]float32{0.6, 0, 0.8} // and across it (0.8, 0, −0.6) and y
			u := [3]float64{0.8 * cos, sin, -0.6 * cos}
			p := &Posing{normals: n[:], points: make([]float32, 6)}
			for i := range 3 {
				p.points[3+i] = n[i] + across*float32(u[i])
			}
			f, ok := p.frame(0, 1)
			if ok != want {
				t.Fatalf("%g across the normal: a frame %v", across, ok)
			}
			off := 0.0
			for i := range 3 {
				off = max(off, math.Abs(float64(f[1][i])-u[i]))
			}
			if ok && !(off < 2e-3) {
				t.Errorf("%g across the normal: the direction is off by %g", across, off)
			}
		}
	}
}
