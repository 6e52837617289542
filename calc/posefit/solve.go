// Package posefit is the calculator "pose-fit": the pivot that fits given poses of landmarks.
//
// Start at Solve; the fit itself is package centre. Read turns the landmark table into poses and is shared with the
// placement map.
package posefit

import (
	"math"
	"slices"

	"centrode/calc/catalog"
	"centrode/calc/centre"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Calculator is the catalogue's entry "pose-fit".
type Calculator struct{}

// Solve implements catalog.Calculator.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	hinge := v.Choices["kind"] == "hinge"
	poses, err := Read(v, hinge)
	if err != nil {
		return catalog.Result{}, err
	}
	fit := Fit(poses, hinge)
	r := catalog.NewResult()
	r.Own = &poses
	r.Texts["determined"] = Word(fit.Determined)
	r.Numbers["free_rms"] = math.Sqrt(total(fit.FreeSquares) / fit.Weight)
	r.Numbers["pose_count"] = float64(len(poses.Targets))
	r.Numbers["landmark_count"] = float64(len(poses.Rest))
	Doubt(&r, poses, fit, "free_rms")
	if own := poses.Parent; own != nil {
		r.Numbers["parent_rms"] = math.Sqrt(total(own.Squares) / own.Weight)
		r.Tables["parent"] = own.table()
	}
	if fit.Determined == centre.None {
		none := "The poses do not turn by more than the noise in the landmarks, so no pivot can be found. Give poses that turn further."
		if fit.Flat {
			none = "All landmarks lie in one plane and do not turn within it by more than the noise, so no pivot can be found. Give poses that turn further; one that shows the other side of the plane needs a landmark off it."
		}
		for _, field := range []string{"pivot_x", "pivot_y", "pivot_z", "axis_x", "axis_y", "axis_z", "residual_rms", "sigma_major", "sigma_across", "slide"} {
			r.Warn("no-rotation", field, none)
		}
		r.Tables["poses"] = catalog.Rows{}
		return r, nil
	}
	putFit(r, fit)
	r.Tables["poses"] = poseTable(poses, fit)
	warn(&r, fit, v.Units)
	return r, nil
}

// Fit fits the kind of joint to the poses.
func Fit(p Poses, hinge bool) centre.Fit {
	if hinge {
		return centre.Hinge(p.Rest, p.Targets)
	}
	return centre.Ball(p.Rest, p.Targets)
}

// Word is how an answer names what is determined.
func Word(d centre.Determined) string { return [...]string{"none", "line", "point"}[d] }

func putFit(r catalog.Result, fit centre.Fit) {
	put := func(name string, v rigid.Vec) {
		r.Numbers[name+"_x"], r.Numbers[name+"_y"], r.Numbers[name+"_z"] = v.X, v.Y, v.Z
	}
	put("pivot", fit.Pivot)
	if fit.Determined == centre.Line {
		put("axis", fit.Axis)
	}
	r.Numbers["residual_rms"] = math.Sqrt(total(fit.Squares) / fit.Weight)
	if len(fit.Free) == 1 {
		r.Numbers["slide"] = fit.Slide
	}
	switch {
	case !fit.Known:
	case fit.Determined == centre.Point:
		r.Numbers["sigma_major"] = fit.Size
	default:
		r.Numbers["sigma_across"] = fit.Size
	}
}

func total(list []float64) float64 {
	sum := 0.0
	for _, v := range list {
		sum += v
	}
	return sum
}

// poseTable tells of each pose how far it turns, what the pivot leaves, and what an animator would still key.
func poseTable(p Poses, fit centre.Fit) catalog.Rows {
	t := catalog.Rows{Len: len(p.Targets), Numbers: map[string][]float64{}}
	add := func(id string, v float64) { t.Numbers[id] = append(t.Numbers[id], v) }
	for i, target := range p.Targets {
		weight := total(target.Weights)
		owed := fit.Free[i].Apply(fit.Pivot).Sub(fit.Pivot)
		add("pose", float64(p.IDs[i]))
		add("angle", fit.Angles[i]*180/math.Pi)
		add("residual_rms", math.Sqrt(fit.Squares[i]/weight))
		add("owed_x", owed.X)
		add("owed_y", owed.Y)
		add("owed_z", owed.Z)
	}
	return t
}

