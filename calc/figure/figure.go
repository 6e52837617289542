// Package figure holds drawings of calculator results and turns them into SVG.
//
// Start at Figure and Layout. Overlay puts the drawings of two placements on one sheet; Locate, Drag and Nudge turn a
// reader's pointer and keys into field values.
//
// A calculator builds a Figure from marks in model units (centimetres, y up). Layout places it on a sheet of a given
// width, moves labels that would overlap, and answers a tree of elements; Markup writes that tree as SVG text for the
// build, and the page applies the same tree to its DOM. There is no other drawing code.
//
// Colours, dash patterns and line widths are not here: a mark names its Role, and the style sheet gives roles their
// look.
package figure

import "centrode/calc/plane"

// Role says what a mark means; it becomes the class of the drawn element.
type Role string

// The roles. Current is always an open ring and a dashed line, candidate a filled diamond and a solid line.
const (
	Current   Role = "current"   // the placement as it is
	Candidate Role = "candidate" // the proposal, and all that moves with it
	Bone      Role = "bone"      // a segment's axis, at rest or shared by both placements
	Flesh     Role = "flesh"     // the outline or area of the body
	Target    Role = "target"    // what the pose must reach: a rail, a bar, a palm surface
	Guide     Role = "guide"     // construction lines, arcs of travel, axes
	Caution   Role = "caution"   // squash, overlap, a contact that should not be
)

// Figure is a drawing in model units.
type Figure struct {
	Title string // names the drawing for assistive technology: "A finger curled around a rail"
	Desc  string // what can be read off it, in a sentence or two with numbers
	// View is the part of the model that must be visible; Layout adds margins. Choose it so that it does not change
	// while a reader drags: from the lengths of the limb, not from its pose.
	View    Rect
	Marks   []Mark // later marks are drawn over earlier ones
	Handles []Handle
}

// Rect is an axis-aligned rectangle in model units.
type Rect struct{ Min, Max plane.Vec }

// Mark is one element of a drawing: Polyline, Region, Arc, Circle, Marker, Label, Dimension or Heat.
type Mark interface{ isMark() }

// Polyline is a line through points.
type Polyline struct {
	Name   string // for assistive technology; "" for a mere construction line
	Role   Role
	Points []plane.Vec
	Closed bool
	Heavy  bool // 2.5 px instead of 1.5 px
	Hair   bool // 0.75 px
	Arrow  bool // an arrow head at the last point
}

// Region is a filled polygon, hatched or washed by its role.
type Region struct {
	Name   string
	Role   Role
	Points []plane.Vec
	Hatch  bool // engraved hatch instead of a wash
}

// Arc is part of a circle from one angle to another, in radians, counter-clockwise when To > From.
type Arc struct {
	Name     string
	Role     Role
	Centre   plane.Vec
	Radius   float64
	From, To float64
	Hair     bool
	Arrow    bool
}

// Circle is a whole circle.
type Circle struct {
	Name   string
	Role   Role
	Centre plane.Vec
	Radius float64
	Fill   bool
}

// Shape is the form of a Marker. Its size is in pixels, whatever the scale of the drawing.
type Shape uint8

// The shapes of markers.
const (
	Dot     Shape = iota // a small filled circle: an end, a landmark
	Ring                 // an open ring: the current pivot
	Diamond              // a filled diamond: the candidate pivot
	Cross                // a plus of hairlines: a centre, a pole
	Open                 // a small open circle: where a landmark must go, what is left over
	Toward               // a circle with a dot: an axis that points at the reader
	Into                 // a circle with a cross: an axis that points away from the reader
)

// Marker marks a point.
type Marker struct {
	Name  string
	Role  Role
	Shape Shape
	At    plane.Vec
}

// Label is text at a point. Layout moves it along Away, then around, until it overlaps nothing more important.
type Label struct {
	Role Role
	At   plane.Vec
	Text string
	Own  bool      // the text is a name that somebody gave, and stays as it is in every language
	Away plane.Vec // preferred direction from At, in model axes; zero means above
	// Rank decides who stays when labels collide: lower ranks are placed first. 0 is for numbers the plate is about.
	Rank int
}

// Dimension is an engraver's dimension line: extension lines from A and B, a line with ticks between them at Offset
// (model units, to the left of A→B when positive), and the text on the line, or beside it where it would hide others.
type Dimension struct {
	Name   string
	Role   Role
	A, B   plane.Vec
	Offset float64
	Text   string
	Spare  bool // the text is left out where it has no room on the line: a number that the reader finds elsewhere too
}

// Angular is the dimension of an angle: an arc about Centre with the text outside its middle. Radius is in model units.
type Angular struct {
	Name     string // for assistive technology, read with the text: "Flexion of the knuckle"
	Role     Role
	Centre   plane.Vec
	Radius   float64
	From, To float64 // radians
	Text     string
}

// Heat is a grid of values over a rectangle, row by row from Min (lowest v first), drawn with one perceptually even
// ramp, with contour lines at Levels. Values must be finite.
type Heat struct {
	Name       string
	Area       Rect
	Cols, Rows int
	Values     []float64
	Levels     []float64
	Unit       string // put behind the numbers on the contour lines, with a no-break space: "cm"
	Edges      []Edge // drawn over the contour lines
}

// Edge is the line on which a Heat has a value of its own: the limit of what is good enough. Text stands beside it, as a
// Label of the rank would; "" for none.
type Edge struct {
	Role  Role
	Level float64
	Text  string
	Rank  int
}

func (Polyline) isMark()  {}
func (Region) isMark()    {}
func (Arc) isMark()       {}
func (Circle) isMark()    {}
func (Marker) isMark()    {}
func (Label) isMark()     {}
func (Dimension) isMark() {}
func (Angular) isMark()   {}
func (Heat) isMark()      {}

// Handle is a marker that a reader can move; moving it edits one or two fields.
type Handle struct {
	Name  string // "Candidate pivot of the knuckle"
	Role  Role
	Shape Shape
	At    plane.Vec
	Axes  []Axis // one or two; the first follows ←/→, the second ↑/↓ (a single axis follows both pairs)
}

// Axis ties one direction of a handle's motion to a field.
//
// Linear (Turn false): value = Base + PerUnit·((p − Origin)·Dir), with Dir of unit length. Angular (Turn true): value =
// Base + PerUnit·(the angle in degrees, counter-clockwise, of p about Origin measured from Dir, in (−180, 180]).
type Axis struct {
	Field   string
	Origin  plane.Vec
	Dir     plane.Vec
	Base    float64
	PerUnit float64
	Turn    bool
}
