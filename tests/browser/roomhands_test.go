package browser

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
)

// touch puts fingers on the page, moves them or lifts them.
func (tb *tab) touch(t testing.TB, kind input.DispatchTouchEventType, fingers ...point) {
	t.Helper()
	points := []*input.TouchPoint{}
	for i, at := range fingers {
		id := float64(i)
		points = append(points, &input.TouchPoint{X: at.X, Y: at.Y, ID: &id})
	}
	_, err := chromedp.Call(tb.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
	must(t, err)
}

// stroke moves fingers together from where they are put down, in four steps.
func (f fitting) stroke(t testing.TB, from []point, by ...point) {
	t.Helper()
	f.touch(t, input.DispatchTouchEventTypeTouchStart, from...)
	for step := range 4 {
		at := make([]point, len(from))
		for i := range from {
			share := float64(step+1) / 4
			at[i] = point{from[i].X + share*by[i].X, from[i].Y + share*by[i].Y}
		}
		f.touch(t, input.DispatchTouchEventTypeTouchMove, at...)
	}
	f.touch(t, input.DispatchTouchEventTypeTouchEnd)
	f.settled(t)
	f.picture(t) // two frames later the lines stand where the surface does
}

// dots are where the joints that are not chosen lie in the window, the first and the last of them.
func (f fitting) dots(t testing.TB) (first, last point) {
	t.Helper()
	both := eval[[2]point](t, f.tab, `((all) => [all[0], all[all.length - 1]].map((dot) => (({ x, y, width, height }) => ({ X: x + width / 2, Y: y + height / 2 }))(dot.getBoundingClientRect())))(
		[...document.querySelectorAll('[data-stage] circle.mark-bone')])`)
	return both[0], both[1]
}

func (f fitting) chosen(t testing.TB) string {
	t.Helper()
	return f.text(t, `[data-tree] [aria-selected="true"]`)
}

// On a phone: one finger turns the view or drags the diamond, two enlarge, a tap picks a joint, and the drawing stays above the fields.
func TestTheRoomIsWorkedByFingers(t *testing.T) {
	parallel(t)
	f := openRoom(t, phone)
	_, err := chromedp.Call(f.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
	must(t, err)
	start, at := f.pivot(t), f.diamond(t)
	f.stroke(t, []point{at}, point{24, -16})
	dragged := f.pivot(t)
	if now := f.diamond(t); between(start, dragged) < 0.05 || math.Hypot(now.X-at.X-24, now.Y-at.Y+16) > 1.5 {
		t.Errorf("the finger drags the pivot from %v to %v and leaves the diamond at %v; want it under the finger at %v", start, dragged, now, point{at.X + 24, at.Y - 16})
	}
	box := eval[[2]point](t, f.tab, `(({ left, top, right, bottom }) => [{ X: left, Y: top }, { X: right, Y: bottom }])(document.querySelector('[data-stage]').getBoundingClientRect())`)
	corner := point{box[0].X + 30, box[0].Y + 30}
	first, last := f.dots(t)
	f.stroke(t, []point{corner}, point{60, 10})
	turnedFirst, turnedLast := f.dots(t)
	if f.pivot(t) != dragged || turnedFirst == first && turnedLast == last {
		t.Errorf("one finger beside the diamond leaves the joints at %v, %v and the pivot at %v; want the view turned and the pivot kept", turnedFirst, turnedLast, f.pivot(t))
	}
	middle := point{(box[0].X + box[1].X) / 2, (box[0].Y + box[1].Y) / 2}
	long := func() float64 { a, b := f.dots(t); return math.Hypot(a.X-b.X, a.Y-b.Y) }
	before := long()
	f.stroke(t, []point{{middle.X - 40, middle.Y + 60}, {middle.X + 40, middle.Y + 60}}, point{-40, 0}, point{40, 0})
	if ratio := long() / before; !(math.Abs(ratio-2) < 0.1) || f.pivot(t) != dragged {
		t.Errorf("two fingers that part to twice their distance enlarge %.2f times, the pivot at %v; want 2 and %v", ratio, f.pivot(t), dragged)
	}
	if inSight := eval[bool](t, f.tab, `(document.querySelector('[data-field="angle"]').scrollIntoView({ block: 'center', behavior: 'instant' }),
		(({ top, bottom }) => top >= -1 && bottom < document.querySelector('[data-field="angle"]').getBoundingClientRect().top)(document.querySelector('[data-stage]').getBoundingClientRect()))`); !inSight {
		t.Error("while the angle is set, the drawing is out of sight or over it")
	}
	eval[bool](t, f.tab, `(document.querySelector('[data-look="whole"]').click(), document.querySelector('[data-stage]').scrollIntoView({ block: 'center', behavior: 'instant' }), true)`)
	f.picture(t)
	joint := f.chosen(t)
	_, tip := f.dots(t)
	parent := eval[point](t, f.tab, `(({ x, y, width, height }) => ({ X: x + width / 2, Y: y + height / 2 }))(document.querySelectorAll('[data-stage] circle.mark-bone')[1].getBoundingClientRect())`)
	f.stroke(t, []point{{(2*tip.X + parent.X) / 3, (2*tip.Y + parent.Y) / 3}}, point{})
	f.stroke(t, []point{parent}, point{})
	deadline := time.Now().Add(20 * time.Second)
	for f.chosen(t) == joint && time.Now().Before(deadline) {
		time.Sleep(50 * time.Millisecond)
	}
	if f.chosen(t) == joint {
		t.Errorf("a tap on another part of the character leaves %s chosen", joint)
	}
	f.clean(t)
}

// A clip runs and stops; a second file of the same surface is a target like the shape that it was made from; a third may come in
// while a clip runs.
func TestTheRoomPlaysAClipAndTakesASecondFile(t *testing.T) {
	parallel(t)
	f := openRoom(t, view{})
	c := character.All()[1]
	f.bring(t, c.ID+".glb", c.GLB())
	f.until(t, `document.querySelector('[data-about]').textContent.startsWith(`+quote(c.ID)+`)`)
	f.settled(t)
	f.set(t, "clip", "0")
	begun := f.picture(t)
	time1 := `Number(document.querySelector('input[type="text"][data-field="time"]').value)`
	eval[bool](t, f.tab, `(document.querySelector('[data-do="play"]').click(), true)`)
	f.until(t, time1+` > 0.05`)
	eval[bool](t, f.tab, `(document.querySelector('[data-do="play"]').click(), true)`)
	f.settled(t)
	stopped := eval[float64](t, f.tab, time1)
	if f.picture(t) == begun {
		t.Error("the clip runs and the drawing stands still")
	}
	if later := eval[float64](t, f.tab, time1); later != stopped || eval[bool](t, f.tab, `document.querySelector('[data-do="play"]').getAttribute('aria-pressed') === 'true'`) {
		t.Errorf("stopped at %g s the clip is at %g s", stopped, later)
	}
	f.press(t, "undo")
	if back := eval[float64](t, f.tab, time1); back != 0 {
		t.Errorf("one step back the clip is at %g s, want 0: a run is one step", back)
	}

	f.choose(t, c.Flawed)
	doc, err := gltf.Read(c.GLB(), nil)
	must(t, err)
	sculpted := doc.Root().Member("meshes").At(0)
	weights := make([]float64, sculpted.Member("weights").Len())
	weights[0] = 1
	sculpted.Set("weights", jsontree.NewNumbers(weights...)) // the first shape at rest: a sculpt of the same surface
	f.bringTo(t, ".room-targets", "sculpt.glb", doc.GLB())
	f.until(t, `document.querySelector('[data-targets] input[value^="file:"]')`)
	propose := func(kind string) [3]float64 {
		eval[bool](t, f.tab, `([...document.querySelectorAll('[data-targets] input')].forEach((box) => { box.checked = box.value.startsWith(`+quote(kind)+`) && !box.value.endsWith('1'); }), document.querySelector('[data-found]').hidden = true)`)
		f.press(t, "propose")
		f.until(t, `!document.querySelector('[data-found]').hidden`)
		f.settled(t)
		return f.pivot(t)
	}
	if file, truth := propose("file:"), trueJoint(t, c); between(file, truth) > 0.01*25 {
		t.Errorf("from the second file the pivot is proposed at %v; it belongs at %v", file, truth)
	}

	eval[bool](t, f.tab, `(document.querySelector('[data-do="play"]').click(), true)`)
	other := character.All()[2]
	f.bring(t, other.ID+".glb", other.GLB())
	f.until(t, `document.querySelector('[data-about]').textContent.startsWith(`+quote(other.ID)+`)`)
	f.settled(t)
	fresh := openRoom(t, view{})
	fresh.bring(t, other.ID+".glb", other.GLB())
	fresh.until(t, `document.querySelector('[data-about]').textContent.startsWith(`+quote(other.ID)+`)`)
	fresh.settled(t)
	for _, one := range []fitting{f, fresh} {
		eval[bool](t, one.tab, `([...document.querySelectorAll('[data-joint]')][0].click(), document.querySelector('[data-look="front"]').click(), document.querySelector('[data-look="whole"]').click(), true)`)
		one.settled(t)
	}
	if off := eval[float64](t, f.tab, inkDiffers(f.picture(t), fresh.picture(t))); !(off <= 0.002) {
		t.Errorf("a file that came while a clip ran is drawn with %.2f %% of its pixels other than in a fresh room", 100*off)
	}
	f.clean(t)
}

// Files that claim more than they hold are refused in the page in bounded time, with the engine still there.
func TestHostileFilesAreRefusedInThePageInTime(t *testing.T) {
	f := openRoom(t, view{})
	const head = `{"asset": {"version": "2.0"}, "buffers": [{"byteLength": 12, "uri": "data:application/octet-stream;base64,AAAAAAAAAAAAAAAA"}], "bufferViews": [{"buffer": 0, "byteLength": 12}], `
	const mesh = `"meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}], "nodes": [{"mesh": 0}], "scenes": [{"nodes": [0]}]}`
	for name, text := range map[string]string{
		"bomb.gltf":    head + `"accessors": [{"componentType": 5126, "count": 4000000000, "type": "VEC3", "sparse": {"count": 1, "indices": {"bufferView": 0, "componentType": 5125}, "values": {"bufferView": 0}}}], ` + mesh,
		"offset.gltf":  head + `"accessors": [{"bufferView": 0, "byteOffset": 4294967292, "componentType": 5126, "count": 1, "type": "VEC3"}], ` + mesh,
		"stride.gltf":  `{"asset": {"version": "2.0"}, "buffers": [{"byteLength": 12, "uri": "data:application/octet-stream;base64,AAAAAAAAAAAAAAAA"}], "bufferViews": [{"buffer": 0, "byteLength": 12, "byteStride": 4294967295}], "accessors": [{"bufferView": 0, "componentType": 5126, "count": 2, "type": "VEC3"}], ` + mesh,
		"nan.gltf":     `{"asset": {"version": "2.0"}, "buffers": [{"byteLength": 12, "uri": "data:application/octet-stream;base64,AADAfwAAwH8AAMB/"}], "bufferViews": [{"buffer": 0, "byteLength": 12}], "accessors": [{"bufferView": 0, "componentType": 5126, "count": 1, "type": "VEC3"}], ` + mesh,
		"deep.gltf":    `{"asset": ` + strings.Repeat("[", 1<<20),
		"cycle.gltf":   `{"asset": {"version": "2.0"}, "nodes": [{"children": [1]}, {"children": [2]}, {"children": [0]}]}`,
		"require.gltf": `{"asset": {"version": "2.0"}, "extensionsUsed": ["TEST_unheard"], "extensionsRequired": ["TEST_unheard"]}`,
		"buffer.gltf":  `{"asset": {"version": "2.0"}, "buffers": [{"byteLength": 4294967295, "uri": "data:application/octet-stream;base64,AAAA"}]}`,
	} {
		began := time.Now()
		eval[bool](t, f.tab, `((line) => (line.hidden = true))(document.querySelector('[data-notice]'))`)
		f.bring(t, name, []byte(text))
		f.until(t, `(({ hidden, textContent }) => !hidden && !textContent.includes('…'))(document.querySelector('[data-notice]'))`)
		said := f.text(t, "[data-notice]")
		if !strings.HasPrefix(said, name) || strings.Contains(said, "stopped") || name == "require.gltf" && !strings.Contains(said, "TEST_unheard") {
			t.Errorf("%s: the page says %q", name, said)
		}
		if took := time.Since(began); took > 10*time.Second {
			t.Errorf("%s: refused after %v", name, took)
		} else {
			t.Logf("%s: %v: %s", name, took.Round(time.Millisecond), said)
		}
	}
	before := f.picture(t)
	f.set(t, "angle", "20")
	if f.picture(t) == before {
		t.Error("the room does not answer any more")
	}
	r, good := rand.New(rand.NewPCG(1, 1)), character.All()[3].GLB()
	opened := 0
	for i := range 16 {
		data, name := slices.Clone(good), "spoilt"+strconv.Itoa(i)+".glb"
		for range 1 + r.IntN(6) {
			data[r.IntN([]int{len(data), 6000}[r.IntN(2)])] = byte(r.Uint32()) // anywhere, or where the file says what it holds
		}
		began := time.Now()
		eval[bool](t, f.tab, `(document.querySelector('[data-notice]').hidden = true, document.querySelector('[data-about]').textContent = '', true)`)
		f.bring(t, name, data)
		f.until(t, `document.querySelector('[data-about]').textContent.startsWith(`+quote(name)+`) || (({ hidden, textContent }) => !hidden && !textContent.includes('…'))(document.querySelector('[data-notice]'))`)
		f.settled(t)
		if f.text(t, "[data-about]") != "" {
			opened++
		}
		if said := f.text(t, "[data-notice]"); strings.Contains(said, "stopped") || time.Since(began) > 10*time.Second {
			t.Errorf("%s, seed 1: after %v the page says %q", name, time.Since(began), said)
		}
	}
	if opened == 0 || opened == 16 {
		t.Errorf("of 16 spoilt files %d were opened; the spoiling does too much or nothing", opened)
	}
	f.bring(t, "good.glb", good)
	f.until(t, `document.querySelector('[data-about]').textContent.startsWith('good.glb')`)
	f.clean(t)
}

// Several joints may have a candidate: the page says which is not in the file, and moves it too if asked.
func TestTheRoomMovesOneJointOrAllThatHaveACandidate(t *testing.T) {
	parallel(t)
	f := openRoom(t, view{})
	eval[bool](t, f.tab, watchDownloads)
	f.choose(t, "index-knuckle")
	f.settled(t)
	f.set(t, "x", "1")
	notes := func() string {
		f.press(t, "plan")
		f.until(t, `!document.querySelector('[data-plan]').hidden`)
		return f.text(t, "[data-notes]")
	}
	offered := func() bool {
		return eval[bool](t, f.tab, `document.querySelector('[data-together]').checkVisibility()`)
	}
	if said := notes(); strings.Contains(said, "in this file") || offered() {
		t.Errorf("of one candidate the page says %q", said)
	}
	f.choose(t, "index-middle")
	f.settled(t)
	f.set(t, "x", "2")
	if said := notes(); !strings.Contains(said, "Only index-middle is moved in this file. The candidate of index-knuckle is not in it: choose above to move index-knuckle too.") {
		t.Errorf("of two candidates the page says %q", said)
	}
	eval[bool](t, f.tab, `(document.querySelector('[data-out="together"]').click(), true)`)
	if said := notes(); strings.Contains(said, "in this file") || !offered() {
		t.Errorf("of two candidates that both move the page says %q", said)
	}
	if will := f.text(t, "[data-will]"); !strings.Contains(will, "index-middle moves by") || !strings.Contains(will, "index-knuckle moves by") {
		t.Errorf("both are to move, and the page says %q", will)
	}
	eval[bool](t, f.tab, `(document.querySelector('[data-agree]').click(), true)`)
	_, changes := f.take(t, "change")
	if n := strings.Count(string(changes), `"format":"centrode-move-1"`); n != 2 {
		t.Errorf("two joints move, and the change tells of %d", n)
	}
	_, glb := f.take(t, "glb")
	valid(t, glb)
	f.bring(t, "moved.glb", glb)
	f.until(t, `document.querySelector('[data-about]').textContent.startsWith("moved.glb")`)
	f.settled(t)
	for joint, x := range map[string]float64{"index-knuckle": 1, "index-middle": 2} {
		f.choose(t, joint)
		f.settled(t)
		if at := f.pivot(t); math.Abs(at[0]-x) > 0.001 {
			t.Errorf("in the new file %s stands at %v, and was moved to x = %g", joint, at, x)
		}
	}
	f.clean(t)
}

// A clip may turn what the joint hangs on, and scale it by other amounts along its axes: a candidate that is dragged there stays under the pointer.
func TestADiamondStaysUnderTheHandWhileAClipMovesTheParent(t *testing.T) {
	parallel(t)
	c := character.All()[1]
	doc, err := gltf.Read(c.GLB(), nil)
	must(t, err)
	joint := slices.IndexFunc(doc.Nodes, func(n gltf.Node) bool { return n.Name == c.Flawed })
	parent, clip := doc.Nodes[joint].Parent, doc.AddAnimation("the parent")
	must(t, doc.AddTrack(clip, parent, "rotation", []float32{0, 1}, []float32{0, 0, 0, 1, 0.5, 0.5, 0.5, 0.5}, "LINEAR"))
	must(t, doc.AddTrack(clip, parent, "scale", []float32{0, 1}, []float32{1, 1, 1, 1.2, 0.7, 1}, "LINEAR"))
	f := openRoom(t, view{})
	f.begin(t, "carried", doc.GLB(), c.Flawed)
	f.set(t, "clip", strconv.Itoa(clip))
	f.set(t, "time", "1")
	f.settled(t)
	from, mouse := f.diamond(t), livePlate{tab: f.tab}
	to := point{from.X + 30, from.Y - 20}
	mouse.mouse(t, "press", from)
	mouse.mouse(t, "move", to)
	mouse.mouse(t, "release", to)
	f.settled(t)
	if at := f.diamond(t); math.Hypot(at.X-to.X, at.Y-to.Y) > 1.5 {
		t.Errorf("dragged from %v to %v, the diamond stands at %v", from, to, at)
	}
	f.clean(t)
}

// How far a segment may stray is typed in the unit of the page or another, counts for the plan and for the file, and is not asked for where
// keys are left as they are.
func TestASegmentMayStrayAsFarAsIsTyped(t *testing.T) {
	parallel(t)
	f := openRoom(t, view{})
	eval[bool](t, f.tab, watchDownloads)
	f.flawed(t)
	f.press(t, "propose")
	f.until(t, `!document.querySelector('[data-found]').hidden`)
	f.settled(t)
	plan := func(within string) string {
		eval[bool](t, f.tab, `((field) => { field.value = `+quote(within)+`; return field.dispatchEvent(new Event('change', { bubbles: true })); })(document.querySelector('[data-out="within"]'))`)
		f.press(t, "plan")
		f.until(t, `!document.querySelector('[data-plan]').hidden || !document.querySelector('[data-out-notice]').hidden`)
		return f.text(t, "[data-will]") + f.text(t, "[data-out-notice]")
	}
	fine := plan("")
	coarse := plan("4 in")
	if !strings.Contains(fine, "keys that keep the segment on its old path") || !strings.Contains(coarse, "so that the joint only turns") {
		t.Errorf("without a bound %q, with one of four inches %q", fine, coarse)
	}
	eval[bool](t, f.tab, `(document.querySelector('[data-agree]').click(), true)`)
	if _, change := f.take(t, "change"); !strings.Contains(string(change), `"within":10.16`) {
		t.Errorf("the change does not say how far a segment may stray: %s", change)
	}
	if said := plan("far"); !strings.Contains(said, "far is no number") {
		t.Errorf("a word is answered with %q", said)
	}
	eval[bool](t, f.tab, `((choice) => { choice.value = 'leave'; return choice.dispatchEvent(new Event('change', { bubbles: true })); })(document.querySelector('[data-out="animation"]'))`)
	if eval[int](t, f.tab, `[...document.querySelectorAll('[data-within]')].filter((part) => part.checkVisibility()).length`) != 0 {
		t.Error("the bound is asked for where it does not count")
	}
	f.clean(t)
}
