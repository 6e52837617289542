// Package centre finds the pivot that fits given poses by rotation alone: a ball (free rotations about one point) or a
// hinge (rotations about one line), with its residual, the noise floor, and what the data leave undetermined.
//
// Start at Ball and Hinge. Both minimise Σ w·|p + R_i·(x − p) − y_i|² over the pivot p and the rotations, the latter
// eliminated in closed form, from a linear first guess. Any one unit of length; radians.
// It reads no tables (see posefit) and draws nothing.
package centre

import (
	"math"

	"centrode/calc/rigid"
)

// Pose is the landmarks of one target pose, in the order of the rest landmarks, with a weight each.
type Pose struct {
	Points  []rigid.Vec
	Weights []float64
}

// Determined says what part of the pivot the data fix.
type Determined uint8

// What the data may determine.
const (
	None  Determined = iota // nothing turns by more than the noise
	Line                    // all rotations share one axis: the pivot may slide along it
	Point                   // the pivot is one point
)

// Fit is a fitted pivot.
type Fit struct {
	Determined Determined
	Pivot      rigid.Vec // on a line: its point nearest the rest centroid
	Axis       rigid.Vec // the common axis, unit; zero when Determined is not Line
	Rotations  []rigid.Rot
	Angles     []float64      // of each rotation: about Axis, signed, where there is one; else in [0, π]
	Free       []rigid.Motion // best unconstrained motion of each pose
	Slide      float64        // of a single pose: translation along the axis
	// Squares and FreeSquares are Σ w·d² per pose: about the pivot, and of the free motions.
	Squares, FreeSquares []float64
	Weight               float64 // Σ w over all posed landmarks
	// Sigma is the largest one-sigma of the pivot in a direction that the data determine; SigmaAcross is the same
	// number where the pivot may slide along a line. Zero noise gives zero. Known is false when no residual is left to
	// estimate the noise from.
	Sigma rigid.Vec // the direction, unit
	Size  float64   // its length
	Known bool
	// Stalled is true when the last step of the iteration was not small: the fit is then the best of those tried.
	Stalled bool
}

// problem is the data, moved so that the rest centroid is the origin: a character a kilometre away loses no digits.
type problem struct {
	centre rigid.Vec
	rest   []rigid.Vec
	poses  []Pose
	pairs  []rigid.Pair
	size   float64 // root-mean-square radius of the rest landmarks
	eps    float64 // rounding of the coordinates as they came
	count  int     // posed landmarks with weight
	flat   bool    // all landmarks of all poses lie in one plane
	normal rigid.Vec
}

func newProblem(rest []rigid.Vec, poses []Pose) *problem {
	pr := &problem{poses: make([]Pose, len(poses))}
	largest := 0.0
	for _, x := range rest {
		pr.centre = pr.centre.Add(x.Scale(1 / float64(len(rest))))
		largest = math.Max(largest, x.Len())
	}
	for _, x := range rest {
		d := x.Sub(pr.centre)
		pr.rest = append(pr.rest, d)
		pr.size += d.Dot(d) / float64(len(rest))
	}
	pr.size = math.Sqrt(pr.size)
	for i, pose := range poses {
		moved := make([]rigid.Vec, len(pose.Points))
		for k, y := range pose.Points {
			moved[k] = y.Sub(pr.centre)
			largest = math.Max(largest, y.Len())
			if pose.Weights == nil || pose.Weights[k] > 0 {
				pr.count++
			}
		}
		pr.poses[i] = Pose{moved, pose.Weights}
		pr.pairs = append(pr.pairs, rigid.NewPair(pr.rest, moved, pose.Weights))
	}
	pr.eps = 3e-16 * largest
	pr.flat, pr.normal = pr.plane()
	return pr
}

// plane reports whether every landmark of every pose lies in one plane, to rounding, and its normal.
func (pr *problem) plane() (bool, rigid.Vec) {
	var spread rigid.Sym
	n := 0.0
	add := func(v rigid.Vec) { spread = spread.AddOuter(1, v); n++ }
	for _, x := range pr.rest {
		add(x)
	}
	for _, pose := range pr.poses {
		for _, y := range pose.Points {
			add(y)
		}
	}
	values, vectors := spread.Eigen()
	thickness := math.Sqrt(math.Max(0, values[2]) / n)
	return thickness <= 1e-9*pr.size+10*pr.eps && values[1] > 1e-18*values[0], vectors[2]
}

// freeMotions fits each pose without constraint. In a plane the rotation is about the normal, so two landmarks suffice.
func (pr *problem) freeMotions() ([]rigid.Motion, []float64) {
	motions, squares := make([]rigid.Motion, len(pr.pairs)), make([]float64, len(pr.pairs))
	for i := range pr.pairs {
		pair := &pr.pairs[i]
		motions[i] = pair.Free()
		if pr.flat {
			motions[i] = pair.FreeAbout(pr.normal)
		}
		squares[i] = rigid.Residual(motions[i], pr.rest, pr.poses[i].Points, pr.poses[i].Weights)
	}
	return motions, squares
}

// noise returns the variance of one coordinate of a landmark of weight one, from squares and the degrees of freedom
// left; known is false when none are left. The rounding of the data is its least value.
func (pr *problem) noise(squares float64, freedom int) (variance float64, known bool) {
	if freedom > 0 {
		variance, known = squares/float64(freedom), true
	}
	return math.Max(variance, pr.eps*pr.eps*pr.meanWeight()), known
}

func (pr *problem) meanWeight() float64 {
	sum := 0.0
	for _, p := range pr.pairs {
		sum += p.W
	}
	return sum / float64(max(1, pr.count))
}

// dimensions is how many coordinates of a landmark carry information, and how many angles a rotation has.
func (pr *problem) dimensions() (coordinates, angles int) {
	if pr.flat {
		return 2, 1
	}
	return 3, 3
}

func sum(list []float64) float64 {
	total := 0.0
	for _, v := range list {
		total += v
	}
	return total
}
