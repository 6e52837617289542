// Package hingeplane is the calculator "hinge-plane": the axis, the plane and the joint orientations of a bent chain.
//
// Start at Solve. Points in the order of the chain, any one unit of length; radians inside. Not covered: chains whose
// joints bend about different axes (take each bend by itself, three points at a time).
package hingeplane

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Calculator is the catalogue's entry "hinge-plane".
type Calculator struct{}

// Solve implements catalog.Calculator. Refused: coincident neighbours, points on one line, axes that are not
// perpendicular.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	points, err := read(v.Tables["points"])
	if err != nil {
		return catalog.Result{}, err
	}
	aim, _ := rigid.ParseAxis(v.Choices["aim_axis"])
	hinge, _ := rigid.ParseAxis(v.Choices["hinge_axis"])
	if aim.Dot(hinge) != 0 {
		return catalog.Result{}, &catalog.InputError{Field: "hinge_axis", Given: strconv.Quote(v.Choices["hinge_axis"]),
			Allowed: "must be perpendicular to aim_axis, which is " + v.Choices["aim_axis"]}
	}
	flat := fitPlane(points)
	r := catalog.NewResult()
	normal, straight := bendNormal(points)
	switch {
	case straight:
		return catalog.Result{}, &catalog.InputError{Field: "points", Allowed: "must not all lie on one line: a straight chain bends about no axis in particular; give the points of a slightly bent pose"}
	case normal == (rigid.Vec{}):
		normal = flat.normal
		r.Warn("bends-cancel", "points", "The bends of this chain turn both ways and cancel out, so the axis is taken from the plane that fits the points; its sense is arbitrary.")
	}
	r.Numbers["normal_x"], r.Numbers["normal_y"], r.Numbers["normal_z"] = normal.X, normal.Y, normal.Z
	r.Numbers["offplane_rms"], r.Numbers["offplane_max"] = flat.rms, flat.max
	order, _ := rigid.ParseOrder(v.Choices["order"])
	r.Tables["joints"] = joints(&r, points, normal, aim, hinge, order)
	r.Numbers["bend_total"] = 0
	for _, b := range r.Tables["joints"].Numbers["bend"] {
		r.Numbers["bend_total"] += b
	}
	return r, nil
}

func read(rows catalog.Rows) ([]rigid.Vec, error) {
	points := make([]rigid.Vec, rows.Len)
	for i := range points {
		points[i] = rigid.Vec{X: rows.Numbers["x"][i], Y: rows.Numbers["y"][i], Z: rows.Numbers["z"][i]}
		if i > 0 && points[i] == points[i-1] {
			return nil, &catalog.InputError{Field: "points", Row: i + 1, Allowed: "must not stand in the same place as the point before it: the segment between them has no direction"}
		}
	}
	return points, nil
}

// bendNormal is the unit vector along Σ of the cross products of successive segments, true to 1e-6 rad. straight is true
// when no product is long enough for that: its error is the last digit of the coordinates times the segments' length. A
// zero normal with straight false means that the bends cancel.
func bendNormal(points []rigid.Vec) (normal rigid.Vec, straight bool) {
	var sum rigid.Vec
	bends, lengths, rounding := 0.0, 0.0, 0.0
	for i := 1; i+1 < len(points); i++ {
		a, b := points[i].Sub(points[i-1]), points[i+1].Sub(points[i])
		product := a.Cross(b)
		sum = sum.Add(product)
		bends += product.Len()
		lengths += a.Len() * b.Len()
		rounding += 4e-16 * points[i].Len() * (a.Len() + b.Len())
	}
	switch {
	case bends <= 1e-9*lengths+1e6*rounding:
		return rigid.Vec{}, true
	case sum.Len() <= 1e-9*bends+1e6*rounding:
		return rigid.Vec{}, false
	}
	return sum.Unit(), false
}

type flatness struct {
	normal   rigid.Vec
	rms, max float64
}

// fitPlane returns the least-squares plane through the points: through their mean, along the two greatest principal
// directions.
func fitPlane(points []rigid.Vec) flatness {
	var mean rigid.Vec
	for _, p := range points {
		mean = mean.Add(p.Scale(1 / float64(len(points))))
	}
	var spread rigid.Sym
	for _, p := range points {
		spread = spread.AddOuter(1, p.Sub(mean))
	}
	_, vectors := spread.Eigen()
	// What the long direction leaves is looked at by itself: squared beside it, a slight bend would be lost in rounding.
	along, across := vectors[0], rigid.Sym{}
	for _, p := range points {
		d := p.Sub(mean)
		across = across.AddOuter(1, d.Sub(along.Scale(along.Dot(d))))
	}
	_, vectors = across.Eigen()
	f := flatness{normal: along.Cross(vectors[0]).Unit()}
	for _, p := range points {
		d := math.Abs(f.normal.Dot(p.Sub(mean)))
		f.rms += d * d / float64(len(points))
		f.max = math.Max(f.max, d)
	}
	f.rms = math.Sqrt(f.rms)
	return f
}

// joints orients each interior point: its aim axis along the outgoing segment, its hinge axis as near the normal as can be.
func joints(r *catalog.Result, points []rigid.Vec, normal, aim, hinge rigid.Vec, order rigid.Order) catalog.Rows {
	t := catalog.Rows{Numbers: map[string][]float64{}}
	add := func(id string, v float64) { t.Numbers[id] = append(t.Numbers[id], v) }
	const degree = 180 / math.Pi
	for i := 1; i+1 < len(points); i++ {
		in, out := points[i].Sub(points[i-1]), points[i+1].Sub(points[i])
		frame, ok := rigid.Frame(aim, hinge, out, normal)
		if !ok { // any side axis will do; the shortest turn from the parent's frame keeps it steady
			frame, _ = rigid.ShortestArc(aim, out)
			r.Warn("along-normal", "points", "The segment after point "+strconv.Itoa(i+1)+" runs along the common axis, so its hinge axis is arbitrary.")
		}
		q, angles := frame.Quat(), order.Angles(frame)
		t.Len++
		add("point", float64(i+1))
		add("bend", math.Atan2(in.Cross(out).Len(), in.Dot(out))*degree)
		add("qx", q.X)
		add("qy", q.Y)
		add("qz", q.Z)
		add("qw", q.W)
		add("rx", angles.X*degree)
		add("ry", angles.Y*degree)
		add("rz", angles.Z*degree)
		near := 90 - math.Abs(order.Middle(angles))*degree
		add("gimbal", near)
		if near < 10 {
			r.Warn("near-gimbal", "order", "At point "+strconv.Itoa(i+1)+" the middle angle of the order is within "+quantity.Format(near, quantity.Angle, 1)+" of ±90°, where two of the three angles turn about the same line; choose another order.")
		}
	}
	return t
}

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	n := r.Numbers
	return "The chain bends about (" + quantity.Number(n["normal_x"], 3) + ", " + quantity.Number(n["normal_y"], 3) + ", " + quantity.Number(n["normal_z"], 3) +
		"); its points lie within " + v.Units.Format(n["offplane_max"], quantity.Length, 3) + " of one plane."
}
