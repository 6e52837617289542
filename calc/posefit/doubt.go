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
	if own := p.Parent; own != nil {
		doubt(r, own.Poses, own.Squares, field, "The parent in pose ")
	}
	doubt(r, p, fit.FreeSquares, field, "Pose ")
}

func doubt(r *catalog.Result, p Poses, left []float64, field, who string) {
	var mirrored []rigid.Vec // made where it is asked for: most poses fit
	for i, target := range p.Targets {
		rest, posed := extent(p.Rest, target.Weights), extent(target.Points, target.Weights)
		if rest > 0 && (posed > larger*rest || rest > larger*posed) {
			r.Warn("other-size", field, who+strconv.Itoa(p.IDs[i])+" is "+quantity.Number(posed/rest, 2)+" times as large as the rest pose. No turn can do that: look whether both are in one unit, at one scale, and list the same landmarks in the same order.")
		}
		if !(math.Sqrt(left[i]) > apparent*posed) {
			continue
		}
		if mirrored == nil {
			for _, x := range p.Rest {
				mirrored = append(mirrored, rigid.Vec{X: -x.X, Y: x.Y, Z: x.Z})
			}
		}
		pair := rigid.NewPair(mirrored, target.Points, target.Weights)
		if its := rigid.Residual(pair.Free(), mirrored, target.Points, target.Weights); clearer*its < left[i] {
			r.Warn("mirrored", field, who+strconv.Itoa(p.IDs[i])+" is nearer to the mirror image of the rest pose than to the rest pose. No turn can do that: look whether it was measured on the other side of the body, whether an axis has another sign, and whether left and right landmarks are exchanged.")
		}
	}
}

// extent is the root of the weighted squared distances from the weighted mean.
func extent(points []rigid.Vec, weights []float64) float64 {
	total, squares := 0.0, 0.0
	var mean rigid.Vec
	for i, x := range points {
		total, mean = total+weights[i], mean.Add(x.Scale(weights[i]))
	}
	mean = mean.Scale(1 / total)
	for i, x := range points {
		off := x.Sub(mean)
		squares += weights[i] * off.Dot(off)
	}
	return math.Sqrt(squares)
}

func doubted(w catalog.Warning) bool { return w.Code == "other-size" || w.Code == "mirrored" }
