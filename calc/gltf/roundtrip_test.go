package gltf_test

import (
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// strange holds what no reader can know, digits that a float64 would change, and a chunk of its own.
const strange = `{"extras":{"a":1.50,"b":[1e5,"\u00e9"]},"asset":{"version":"2.0","copyright":"x","minVersion":"2.0"},"unknown":{"deep":[{"x":null}]},` +
	`"extensionsUsed":["X_future"],"nodes":[{"name":"a","extensions":{"X_future":{"n":12345678901234567890}},"translation":[0.10,0,0]},{"name":"b","children":[0],"future":true}],` +
	`"buffers":[{"byteLength":6,"uri":"data:application/gltf-buffer;base64,AQIDBAUG","extras":7}],"bufferViews":[{"buffer":0,"byteLength":6,"name":"kept"}],"scenes":[{"nodes":[1]}],"scene":0}`

func read(t *testing.T, data []byte) *gltf.Document {
	t.Helper()
	d, err := gltf.Read(data, nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestWhatIsNotUnderstoodComesOutAsItWentIn(t *testing.T) {
	d := read(t, []byte(strange))
	if got := strings.TrimSpace(string(d.Text())); got != strange {
		t.Errorf("written again:\n%s\nwant\n%s", got, strange)
	}
	d.SetTranslation(0, rigid.Vec{X: 0.25})
	want := strings.Replace(strange, "[0.10,0,0]", "[0.25,0,0]", 1)
	if got := strings.TrimSpace(string(d.Text())); got != want {
		t.Errorf("after a change:\n%s\nwant\n%s", got, want)
	}
	glb := d.GLB()
	wantTree := strings.Replace(want, `"uri":"data:application/gltf-buffer;base64,AQIDBAUG",`, "", 1)
	length := int(binary.LittleEndian.Uint32(glb[12:]))
	if got := strings.TrimRight(string(glb[20:20+length]), " "); got != wantTree {
		t.Errorf("as .glb:\n%s\nwant\n%s", got, wantTree)
	}
	// A chunk that follows is kept too.
	with := append(append([]byte(nil), glb...), "\x04\x00\x00\x00XTRAdata"...)
	binary.LittleEndian.PutUint32(with[8:], uint32(len(with)))
	if got := read(t, with).GLB(); string(got) != string(with) {
		t.Error("a chunk that is not of the standard is lost")
	}
}

func TestFilesBesideBecomePartOfTheFile(t *testing.T) {
	text := `{"asset":{"version":"2.0"},"buffers":[{"byteLength":2,"uri":"a.bin"},{"byteLength":3,"uri":"b%20c.bin"}],"images":[{"uri":"x.png"}]}`
	files := map[string]string{"a.bin": "AAxx", "b c.bin": "BBB"}
	d, err := gltf.Read([]byte(text), func(name string) ([]byte, error) { return []byte(files[name]), nil })
	if err != nil {
		t.Fatal(err)
	}
	// derived: "AA" is QUE= and "BBB" is QkJC in base64
	want := `{"asset":{"version":"2.0"},"buffers":[{"byteLength":2,"uri":"data:application/octet-stream;base64,QUE="},{"byteLength":3,"uri":"data:application/octet-stream;base64,QkJC"}],"images":[{"uri":"x.png"}]}` + "\n"
	if got := string(d.Text()); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	// derived: a binary file has one buffer; the second began at the next multiple of four
	want = `{"asset":{"version":"2.0"},"buffers":[{"byteLength":7,"uri":"data:application/octet-stream;base64,QUEAAEJCQg=="}],"images":[{"uri":"x.png"}]}` + "\n"
	if got := string(read(t, d.GLB()).Text()); got != want {
		t.Errorf("through .glb: %s\nwant %s", got, want)
	}
}

func TestABinaryFileHoldsItsViewsAndImages(t *testing.T) {
	text := `{"asset":{"version":"2.0"},"buffers":[{"byteLength":1,"uri":"data:;base64,QQ=="},{"byteLength":4,"uri":"data:;base64,QkNERQ=="}],` +
		`"bufferViews":[{"buffer":0,"byteLength":1},{"buffer":1,"byteOffset":1,"byteLength":3,"extensions":{"X":{"buffer":1,"n":2}}}],` +
		`"accessors":[{"bufferView":1,"componentType":5121,"count":3,"type":"SCALAR"}],"images":[{"uri":"data:image/png;base64,UE5H"},{"uri":"data:image/png;base64,*"}]}`
	d := read(t, []byte(text))
	glb := d.GLB()
	again := read(t, glb)
	if got := again.Uints(0); got[0] != 'C' || got[2] != 'E' {
		t.Errorf("the numbers are %v", got)
	}
	// derived: A at 0, BCDE at 4, PNG at 8
	want := `{"asset":{"version":"2.0"},"buffers":[{"byteLength":11}],"bufferViews":[{"buffer":0,"byteLength":1},{"buffer":0,"byteOffset":5,"byteLength":3,"extensions":{"X":{"buffer":0,"n":2,"byteOffset":4}}},` +
		`{"buffer":0,"byteOffset":8,"byteLength":3}],"accessors":[{"bufferView":1,"componentType":5121,"count":3,"type":"SCALAR"}],"images":[{"mimeType":"image/png","bufferView":2},{"uri":"data:image/png;base64,*"}]}`
	if got := string(again.Root().AppendTo(nil)); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	if string(d.GLB()) != string(glb) || !strings.HasPrefix(string(d.Text()), text) {
		t.Error("writing changes the document")
	}
}

// one is a file of one accessor over the given bytes.
func one(t *testing.T, accessor string, views string, data string) *gltf.Document {
	t.Helper()
	d := gltf.New("centrode tests")
	d.AddUints("SCALAR", 5121, func() (list []uint32) {
		for i := range len(data) {
			list = append(list, uint32(data[i]))
		}
		return list
	}())
	for name, text := range map[string]string{"accessors": accessor, "bufferViews": views} {
		v, err := jsontree.Parse([]byte(text), jsontree.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		d.Root().Set(name, v)
	}
	return read(t, d.GLB())
}

// Expected numbers follow from the rules of gltf2, section 3.6.2.
func TestNumbersAreDecodedAsTheStandardSays(t *testing.T) {
	whole := `[{"buffer":0,"byteLength":32}]`
	bytes := "\x00\x01\x7f\x80\xff\x02\x03\x04\x05\x06\x07\x08\x09\x0a\x0b\x0c\x0d\x0e\x0f\x10\x11\x12\x13\x14\x15\x16\x17\x18\x19\x1a\x1b\x1c"
	for _, c := range []struct {
		name, accessor, views, data string
		want                        []float32
	}{
		{"unsigned bytes", `{"bufferView":0,"componentType":5121,"count":5,"type":"SCALAR"}`, whole, bytes, []float32{0, 1, 127, 128, 255}},
		{"unsigned bytes as fractions", `{"bufferView":0,"componentType":5121,"normalized":true,"count":5,"type":"SCALAR"}`, whole, bytes, []float32{0, 1.0 / 255, 127.0 / 255, 128.0 / 255, 1}},
		{"signed bytes", `{"bufferView":0,"componentType":5120,"count":5,"type":"SCALAR"}`, whole, bytes, []float32{0, 1, 127, -128, -1}},
		{"signed bytes as fractions", `{"bufferView":0,"componentType":5120,"normalized":true,"count":5,"type":"SCALAR"}`, whole, bytes, []float32{0, 1.0 / 127, 1, -1, -1.0 / 127}},
		{"signed shorts as fractions", `{"bufferView":0,"componentType":5122,"normalized":true,"count":2,"type":"SCALAR"}`, whole, bytes, []float32{256.0 / 32767, float32(int16(-32641)) / 32767}},
		{"the least short as a fraction", `{"bufferView":0,"componentType":5122,"normalized":true,"count":1,"type":"SCALAR"}`, whole, "\x00\x80" + bytes[2:], []float32{-1}},
		{"unsigned shorts", `{"bufferView":0,"componentType":5123,"count":2,"type":"SCALAR"}`, whole, bytes, []float32{256, 0x807f}},
		{"unsigned shorts as fractions", `{"bufferView":0,"componentType":5123,"normalized":true,"count":1,"type":"SCALAR"}`, whole, "\xff\xff" + bytes[2:], []float32{1}},
		{"long numbers", `{"bufferView":0,"componentType":5125,"count":1,"type":"SCALAR","byteOffset":4}`, whole, bytes, []float32{0x040302ff}},
		{"floats", `{"bufferView":0,"componentType":5126,"count":1,"type":"VEC2"}`, whole, "\x00\x00\x80\x3f\x00\x00\x00\xc0" + bytes[8:], []float32{1, -2}},
		{"a stride", `{"bufferView":0,"componentType":5121,"count":3,"type":"VEC2","byteOffset":1}`, `[{"buffer":0,"byteLength":32,"byteStride":8}]`, bytes, []float32{1, 127, 6, 7, 14, 15}},
		{"columns that are padded", `{"bufferView":0,"componentType":5121,"count":1,"type":"MAT3"}`, whole, bytes, []float32{0, 1, 127, 255, 2, 3, 5, 6, 7}},
		{"zeros", `{"componentType":5126,"count":2,"type":"VEC2"}`, whole, bytes, []float32{0, 0, 0, 0}},
		{"some items apart", `{"bufferView":0,"componentType":5121,"count":4,"type":"SCALAR","sparse":{"count":2,"indices":{"bufferView":0,"componentType":5121,"byteOffset":5},"values":{"bufferView":0,"byteOffset":16}}}`, whole, bytes, []float32{0, 1, 13, 14}},
		{"zeros and some items apart", `{"componentType":5121,"count":5,"type":"SCALAR","sparse":{"count":1,"indices":{"bufferView":0,"componentType":5121,"byteOffset":6},"values":{"bufferView":0,"byteOffset":16}}}`, whole, bytes, []float32{0, 0, 0, 13, 0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := one(t, "["+c.accessor+"]", c.views, c.data).Floats(0)
			for i, x := range c.want {
				if len(got) != len(c.want) || got[i] != x {
					t.Fatalf("%v, want %v", got, c.want)
				}
			}
		})
	}
}

func TestATrackIsSampledAsTheStandardSays(t *testing.T) {
	half := float32(math.Sqrt(0.5))
	for _, c := range []struct {
		name  string
		track gltf.Track
		at    float64
		want  []float64
	}{
		{"before the first key", gltf.Track{Path: "translation", Width: 1, Times: []float32{1, 2}, Values: []float32{3, 5}}, 0, []float64{3}},
		{"after the last key", gltf.Track{Path: "translation", Width: 1, Times: []float32{1, 2}, Values: []float32{3, 5}}, 9, []float64{5}},
		{"a quarter of the way", gltf.Track{Path: "translation", Width: 1, Times: []float32{1, 3}, Values: []float32{3, 5}}, 1.5, []float64{3.5}},
		{"a step", gltf.Track{Path: "scale", Interpolation: "STEP", Width: 1, Times: []float32{0, 1}, Values: []float32{3, 5}}, 0.99, []float64{3}},
		{"on a step", gltf.Track{Path: "scale", Interpolation: "STEP", Width: 1, Times: []float32{0, 1}, Values: []float32{3, 5}}, 1, []float64{5}},
		// derived: x³ over [0, 2] has the slopes 0 and 12
		{"a cubic", gltf.Track{Path: "translation", Interpolation: "CUBICSPLINE", Width: 1, Times: []float32{0, 2}, Values: []float32{0, 0, 0, 12, 8, 12}}, 1.5, []float64{3.375}},
		{"a third of a quarter turn", gltf.Track{Path: "rotation", Width: 4, Times: []float32{0, 3}, Values: []float32{0, 0, 0, 1, 0, 0, half, half}}, 1, []float64{0, 0, math.Sin(math.Pi / 12), math.Cos(math.Pi / 12)}},
		{"the shorter way", gltf.Track{Path: "rotation", Width: 4, Times: []float32{0, 3}, Values: []float32{0, 0, 0, 1, 0, 0, -half, -half}}, 1, []float64{0, 0, math.Sin(math.Pi / 12), math.Cos(math.Pi / 12)}},
	} {
		out := make([]float64, c.track.Width)
		c.track.At(c.at, out)
		for i, x := range c.want {
			if !(math.Abs(out[i]-x) < 1e-7) {
				t.Errorf("%s: %v, want %v", c.name, out, c.want)
				break
			}
		}
	}
}

func TestStripsAndFansBecomeTriangles(t *testing.T) {
	for _, c := range []struct {
		mode int
		want []uint32
	}{
		{4, []uint32{0, 1, 2}}, // two corners of five are left over
		{5, []uint32{0, 1, 2, 1, 3, 2, 2, 3, 4}},
		{6, []uint32{1, 2, 0, 2, 3, 0, 3, 4, 0}},
		{1, nil},
	} {
		d := gltf.New("centrode tests")
		d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{{Mode: c.mode, Indices: -1, Material: -1, Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", make([]float32, 15))}}}}})
		got := read(t, d.GLB()).Surface(0, 0).Triangles
		if len(got) != len(c.want) {
			t.Fatalf("mode %d: %v, want %v", c.mode, got, c.want)
		}
		for i := range got {
			if got[i] != c.want[i] { // source: gltf2, section 3.7.2.1
				t.Fatalf("mode %d: %v, want %v", c.mode, got, c.want)
			}
		}
	}
}

func TestAChangeOfNumbersLeavesThoseOfOthers(t *testing.T) {
	d := read(t, strip(t).GLB())
	normals, size := d.Floats(2), len(d.GLB())
	binds := d.InverseBinds(0)
	binds[1].T.X = -2.5
	if err := d.SetInverseBinds(0, binds); err != nil {
		t.Fatal(err)
	}
	if len(d.GLB()) != size || d.Skins[0].InverseBinds != 6 {
		t.Error("matrices of their own are not changed in place")
	}
	skins := d.Root().Member("skins")
	skins.Append(skins.At(0)) // a second user
	two := read(t, d.GLB())
	if err := two.SetInverseBinds(0, []affine.Map{affine.Identity(), affine.Identity()}); err != nil {
		t.Fatal(err)
	}
	if two.Skins[0].InverseBinds == 6 || two.Skins[1].InverseBinds != 6 || two.Floats(6)[16+12] != -2.5 {
		t.Error("matrices that are shared are changed for both")
	}
	if err := d.SetTrack(0, 1, []float32{0, 0.5, 1}, []float32{2, 0, 0, 2, 1, 0, 2, 2, 0}, "STEP"); err != nil {
		t.Fatal(err)
	}
	again := read(t, d.GLB())
	if got := again.Track(0, 1); len(got.Times) != 3 || got.Interpolation != "STEP" || got.Values[7] != 2 {
		t.Errorf("the track is %+v", got)
	}
	if got := again.Track(0, 0); len(got.Times) != 2 || got.Interpolation != "LINEAR" {
		t.Errorf("the other track is %+v", got)
	}
	for i, x := range again.Floats(2) {
		if x != normals[i] {
			t.Fatal("normals changed")
		}
	}
	for _, err := range []error{d.SetFloats(1, nil), d.SetFloats(7, []float32{0, float32(math.NaN())}), d.SetInverseBinds(0, nil),
		d.SetTrack(0, 0, []float32{1, 0}, make([]float32, 8), "LINEAR"), d.AddTrack(0, 0, "weights", []float32{0}, []float32{0}, "LINEAR")} {
		if err == nil {
			t.Error("a change that fits nothing is made")
		}
	}
}

func TestItemsThatShareBytesAreChangedApart(t *testing.T) {
	bytes := "\x00\x00\x80\x3f\x00\x00\x00\xc0\x00\x00\x80\x3f\x00\x00\x00\xc0\x00\x00\x80\x3f\x00\x00\x00\xc0\x00\x00\x80\x3f\x00\x00\x00\xc0"
	d := one(t, `[{"bufferView":0,"componentType":5126,"count":2,"type":"VEC2","min":[1,-2],"max":[1,-2]},{"bufferView":0,"componentType":5126,"count":1,"type":"VEC2","byteOffset":8}]`, `[{"buffer":0,"byteLength":32,"byteStride":16}]`, bytes)
	if err := d.SetFloats(0, []float32{5, 6, 7, 8}); err != nil {
		t.Fatal(err)
	}
	d = read(t, d.GLB())
	if got := d.Floats(1); got[0] != 1 || got[1] != -2 {
		t.Errorf("the other's numbers are %v", got)
	}
	if got := d.Floats(0); got[0] != 5 || got[3] != 8 {
		t.Errorf("the numbers are %v", got)
	}
	if got := string(d.Root().Member("accessors").At(0).Member("max").AppendTo(nil)); got != "[7,8]" {
		t.Errorf("the bounds are %s", got)
	}
}

func TestANodeIsMovedInItsOwnForm(t *testing.T) {
	text := `{"asset":{"version":"2.0"},"nodes":[{"matrix":[2,0,0,0,0,2,0,0,0,0,2,0,1,2,3,1]},{"scale":[1.0,1.0,1.0],"name":"b"}]}`
	d := read(t, []byte(text))
	if n := d.Nodes[0]; n.Translation != (rigid.Vec{X: 1, Y: 2, Z: 3}) || n.Scale != (rigid.Vec{X: 2, Y: 2, Z: 2}) {
		t.Errorf("the matrix taken apart is %+v", n)
	}
	d.SetTranslation(0, rigid.Vec{X: 4})
	d.SetRotation(1, rigid.Quat{Z: 2})
	d.SetLocal(1, affine.FromTRS(rigid.Vec{Y: 1}, rigid.Quat{Z: 1}, rigid.Vec{X: 1, Y: 1, Z: 1}))
	want := `{"asset":{"version":"2.0"},"nodes":[{"matrix":[2,0,0,0,0,2,0,0,0,0,2,0,4,0,0,1]},{"scale":[1.0,1.0,1.0],"name":"b","rotation":[0,0,1,0],"translation":[0,1,0]}]}` + "\n"
	if got := string(d.Text()); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}

func TestBase64GoesThereAndBack(t *testing.T) {
	for n := range 40 {
		data := strings.Repeat("\x00\xff\x10a", 10)[:n+1]
		d := one(t, `[]`, `[]`, data)
		again := read(t, d.Text())
		if string(again.GLB()) != string(d.GLB()) {
			t.Fatalf("%d bytes come back as others", n+1)
		}
	}
}

// Some editors put the mark of UTF-8 before a text; it is no part of the JSON.
func TestATextWithAMarkBeforeItIsRead(t *testing.T) {
	text := strip(t).Text()
	if got := read(t, append([]byte("\xef\xbb\xbf"), text...)).Text(); string(got) != string(text) {
		t.Error("with the mark of UTF-8 before it the file is another one")
	}
}
