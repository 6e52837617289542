package fingercurl

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

var fleshNames = [4]string{"palm", "first segment", "middle segment", "end segment"}

// warn says what a reader must know about an answer. Codes: open-curl, rod-in-flesh, no-touching-depth,
// pulp-inside-palm, and for a joint no-squash, gap-opens, back-shortens, squash-past-segment.
func warn(r *catalog.Result, f Finger, pose Pose, rod Rod, v catalog.Values) {
	if !r.Has("curl_radius") {
		for _, field := range []string{"curl_radius", "curl_x", "curl_y"} {
			r.Note("open-curl", field, "The curl is open: no rod touches the palm-side surfaces all around, so none is held.")
		}
	}
	if !r.Has("depth_to_touch") {
		r.Note("no-touching-depth", "depth_to_touch", "No common pivot depth between the back (0) and the palm-side surface (1) brings the pulp onto the palm at this flexion.")
	}
	if gap := r.Numbers["pulp_gap"]; gap < -1e-9*f.size() {
		r.Warn("pulp-inside-palm", "pulp_gap", "The pulp lies inside the palm: flex the knuckle or the middle joint less, or move their pivots toward the palm side.")
	}
	if within := f.Inside(pose, rod.Centre); rod.Count > 0 && within >= 0 {
		r.Warn("rod-in-flesh", "curl_radius", "The largest rod touches the palm-side surfaces all around, but its centre lies inside the flesh of the "+fleshNames[within]+": the finger overlaps itself there, and no real rod would fit.")
	}
	for i := range joints {
		warnJoint(r, f, i, v)
	}
}

func warnJoint(r *catalog.Result, f Finger, i int, v catalog.Values) {
	name := joints[i]
	degrees := v.Numbers[name.flex]
	switch overlap := r.Numbers[name.squash] / 2; {
	case degrees == 180:
		r.Note("no-squash", name.squash, "At a flex of 180° of the "+name.words+" the palm-side surfaces are parallel and no longer cross, so the squash has no value.")
	case degrees > 0 && f.Under(i) < 0:
		r.Warn("gap-opens", name.pivot, "The pivot of the "+name.words+" lies beyond the palm-side surface: flexing opens a gap there instead of squashing flesh.")
	case degrees > 0 && overlap > f.shorterBeside(i):
		r.Warn("squash-past-segment", name.squash, "At the "+name.words+" the palm-side surfaces would cross "+v.Units.Format(overlap, quantity.Length, 2)+" from the fold, past the end of a neighbouring segment: all of that segment's palm side is overlapped.")
	}
	if degrees > 0 && f.Pivot[i] < 0 {
		r.Warn("back-shortens", name.pivot, "The pivot of the "+name.words+" lies outside the back: flexing shortens the back's skin instead of stretching it.")
	}
}

// shorterBeside returns the length of the shorter of the two surfaces that meet at joint i.
func (f Finger) shorterBeside(i int) float64 {
	if i == knuckle {
		return math.Min(f.Palm, f.Length[0])
	}
	return math.Min(f.Length[i-1], f.Length[i])
}
