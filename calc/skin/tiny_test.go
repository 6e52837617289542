package skin

import "testing"

// derived: an edge without length at rest has no ratio, and a sliver of rounding no meaningful one.
func TestAnEdgeOfNoLengthIsNotStretched(t *testing.T) {
	rest := []float32{0, 0, 0, 10, 0, 0, 10, 1e-6, 0, 0, 10, 0}
	s, err := New(rest, []uint32{0, 1, 2, 0, 2, 3}, Influences{Each: 1, Joints: make([]uint16, 4), Weights: []float32{1, 1, 1, 1}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	near := []bool{true, true, true, true}
	region := s.Region(near, make([]bool, 4), rest)
	posed := append([]float32(nil), rest...)
	posed[7] = 1e-3 // the sliver's end: a thousand times as far off
	if longest, _ := region.Stretch(posed); longest > 1.001 {
		t.Errorf("the surface is stretched %g times", longest)
	}
}
