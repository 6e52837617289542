package browser

import (
	"encoding/base64"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// fitting is the open page of the fitting room with a character in it.
type fitting struct{ *tab }

func openRoom(t testing.TB, v view) fitting {
	t.Helper()
	v.still = true
	f := fitting{open(t, "/fitting-room/", v)}
	f.until(t, `document.querySelector('[data-room][data-state="on"]')`)
	f.settled(t)
	return f
}

// settled waits until the drawing shows what was asked for last.
func (f fitting) settled(t testing.TB) {
	t.Helper()
	f.until(t, `!document.querySelector('[data-room][data-waiting]')`)
}

// bring chooses files, as a reader does from a folder or by dropping them: the page treats both alike.
func (f fitting) bring(t testing.TB, name string, data []byte) {
	t.Helper()
	f.bringTo(t, "body", name, data)
}

// bringTo drops a file on a part of the page.
func (f fitting) bringTo(t testing.TB, selector, name string, data []byte) {
	t.Helper()
	eval[bool](t, f.tab, `((name, text) => {
		const files = new DataTransfer();
		files.items.add(new File([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], name));
		document.querySelector(`+quote(selector)+`).dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer: files }));
		return true;
	})(`+quote(name)+`, `+quote(base64.StdEncoding.EncodeToString(data))+`)`)
}

// press clicks a button by what it does, wherever it stands.
func (f fitting) press(t testing.TB, what string) {
	t.Helper()
	eval[bool](t, f.tab, `((b) => (b.disabled ? false : (b.click(), true)))(document.querySelector('[data-do="`+what+`"]'))`)
	f.settled(t)
}

// set types into the first field of the name.
func (f fitting) set(t testing.TB, field, value string) {
	t.Helper()
	eval[bool](t, f.tab, `((c, value) => { c.value = value; c.dispatchEvent(new Event('change', { bubbles: true })); return true; })(document.querySelector('[data-field="`+field+`"]'), `+quote(value)+`)`)
	f.settled(t)
}

// choose takes the joint of that name from the list.
func (f fitting) choose(t testing.TB, joint string) {
	t.Helper()
	f.run(t, `[...document.querySelectorAll('[data-joint]')].find((j) => j.textContent === `+quote(joint)+`).click()`)
}

// pivot is what the fields of the candidate show, cm.
func (f fitting) pivot(t testing.TB) (p [3]float64) {
	t.Helper()
	return eval[[3]float64](t, f.tab, `['x', 'y', 'z'].map((n) => Number(document.querySelector('[data-field="' + n + '"]').value))`)
}

func (f fitting) text(t testing.TB, selector string) string {
	t.Helper()
	return eval[string](t, f.tab, `document.querySelector(`+quote(selector)+`).textContent`)
}

// diamond is where the candidate's handle lies in the window.
func (f fitting) diamond(t testing.TB) point {
	t.Helper()
	return eval[point](t, f.tab, `(({ x, y, width, height }) => ({ X: x + width / 2, Y: y + height / 2 }))(
		(document.querySelector('[data-stage]').scrollIntoView({ block: 'center', behavior: 'instant' }), document.querySelector('[data-stage] .handle-hit').getBoundingClientRect()))`)
}

func between(a, b [3]float64) float64 { return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2]) }

