package placementmap

import (
	"math/rand/v2"
	"testing"

	"centrode/calc/centre"
	"centrode/calc/posefit"
	"centrode/calc/rigid"
)

// derived: a puppet of paper stays in its plane; turned over about a line in it, it would often be nearer, and is not that pose.
func TestWhatLiesInAPlaneIsNotTurnedOver(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	point := func() rigid.Vec { return rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64()} }
	for range 50 {
		p := posefit.Poses{Rest: make([]rigid.Vec, 6)}
		for i := range p.Rest {
			p.Rest[i] = point()
		}
		turn, _ := rigid.Turn(rigid.Vec{Z: 1}, 1)
		var pose centre.Pose
		for _, x := range p.Rest {
			pose.Points = append(pose.Points, turn.Apply(x))
		}
		p.Targets = []centre.Pose{pose}
		ball, flat := NewField(p, rigid.Vec{}), NewField(p, rigid.Vec{Z: 1})
		for range 20 {
			if at := point().Scale(5); !(ball.Exact(at) > flat.Exact(at)-1e-12) {
				t.Fatalf("about %v a ball leaves %v, and a turn in the plane %v", at, ball.Exact(at), flat.Exact(at))
			}
		}
	}
}
