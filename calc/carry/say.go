package carry

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/propose"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/sheet"
)

func length(cm float64) string { return quantity.Format(cm, quantity.Length, 3) }

// atMost prints a length of two digits or more that is not less than the one given, so that it may be typed in as a bound.
func atMost(cm float64) string {
	if !(cm > 0) {
		return length(0)
	}
	tens, digits := 1.0, 0
	for ; cm*tens < 10 && digits < 12; digits++ {
		tens *= 10
	}
	return quantity.Format(math.Ceil(cm*tens)/tens, quantity.Length, digits)
}

// Will tells in sentences what the new file will have that the old one has not.
func (p *Plan) Will() []string {
	name := p.Body.Joints[p.Joint].Name
	list := []string{name + " moves by " + length(p.Offset().Len()) + ", from " + propose.Place(p.From, 3) + " to " + propose.Place(p.Options.To, 3) + "."}
	list = append(list, p.aimed())
	list = append(list, p.staying()...)
	for _, h := range p.Hung {
		list = append(list, h.stays())
	}
	if n := len(p.leaves()); n > 0 {
		list = append(list, quantity.Things(n, "mesh is noted in the extras of its node as the surface of what it hangs on, since it stands there no longer.", "meshes are noted in the extras of their nodes as the surface of what they hang on, since they stand there no longer."))
	}
	stays := "the painted weights and the rest surface stay."
	if p.Body.Bare() {
		stays = "a surface that is bound by it elsewhere would stay."
	}
	for _, s := range p.Skins {
		list = append(list, "Skin "+strconv.Itoa(s.Skin)+": "+quantity.Things(len(s.Nodes), "inverse bind matrix is", "inverse bind matrices are")+" new, so that "+stays)
	}
	for _, t := range p.Tracks {
		list = append(list, t.say())
	}
	return list
}

// staying tells how many nodes get new values and stay: those below the joint, and where its parent turns, the others below that; and how
// many need none.
func (p *Plan) staying() (list []string) {
	below, beside := 0, 0
	for _, place := range p.Places {
		switch {
		case place.Moved:
		case p.Body.Doc.Nodes[place.Node].Parent == p.node():
			below++
		default:
			beside++
		}
	}
	if below > 0 {
		list = append(list, quantity.Things(below, "node right below it gets new values, so that it stays where it is.", "nodes right below it get new values, so that they stay where they are."))
	}
	if beside > 0 {
		list = append(list, quantity.Things(beside, "node beside it, below its parent, gets new values, so that it stays where it is.", "nodes beside it, below its parent, get new values, so that they stay where they are."))
	}
	if n := len(p.unseen); n > 0 {
		list = append(list, quantity.Things(n, "node of a skinned mesh is left as it is: the skin alone says where that mesh is.", "nodes of skinned meshes are left as they are: the skin alone says where such a mesh is."))
	}
	return list
}

// aimed tells which orientations are new.
func (p *Plan) aimed() string {
	parent := p.Body.Joints[p.Joint].Parent
	child, root := p.turned(p.Joint), parent >= 0 && p.turned(parent)
	switch {
	case child && root:
		return "Its axis " + p.Options.AimAxis + " points at its first child, and its parent's at it; all other orientations stay."
	case child:
		return "Its axis " + p.Options.AimAxis + " points at its first child; all other orientations stay."
	case root:
		return "The axis " + p.Options.AimAxis + " of its parent points at it; all other orientations stay."
	}
	return "Every orientation stays."
}

// turned reports whether a joint is oriented anew in the world.
func (p *Plan) turned(joint int) bool { return p.own[p.Body.Joints[joint].Node].L != rigid.Identity() }

