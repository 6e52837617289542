package figure

import (
	"math"
	"slices"

	"centrode/calc/plane"
)

// note is a text that waits for its place.
type note struct {
	text  string
	own   bool // the text is said as it is
	role  Role
	rank  int
	at    plane.Vec   // the anchor on the sheet
	away  plane.Vec   // preferred direction, unit length
	near  float64     // distance from the anchor at which text may start
	kind  string      // class
	name  string      // what the text measures, for assistive technology
	spots []plane.Vec // centres to try first, without leader: along a dimension line, on a contour
	on    bool        // the spots lie on a line, which is broken where the text stands
	hides float64     // how much of it the text hides, in pixels
	bound bool        // stands on its spots or nowhere
	// breaks is the number, from 1, of the measured line that makes room for the text.
	breaks int
}

// spot is a place for a note.
type spot struct {
	box    Rect
	cost   float64
	leader bool
	on     bool
}

const (
	directions = 16
	rings      = 12 // distances tried around the anchor before the whole sheet is searched
	dropRank   = 9  // from this rank on, a label without a free place is left out

	ringCost    = 0.55 // what one ring farther costs,
	turnCost    = 0.9  // a place opposite to the preferred direction,
	inkCost     = 0.6  // one em of line under the text,
	crossCost   = 3.0  // a leader through another text,
	asideCost   = 0.6  // and a number beside its line; on the other side of it,
	acrossCost  = 0.2  // so much more
	leaderRings = 2    // from this ring on, a hairline ties the text to its anchor
)

func (d *draft) label(m Label) {
	at, ok := d.sheet.place(m.At)
	if !ok || m.Text == "" || (m.Rank >= dropRank && !d.sheet.bounds().Has(at)) {
		return
	}
	away := d.sheet.direction(m.Away)
	if away == (plane.Vec{}) {
		away = plane.Vec{Y: -1}
	}
	d.notes = append(d.notes, note{text: m.Text, own: m.Own, role: m.Role, rank: m.Rank, at: at, away: away, near: 4 * d.sheet.gauge, kind: "label"})
}

// settleNotes places all notes, lower ranks first and numbers on their lines before free labels of the same rank.
func (d *draft) settleNotes() {
	const most = 1 << 20
	keys := make([]int, len(d.notes)) // whole numbers, since a sorter of notes would be compiled for them alone
	for i, n := range d.notes {
		keys[i] = (2*n.rank+1-min(len(n.spots), 1))*most + i
	}
	slices.Sort(keys)
	for _, key := range keys {
		n := d.notes[key&(most-1)]
		n.at = within(d.sheet.bounds(), n.at)
		if n.name = d.words.Of(n.name); !n.own {
			n.text = d.words.Of(n.text)
		}
		if s, ok := d.settle(n); ok {
			d.write(n, s)
		}
	}
}

// settle finds the cheapest free place for a note; ok is false when it must be dropped.
func (d *draft) settle(n note) (best spot, ok bool) {
	half := plane.Vec{X: textWidth(n.text) * d.sheet.text / 2, Y: lineHeight * d.sheet.text / 2}
	best.cost = math.Inf(1)
	for i, centre := range n.spots {
		d.consider(&best, n, around(centre, half.X, half.Y), 0.05*float64(i), false)
	}
	best.on = n.on
	if n.on && !math.IsInf(best.cost, 1) {
		d.stepAside(&best, n, half)
	}
	if !math.IsInf(best.cost, 1) || n.bound {
		return best, !math.IsInf(best.cost, 1)
	}
	d.searchAround(&best, n, half)
	if math.IsInf(best.cost, 1) {
		d.searchSheet(&best, n, half)
	}
	if math.IsInf(best.cost, 1) && n.rank < dropRank {
		d.leastCovered(&best, n, half)
	}
	return best, !math.IsInf(best.cost, 1)
}

// stepAside lets a number stand beside its line where on it the text would hide more of other lines, such as the bone that is measured. The part of its own line is hidden on purpose and costs nothing.
func (d *draft) stepAside(best *spot, n note, half plane.Vec) {
	own := inkCost * n.hides / d.sheet.text
	for i, at := range n.spots {
		for k, u := range [2]plane.Vec{n.away, n.away.Scale(-1)} {
			cost := own + asideCost + acrossCost*float64(k) + 0.05*float64(i)
			d.consider(best, n, beside(at, u, n.near, half), cost, false)
		}
	}
}