// table tells of each pose how far the parent turned and moved, and how well its own landmarks agree on that.
func (p *Parent) table() catalog.Rows {
	t := catalog.Rows{Len: len(p.Motions), Numbers: map[string][]float64{}}
	add := func(id string, v float64) { t.Numbers[id] = append(t.Numbers[id], v) }
	for i, m := range p.Motions {
		_, angle := m.R.AxisAngle()
		pair := rigid.NewPair(p.Poses.Rest, p.Poses.Targets[i].Points, p.Poses.Targets[i].Weights)
		add("pose", float64(p.Poses.IDs[i]))
		add("angle", angle*180/math.Pi)
		add("moved", pair.PosedMean.Sub(pair.RestMean).Len())
		add("residual_rms", math.Sqrt(p.Squares[i]/pair.W))
	}
	return t
}

func warn(r *catalog.Result, fit centre.Fit, units quantity.Units) {
	if fit.Determined == centre.Line {
		r.Note("line", "sigma_major", "All rotations share one axis, so the pivot may slide along it; the point given is the one nearest the middle of the landmarks.")
	} else {
		for _, field := range []string{"axis_x", "axis_y", "axis_z"} {
			r.Note("point", field, "The rotations share no axis: the pivot is one point.")
		}
		r.Note("point", "sigma_across", "The pivot is one point, so its standard deviation is given in all directions.")
	}
	if len(fit.Free) > 1 {
		r.Note("many-poses", "slide", "A slide along the axis is told for a single pose alone.")
	}
	floor := math.Sqrt((total(fit.FreeSquares) + fit.Astray) / fit.Weight)
	if slide := math.Abs(fit.Slide); slide > 1e-6 && slide > 3*floor {
		r.Warn("slide", "slide", "The pose also moves by "+units.Format(fit.Slide, quantity.Length, 2)+" along its axis, which no turn about that axis can give.")
	}
	if !fit.Known {
		field := "sigma_major"
		if fit.Determined == centre.Line {
			field = "sigma_across"
		}
		r.Note("no-sigma", field, "With so few landmarks nothing is left over to judge the error from; add landmarks or poses to learn how sure the pivot is.")
	}
	if r.Has("residual_rms") && r.Numbers["residual_rms"] > 3*floor && r.Numbers["residual_rms"] > 1e-6 && len(fit.Free) > 1 {
		r.Warn("moving-centre", "residual_rms", "Rotation about one point leaves much more than the noise: the centre moves, or the part is not rigid. Look at the poses that owe most.")
	}
	if fit.Stalled {
		r.Warn("stalled", "pivot_x", "The search stopped before it settled; the pivot is the best that was tried. Check the landmarks for one that is out of order.")
	}
}

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	n, doubtful := r.Numbers, slices.ContainsFunc(r.Warnings, doubted)
	if r.Texts["determined"] == "none" {
		if doubtful {
			return "No pivot can be found, since a pose shows another segment than the rest pose."
		}
		return "The poses do not turn enough to find a pivot."
	}
	text := "The best pivot is at " + v.Units.Point(n["pivot_x"], n["pivot_y"], n["pivot_z"], 2) +
		"; turning about it leaves " + v.Units.Format(n["residual_rms"], quantity.Length, 3) +
		", against " + v.Units.Format(n["free_rms"], quantity.Length, 3) + " of noise in the landmarks"
	if own, ok := n["parent_rms"]; ok {
		text += " and " + v.Units.Format(own, quantity.Length, 3) + " in the parent's"
	}
	if doubtful {
		return text + "; but a pose shows another segment than the rest pose, so do not trust it yet."
	}
	if s, ok := n["sigma_major"]; ok {
		return text + "; the pivot's standard deviation is " + v.Units.Format(s, quantity.Length, 3) + "."
	}
	if s, ok := n["sigma_across"]; ok {
		return text + "; the pivot's standard deviation is " + v.Units.Format(s, quantity.Length, 3) + " across the axis, and it may slide along the axis."
	}
	return text + "."
}
