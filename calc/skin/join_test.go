package skin

import (
	"testing"

	"centrode/tests/hard/bound"
)

// TestManyVerticesInOnePlaceAreJoinedSoon: a file may put all its vertices in one place, each held otherwise or with a normal of no
// length; to compare each with all before would take minutes.
func TestManyVerticesInOnePlaceAreJoinedSoon(t *testing.T) {
	const n = 200_000
	positions, normals := make([]float32, 3*n), make([]float32, 3*n)
	held := Influences{Each: 2, Joints: make([]uint16, 2*n), Weights: make([]float32, 2*n)}
	for v := range n {
		held.Joints[2*v+1] = 1
		held.Weights[2*v], held.Weights[2*v+1] = float32(v)/n, 1-float32(v)/n
	}
	end := bound.Watch(t, 3*4*n)
	apart := mustNew(t, positions, nil, held)
	clear(held.Weights)
	together, err := New(positions, nil, held, normals)
	end()
	if err != nil {
		t.Fatal(err)
	}
	if apart.Points() < n-1 || together.Points() != 1 || together.groups != 1 {
		t.Errorf("%d and %d points, %d normals; want %d, 1 and 1", apart.Points(), together.Points(), together.groups, n)
	}
}

// TestNormalsOfBytesAreSharedAcrossASeam: a normal that is stored in bytes is not of length 1 to the digit, and two of them that are
// the same are of one smooth surface all the same.
func TestNormalsOfBytesAreSharedAcrossASeam(t *testing.T) {
	for _, c := range []struct {
		name   string
		a, b   []float32
		shared bool
	}{
		{"one normal of bytes", []float32{72. / 127, 73. / 127, 73. / 127}, []float32{72. / 127, 73. / 127, 73. / 127}, true},
		{"one too long", []float32{0, 0, 40}, []float32{0, 0, 40}, true},
		{"seven degrees apart", []float32{0, 0, 1}, []float32{0, 0.1219, 0.9925}, true},
		{"nine degrees apart", []float32{0, 0, 1}, []float32{0, 0.1564, 0.9877}, false},
		{"nine degrees apart and long", []float32{0, 0, 2}, []float32{0, 0.3128, 1.9754}, false},
		{"opposite", []float32{0, 0, 1}, []float32{0, 0, -1}, false},
	} {
		s, err := New(make([]float32, 6), nil, Influences{Each: 1, Joints: make([]uint16, 2), Weights: []float32{1, 1}}, append(c.a, c.b...))
		if err != nil {
			t.Fatal(err)
		}
		if shared := s.groups == 1; shared != c.shared {
			t.Errorf("%s: shared %v, want %v", c.name, shared, c.shared)
		}
	}
}