// A pivot is dragged and stays under the pointer, moved by keys, undone and redone, all in one page.
func TestTheRoomMovesAPivotUnderTheHandAndTakesItBack(t *testing.T) {
	parallel(t)
	f := openRoom(t, view{})
	if got := eval[string](t, f.tab, `document.querySelector('[data-stage]').dataset.drawing`); got != "ink" {
		t.Errorf("the drawing is %q, want ink", got)
	}
	start, blank := f.pivot(t), f.picture(t)
	from := f.diamond(t)
	mouse := livePlate{tab: f.tab}
	mouse.mouse(t, "press", from)
	for i := range 10 {
		mouse.mouse(t, "move", point{from.X + 3*float64(i+1), from.Y + 2*float64(i+1)})
	}
	mouse.mouse(t, "release", point{from.X + 30, from.Y + 20})
	f.settled(t)
	dragged, at := f.pivot(t), f.diamond(t)
	if between(start, dragged) < 0.05 || math.Hypot(at.X-from.X-30, at.Y-from.Y-20) > 1.5 {
		t.Errorf("dragged from %v to %v, and the diamond stands at %v; want it at the pointer, %v", start, dragged, at, point{from.X + 30, from.Y + 20})
	}
	if f.picture(t) == blank {
		t.Error("the surface does not follow the pivot")
	}
	if cells := f.text(t, "[data-rows]"); !strings.Contains(cells, "cm") || f.text(t, "[data-say]") == "" {
		t.Errorf("the read-outs say %q", cells)
	}
	must(t, chromedp.Do(f.ctx, chromedp.KeyEvent(kb.ArrowUp))) // the focus is on the handle
	f.settled(t)
	if stepped := f.pivot(t); math.Abs(between(dragged, stepped)-0.1) > 2e-3 {
		t.Errorf("an arrow key moves the pivot by %v cm, want 0.1", between(dragged, stepped))
	}
	must(t, chromedp.Do(f.ctx, chromedp.KeyEvent("z", chromedp.KeyModifiers(kb.ModifierCtrl))))
	f.settled(t)
	if back := f.pivot(t); back != dragged {
		t.Errorf("undone to %v, want %v", back, dragged)
	}
	f.press(t, "undo")
	if back := f.pivot(t); back != start {
		t.Errorf("the drag is undone to %v, want %v in one step", back, start)
	}
	if f.picture(t) != blank {
		t.Error("undone, the drawing is not what it was")
	}
	f.press(t, "redo")
	if again := f.pivot(t); again != dragged {
		t.Errorf("redone to %v, want %v", again, dragged)
	}
	f.set(t, "drag", "y")
	at = f.diamond(t)
	mouse.mouse(t, "press", at)
	mouse.mouse(t, "move", point{at.X + 9, at.Y - 25})
	mouse.mouse(t, "release", point{at.X + 9, at.Y - 25})
	f.settled(t)
	if up := f.pivot(t); up[0] != dragged[0] || up[2] != dragged[2] || up[1] <= dragged[1] {
		t.Errorf("along y the pivot goes from %v to %v", dragged, up)
	}
	f.set(t, "x", "55.3 mm")
	if x := f.pivot(t)[0]; x != 5.53 {
		t.Errorf("55.3 mm are read as %v cm", x)
	}
	f.set(t, "x", "1,234") // or a thousand times as much: asked back
	if said := f.text(t, "[data-error]"); !strings.Contains(said, "1,234") {
		t.Errorf("a comma that may divide thousands is answered with %q", said)
	}
	f.press(t, "undo")
	if x := f.pivot(t)[0]; x != dragged[0] {
		t.Errorf("undone, x is %v, want %v; what could not be read changed the pivot", x, dragged[0])
	}
	f.clean(t)
}

// picture is what the surface's canvas holds.
func (f fitting) picture(t testing.TB) string {
	t.Helper()
	return eval[string](t, f.tab, `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(document.querySelector('[data-surface]').toDataURL()))))`)
}

// taken is what the page hands out as a download, as text of its bytes.
const watchDownloads = `(() => {
	const make = URL.createObjectURL;
	URL.createObjectURL = (blob) => { window.taken = blob; return make.call(URL, blob); };
	HTMLAnchorElement.prototype.click = function () { window.takenAs = this.download; };
	return true;
})()`

func (f fitting) take(t testing.TB, what string) (name string, data []byte) {
	t.Helper()
	eval[bool](t, f.tab, `(delete window.taken, true)`)
	f.press(t, what)
	f.until(t, `window.taken`)
	text := eval[string](t, f.tab, `taken.arrayBuffer().then((data) => btoa(Array.from(new Uint8Array(data), (c) => String.fromCharCode(c)).join('')))`)
	data, err := base64.StdEncoding.DecodeString(text)
	must(t, err)
	return eval[string](t, f.tab, `takenAs`), data
}

