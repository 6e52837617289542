package fingercurl

import (
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
)

func BenchmarkSolve(b *testing.B) {
	values, err := catalog.Prepare(Calculator{}.Spec(), catalog.NewValues())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := (Calculator{}).Solve(values); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLargestRod(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	poses := make([]Pose, 256)
	for i := range poses {
		poses[i] = randomFinger(rng).Pose()
	}
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		LargestRod(poses[n&255].Surface)
		n++
	}
}

func TestTheSearchForARodAllocatesNothing(t *testing.T) {
	pose := randomFinger(rand.New(rand.NewPCG(1, 1))).Pose()
	if n := testing.AllocsPerRun(100, func() { LargestRod(pose.Surface) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}