// say tells what becomes of a track.
func (t *Track) say() string {
	head := "Clip " + t.Clip + ", " + t.Path + " of " + t.Name + ": "
	switch t.How {
	case "compensated":
		text := quantity.Things(t.After, "key", "keys") + " that keep the segment on its old path"
		if t.Before > 0 {
			text += ", in the place of " + strconv.Itoa(t.Before)
		}
		strays := quantity.Format(t.Error, quantity.Length, 5)
		if t.Alone != nil {
			return head + text + "; it strays between them by up to " + strays + ", and would by " + atMost(*t.Alone) + " if it only turned."
		}
		return head + text + "; the farthest it strays between them is " + strays + "."
	case "dropped":
		if t.Before == 0 {
			return head + "rotation stays as it is keyed; the segment leaves its old path by up to " + length(t.Error) + ", at " + quantity.Number(t.At, 2) + " s."
		}
		return head + quantity.Things(t.Before, "key is", "keys are") + " dropped, so that the joint only turns; the segment leaves its old path by up to " + length(t.Error) + ", at " + quantity.Number(t.At, 2) + " s."
	}
	text := head + quantity.Things(t.Before, "key gets a new value", "keys get new values") + ", exactly"
	if t.Interpolated() {
		text += "; " + quantity.Things(t.After-t.Before, "key is", "keys are") + " new, between two that lie half a turn apart"
	}
	return text + "."
}

// Lose tells in sentences what could be lost, and what to save or look at first.
func (p *Plan) Lose() []string {
	var list []string
	for _, t := range p.Tracks {
		switch {
		case t.How == "dropped" && t.Before > 0 && !p.Options.Leave:
			list = append(list, "The translation that clip "+t.Clip+" keys of "+t.Name+" is not in the new file, since rotation alone strays no farther than was allowed. Keep the old one.")
		case t.How == "dropped" && t.Before > 0:
			list = append(list, "The translation that clip "+t.Clip+" keys of "+t.Name+" is not in the new file. Keep the old one, or choose keep for the animation.")
		case t.How == "compensated" && t.Curved:
			list = append(list, "The curve by which clip "+t.Clip+" keys the translation of "+t.Name+" becomes straight pieces, and its tangents are not in the new file. Keep the old one, if somebody is to edit the curve.")
		case t.How == "compensated" && t.Interpolated():
			list = append(list, "Clip "+t.Clip+" gets translation keys between the old ones, which are harder to edit by hand than the rotation alone.")
		}
	}
	for _, h := range p.Hung {
		list = append(list, h.parts())
	}
	if far := p.far(); far != "" {
		list = append(list, far)
	}
	if len(p.Body.Targets) > len(p.Body.Clips) {
		list = append(list, "Corrective shapes keep their form. One that was sculpted to hide the old pivot may now be too much: look at each.")
	}
	list = append(list, p.unread()...)
	if p.merges() {
		list = append(list, "The file keeps its numbers in several buffers, the new one in one. What the others say of themselves beside their bytes, such as a name or extras, is not in it.")
	}
	if n := p.Body.Doc.Chunks(); n > 0 && p.Options.Text {
		list = append(list, "The file has "+quantity.Things(n, "chunk", "chunks")+" for other programs behind its bytes, which a .gltf has no place for. Name the new file .glb to keep all of it.")
	}
	for _, place := range p.Places {
		if !place.Moved {
			continue
		}
		if p.hangs(place.Node) {
			does := "moves"
			if place.Node != p.node() {
				does = "turns"
			}
			list = append(list, "The file hangs a camera, a light or data of a program on "+place.Name+"; it "+does+" with the joint and is not adjusted.")
		}
		if noted := p.Body.Doc.Noted(place.Node); len(noted) > 0 {
			list = append(list, "The file notes something of "+place.Name+" that is not read here ("+such(noted)+"). It is kept as it is; look whether a place or a length in it still holds.")
		}
		if speaking := p.Body.Doc.Speaking(place.Node); len(speaking) > 0 {
			list = append(list, "The file has data that is not read here ("+such(speaking)+") and may be about "+place.Name+", such as a constraint or a shape to collide with. It is kept as it is; what it measures from there knows the old place.")
		}
	}
	if images := p.beside(); images != "" {
		list = append(list, "The file takes "+images+", from beside it. The new one looks from its own folder: keep it beside the old one, or copy what it takes.")
	}
	if p.Body.Bare() {
		return append(append(list, p.apart()...), "The new file is a file of its own; keep the old one until it has been played on the moved character.")
	}
	return append(list,
		"Animation, constraints and controls that are kept in other files know the old place; bring them over before anyone opens them.",
		"The new file is a file of its own; keep the old one until the shots that use it have been looked at.")
}

