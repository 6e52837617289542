package reseat

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/rigid"
	"centrode/calc/spell"
)

// skeleton is joints by row: names, index of the parent (−1 for a root), world transform at rest.
type skeleton struct {
	names  []string
	parent []int
	world  []rigid.Motion
	order  []int // parents before children
}

// read checks the table: names unique and not empty, parents known, no cycle, quaternions with a length.
func read(rows catalog.Rows) (skeleton, error) {
	s := skeleton{names: rows.Texts["name"], parent: make([]int, rows.Len), world: make([]rigid.Motion, rows.Len)}
	index := map[string]int{}
	for i, name := range s.names {
		if name == "" {
			return s, &catalog.InputError{Field: "joints.name", Row: i + 1, Allowed: "must not be empty"}
		}
		if first, twice := index[name]; twice {
			return s, &catalog.InputError{Field: "joints.name", Row: i + 1, Given: strconv.Quote(name), Allowed: "stands in row " + strconv.Itoa(first+1) + " already; names must differ"}
		}
		index[name] = i
	}
	for i, name := range rows.Texts["parent"] {
		s.parent[i] = -1
		if name == "" || name == "-" {
			continue
		}
		p, ok := index[name]
		if !ok {
			return s, &catalog.InputError{Field: "joints.parent", Row: i + 1, Given: strconv.Quote(name), Allowed: "is no joint of the table" + spell.Offer(name, s.names) + "; leave the parent of a root empty"}
		}
		s.parent[i] = p
	}
	for i := range s.world {
		n := rows.Numbers
		q, ok := rigid.Quat{X: n["qx"][i], Y: n["qy"][i], Z: n["qz"][i], W: n["qw"][i]}.Unit()
		if !ok {
			return s, &catalog.InputError{Field: "joints.qw", Row: i + 1, Given: "0, 0, 0, 0", Allowed: "a quaternion must have a length; no turn is 0, 0, 0, 1"}
		}
		s.world[i] = rigid.Motion{R: q.Rot(), T: rigid.Vec{X: n["x"][i], Y: n["y"][i], Z: n["z"][i]}}
	}
	return s, s.sort()
}

// sort orders joints so that parents come first, or refuses a cycle and names a joint on it.
func (s *skeleton) sort() error {
	state := make([]uint8, len(s.names)) // 1: on the way up, 2: done
	for i := range s.names {
		var way []int
		for j := i; j >= 0 && state[j] != 2; j = s.parent[j] {
			if state[j] == 1 {
				return &catalog.InputError{Field: "joints.parent", Row: j + 1, Given: strconv.Quote(s.names[j]), Allowed: "is its own ancestor; break the cycle"}
			}
			state[j] = 1
			way = append(way, j)
		}
		for k := len(way) - 1; k >= 0; k-- {
			state[way[k]] = 2
			s.order = append(s.order, way[k])
		}
	}
	return nil
}

func (s skeleton) find(name string) (int, error) {
	for i, n := range s.names {
		if n == name {
			return i, nil
		}
	}
	return 0, &catalog.InputError{Field: "move", Given: strconv.Quote(name), Allowed: "must be a joint of the table" + spell.Offer(name, s.names)}
}

func (s skeleton) firstChild(joint int) int {
	for i, p := range s.parent {
		if p == joint {
			return i
		}
	}
	return -1
}

// local returns the joint's transform relative to its parent.
func (s skeleton) local(i int) rigid.Motion {
	if s.parent[i] < 0 {
		return s.world[i]
	}
	return s.world[s.parent[i]].Inverse().Then(s.world[i])
}

// rebuilt puts the world transforms together from the local ones, as a program that reads them would: through the
// quaternions.
func (s skeleton) rebuilt() []rigid.Motion {
	world := make([]rigid.Motion, len(s.names))
	for _, i := range s.order {
		local := s.local(i)
		local.R = local.R.Quat().Rot()
		world[i] = local
		if p := s.parent[i]; p >= 0 {
			world[i] = world[p].Then(local)
		}
	}
	return world
}

// table prints the values to type in for every joint.
func (s skeleton) table(before skeleton, order rigid.Order) catalog.Rows {
	t := catalog.Rows{Len: len(s.names), Numbers: map[string][]float64{}, Texts: map[string][]string{"name": s.names}}
	add := func(id string, v float64) { t.Numbers[id] = append(t.Numbers[id], v) }
	const degree = 180 / math.Pi
	for i := range s.names {
		local := s.local(i)
		q, angles := local.R.Quat(), order.Angles(local.R)
		for j, v := range []float64{local.T.X, local.T.Y, local.T.Z, q.X, q.Y, q.Z, q.W, angles.X * degree, angles.Y * degree, angles.Z * degree} {
			add(localIDs()[j], v)
		}
		for k, v := range inverseBind(s.world[i]) {
			add("m"+strconv.Itoa(k), v)
		}
		changed := 0.0
		if Differs(local, before.local(i)) || Differs(s.world[i], before.world[i]) {
			changed = 1
		}
		add("changed", changed)
	}
	return t
}

func localIDs() []string { return []string{"tx", "ty", "tz", "qx", "qy", "qz", "qw", "rx", "ry", "rz"} }

// Differs reports whether two transforms differ by more than rounding alone can do.
func Differs(a, b rigid.Motion) bool {
	scale := 1 + a.T.Len() + b.T.Len()
	return a.T.Sub(b.T).Len() > 1e-12*scale || rigid.Turned(a.R, b.R)
}

// inverseBind is the inverse of the world transform, column-major as in glTF 2.0.
func inverseBind(world rigid.Motion) [16]float64 {
	m := world.Inverse()
	var out [16]float64
	for column := range 3 {
		for row := range 3 {
			out[4*column+row] = m.R[row][column] + 0
		}
	}
	out[12], out[13], out[14], out[15] = m.T.X, m.T.Y, m.T.Z, 1
	return out
}
