package plane

// Overlap returns the polygon that two convex polygons have in common, or nil when they have no area in common. Both
// are listed counter-clockwise. Each edge of clip cuts away what lies to its right (Sutherland and Hodgman's method,
// general knowledge). O(n·m).
func Overlap(subject, clip []Vec) []Vec {
	kept := append([]Vec(nil), subject...)
	for i, a := range clip {
		kept = cutRight(kept, a, clip[(i+1)%len(clip)])
		if len(kept) < 3 {
			return nil
		}
	}
	return kept
}

// cutRight returns the part of a polygon to the left of a→b.
func cutRight(polygon []Vec, a, b Vec) []Vec {
	var kept []Vec
	edge := b.Sub(a)
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		sp, sq := edge.Cross(p.Sub(a)), edge.Cross(q.Sub(a))
		if sp >= 0 {
			kept = append(kept, p)
		}
		if (sp > 0 && sq < 0) || (sp < 0 && sq > 0) {
			kept = append(kept, p.Lerp(q, sp/(sp-sq)))
		}
	}
	return kept
}

// Area returns the signed area of a polygon: positive when it is listed counter-clockwise.
func Area(polygon []Vec) float64 {
	sum := 0.0
	for i, p := range polygon {
		sum += p.Cross(polygon[(i+1)%len(polygon)])
	}
	return sum / 2
}