// searchAround tries rings of places about the anchor, until none farther out could be better.
func (d *draft) searchAround(best *spot, n note, half plane.Vec) {
	near := n.near + d.clearance(n.at)
	for ring := 0.0; ring < rings && best.cost > ring*ringCost; ring++ {
		gap := near + 0.6*ring*2*half.Y
		for k := range directions {
			steps := (k + 1) / 2
			side := float64(1 - 2*(k%2))
			cost := ring*ringCost + turnCost*float64(steps)/(directions/2)
			d.consider(best, n, beside(n.at, turned(n.away, side*float64(steps)), gap, half), cost, ring >= leaderRings)
		}
	}
}

// searchSheet scans the whole sheet for the free place nearest to the anchor.
func (d *draft) searchSheet(best *spot, n note, half plane.Vec) {
	for y := half.Y; y <= d.sheet.height-half.Y; y += half.Y / 2 {
		for x := half.X; x <= d.sheet.width-half.X; x += half.X / 4 {
			centre := plane.Vec{X: x, Y: y}
			d.consider(best, n, around(centre, half.X, half.Y), rings*ringCost+centre.Sub(n.at).Len()/half.Y, true)
		}
	}
}

// leastCovered is the way out on a full sheet: the place beside the anchor where least is covered.
func (d *draft) leastCovered(best *spot, n note, half plane.Vec) {
	for k := range directions {
		box := inside(d.sheet.bounds(), beside(n.at, turned(n.away, float64(k)), n.near+d.clearance(n.at), half))
		covered := 0.0
		for _, r := range d.taken {
			covered += box.shared(r)
		}
		if covered < best.cost {
			*best = spot{box: box, cost: covered}
		}
	}
}

// consider replaces best by box when box is free and cheaper.
func (d *draft) consider(best *spot, n note, box Rect, cost float64, leader bool) {
	if cost >= best.cost || !d.free(box) {
		return
	}
	under := d.ink.under
	if n.on {
		under = d.ink.covered
	}
	cost += inkCost * under(box) / d.sheet.text
	for _, l := range d.leaders {
		if _, _, cut := box.clip(l.A, l.B); cut {
			cost += crossCost
		}
	}
	if leader {
		for _, r := range d.taken {
			if _, _, cut := r.clip(n.at, within(box, n.at)); cut {
				cost += crossCost
			}
		}
	}
	if cost < best.cost {
		*best = spot{box: box, cost: cost, leader: leader}
	}
}

// free reports whether a box lies on the sheet, covers no marker, and stands farther from every text than words of one text stand apart.
func (d *draft) free(box Rect) bool {
	if !d.sheet.bounds().holds(box) {
		return false
	}
	apart := plane.Vec{X: wordSpace * d.sheet.text}
	for _, r := range d.taken {
		if (Rect{box.Min.Sub(apart), box.Max.Add(apart)}).overlaps(r) {
			return false
		}
	}
	for _, m := range d.solid {
		if box.overlaps(around(m.at, m.radius, m.radius)) {
			return false
		}
	}
	return true
}

// clearance is the half width of the largest marker that sits on the anchor.
func (d *draft) clearance(at plane.Vec) float64 {
	radius := 0.0
	for _, m := range d.solid {
		if m.at.Sub(at).Len() < 1 {
			radius = max(radius, m.radius)
		}
	}
	return radius
}

// turned rotates a direction by sixteenths of a turn.
func turned(u plane.Vec, steps float64) plane.Vec {
	return plane.TurnAbout(plane.Vec{}, steps*2*math.Pi/directions).Turn(u)
}

// beside is the box whose near side or corner lies at the gap from p in the direction u.
func beside(p, u plane.Vec, gap float64, half plane.Vec) Rect {
	u = u.Scale(1 / max(math.Abs(u.X), math.Abs(u.Y)))
	return around(plane.Vec{X: p.X + u.X*(half.X+gap), Y: p.Y + u.Y*(half.Y+gap)}, half.X, half.Y)
}

// within is the point of r nearest to p.
func within(r Rect, p plane.Vec) plane.Vec {
	return plane.Vec{X: min(max(p.X, r.Min.X), r.Max.X), Y: min(max(p.Y, r.Min.Y), r.Max.Y)}
}

// inside moves box into r.
func inside(r, box Rect) Rect {
	half := box.Max.Sub(box.Min).Scale(0.5)
	return around(within(Rect{r.Min.Add(half), r.Max.Sub(half)}, box.Min.Add(half)), half.X, half.Y)
}
