package room

import (
	"testing"
	"time"

	"centrode/calc/rigid"
)

// BenchmarkFrame is what a page asks while a pivot is dragged on a character of 50,100 vertices: the candidate posed with ten
// passes of smoothing, its normals, and, once the hand rests, the measures of both.
func BenchmarkFrame(b *testing.B) {
	l := newLimb()
	l.rings, l.around = 501, 100
	r := open(b, l.file(b))
	a := Ask{Joint: elbow(b, r), Clip: -1, Axis: rigid.Vec{Z: 1}, Angle: 90, Candidate: true, Pivot: l.world(l.truth), Passes: 10, Point: -1}
	pose := func(b *testing.B) {
		a.Pivot.X += 0.01
		if err := r.Pose(a); err != nil {
			b.Fatal(err)
		}
	}
	pose(b)
	for name, work := range map[string]func(b *testing.B){
		"pose": pose,
		"normals": func(*testing.B) {
			r.views[1].shaded = false
			r.Surface(true)
		},
		"measure": func(*testing.B) { r.Measure() },
	} {
		b.Run(name, func(b *testing.B) {
			best := time.Hour // of all frames: other work on the machine hardly touches it
			for b.Loop() {
				start := time.Now()
				work(b)
				best = min(best, time.Since(start))
			}
			b.ReportMetric(float64(best.Nanoseconds()), "best-ns")
		})
	}
}
