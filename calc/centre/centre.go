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
	// Astray are motions by which the pose as a whole may be out of its place, of one standard deviation each and independent of each
	// other. None in a frame that is known.
	Astray []rigid.Motion
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
	// Size is one standard deviation of the pivot in the direction Sigma, of those that the data determine the one in which it
	// is largest: across the axis where there is one. Never less than what rounding can do. Known is false when no residual is
	// left to estimate the noise from; both are then zero.
	Sigma rigid.Vec // unit
	Size  float64
	Known bool
	// Stalled is true when the last step of the iteration was not small: the fit is then the best of those tried.
	Stalled bool
	// Flat is true when all landmarks lie in one plane: only turns within it are then looked for, with two landmarks at the least.
	Flat bool
	// Astray is Σ w·d² that the poses' being astray may add to what turning leaves.
	Astray float64
	least  float64 // the objective where the search ended
}

// problem is the data, moved so that the rest centroid is the origin: a character a kilometre away loses no digits.
type problem struct {
	centre rigid.Vec
	rest   []rigid.Vec
	poses  []Pose
	pairs  []rigid.Pair
	size   float64 // root-mean-square radius of the rest landmarks
	reach  float64 // the same of all landmarks, about the rest centroid
	weight float64 // Σ w over all posed landmarks
	bound  float64 // how far from the rest centroid a search may go
	eps    float64 // rounding of the coordinates as they came
	count  int     // posed landmarks with weight
	flat   bool    // all landmarks of all poses lie in one plane
	normal rigid.Vec
	// now and next are room for the rotations of each pose about the place where a search stands and about the one it tries.
	now, next []rigid.Rot
}

func newProblem(rest []rigid.Vec, poses []Pose) *problem {
	n, m := len(rest), len(poses)
	pr := &problem{poses: make([]Pose, m), pairs: make([]rigid.Pair, m)}
	turns := make([]rigid.Rot, 2*m)
	pr.now, pr.next = turns[:m], turns[m:]
	largest := 0.0
	for _, x := range rest {
		pr.centre = pr.centre.Add(x.Scale(1 / float64(n)))
		largest = math.Max(largest, x.Len())
	}
	points := make([]rigid.Vec, n*(m+1))
	pr.rest = points[:n]
	for k, x := range rest {
		pr.rest[k] = x.Sub(pr.centre)
		pr.size += pr.rest[k].Dot(pr.rest[k]) / float64(n)
	}
	pr.reach, pr.size = pr.size, math.Sqrt(pr.size)
	for i, pose := range poses {
		moved := points[n*(i+1) : n*(i+2)]
		for k, y := range pose.Points {
			moved[k] = y.Sub(pr.centre)
			pr.reach += moved[k].Dot(moved[k]) / float64(n)
			largest = math.Max(largest, y.Len())
			if pose.Weights == nil || pose.Weights[k] > 0 {
				pr.count++
			}
		}
		pr.poses[i] = Pose{Points: moved, Weights: pose.Weights}
		for _, m := range pose.Astray {
			pr.poses[i].Astray = append(pr.poses[i].Astray, rigid.Motion{R: m.R, T: m.Apply(pr.centre).Sub(pr.centre)})
		}
		pr.pairs[i] = rigid.NewPair(pr.rest, moved, pose.Weights)
		pr.weight += pr.pairs[i].W
	}
	pr.reach = math.Sqrt(pr.reach / float64(m+1))
	pr.eps = 3e-16 * largest
	pr.flat, pr.normal = pr.plane(points)
	return pr
}

// plane reports whether every landmark of every pose lies in one plane, to rounding, and its normal. The thickness is
// measured along the normal: the least eigenvalue is a square and knows it only to 1e-8 of the extent.
func (pr *problem) plane(points []rigid.Vec) (bool, rigid.Vec) {
	var spread rigid.Sym
	for _, v := range points {
		spread = spread.AddOuter(1, v)
	}
	values, vectors := spread.Eigen()
	thickness := 0.0
	for _, v := range points {
		thickness = math.Max(thickness, math.Abs(vectors[2].Dot(v)))
	}
	return thickness <= 1e-9*pr.size+10*pr.eps && values[1] > 1e-18*values[0], vectors[2]
}

// freeFit starts a fit with the best unconstrained motion of each pose. In a plane the rotation is about the normal, so
// two landmarks suffice.
func (pr *problem) freeFit() Fit {
	fit := Fit{Free: make([]rigid.Motion, len(pr.pairs)), FreeSquares: make([]float64, len(pr.pairs))}
	for i := range pr.pairs {
		pair := &pr.pairs[i]
		fit.Free[i] = pair.Free()
		if pr.flat {
			fit.Free[i] = pair.FreeAbout(pr.normal)
		}
		fit.FreeSquares[i] = rigid.Residual(fit.Free[i], pr.rest, pr.poses[i].Points, pr.poses[i].Weights)
	}
	return fit
}

func (fit *Fit) makeRoom(poses int) {
	fit.Rotations = make([]rigid.Rot, poses)
	fit.Angles, fit.Squares = make([]float64, poses), make([]float64, poses)
}

// noise returns the variance of one coordinate of a landmark of weight one, from squares and the degrees of freedom
// left; known is false when none are left. The rounding of the data is its least value.
func (pr *problem) noise(squares float64, freedom int) (variance float64, known bool) {
	if freedom > 0 {
		variance, known = squares/float64(freedom), true
	}
	return math.Max(variance, pr.eps*pr.eps*pr.meanWeight()), known
}

func (pr *problem) meanWeight() float64 { return pr.weight / float64(max(1, pr.count)) }

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

// Plane returns the unit normal of the plane in which all landmarks of all poses lie, to rounding; ok is false when there is
// none. In such a plane a ball turns about the normal alone.
func Plane(rest []rigid.Vec, poses []Pose) (normal rigid.Vec, ok bool) {
	pr := newProblem(rest, poses)
	return pr.normal, pr.flat
}