// flawed brings a character, and chooses the joint of it that is known to stand in the wrong place.
func (f fitting) flawed(t testing.TB) character.Character {
	t.Helper()
	c := character.All()[1]
	f.begin(t, c.ID, c.GLB(), c.Flawed)
	return c
}

// begin brings a file and chooses a joint of it.
func (f fitting) begin(t testing.TB, name string, glb []byte, joint string) {
	t.Helper()
	f.bring(t, name+".glb", glb)
	f.until(t, `document.querySelector('[data-about]').textContent.startsWith(`+quote(name)+`)`)
	f.settled(t)
	f.choose(t, joint)
	f.settled(t)
}

// From a target pose to a new file: proposed, told, agreed to, taken, valid, and the same at rest to the pixel.
func TestTheRoomProposesAPivotAndGivesAFileThatRestsTheSame(t *testing.T) {
	parallel(t)
	f := openRoom(t, view{})
	eval[bool](t, f.tab, watchDownloads)
	c := f.flawed(t)
	before := f.pivot(t)
	f.press(t, "plan")
	f.until(t, `document.querySelector('[data-out-notice]:not([hidden])')`) // nothing has moved yet
	f.press(t, "propose")
	f.until(t, `document.querySelector('[data-map] svg .heat') && !document.querySelector('[data-found]').hidden`)
	f.settled(t)
	proposed := f.pivot(t)
	if truth := trueJoint(t, c); between(proposed, truth) > 0.01*25 || between(before, proposed) < 0.1 {
		t.Errorf("proposed %v, the true place is %v, it was %v", proposed, truth, before)
	}
	f.press(t, "plan")
	f.until(t, `!document.querySelector('[data-plan]').hidden`)
	// who types the values into another program needs those of the child as well, or it goes along with the joint
	if rows := eval[int](t, f.tab, `document.querySelectorAll('[data-values] tbody tr').length`); rows != 2 {
		t.Errorf("the values of %d joints are listed, want the joint's and its child's", rows)
	}
	if will, lose := f.text(t, "[data-will]"), f.text(t, "[data-lose]"); !strings.Contains(will, c.Flawed) || len(lose) < 20 {
		t.Errorf("before writing the page says %q will change and %q could be lost", will, lose)
	}
	if eval[bool](t, f.tab, `!document.querySelector('[data-do="glb"]').disabled`) {
		t.Error("the file can be taken before its reader has agreed")
	}
	eval[bool](t, f.tab, `(document.querySelector('[data-agree]').click(), true)`)
	name, moved := f.take(t, "glb")
	valid(t, moved)
	_, change := f.take(t, "change")
	if !json.Valid(change) || name != c.ID+"-moved.glb" {
		t.Errorf("the file is called %q, and the change is JSON: %v", name, json.Valid(change))
	}
	rest := func(file string, data []byte) string {
		eval[bool](t, f.tab, `(document.querySelector('[data-about]').textContent = '', true)`) // the name may be the one before
		f.bring(t, file, data)
		f.until(t, `document.querySelector('[data-about]').textContent.startsWith(`+quote(file)+`)`)
		f.settled(t)
		eval[bool](t, f.tab, `([...document.querySelectorAll('[data-joint]')][0].click(), true)`)
		f.settled(t)
		f.set(t, "angle", "0")
		eval[bool](t, f.tab, `(document.querySelector('[data-look="front"]').click(), document.querySelector('[data-look="whole"]').click(), true)`)
		return f.picture(t)
	}
	old, fresh := rest(c.ID+".glb", c.GLB()), rest("moved.glb", moved)
	if off := eval[float64](t, f.tab, inkDiffers(old, fresh)); !(off <= 0.002) {
		t.Errorf("at rest %.3f %% of the pixels differ between the old file and the new one", 100*off)
	}
	f.set(t, "angle", "3")
	if off := eval[float64](t, f.tab, inkDiffers(old, f.picture(t))); !(off > 0.002) {
		t.Errorf("turned by three degrees only %.4f %% of the pixels differ; the comparison sees nothing", 100*off)
	}
	f.clean(t)
}

