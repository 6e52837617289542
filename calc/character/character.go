// Package character makes the demo characters of the handbook as glTF files: a hand, a hind leg, an arm, a jaw and a crane.
//
// Start at All, or at Find. Each has a closed surface, a skin with smooth weights, and one joint that lies in the wrong
// place. What it ought to do is in the file twice: morph targets, which are the surface posed about the true pivots, and an
// animation, whose keys turn the joint and move it too, as somebody does who works about a wrong pivot. So the true
// pivot can be found from either; the extras of the joint's node hold it, for checks.
//
// All measurements are invented; those that stand in content/cast are the same here. Inside the package lengths are in
// centimetres and angles in degrees; the files hold metres, as glTF does, y up. The same character gives the same bytes.
package character

import "centrode/calc/rigid"

// Character is one of the demo characters.
type Character struct {
	ID      string // name of the file without its ending
	Title   string
	Cast    string // name of the file in content/cast without its ending
	Flawed  string // name of the joint that lies wrong
	Purpose string // what can be tried on it, one sentence
	build   func() figure
}

// All lists the characters.
func All() []Character {
	return []Character{
		{"odalys-hand", "The hand of Odalys Brine", "odalys", "index-middle", "The middle joint of the index lies too near the palm, so the finger will not close.", hand},
		{"odalys-arm", "The arm of Odalys Brine", "odalys", "elbow", "The elbow lies on the middle line, and the forearm swings short.", arm},
		{"moss-hind-leg", "The hind leg of Moss", "moss", "hock", "The hock's pivot lies too far from the point of the hock, and the leg folds too high.", hindLeg},
		{"lockmaster-jaw", "The jaw of the Lockmaster", "lockmaster", "jaw", "The jaw turns about the ear, and the chin swings into the collar.", jaw},
		{"gantry-crane", "Gantry, the unloading crane", "gantry", "boom", "The boom's joint missed its pin, so plate and pin part when it lifts.", crane},
	}
}

// Find returns the character with that id.
func Find(id string) (c Character, ok bool) {
	for _, c := range All() {
		if c.ID == id {
			return c, true
		}
	}
	return Character{}, false
}

// IDs lists the ids of All.
func IDs() []string {
	var list []string
	for _, c := range All() {
		list = append(list, c.ID)
	}
	return list
}

// Path is where the site publishes the file, from its root.
func (c Character) Path() string { return "cast/" + c.ID + ".glb" }

// GLB returns the file.
func (c Character) GLB() []byte { return c.build().file(c).GLB() }

// figure is a character before it becomes a file.
type figure struct {
	joints  []joint // parents before children
	surface surface
	targets []target
	clip    clip
}

// joint is a place that turns what hangs on it.
type joint struct {
	name   string
	parent int       // -1 for none
	at     rigid.Vec // where the pivot belongs, cm
	hinge  rigid.Vec // the axis it bends about, right-hand rule toward the inside of the fold; zero for none
	flaw   rigid.Vec // how far the file's joint lies from where it belongs, cm
	end    bool      // the end of a segment: a node, but no joint of the skin
}

// placed is where the file has the joint.
func (j joint) placed() rigid.Vec { return j.at.Add(j.flaw) }

// turn bends one joint by an angle in degrees.
type turn struct {
	joint string
	by    float64
}

// target is a morph target: the surface with joints bent about their true pivots.
type target struct {
	name  string
	turns []turn
}

// clip is an animation of the flawed joint: even keys between two angles, in degrees.
type clip struct {
	name     string
	from, to float64
	seconds  float64
}

// flawed is the joint that lies wrong.
func (f figure) flawed() int {
	for i, j := range f.joints {
		if j.flaw != (rigid.Vec{}) {
			return i
		}
	}
	return -1
}
