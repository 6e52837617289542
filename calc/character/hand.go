package character

import "centrode/calc/rigid"

// finger is three segments in a row.
type finger struct {
	name    string
	knuckle rigid.Vec
	spread  rigid.Vec  // direction at rest, any length
	lengths [3]float64 // cm
	depths  [4]float64 // at knuckle, middle joint, end joint and tip, cm
	curl    [3]float64 // of the fist, degrees
}

// fingers: the index has the measures of content/cast; the others are invented here to go with it.
func fingers() []finger {
	return []finger{
		{"thumb", rigid.Vec{X: 3.2, Y: -0.6, Z: 3.4}, rigid.Vec{X: 0.72, Y: -0.18, Z: 0.67}, [3]float64{4.4, 3.5, 2.9}, [4]float64{3.2, 2.5, 2.2, 1.7}, [3]float64{18, 32, 40}},
		{"index", rigid.Vec{X: 9.6, Y: 0, Z: 3.3}, rigid.Vec{X: 1, Z: 0.06}, [3]float64{4.6, 2.7, 2.3}, [4]float64{3.0, 2.1, 1.8, 1.4}, [3]float64{85, 100, 65}},
		{"long", rigid.Vec{X: 10, Y: 0.2, Z: 1.1}, rigid.Vec{X: 1}, [3]float64{5.0, 3.1, 2.5}, [4]float64{3.0, 2.2, 1.9, 1.5}, [3]float64{86, 100, 65}},
		{"ring", rigid.Vec{X: 9.5, Y: 0.1, Z: -1.1}, rigid.Vec{X: 1, Z: -0.05}, [3]float64{4.7, 2.9, 2.4}, [4]float64{2.8, 2.1, 1.8, 1.4}, [3]float64{87, 98, 64}},
		{"little", rigid.Vec{X: 8.8, Y: -0.2, Z: -3.2}, rigid.Vec{X: 1, Z: -0.12}, [3]float64{3.6, 2.1, 2.1}, [4]float64{2.4, 1.8, 1.6, 1.2}, [3]float64{88, 95, 62}},
	}
}

// hand has its fingers along x, its back up, its palm 9.6 cm from the wrist to the knuckles. The true pivot of the
// middle joint of the index lies 0.6 cm nearer the back than the file's.
func hand() figure {
	f := figure{joints: []joint{{name: "wrist", parent: -1, hinge: rigid.Vec{Z: -1}}}, clip: clip{"curl", 0, 110, 2}}
	limb{path: []rigid.Vec{{X: 0}, {X: 9.4}}, side: rigid.Vec{Z: 1}, around: 28, step: 0.4, root: 0,
		girth: []girth{{0, 2.9, 1.7}, {4, 3.9, 1.9}, {9, 4.4, 1.5}}}.addTo(&f.surface)
	fist := target{name: "target-fist"}
	for _, g := range fingers() {
		g.addTo(&f)
		for k, by := range g.curl {
			fist.turns = append(fist.turns, turn{g.name + "-" + parts()[k], by})
		}
	}
	f.targets = []target{{"target-hook", []turn{{"index-middle", 95}}}, fist}
	return f
}

func parts() []string { return []string{"knuckle", "middle", "end"} }

// addTo puts the joints and the surface of a finger into the hand. Fingers bend toward −y, the palm.
func (g finger) addTo(f *figure) {
	along := g.spread.Unit()
	hinge := along.Cross(rigid.Vec{Y: -1}).Unit()
	const inside = 2.2 // cm of the tube that begin within the palm
	tube := limb{side: hinge, around: 18, step: 0.4, root: 0, path: []rigid.Vec{g.knuckle.Sub(along.Scale(inside))}}
	parent, at, way := 0, g.knuckle, inside
	for k, length := range g.lengths {
		j := joint{name: g.name + "-" + parts()[k], parent: parent, at: at, hinge: hinge}
		if j.name == "index-middle" {
			j.at, j.flaw = at.Add(rigid.Vec{Y: 0.6}), rigid.Vec{Y: -0.6}
		}
		parent = len(f.joints)
		f.joints = append(f.joints, j)
		half := g.depths[k] / 2
		tube.girth = append(tube.girth, girth{way, 0.95 * half, half})
		tube.bends = append(tube.bends, bend{way, 0.4 * half * 2, parent})
		at, way = at.Add(along.Scale(length)), way+length
	}
	f.joints = append(f.joints, joint{name: g.name + "-tip", parent: parent, at: at, end: true})
	half := g.depths[3] / 2
	tube.girth = append(tube.girth, girth{way - half, 0.95 * half, half})
	tube.path = append(tube.path, at.Sub(along.Scale(half)))
	tube.addTo(&f.surface)
}