// inkDiffers is a script that gives the share of pixels in which two pictures differ visibly.
func inkDiffers(a, b string) string {
	return `Promise.all([` + quote(a) + `, ` + quote(b) + `].map(async (address) => {
		const image = await createImageBitmap(new Blob([Uint8Array.from(atob(address.split(',')[1]), (c) => c.charCodeAt(0))], { type: 'image/png' }));
		const pen = Object.assign(document.createElement('canvas'), { width: image.width, height: image.height }).getContext('2d');
		pen.drawImage(image, 0, 0);
		return pen.getImageData(0, 0, image.width, image.height).data;
	})).then(([a, b]) => {
		let off = 0;
		for (let i = 3; i < a.length; i += 4) off += Number(Math.abs(a[i] - b[i]) + Math.abs(a[i - 1] - b[i - 1]) > 48);
		return a.length === b.length ? off / (a.length / 4) : 1;
	})`
}

// trueJoint is where the flawed joint belongs, cm, as the extras of its node say.
func trueJoint(t testing.TB, c character.Character) [3]float64 {
	t.Helper()
	d, err := gltf.Read(c.GLB(), nil)
	must(t, err)
	i := slices.IndexFunc(d.Nodes, func(n gltf.Node) bool { return n.Name == c.Flawed })
	told := d.Root().Member("nodes").At(i).Member("extras").Member("centrode").Member("true")
	var at [3]float64
	for k := range at {
		at[k], _ = told.At(k).Float()
	}
	world := d.Worlds()[d.Nodes[i].Parent].Apply(rigid.Vec{X: at[0], Y: at[1], Z: at[2]}).Scale(gltf.CmPerUnit)
	return [3]float64{world.X, world.Y, world.Z}
}

// valid holds a file against the validator of the standard's makers.
func valid(t testing.TB, data []byte) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "moved.glb")
	must(t, os.WriteFile(file, data, 0o600))
	out, err := exec.Command("node", filepath.Join("..", "models", "validate.mjs"), file).Output()
	must(t, err)
	var verdicts []struct {
		Errors, Warnings int
		Messages         []struct{ Text string }
	}
	must(t, json.Unmarshal(out, &verdicts))
	if len(verdicts) != 1 || verdicts[0].Errors > 0 || verdicts[0].Warnings > 0 {
		t.Errorf("the validator says %s", out)
	}
}

// Hostile and broken files are refused in words, and the character that was open stays at hand.
func TestAHostileFileIsRefusedAndTheRoomStays(t *testing.T) {
	parallel(t)
	f := openRoom(t, view{})
	before := f.picture(t)
	good := character.All()[0].GLB()
	wrong := func(at int, with ...byte) []byte {
		data := append([]byte(nil), good...)
		copy(data[at:], with)
		return data
	}
	for name, data := range map[string][]byte{
		"empty.glb": {}, "short.glb": good[:40], "cut.glb": good[:len(good)/2], "noise.glb": []byte(strings.Repeat("noise", 100)),
		"length.glb": wrong(8, 0xff, 0xff, 0xff, 0xff), "chunk.glb": wrong(12, 0xff, 0xff, 0xff, 0x7f), "list.gltf": []byte(`{"asset": {"version": "2.0"}, "nodes": [{"children": [0]}]}`),
		"counts.gltf": []byte(`{"asset": {"version": "2.0"}, "accessors": [{"componentType": 5126, "count": 4294967295, "type": "MAT4"}], "skins": [{"joints": [0], "inverseBindMatrices": 0}], "nodes": [{}]}`),
		"picture.jpg": []byte("no character"),
	} {
		eval[bool](t, f.tab, `((line) => (line.hidden = true))(document.querySelector('[data-notice]'))`) // what was said before
		f.bring(t, name, data)
		f.until(t, `(({ hidden, textContent }) => !hidden && !textContent.includes('…'))(document.querySelector('[data-notice]'))`)
		if said := f.text(t, "[data-notice]"); len(said) < 20 || strings.Contains(said, "goroutine") || strings.Contains(said, "undefined") {
			t.Errorf("%s: the page says %q", name, said)
		}
		if state := eval[string](t, f.tab, `document.querySelector('[data-room]').dataset.state`); state != "on" {
			t.Errorf("%s: the room is %s", name, state)
		}
	}
	if f.picture(t) != before {
		t.Error("the drawing of the character before is gone")
	}
	f.set(t, "angle", "20")
	if f.picture(t) == before {
		t.Error("the room does not answer any more")
	}
	f.clean(t)
}

