package room

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"centrode/calc/rigid"
)

// elbow is the joint "elbow" of a limb.
func elbow(t testing.TB, r *Room) int {
	t.Helper()
	j, err := r.body.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// apart is the greatest distance between two lists of vertices.
func apart(a, b []float32) float64 {
	most := 0.0
	for i := 0; i+2 < len(a); i += 3 {
		most = math.Max(most, rigid.Vec{X: float64(a[i] - b[i]), Y: float64(a[i+1] - b[i+1]), Z: float64(a[i+2] - b[i+2])}.Len())
	}
	return most
}

func TestUnposedTheSurfaceIsTheRest(t *testing.T) {
	r := open(t, newLimb().file(t))
	for _, passes := range []int{0, 10} {
		if err := r.Pose(Ask{Joint: elbow(t, r), Clip: -1, Passes: passes, Point: -1}); err != nil {
			t.Fatal(err)
		}
		if d := apart(r.views[0].positions, r.body.Rest); d > 5e-5 {
			t.Errorf("%d passes: the surface is %g cm from its rest", passes, d)
		}
	}
}

// limbs are the same arm as it is, and under a root that is scaled and turned, and that mirrors it too.
func limbs() map[string]limb {
	tilted := newLimb()
	tilted.scale, tilted.tilt = 2.5, rigid.Quat{X: 0.5, Y: 0.5, Z: -0.5, W: 0.5}
	mirrored := tilted
	mirrored.scale = -2.5
	return map[string]limb{"plain": newLimb(), "scaled and turned": tilted, "mirrored": mirrored}
}

// truth is where the elbow belongs, in the world in cm.
func (l limb) world(v rigid.Vec) rigid.Vec { return l.tilt.Rot().Apply(v.Scale(100 * l.scale)) }

func TestTheFlawIsFoundFromAShapeAndFromKeys(t *testing.T) {
	for name, l := range limbs() {
		r := open(t, l.file(t))
		joint := elbow(t, r)
		segment := r.body.Joints[joint].Length
		for _, c := range []struct {
			target string
			within float64
		}{{"morph:fold", 0.01}, {"clip:bend", 0.001}} {
			p, err := r.find(joint, []string{c.target})
			if err != nil {
				t.Fatal(err)
			}
			if miss := p.Pivot.Sub(l.world(l.truth)).Len(); miss > c.within*segment {
				t.Errorf("%s, %s: the pivot is missed by %g cm, %g of the segment", name, c.target, miss, miss/segment)
			} else {
				t.Logf("%s, %s: missed by %.2g of the segment; left %.3g, now %.3g, sigma %.3g (%v)", name, c.target, miss/segment, p.Left, p.Now, p.Sigma, p.Known)
			}
		}
	}
}

// TestACarriedMovePlaysTheSame moves the elbow in the file, opens the new file, and compares surfaces at many moments.
func TestACarriedMovePlaysTheSame(t *testing.T) {
	for name, l := range limbs() {
		old := open(t, l.file(t))
		joint := elbow(t, old)
		for _, orient := range []string{"keep", "aim"} {
			ask := Ask{Joint: joint, Clip: -1, Candidate: true, Pivot: l.world(l.truth), Point: -1}
			glb, change, _, err := old.Export(ask, Options{Orient: orient})
			if err != nil {
				t.Fatal(err)
			}
			var told struct {
				Drift  float64 `json:"rest_drift"`
				Tracks []struct {
					Error float64
					How   string
				}
			}
			if err := json.Unmarshal(change, &told); err != nil {
				t.Fatal(err)
			}
			fresh := open(t, glb)
			if d := apart(fresh.body.Rest, old.body.Rest); d > 1e-4*math.Abs(l.scale) || told.Drift > 1e-4*math.Abs(l.scale) {
				t.Errorf("%s, %s: the rest surface moves by %g cm; told %g", name, orient, d, told.Drift)
			}
			if miss := fresh.body.At(joint).Sub(l.world(l.truth)).Len(); miss > 1e-9 {
				t.Errorf("%s, %s: the joint stands %g cm beside its new place", name, orient, miss)
			}
			worst := 0.0
			for _, track := range told.Tracks {
				worst = math.Max(worst, track.Error)
			}
			for clip := range old.body.Clips {
				for at := 0.0; at <= 2.05; at += 0.01 {
					a := Ask{Joint: joint, Clip: clip, Time: at, Point: -1}
					if err := old.Pose(a); err != nil {
						t.Fatal(err)
					}
					if err := fresh.Pose(a); err != nil {
						t.Fatal(err)
					}
					if d := apart(fresh.views[0].positions, old.views[0].positions); d > worst+1e-4*math.Abs(l.scale) {
						t.Fatalf("%s, %s, clip %d at %g s: the surface is %g cm from where it was; told at most %g", name, orient, clip, at, d, worst)
					}
				}
			}
			if worst > 0.002*math.Abs(l.scale) {
				t.Errorf("%s, %s: the clips stray by %g cm", name, orient, worst)
			}
		}
	}
}

// TestTheCandidateIsWhatTheCarriedFileDoes: turned by the dial, the new file must look as the candidate did.
func TestTheCandidateIsWhatTheCarriedFileDoes(t *testing.T) {
	for name, l := range limbs() {
		r := open(t, l.file(t))
		joint := elbow(t, r)
		a := Ask{Joint: joint, Clip: 1, Time: 0.7, Axis: rigid.Vec{X: 1, Y: 2, Z: 3}, Angle: 40, Candidate: true, Pivot: l.world(l.truth), Passes: 5, Point: -1}
		if err := r.Pose(a); err != nil {
			t.Fatal(err)
		}
		glb, _, _, err := r.Export(a, Options{Animation: "leave"})
		if err != nil {
			t.Fatal(err)
		}
		fresh := open(t, glb)
		a.Candidate = false
		if err := fresh.Pose(a); err != nil {
			t.Fatal(err)
		}
		if d := apart(fresh.views[0].positions, r.views[1].positions); d > 2e-4*math.Abs(l.scale) {
			t.Errorf("%s: the new file's surface is %g cm from the candidate's", name, d)
		}
		if d := apart(fresh.views[0].positions, r.views[0].positions); d < 0.1 {
			t.Errorf("%s: the candidate differs from the current placement by %g cm only; the test shows nothing", name, d)
		}
	}
}

func TestWhatIsOwedIsTheLawOfTheOffset(t *testing.T) {
	l := newLimb()
	r := open(t, l.file(t))
	a := Ask{Joint: elbow(t, r), Clip: -1, Axis: rigid.Vec{Z: 1}, Angle: 90, Candidate: true, Pivot: l.world(l.truth), Point: -1}
	if err := r.Pose(a); err != nil {
		t.Fatal(err)
	}
	current, candidate := r.Owed()
	d := l.world(l.truth.Sub(l.flawed))
	want := rigid.Vec{X: d.X + d.Y, Y: d.Y - d.X, Z: 0} // (I − R)·d for a quarter turn about z
	if current.Sub(want).Len() > 1e-9 || candidate.Len() != 0 {
		t.Errorf("owed %v and %v; want %v and nothing", current, candidate, want)
	}
	a.Clip, a.Time, a.Angle = 0, 1, 0
	if err := r.Pose(a); err != nil {
		t.Fatal(err)
	}
	if current, candidate = r.Owed(); current.Len() < 0.5 || candidate.Len() > 1e-4 {
		t.Errorf("in the clip %g cm are keyed and %g remain about the truth; want much and nothing", current.Len(), candidate.Len())
	}
}

func TestTheAnswersAreJSON(t *testing.T) {
	l := newLimb()
	r := open(t, l.file(t))
	a := Ask{Joint: elbow(t, r), Clip: -1, Angle: 100, Candidate: true, Pivot: l.world(l.truth), Point: -1, Trial: true, Passes: 3}
	if err := r.Pose(a); err != nil {
		t.Fatal(err)
	}
	proposal, err := r.Propose(a.Joint, []string{"morph:#0"})
	if err != nil {
		t.Fatal(err)
	}
	_, slice, err := r.slice(a.Joint, []string{"morph:#0"}, -1, 0, 20)
	if err != nil || len(slice.Values) != 400 {
		t.Fatalf("%v, %d cells", err, len(slice.Values))
	}
	plan, err := r.Plan(a, Options{Orient: "aim"})
	if err != nil {
		t.Fatal(err)
	}
	pick := r.Pick(rigid.Vec{X: 10, Z: 100}, rigid.Vec{Z: -1}, false)
	for name, text := range map[string][]byte{"describe": r.Describe(), "measure": r.Measure(), "propose": proposal, "plan": plan, "pick": pick} {
		var v map[string]any
		if err := json.Unmarshal(text, &v); err != nil {
			t.Errorf("%s: %v\n%s", name, err, text)
		}
		t.Logf("%s: %.1500s", name, text)
	}
}

func TestTheErrorMapIsADrawingWithBothPivotsAndTheBody(t *testing.T) {
	l := newLimb()
	r := open(t, l.file(t))
	for axis := -1; axis < 3; axis++ {
		tree, err := r.ErrorMap(elbow(t, r), []string{"morph:#0"}, axis, 0, 24, 480, nil)
		if err != nil || !json.Valid(tree) {
			t.Fatalf("axis %d: %v, valid JSON %v", axis, err, json.Valid(tree))
		}
		if text := string(tree); axis == -1 && !(strings.Contains(text, "candidate") && strings.Contains(text, "mark-flesh") && strings.Contains(text, "heat-15")) {
			t.Errorf("the drawing lacks the candidate pivot, the body's outline or the map:\n%.400s", text)
		}
	}
	if _, err := r.ErrorMap(elbow(t, r), []string{"morph:#0"}, 3, 0, 24, 480, nil); err == nil {
		t.Error("an axis that there is not is taken")
	}
}

// A turn by hand carries the pivot's place nowhere; a clip that turns the parent carries it as it carries the joint, also where the parent is scaled
// unevenly, and sheared with it. derived: the diamond goes where the hand goes.
func TestTheHandIsTakenBackFromThePoseToTheRest(t *testing.T) {
	l := newLimb()
	for _, r := range []*Room{open(t, l.file(t)), uneven(t)} {
		joint := elbow(t, r)
		parent := r.body.Joints[joint].Parent
		clip := r.body.Doc.AddAnimation("the parent")
		if err := r.body.Doc.AddTrack(clip, r.body.Joints[parent].Node, "rotation", []float32{0, 1}, []float32{0, 0, 0, 1, 0.6, 0, 0, 0.8}, "LINEAR"); err != nil {
			t.Fatal(err)
		}
		if err := r.body.Doc.AddTrack(clip, r.body.Joints[parent].Node, "scale", []float32{0, 1}, []float32{1, 1, 1, 2, 3, 1}, "LINEAR"); err != nil {
			t.Fatal(err)
		}
		goesWhereTheHandGoes(t, open(t, r.body.Doc.GLB()), l)
	}
}

func goesWhereTheHandGoes(t *testing.T, r *Room, l limb) {
	t.Helper()
	joint, moved := elbow(t, r), false
	for clip := -1; clip < len(r.body.Clips); clip++ {
		a := Ask{Joint: joint, Clip: clip, Time: 0.8, Angle: 30, Candidate: true, Pivot: l.world(l.truth), Point: -1}
		if err := r.Pose(a); err != nil {
			t.Fatal(err)
		}
		before := r.posedPivot(&r.views[1])
		by := rigid.Vec{X: 0.3, Y: -0.2, Z: 0.1}
		m := r.Carried()
		want := before.Add(by)
		back := rigid.Rot{{m[0], m[1], m[2]}, {m[3], m[4], m[5]}, {m[6], m[7], m[8]}}.Apply(by)
		moved = moved || back.Sub(by).Len() > 0.01
		a.Pivot = a.Pivot.Add(back)
		if err := r.Pose(a); err != nil {
			t.Fatal(err)
		}
		if off := r.posedPivot(&r.views[1]).Sub(want).Len(); off > 1e-9 {
			t.Errorf("clip %d: the pivot stands %g cm from where the hand led it", clip, off)
		}
	}
	if !moved {
		t.Error("no clip moves the parent")
	}
}

func TestABadAskIsRefused(t *testing.T) {
	r := open(t, newLimb().file(t))
	nan := math.NaN()
	for name, a := range map[string]Ask{
		"joint": {Joint: 99, Clip: -1}, "clip": {Clip: 7}, "passes": {Clip: -1, Passes: 41}, "angle": {Clip: -1, Angle: nan},
		"pivot": {Clip: -1, Candidate: true, Pivot: rigid.Vec{X: math.Inf(1)}}, "point": {Clip: -1, Point: 1 << 30},
	} {
		if err := r.Pose(a); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
	if _, err := Open(nil); err == nil {
		t.Error("no files: not refused")
	}
}

func TestAFrameAllocatesLittle(t *testing.T) {
	l := newLimb()
	r := open(t, l.file(t))
	a := Ask{Joint: elbow(t, r), Axis: rigid.Vec{Z: 1}, Candidate: true, Pivot: l.world(l.truth), Passes: 10, Point: -1}
	if n := testing.AllocsPerRun(10, func() {
		a.Time += 0.01
		if r.Pose(a) != nil {
			t.Fatal("refused")
		}
		r.Surface(true)
	}); n > 4 {
		t.Errorf("a frame allocates %g times, whatever the number of vertices; want at most 4", n)
	}
}

// TestWhatIsKeptFromPoseToPoseIsWhatAFreshRoomGives: a candidate that is dragged leaves the current surface as it was posed, and
// so does another slice of a map what was proposed; neither may outlive what it depends on.
func TestWhatIsKeptFromPoseToPoseIsWhatAFreshRoomGives(t *testing.T) {
	file := newLimb().file(t)
	kept := open(t, file)
	joint := elbow(t, kept)
	a := Ask{Joint: joint, Clip: -1, Axis: rigid.Vec{Z: 1}, Angle: 60, Point: -1}
	for _, c := range []struct {
		name   string
		change func()
	}{
		{"pivot", func() { a.Candidate, a.Pivot.X = true, a.Pivot.X+1 }}, {"angle", func() { a.Angle += 10 }}, {"axis", func() { a.Axis.X++ }},
		{"passes", func() { a.Passes++ }}, {"weights", func() { a.Trial = !a.Trial }}, {"clip", func() { a.Clip = 0 }}, {"time", func() { a.Time += 0.3 }},
		{"joint", func() { a.Joint-- }}, {"none", func() { a.Candidate = false }},
	} {
		for range 2 {
			c.change()
			fresh := open(t, file)
			if err := errors.Join(kept.Pose(a), fresh.Pose(a)); err != nil {
				t.Fatal(err)
			}
			for _, candidate := range []bool{false, true} {
				was, wasNormals, _ := kept.Surface(candidate)
				is, isNormals, _ := fresh.Surface(candidate)
				if !slices.Equal(was, is) || !slices.Equal(wasNormals, isNormals) {
					t.Errorf("after another %s, candidate %v: another surface than a fresh room's", c.name, candidate)
				}
			}
			a.Joint = joint
		}
	}
	for _, targets := range [][]string{{"morph:#0"}, {"clip:#0"}, {"clip:#0"}, {"morph:#0", "clip:#0"}, {"morph:#0"}} {
		was, err := kept.find(joint, targets)
		if err != nil {
			t.Fatal(err)
		}
		is, err := open(t, file).find(joint, targets)
		if err != nil || was.Pivot != is.Pivot || was.Left != is.Left {
			t.Errorf("%v: %v, kept %v, fresh %v", targets, err, was.Pivot, is.Pivot)
		}
	}
}

func TestTheMeasuresAreThoseOfTheJointThatIsAskedFor(t *testing.T) {
	file := newLimb().file(t)
	kept := open(t, file)
	for _, name := range []string{"shoulder", "elbow", "hand", "root"} {
		joint, err := kept.body.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		a := Ask{Joint: joint, Clip: -1, Axis: rigid.Vec{Z: 1}, Angle: 60, Candidate: true, Pivot: kept.body.At(joint).Add(rigid.Vec{X: 2, Y: 1}), Point: -1}
		fresh := open(t, file)
		for _, r := range []*Room{kept, fresh} {
			if err := r.Pose(a); err != nil {
				t.Fatal(err)
			}
		}
		if was, is := string(kept.Measure()), string(fresh.Measure()); was != is {
			t.Errorf("%s: %s\nfresh: %s", name, was, is)
		}
	}
}

func TestAProposalForAnotherJointIsOnNoSheet(t *testing.T) {
	r := open(t, newLimb().file(t))
	if _, err := r.Propose(elbow(t, r), []string{"morph:fold"}); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]bool{"elbow": true, "hand": false} {
		joint, err := r.body.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		_, _, sheet, err := r.Export(Ask{Joint: joint, Clip: -1, Point: -1, Candidate: true, Pivot: r.body.At(joint).Add(rigid.Vec{Y: 1})}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if has := strings.Contains(strings.Join(sheet, " "), "residual"); has != want {
			t.Errorf("%s: the sheet has what turning leaves: %v, want %v", name, has, want)
		}
	}
}

// Joints that are moved together stand where each was put; one that does not exist, or is there twice, is refused.
func TestSeveralCandidatesGoIntoOneFile(t *testing.T) {
	r := open(t, newLimb().file(t))
	joint := elbow(t, r)
	hand, err := r.body.Find("hand")
	if err != nil {
		t.Fatal(err)
	}
	ask := Ask{Joint: joint, Clip: -1, Point: -1, Candidate: true, Pivot: r.body.At(joint).Add(rigid.Vec{X: 2, Y: -1})}
	to := r.body.At(hand).Add(rigid.Vec{Z: 1.5})
	glb, changes, entries, err := r.Export(ask, Options{Others: []Other{{hand, to}}})
	if err != nil || len(entries) != 2 || strings.Count(string(changes), "\n") != 2 {
		t.Fatalf("%v, %d entries, %s", err, len(entries), changes)
	}
	after := open(t, glb)
	for joint, want := range map[int]rigid.Vec{joint: ask.Pivot, hand: to} {
		if at := after.body.At(joint); at.Sub(want).Len() > 1e-4 {
			t.Errorf("%s stands at %v; want %v", after.body.Joints[joint].Name, at, want)
		}
	}
	for says, others := range map[string][]Other{"joint 99 does not exist": {{99, to}}, "is moved twice": {{hand, to}, {hand, to}}, "elbow\": is moved twice": {{joint, to}},
		"within a million": {{hand, rigid.Vec{X: math.NaN()}}}} {
		if _, err := r.Plan(ask, Options{Others: others}); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%+v: %v; want %s", others, err, says)
		}
	}
}

func TestWhatLiesBehindIsNotPicked(t *testing.T) {
	r := open(t, newLimb().file(t))
	if err := r.Pose(Ask{Joint: elbow(t, r), Clip: -1, Point: -1}); err != nil {
		t.Fatal(err)
	}
	for z, want := range map[float64]string{-1: `{"hit":true`, 1: `{"hit":false}`} {
		if got := string(r.Pick(rigid.Vec{X: 10, Z: 50}, rigid.Vec{Z: z}, false)); !strings.HasPrefix(got, want) {
			t.Errorf("along %g: %s, want %s", z, got, want)
		}
	}
}

func TestTheReachOfARootIsItsRadius(t *testing.T) {
	r := open(t, newLimb().file(t))
	root, err := r.body.Find("root")
	if err != nil {
		t.Fatal(err)
	}
	pivot := rigid.Vec{X: 3, Y: -2}
	for _, angle := range []float64{0, 70} {
		if err := r.Pose(Ask{Joint: root, Clip: -1, Axis: rigid.Vec{Z: 1}, Angle: angle, Candidate: true, Pivot: pivot, Point: 0}); err != nil {
			t.Fatal(err)
		}
		at := r.body.Vertex(0)
		if reach, _ := r.way(&r.views[1], 0); !(reach-at.Sub(pivot).Len() < 1e-9 && at.Sub(pivot).Len()-reach < 1e-9) {
			t.Errorf("at %g°: a reach of %g cm, want %g", angle, reach, at.Sub(pivot).Len())
		}
	}
}

// TestTheValuesHaveTheNewNodeOfAMesh, too: whoever types them in elsewhere has to make it.
func TestTheValuesHaveTheNewNodeOfAMesh(t *testing.T) {
	r := open(t, newLimb().file(t))
	joint, err := r.body.Find("ball")
	if err != nil {
		t.Fatal(err)
	}
	text, err := r.Plan(Ask{Joint: joint, Clip: -1, Point: -1, Candidate: true, Pivot: r.body.At(joint).Add(rigid.Vec{X: 2, Y: -1})}, Options{})
	var plan struct {
		Rows []struct {
			Joint   string
			Was, Is []string
		}
	}
	if err = errors.Join(err, json.Unmarshal(text, &plan)); err != nil {
		t.Fatal(err)
	}
	last := plan.Rows[len(plan.Rows)-1]
	if want := []string{"−2.0000", "1.0000", "0.0000", "0.000", "0.000", "0.000"}; last.Joint != "ball mesh" || len(last.Was) != 0 || !slices.Equal(last.Is, want) {
		t.Errorf("the last row is %v; want the new node at %v", last, want)
	}
}
