package posefit

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// travel draws the way of one landmark turned about the pivot alone: one arc about a shared axis, else one from rest to
// each pose. Where an arc ends beside its landmark, turning does not reach it.
func (d drawing) travel(v views.View) []figure.Mark {
	if !d.known || d.poses.Rest[d.end] == d.pivot {
		return nil
	}
	name := v.Named("Travel of landmark " + strconv.Itoa(d.end+1) + " about the pivot")
	var marks []figure.Mark
	for _, a := range d.arcs() {
		line := figure.Polyline{Name: name, Role: figure.Candidate, Hair: true}
		for _, x := range d.along(a) {
			line.Points = append(line.Points, v.At(x))
		}
		marks, name = append(marks, line), ""
	}
	return marks
}

// arc is a turn about an axis through the pivot, in radians from rest.
type arc struct {
	axis     rigid.Vec
	from, to float64
}

// along returns places of the followed landmark on its way, near enough to each other to look round.
func (d drawing) along(a arc) []rigid.Vec {
	steps := math.Ceil(math.Abs(a.to-a.from)/(5*math.Pi/180)) + 1
	points := make([]rigid.Vec, 0, int(steps)+1)
	for k := 0.0; k <= steps; k++ {
		turn, _ := rigid.Turn(a.axis, a.from+(a.to-a.from)*k/steps)
		points = append(points, rigid.TurnAbout(d.pivot, turn).Apply(d.poses.Rest[d.end]))
	}
	return points
}

func (d drawing) arcs() []arc {
	if d.axis != (rigid.Vec{}) {
		whole := arc{axis: d.axis}
		for _, t := range d.poses.Targets {
			pair := rigid.NewPair(d.poses.Rest, t.Points, t.Weights)
			angle, _ := pair.AboutAxis(d.pivot, d.axis)
			whole.from, whole.to = math.Min(whole.from, angle), math.Max(whole.to, angle)
		}
		return []arc{whole}
	}
	var list []arc
	for _, t := range d.poses.Targets[:min(len(d.poses.Targets), mostPoses)] {
		pair := rigid.NewPair(d.poses.Rest, t.Points, t.Weights)
		if axis, angle := pair.About(d.pivot).R.AxisAngle(); axis != (rigid.Vec{}) {
			list = append(list, arc{axis: axis, to: angle})
		}
	}
	return list
}

// handles let a reader drag the landmarks of a small table in one view. The first is the far end of the last pose, which
// moves the pivot most.
func (d drawing) handles(v views.View, rows catalog.Rows) []figure.Handle {
	if rows.Len > mostHandles {
		return nil
	}
	n, seen := rows.Numbers, map[int]int{}
	last := d.poses.IDs[len(d.poses.IDs)-1]
	var list []figure.Handle
	for i := range rows.Len {
		pose := int(n["pose"][i])
		if pose != 0 && d.poses.Parent != nil {
			continue // it is drawn where the parent's frame has it, and not where the table does
		}
		landmark := seen[pose]
		seen[pose]++
		p := rigid.Vec{X: n["x"][i], Y: n["y"][i], Z: n["z"][i]}
		h := figure.Handle{Name: "Landmark " + strconv.Itoa(landmark+1) + " at rest", Role: figure.Bone, Shape: figure.Dot,
			At: v.At(p), Axes: v.Axes(p, views.Cell("landmarks", i+1))}
		if pose != 0 {
			h.Name, h.Role, h.Shape = "Landmark "+strconv.Itoa(landmark+1)+" in pose "+strconv.Itoa(pose), figure.Target, figure.Open
		}
		if !v.Main {
			h.Name += ", " + v.Name + " view"
		}
		list = append(list, h)
		if pose == last && landmark == d.end {
			list[0], list[len(list)-1] = list[len(list)-1], list[0]
		}
	}
	return list
}
