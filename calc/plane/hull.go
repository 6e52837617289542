package plane

// Surrounds reports whether p lies in the convex hull of the points, its boundary included: whether no line through p
// has all of them strictly on one side. Directions closer than slack (radians, far below 1) count as one, and a
// half-plane may be overstepped by slack, so that an exactly opposite pair counts. A point equal to p surrounds it.
//
// p is outside when some point is the clockwise-most of all, seen from p: every other then lies less than half a turn
// counter-clockwise of it. O(n²), allocates nothing.
func Surrounds(p Vec, points []Vec, slack float64) bool {
	for i, a := range points {
		from := a.Sub(p).Unit()
		if from == (Vec{}) {
			return true
		}
		if clockwiseMost(p, from, points, i, slack) {
			return false
		}
	}
	return len(points) > 0
}

// clockwiseMost reports whether all points but the one at skip lie in [0, π) counter-clockwise of from, as seen from p.
func clockwiseMost(p, from Vec, points []Vec, skip int, slack float64) bool {
	for j, b := range points {
		if j == skip {
			continue
		}
		to := b.Sub(p).Unit()
		cross := from.Cross(to)
		if same := cross >= -slack && cross <= slack && from.Dot(to) > 0; !same && cross <= slack {
			return false
		}
	}
	return true
}
