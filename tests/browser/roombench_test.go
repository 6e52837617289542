package browser

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// How long from a movement of the hand until the frame that shows it, for a character of 50,000 vertices with four weights
// each and ten passes of smoothing; how much of it passes from the question to the worker until its arrays are back, and how
// much of that is the engine's work. What remains is the drawing, which without a graphics processor is nearly all: once as it
// is, and once with all of it but the filling in of triangles. Run with -benchtime 5x.
func BenchmarkRoomDrag(b *testing.B) {
	f := openRoom(b, view{})
	f.bring(b, "large.glb", large(b, 50_000))
	f.until(b, `document.querySelector('[data-about]').textContent.startsWith('large')`)
	f.settled(b)
	f.set(b, "passes", "10")
	eval[bool](b, f.tab, `(document.querySelector('[data-field="smooth"]').click(), true)`)
	f.settled(b)
	eval[bool](b, f.tab, watchWorker)
	for _, drawing := range []string{"rendered", "unrendered"} {
		b.Run(drawing, func(b *testing.B) { f.dragMany(b) })
		eval[bool](b, f.tab, `(WebGL2RenderingContext.prototype.drawElements = () => {}, true)`)
	}
}

func (f fitting) dragMany(b *testing.B) {
	var whole, there, engine []float64
	mouse := livePlate{tab: f.tab}
	for b.Loop() {
		at := f.diamond(b)
		mouse.mouse(b, "press", at)
		for i := range 12 {
			eval[bool](b, f.tab, `(window.began = performance.now(), true)`)
			mouse.mouse(b, "move", point{at.X + float64(i%30), at.Y - float64(i%20)})
			whole = append(whole, eval[float64](b, f.tab, drawnAfterMove))
			there = append(there, eval[float64](b, f.tab, `window.back - window.posted`))
			engine = append(engine, eval[float64](b, f.tab, `Number(document.querySelector('[data-room]').dataset.ms)`))
		}
		mouse.mouse(b, "release", at)
	}
	for name, all := range map[string][]float64{"engine": engine, "there-and-back": there, "whole": whole} {
		slices.Sort(all)
		b.ReportMetric(all[0], "ms-"+name+"/best")
		b.ReportMetric(all[len(all)/2], "ms-"+name+"/median")
		b.ReportMetric(all[len(all)*9/10], "ms-"+name+"/p90")
	}
	b.ReportMetric(0, "ns/op")
}

// watchWorker notes when the latest drawing was asked for, and when it came back.
const watchWorker = `(() => {
	const post = Worker.prototype.postMessage;
	const heard = new WeakSet();
	Worker.prototype.postMessage = function (message, ...more) {
		if (!heard.has(this)) this.addEventListener('message', () => { window.back = performance.now(); });
		heard.add(this);
		window.posted = performance.now();
		return post.call(this, message, ...more);
	};
	return true;
})()`

// drawnAfterMove is the time from the movement until its surface was drawn and handed on.
const drawnAfterMove = `new Promise((done) => {
	const root = document.querySelector('[data-room]');
	const look = () => (root.hasAttribute('data-waiting') ? requestAnimationFrame(look) : done(performance.now() - began));
	look();
})`

// large is a tube of about so many vertices on a chain of eight joints, four of which hold each vertex.
func large(t testing.TB, vertices int) []byte {
	t.Helper()
	const joints, around = 8, 100
	rings := vertices / around
	d := gltf.New("centrode tests")
	var at, weights []float32
	var held, triangles []uint32
	for i := range rings {
		for j := range around {
			sin, cos := math.Sincos(2 * math.Pi * float64(j) / around)
			at = append(at, float32(i)/float32(rings), float32(0.04*cos), float32(0.04*sin))
			first := uint32(min(i*joints/rings, joints-4))
			held = append(held, first, first+1, first+2, first+3)
			weights = append(weights, 0.4, 0.3, 0.2, 0.1)
			if a, next := uint32(i*around+j), uint32(i*around+(j+1)%around); i+1 < rings {
				triangles = append(triangles, a, next, a+around, next, next+around, a+around)
			}
		}
	}
	mesh := d.AddMesh(gltf.Mesh{Name: "tube", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: d.AddUints("SCALAR", 5125, triangles), Attributes: []gltf.Attribute{
		{Name: "POSITION", Accessor: d.AddFloats("VEC3", at)}, {Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, held)}, {Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", weights)}}}}})
	chain := make([]int, joints)
	for i := range chain {
		parent := -1
		if i > 0 {
			parent = chain[i-1]
		}
		chain[i] = d.AddNode(gltf.Node{Name: "j" + strconv.Itoa(i), Parent: parent, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: float64(min(i, 1)) / joints}, Rotation: rigid.Quat{W: 1}, Scale: rigid.Vec{X: 1, Y: 1, Z: 1}})
	}
	binds := make([]affine.Map, joints)
	for i := range binds {
		binds[i] = affine.Identity()
		binds[i].T.X = -float64(i) / joints
	}
	skin, err := d.AddSkin("tube", chain, binds)
	must(t, err)
	d.AddNode(gltf.Node{Name: "body", Parent: -1, Mesh: mesh, Skin: skin, Rotation: rigid.Quat{W: 1}, Scale: rigid.Vec{X: 1, Y: 1, Z: 1}})
	return d.GLB()
}