// Without WebGL the plain drawing has the same handles.
func TestWithoutWebGLTheRoomDrawsPlainly(t *testing.T) {
	parallel(t)
	chromium, err := findChromium()
	must(t, err)
	ctx, quit, err := startBrowser(chromium, t.TempDir(), chromedp.Flag("disable-3d-apis", true))
	must(t, err)
	defer quit()
	browsers.lend(t, ctx)
	f := openRoom(t, view{})
	if got := eval[string](t, f.tab, `document.querySelector('[data-stage]').dataset.drawing`); got != "plain" {
		t.Errorf("the drawing is %q, want plain", got)
	}
	if !eval[bool](t, f.tab, `document.querySelector('[data-plain]').getBoundingClientRect().height > 0`) {
		t.Error("nothing says why the drawing is plain")
	}
	start, before, at := f.pivot(t), f.picture(t), f.diamond(t)
	mouse := livePlate{tab: f.tab}
	mouse.mouse(t, "press", at)
	mouse.mouse(t, "move", point{at.X + 30, at.Y + 12})
	mouse.mouse(t, "release", point{at.X + 30, at.Y + 12})
	f.settled(t)
	if f.pivot(t) == start || f.picture(t) == before {
		t.Error("the pivot or the surface does not follow")
	}
	f.clean(t)
}

func TestTheRoomShutsNobodyOut(t *testing.T) {
	parallel(t)
	f := openRoom(t, looks[0].view)
	f.press(t, "propose")
	f.until(t, `document.querySelector('[data-map] svg .heat')`)
	f.press(t, "plan")
	f.until(t, `!document.querySelector('[data-plan]').hidden`)
	bringAxe(t, f.tab)
	for _, l := range looks {
		t.Run(l.name, func(t *testing.T) {
			f.look(t, l.view)
			openToAll(t, f.tab)
			if wide := eval[int](t, f.tab, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("the page is %d px wider than its window", wide)
			}
		})
	}
	keepsItsMeaning(t, f.tab, "the fitting room with a character")
	keepsClear(t, f.tab, "the fitting room with a character")
	f.look(t, view{width: 320, height: 640})
	if wide := eval[int](t, f.tab, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
		t.Errorf("the page is %d px wider than a window of 320 px", wide)
	}
}

// Only the room's page loads what the room needs.
func TestNoOtherPageLoadsTheRoom(t *testing.T) {
	parallel(t)
	for address, want := range map[string]bool{"/plates/pose-fit/": false, "/fitting-room/": true} {
		tb := open(t, address, view{still: true})
		tb.settle(t)
		if want {
			tb.until(t, `document.querySelector('[data-room][data-state="on"]')`)
		}
		asked := strings.Join(tb.asked(), "\n")
		for _, part := range []string{"/assets/room.", "/assets/ink.", "/assets/roomworker."} {
			if strings.Contains(asked, part) != want {
				t.Errorf("%s asks for %s: %v, want %v", address, part, !want, want)
			}
		}
		tb.clean(t)
	}
}