// apart tells what a file without a surface leaves open: whether its rest pose is that of the character which it moves, and that the same
// move belongs into the others.
func (p *Plan) apart() []string {
	name, alike := p.Body.Joints[p.Joint].Name, "The two files agree when that is the same in both; where they rest differently, give the character's own offset in the place of coordinates."
	if p.Options.Aim {
		alike += " An orientation that is aimed in another rest pose is another one: keep orientations where the two rest differently."
	}
	return []string{
		"The file shows no surface, so its rest pose may be another than the character's: another pose, place or size, in which the same coordinates are another place. Here " + name + " stands at " +
			propose.Place(p.From, 3) + " at rest, and its own offset, the move as it sees it, is " + propose.Place(p.Own(), 3) + ". " + alike,
		"The character, its other files of motion, and constraints and controls that are kept elsewhere know the old place; make the same move in each before anyone opens them together.",
	}
}

// such names the first of a list, and how many there are.
func such(list []string) string {
	if len(list) == 1 {
		return sheet.Line(list[0])
	}
	return strconv.Itoa(len(list)) + " kinds, such as " + sheet.Line(list[0])
}

// far tells of a move that is longer than the segments which meet in the joint: mostly a place that was written in another unit or
// copied from the parent's frame. It is empty for other moves, and where nothing tells how long a segment is.
func (p *Plan) far() string {
	_, segment := p.segments()
	if !(segment > 0) || p.Offset().Len() <= segment {
		return ""
	}
	return p.Body.Joints[p.Joint].Name + " moves by " + length(p.Offset().Len()) + ", farther than its segments are long (" + length(segment) +
		" at most). Look whether the place was meant in another unit, or in the parent's frame: it is read in the world of the rest pose."
}

// Interpolated reports whether a track has more keys than before.
func (t *Track) Interpolated() bool { return t.After > t.Before }

// unread tells of clips that move something by a path that is not read here, such as the pointer of an extension: nobody knows
// whether it is a joint whose place is new.
func (p *Plan) unread() (list []string) {
	known := []string{"translation", "rotation", "scale", "weights"}
	for i, a := range p.Body.Doc.Animations {
		found, path := 0, ""
		for _, c := range a.Channels {
			if !slices.Contains(known, c.Path) {
				found, path = found+1, sheet.Line(c.Path)
			}
		}
		if found > 0 {
			list = append(list, "Clip "+p.Body.Clips[i].Name+" has "+quantity.Things(found, "track", "tracks")+" of a kind that is not read here ("+path+"). What they key of the joint, and of those below it, still knows the old place.")
		}
	}
	return list
}

// merges reports whether a second or further buffer, which becomes part of the first, says more of itself than where its bytes are.
func (p *Plan) merges() bool {
	buffers := p.Body.Doc.Root().Member("buffers")
	for i := 1; i < buffers.Len(); i++ {
		for k := range buffers.At(i).Len() {
			if name := buffers.At(i).Name(k); name != "uri" && name != "byteLength" {
				return true
			}
		}
	}
	return false
}

// beside tells which images lie in files of their own, which a binary file of the same words looks for from where it lies.
func (p *Plan) beside() string {
	list, first, found := p.Body.Doc.Root().Member("images"), "", 0
	for i := range list.Len() {
		if uri := list.At(i).Member("uri").Text(); uri != "" && !strings.EqualFold(uri[:min(len(uri), 5)], "data:") {
			if found++; found == 1 {
				first = `"` + sheet.Line(uri) + `"`
			}
		}
	}
	switch found {
	case 0:
		return ""
	case 1:
		return "an image, " + first
	}
	return quantity.Things(found, "", "images") + ", such as " + first
}

// hangs reports whether a node carries something that is not understood here.
func (p *Plan) hangs(node int) bool {
	v := p.Body.Doc.Root().Member("nodes").At(node)
	return v.Member("camera") != nil || v.Member("extensions").Len() > 0
}

// Values are the numbers to type in for a node: in cm and degrees, about the parent's axes in the order x, y, z.
type Values struct {
	Translation, Angles rigid.Vec
	Quaternion          rigid.Quat
}

// values are those of a place with its rotation.
func values(m affine.Map, q rigid.Quat) Values {
	order, _ := rigid.ParseOrder("xyz")
	return Values{m.T.Scale(gltf.CmPerUnit), order.Angles(q.Rot()).Scale(180 / math.Pi), q}
}

// Values returns what to type in for a place, before and after.
func (place Place) Values() (was, is Values) {
	return values(place.Was, place.was), values(place.Is, place.is)
}
