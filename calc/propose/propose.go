// Package propose finds where a joint of a character belongs from its own target poses: sculpted shapes of the surface, or
// clips that key translation beside rotation.
//
// Start at Find. The fits are those of the calculators pose-fit and key-fit (calc/centre, calc/keyfit), the map that of
// placement-map. What is done here is to make their data: landmarks of the rigid part of the segment, seen from the
// segment that carries it. Clips alone tell without any: a file of motion, or a joint that holds no skin, is fitted from its keys. Centimetres, radians, the world of the rest pose.
package propose

import (
	"errors"
	"math"
	"slices"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/centre"
	"centrode/calc/keyfit"
	"centrode/calc/placementmap"
	"centrode/calc/posefit"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Proposal is a pivot with its evidence.
type Proposal struct {
	Joint      int
	Pivot      rigid.Vec // on a line: its point nearest the current pivot
	Offset     rigid.Vec // candidate minus current
	Determined centre.Determined
	Axis       rigid.Vec // along which the pivot may slide; zero unless Determined is Line
	Angles     []float64 // of each pose or key
	Left       float64   // root mean square distance that turning about the pivot leaves: of vertices, or from keys of the joint
	Now        float64   // the same about the current pivot: from keys the translation that is keyed
	Noise      float64   // what no pivot could remove; 0 from keys
	Sigma      float64   // one standard deviation in the least certain direction that is determined
	Known      bool      // false when nothing is left over to judge Sigma from
	Slide      float64   // of a single pose: what it also moves along the axis
	Landmarks  int       // vertices of the rigid part that were used, of so many that the joint holds
	Held       int
	FromKeys   bool // the pivot was found from keys alone
	Warnings   []string

	in    frame        // where the joint turns rigidly
	above []*wobble    // of each pose: of what was taken back, nil for nothing
	field leaves       // nil without landmarks
	keys  []keyfit.Key // where every target is a clip
	frame affine.Map   // of the parent at rest, in which they stand
	from  rigid.Vec    // the current pivot
	size  float64

	around float64 // the size of the body; 0 without a surface, which is not mapped
}

// Find fits the pivot of a joint to targets, all together. hinge asks for one axis in all poses.
func Find(b *body.Body, joint int, targets []*body.Target, hinge bool) (Proposal, error) {
	if len(targets) == 0 {
		return Proposal{}, errors.New("give at least one target: a morph target, a clip or a second file")
	}
	p := Proposal{Joint: joint, size: b.Joints[joint].Length}
	if !b.Bare() {
		p.around = b.Size()
	}
	if err := b.Placed(joint); err != nil { // in a frame that has no depth no place can be told from another
		return p, err
	}
	p.in, p.frame, p.from = frameOf(b, joint), b.ParentFrame(joint), b.At(joint)
	rigidPart, weights, err := p.core(b)
	if err != nil && b.Bare() && hinge {
		return p, errors.New(b.Joints[joint].Name + ": moves no surface in this file, and a hinge is fitted to what it moves; take the file that holds the surface too, or ask for a ball")
	}
	if err != nil && (hinge || slices.ContainsFunc(targets, func(t *body.Target) bool { return t.Kind != "clip" })) {
		return p, err
	} // else the keys alone tell
	if rigidPart, weights, err = p.thin(b, targets, rigidPart, weights); err != nil {
		return p, err
	}
	poses, keys, err := gather(&p, b, targets, rigidPart, weights)
	if err != nil {
		return p, err
	}
	for i, j := range b.Joints {
		if i == joint || b.Segment(i) == joint {
			p.Held += j.Vertices
		}
	}
	p.Landmarks, p.keys = len(rigidPart), keys
	axis := rigid.Vec{}
	if p.FromKeys = keys != nil && !hinge; p.FromKeys {
		p.fromKeys(b, keys)
	} else {
		fit := posefit.Fit(poses, hinge)
		p.fromPoses(poses, fit)
		if p.in.uneven && p.Determined != centre.None {
			p.seen(poses, fit, hinge)
		}
		if p.Known {
			p.shake(poses, fit)
		}
		if hinge {
			axis = fit.Axis
		}
	}
	if p.Determined == centre.None {
		return p, errors.New(b.Joints[joint].Name + ": does not turn by more than the noise in these targets, so no pivot can be found; give a target in which it turns further")
	}
	switch {
	case p.Landmarks == 0:
	case p.in.uneven:
		p.field = newStretched(&p.in, poses, axis)
	default:
		p.field = placementmap.NewField(poses, axis)
	}
	if !p.FromKeys {
		p.Left, p.Now = p.field.Exact(p.Pivot), p.field.Exact(b.At(joint))
	}
	p.warn()
	return p, nil
}

// fromKeys takes the pivot that key-fit finds. Keys stand in the frame of the parent at rest. Where that scales unevenly, the deviation is that
// of the direction in which it scales most, so at most too large.
func (p *Proposal) fromKeys(b *body.Body, keys []keyfit.Key) {
	fit, frame := keyfit.Fit(keys), lengths(p.frame)
	squares, owed := 0.0, 0.0
	for i, k := range keys {
		squares += frame.square(fit.Left[i])
		owed += frame.square(k.T)
		_, angle := k.R.AxisAngle()
		p.Angles = append(p.Angles, angle)
	}
	p.Left, p.Now = math.Sqrt(squares/float64(len(keys))), math.Sqrt(owed/float64(len(keys)))
	p.Offset = p.frame.L.Apply(fit.Offset)
	p.Axis = p.frame.L.Apply(fit.Axis).Unit()
	if p.in.uneven { // what is nearest in the frame is not in the world
		p.Offset = p.Offset.Sub(p.Axis.Scale(p.Axis.Dot(p.Offset)))
	}
	p.Pivot = b.At(p.Joint).Add(p.Offset)
	p.Sigma, p.Known = p.frame.Most()*fit.Sigma, fit.Known
	p.Determined = [...]centre.Determined{centre.None, centre.None, centre.Line, centre.Point}[fit.Rank]
}

// fromPoses takes the pivot that pose-fit finds; on a line, the point nearest the current one.
func (p *Proposal) fromPoses(poses posefit.Poses, fit centre.Fit) {
	axis, length := p.in.along(fit.Axis)
	p.Determined, p.Axis, p.Angles, p.Slide = fit.Determined, axis, fit.Angles, length*fit.Slide
	p.Pivot = p.in.out.Apply(fit.Pivot)
	if fit.Determined == centre.Line {
		p.Pivot = nearest(p.Pivot, axis, p.from)
	}
	p.Offset = p.Pivot.Sub(p.from)
	free := 0.0
	for _, s := range fit.FreeSquares {
		free += s
	}
	p.Noise = math.Sqrt(free / fit.Weight)
	p.Sigma, p.Known = fit.Size, fit.Known
	if fit.Stalled {
		p.Warnings = append(p.Warnings, "The search stopped before it settled; the pivot is the best that was tried.")
	}
}

func (p *Proposal) warn() {
	say := func(text string) { p.Warnings = append(p.Warnings, text) }
	if p.Determined == centre.Line {
		say("All turns share one axis, so the pivot may slide along it; the point given is the one nearest the current pivot.")
	}
	if !p.Known {
		say("Nothing is left over to judge the error from; add a target to learn how sure the pivot is.")
	}
	if slide := math.Abs(p.Slide); slide > 1e-4*p.size && slide > 3*p.Noise {
		say("The target also moves by " + quantity.Format(p.Slide, quantity.Length, 2) + " along its axis, which no turn about that axis can give.")
	}
	if !p.FromKeys && len(p.Angles) > 1 && p.Left > 3*p.Noise && p.Left > 1e-4*p.size {
		say("Turning about one point leaves much more than the noise: the centre moves, or the part is not rigid.")
	}
	if p.FromKeys && p.Now == 0 {
		say("No translation is keyed, so the current pivot already serves.")
	}
	if p.size > 0 && p.Offset.Len() > p.size {
		say("The pivot lies farther from the current one than the segment is long; check that the target belongs to this joint.")
	}
}

// owed is the translation that keys would still need about a pivot, as a root mean square.
func (p *Proposal) owed(pivot rigid.Vec) float64 {
	back, _ := p.frame.Inverse()
	offset, squares := back.L.Apply(pivot.Sub(p.from)), 0.0
	for _, k := range p.keys {
		left := k.Left(offset)
		squares += lengths(p.frame).square(left)
	}
	return math.Sqrt(squares / float64(len(p.keys)))
}

// Kind says in a word what is determined: point, line or none.
func (p *Proposal) Kind() string { return posefit.Word(p.Determined) }
