package posefit

import (
	"slices"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/centre"
	"centrode/calc/rigid"
)

// Poses are the landmarks of a table, by pose.
type Poses struct {
	Rest    []rigid.Vec
	Targets []centre.Pose
	IDs     []int   // pose numbers of Targets, rising
	Parent  *Parent // nil where the landmarks were measured in its frame
	table   string  // that they come from
}

// Parent is a parent that moved, as its own landmarks tell.
type Parent struct {
	centre.Parent
	Poses Poses
}

// Read groups the landmark table by pose and checks it: a rest pose 0, at least one other, the same number of landmarks in
// each, and enough of them in general position. Two landmarks are enough for a hinge when all poses lie in one plane. Where there are
// landmarks of the parent, all poses are taken back into its frame. Refusals are *catalog.InputError naming the table.
func Read(v catalog.Values, hinge bool) (Poses, error) {
	p, err := read("landmarks", v.Tables["landmarks"])
	if err != nil {
		return p, err
	}
	if rows := v.Tables["parent"]; rows.Len > 0 {
		own, err := read("parent", rows)
		if err == nil {
			err = own.serves(p)
		}
		if err != nil {
			return p, err
		}
		p.Parent = &Parent{Poses: own}
		p.Targets, p.Parent.Parent = centre.Back(own.Rest, own.Targets, p.Targets)
	}
	return p, p.check(hinge)
}

// serves says why a parent cannot carry the poses; nil when it can.
func (p Poses) serves(poses Poses) error {
	for _, id := range poses.IDs {
		if !slices.Contains(p.IDs, id) {
			return p.refuse("must list the parent in every pose: pose " + strconv.Itoa(id) + " is missing")
		}
	}
	for _, id := range p.IDs {
		if !slices.Contains(poses.IDs, id) {
			return p.refuse("must list the poses of the landmarks alone: these have no pose " + strconv.Itoa(id))
		}
	}
	return p.check(false)
}

func read(table string, rows catalog.Rows) (Poses, error) {
	groups, ids := group(rows)
	p := Poses{table: table}
	if len(ids) == 0 || ids[0] != 0 {
		return p, p.refuse("must contain the rest pose, numbered 0")
	}
	if len(ids) < 2 {
		return p, p.refuse("must contain at least one pose besides the rest pose 0")
	}
	p.Rest, p.IDs = groups[0].Points, ids[1:]
	for _, id := range p.IDs {
		target := groups[id]
		if len(target.Points) != len(p.Rest) {
			return p, p.refuse("must list the same landmarks in every pose: pose " + strconv.Itoa(id) + " has " +
				strconv.Itoa(len(target.Points)) + ", the rest pose " + strconv.Itoa(len(p.Rest)))
		}
		p.Targets = append(p.Targets, target)
	}
	weights := make([][]float64, len(p.Targets))
	for i, target := range p.Targets {
		weights[i] = target.Weights
	}
	rigid.Level(weights...)
	return p, nil
}

func (p Poses) refuse(allowed string) error {
	return &catalog.InputError{Field: p.table, Allowed: allowed}
}

// group collects the rows of each pose, in their order, and the pose numbers, rising.
func group(rows catalog.Rows) (map[int]centre.Pose, []int) {
	pose, x, y, z, weight := rows.Numbers["pose"], rows.Numbers["x"], rows.Numbers["y"], rows.Numbers["z"], rows.Numbers["weight"]
	counts := map[int]int{}
	var ids []int
	for i := range rows.Len {
		id := int(pose[i])
		if counts[id]++; counts[id] == 1 {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	groups := make(map[int]centre.Pose, len(ids))
	points, weights := make([]rigid.Vec, rows.Len), make([]float64, rows.Len)
	for _, id := range ids { // each pose gets its own stretch of one block
		n := counts[id]
		groups[id] = centre.Pose{Points: points[:0:n], Weights: weights[:0:n]}
		points, weights = points[n:], weights[n:]
	}
	for first := 0; first < rows.Len; {
		id := int(pose[first])
		g := groups[id]
		for ; first < rows.Len && int(pose[first]) == id; first++ {
			g.Points = append(g.Points, rigid.Vec{X: x[first], Y: y[first], Z: z[first]})
			g.Weights = append(g.Weights, weight[first])
		}
		groups[id] = g
	}
	return groups, ids
}

// closest is how small landmarks may lie to each other beside the way they go. The search squares both: of smaller ones the
// turn would be lost beside the travel, and a wrong pivot stated with a small error (tests/hard/sweep).
const closest = 1e-6

// lightest is how little the landmarks of a pose may count beside the weightiest of all. The fit squares moments, and of smaller
// weights it would find none: the pose would seem not to turn.
const lightest = 1e-100

// check refuses landmarks that leave a rotation free: too few, coincident, or on one line.
func (p Poses) check(hinge bool) error {
	if len(p.Rest) < 2 || len(p.Rest) < 3 && !hinge {
		return p.refuse("must list at least 3 landmarks not on one line in each pose" + p.orTwo())
	}
	for i, target := range p.Targets {
		pair := rigid.NewPair(p.Rest, target.Points, target.Weights)
		if !(pair.W > 0) {
			return p.refuse("must give some landmark of pose " + strconv.Itoa(p.IDs[i]) + " a weight above 0")
		}
		if pair.W < lightest {
			return &catalog.InputError{Field: p.table + ".weight", Allowed: "must be at least 1e-100 of the greatest weight for some landmark of pose " + strconv.Itoa(p.IDs[i])}
		}
		spread := pair.Spread()
		switch {
		case spread[0] <= 1e-12 || spread[0] <= closest*pair.PosedMean.Sub(pair.RestMean).Len():
			return p.refuse("must not put all landmarks in one place, or so near it that they move a million times their own extent: no turn can be read from them")
		case spread[1] <= 1e-7*spread[0] && !(hinge && p.planar()):
			return p.refuse("must list at least 3 landmarks that do not lie on one line in pose " + strconv.Itoa(p.IDs[i]) + p.orTwo())
		}
	}
	return nil
}

// orTwo is the exception of a hinge, which a parent has not.
func (p Poses) orTwo() string {
	if p.table == "parent" {
		return ""
	}
	return " (2 in a plane for a hinge)"
}

// planar reports whether all landmarks of all poses share one plane.
func (p Poses) planar() bool {
	_, ok := centre.Plane(p.Rest, p.Targets)
	return ok
}
