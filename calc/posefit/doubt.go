package posefit

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/centre"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// What no turn can do to a segment, and what a mistake in the table does: measured on the other side, or in another unit.
const (
	larger   = 1.2  // times the size at rest, or so many times smaller, is no noise of a landmark
	clearer  = 9    // times less is left, in squares, where the mirror image fits instead
	apparent = 0.02 // of the segment's extent must be left at all, or a flat segment would be its own mirror image
)

// Doubt warns of poses that show another segment than the rest pose does: its mirror image, or one of another size. Both fit badly, and
// what they leave would otherwise pass for noise. The field is the output that tells it.
func Doubt(r *catalog.Result, p Poses, fit centre.Fit, field string) {
	mirrored := make([]rigid.Vec, len(p.Rest))
	for k, x := range p.Rest {
		mirrored[k] = rigid.Vec{X: -x.X, Y: x.Y, Z: x.Z}
	}
	for i, target := range p.Targets {
		pose := "Pose " + strconv.Itoa(p.IDs[i])
		rest, posed := extent(p.Rest, target.Weights), extent(target.Points, target.Weights)
		if rest > 0 && (posed > larger*rest || rest > larger*posed) {
			r.Warn("other-size", field, pose+" is "+quantity.Number(posed/rest, 2)+" times as large as the rest pose. No turn can do that: look whether both are in one unit, at one scale, and list the same landmarks in the same order.")
		}
		pair := rigid.NewPair(mirrored, target.Points, target.Weights)
		left := rigid.Residual(pair.Free(), mirrored, target.Points, target.Weights)
		if math.Sqrt(fit.FreeSquares[i]) > apparent*posed && clearer*left < fit.FreeSquares[i] {
			r.Warn("mirrored", field, pose+" is nearer to the mirror image of the rest pose than to the rest pose. No turn can do that: look whether it was measured on the other side of the body, whether an axis has another sign, and whether left and right landmarks are exchanged.")
		}
	}
}

// extent is the root of the weighted squared distances from the weighted mean.
func extent(points []rigid.Vec, weights []float64) float64 {
	pair := rigid.NewPair(points, points, weights)
	spread := pair.Spread()
	return math.Sqrt(pair.W * (spread[0]*spread[0] + spread[1]*spread[1] + spread[2]*spread[2]))
}

func doubted(w catalog.Warning) bool { return w.Code == "other-size" || w.Code == "mirrored" }
