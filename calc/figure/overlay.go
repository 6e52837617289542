package figure

import (
	"slices"

	"centrode/calc/plane"
)

// Overlay draws two answers of one calculator on one sheet: current beneath, candidate above.
//
//   - A mark that is the same in both is drawn once, as it is.
//   - Of what differs in current, lines and areas become dashed outlines of the role Current and pivots open rings; its
//     labels, dimensions, guides, cautions and heat are left out, because the table states the numbers.
//   - Of what differs in candidate, bones and pivots take the role Candidate; all else stays as it is.
//   - Handles, title and description are the candidate's; where a handle has moved, its current place is marked.
//   - The first pivots, or else lines, that differ are labelled "current" and "candidate", so that nothing rests on
//     colour.
//
// The view holds both views. When nothing differs the candidate is returned unchanged.
func Overlay(current, candidate Figure) Figure {
	f := candidate
	before := missing(current.Marks, candidate.Marks)
	after := missing(candidate.Marks, current.Marks)
	moved := movedHandles(current, candidate)
	if len(before)+len(after)+len(moved) == 0 {
		return f
	}
	f.View = sound(current.View).Union(sound(candidate.View))
	f.Marks = nil
	for _, m := range before {
		if old, ok := asCurrent(m); ok {
			f.Marks = append(f.Marks, old)
		}
	}
	for _, m := range candidate.Marks {
		if slices.ContainsFunc(after, func(a Mark) bool { return same(a, m) }) {
			m = asCandidate(m)
		}
		f.Marks = append(f.Marks, m)
	}
	f.Marks = append(f.Marks, moved...)
	f.Marks = append(f.Marks, captions(current, candidate, f.Marks)...)
	f.Desc = sentence(f.Desc) + "Dashed lines and open rings show the current placement, solid lines and filled diamonds the candidate."
	return f
}

// missing lists the marks that have no equal among the others.
func missing(marks, others []Mark) []Mark {
	var left []Mark
	for _, m := range marks {
		if !slices.ContainsFunc(others, func(o Mark) bool { return same(m, o) }) {
			left = append(left, m)
		}
	}
	return left
}

// movedHandles marks the current places of handles that have moved.
func movedHandles(current, candidate Figure) []Mark {
	var marks []Mark
	for i, h := range candidate.Handles {
		if i >= len(current.Handles) || current.Handles[i].Name != h.Name || current.Handles[i].At == h.At {
			continue
		}
		marks = append(marks, Marker{Name: named(h.Name, Current), Role: Current, Shape: opened(h.Shape), At: current.Handles[i].At})
	}
	return marks
}

func opened(s Shape) Shape {
	if s == Diamond {
		return Ring
	}
	return s
}

func filled(s Shape) Shape {
	if s == Ring {
		return Diamond
	}
	return s
}

func named(name string, role Role) string {
	if name == "" {
		return ""
	}
	return name + ", " + string(role)
}

// asCurrent is the form in which a mark of the current figure is kept; ok is false when it is left out.
func asCurrent(m Mark) (Mark, bool) {
	switch m := m.(type) {
	case Polyline:
		ok := kept(m.Role)
		m.Name, m.Role = named(m.Name, Current), Current
		return m, ok
	case Region:
		return Polyline{Name: named(m.Name, Current), Role: Current, Points: m.Points, Closed: true, Hair: true}, kept(m.Role)
	case Arc:
		ok := kept(m.Role)
		m.Name, m.Role = named(m.Name, Current), Current
		return m, ok
	case Circle:
		ok := kept(m.Role)
		m.Name, m.Role, m.Fill = named(m.Name, Current), Current, false
		return m, ok
	case Marker:
		ok := kept(m.Role)
		m.Name, m.Role, m.Shape = named(m.Name, Current), Current, opened(m.Shape)
		return m, ok
	}
	return m, false
}

func kept(role Role) bool { return role != Guide && role != Caution }

// asCandidate is the form of a mark that differs from the current figure.
func asCandidate(m Mark) Mark {
	switch m := m.(type) {
	case Polyline:
		if proposed(m.Role) {
			m.Name, m.Role = named(m.Name, Candidate), Candidate
		}
		return m
	case Arc:
		if proposed(m.Role) {
			m.Name, m.Role = named(m.Name, Candidate), Candidate
		}
		return m
	case Circle:
		if proposed(m.Role) {
			m.Name, m.Role = named(m.Name, Candidate), Candidate
		}
		return m
	case Marker:
		if proposed(m.Role) {
			m.Name, m.Role, m.Shape = named(m.Name, Candidate), Candidate, filled(m.Shape)
		}
		return m
	}
	return m
}

func proposed(role Role) bool { return role == Bone || role == Current || role == Candidate }

// captions are the two words at the first pair that differs.
func captions(current, candidate Figure, marks []Mark) []Mark {
	from, to, ok := movedPair(current, candidate)
	if !ok {
		from, ok = firstPoint(marks, Current)
		var found bool
		to, found = firstPoint(marks, Candidate)
		ok = ok && found
	}
	if !ok {
		return nil
	}
	return []Mark{
		Label{Role: Current, At: from, Text: string(Current), Away: from.Sub(to), Rank: 3},
		Label{Role: Candidate, At: to, Text: string(Candidate), Away: to.Sub(from), Rank: 3},
	}
}

// movedPair finds the first handle that has moved.
func movedPair(current, candidate Figure) (from, to plane.Vec, ok bool) {
	for i, h := range candidate.Handles {
		if i < len(current.Handles) && current.Handles[i].Name == h.Name && current.Handles[i].At != h.At {
			return current.Handles[i].At, h.At, true
		}
	}
	return from, to, false
}

// firstPoint is the first marker of a role, or else the end of its first line.
func firstPoint(marks []Mark, role Role) (at plane.Vec, ok bool) {
	for _, m := range marks {
		if m, is := m.(Marker); is && m.Role == role {
			return m.At, true
		}
	}
	for _, m := range marks {
		if m, is := m.(Polyline); is && m.Role == role && len(m.Points) > 0 {
			return m.Points[len(m.Points)-1], true
		}
	}
	return at, false
}

// sentence prepares a description to be continued.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return text + " "
}

// same reports whether two marks would be drawn alike.
func same(a, b Mark) bool {
	switch a := a.(type) {
	case Polyline:
		b, ok := b.(Polyline)
		return ok && slices.Equal(a.Points, b.Points) && a.Name == b.Name && a.Role == b.Role &&
			a.Closed == b.Closed && a.Heavy == b.Heavy && a.Hair == b.Hair && a.Arrow == b.Arrow
	case Region:
		b, ok := b.(Region)
		return ok && slices.Equal(a.Points, b.Points) && a.Name == b.Name && a.Role == b.Role && a.Hatch == b.Hatch
	case Heat:
		b, ok := b.(Heat)
		return ok && slices.Equal(a.Values, b.Values) && slices.Equal(a.Levels, b.Levels) && a.Name == b.Name &&
			slices.Equal(a.Edges, b.Edges) && a.Area == b.Area && a.Cols == b.Cols && a.Rows == b.Rows && a.Unit == b.Unit
	}
	switch b.(type) { // the rest hold no slices and compare as they are
	case Polyline, Region, Heat:
		return false
	}
	return a == b
}
