package gltf_test

import (
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/jsontree"
)

// clone is a part of a file that the text says.
func clone(t *testing.T, text string) *jsontree.Value {
	t.Helper()
	v, err := jsontree.Parse([]byte(text), jsontree.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestASamplerThatTwoChannelsShareIsLeftToTheOther(t *testing.T) {
	d := strip(t)
	d.Root().Member("animations").At(0).Member("channels").Append(clone(t, `{"sampler":1,"target":{"node":0,"path":"translation"}}`))
	d = read(t, d.GLB())
	if err := d.SetTrack(0, 1, []float32{0, 1}, []float32{9, 9, 9, 9, 9, 9}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	d = read(t, d.GLB())
	if got := d.Track(0, 2).Values; got[0] != 2 {
		t.Errorf("the other channel has %v", got)
	}
	if got := d.Track(0, 1).Values; got[0] != 9 {
		t.Errorf("the channel has %v", got)
	}
}

func TestNumbersThatTwoSamplersShareAreLeftToTheOther(t *testing.T) {
	d := strip(t)
	d.Root().Member("animations").At(0).Member("samplers").Append(clone(t, `{"input":7,"output":10}`))
	d.Root().Member("animations").At(0).Member("channels").Append(clone(t, `{"sampler":2,"target":{"node":0,"path":"translation"}}`))
	d = read(t, d.GLB())
	if err := d.SetTrack(0, 1, []float32{0, 1}, []float32{9, 9, 9, 9, 9, 9}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	d = read(t, d.GLB())
	if got := d.Track(0, 2).Values; got[0] != 2 {
		t.Errorf("the other sampler has %v", got)
	}
}

func TestNumbersThatAMorphTargetSharesAreLeftToIt(t *testing.T) {
	d := strip(t)
	node := len(d.Nodes) - 1
	ramp := make([]float32, 20)
	for i := range ramp {
		ramp[i] = float32(i)
	}
	if err := d.AddTrack(0, node, "translation", ramp, make([]float32, 60), "LINEAR"); err != nil {
		t.Fatal(err)
	}
	moved := d.Meshes[0].Primitives[0].Targets[0][0].Accessor
	sampler := d.Root().Member("animations").At(0).Member("samplers").At(2)
	sampler.Set("output", jsontree.NewInt(moved))
	d = read(t, d.GLB())
	was := d.Target(0, 0, 0)
	if err := d.SetTrack(0, 2, ramp, slices.Repeat([]float32{7}, 60), "LINEAR"); err != nil {
		t.Fatal(err)
	}
	if is := read(t, d.GLB()).Target(0, 0, 0); !slices.Equal(was, is) {
		t.Errorf("the morph target moves by %v, was %v", is[:3], was[:3])
	}
}

func TestSparseItemsOfOthersAreLeft(t *testing.T) {
	data := "\x00\x00\x80\x3f\x00\x00\x00\xc0\x00\x00\x80\x3f\x00\x00\x00\xc0\x00\x01\x00\x00"
	d := one(t, `[{"bufferView":0,"componentType":5126,"count":4,"type":"SCALAR"},{"componentType":5126,"count":4,"type":"SCALAR","sparse":{"count":1,"indices":{"bufferView":0,"byteOffset":17,"componentType":5121},"values":{"bufferView":0,"byteOffset":4}}}]`,
		`[{"buffer":0,"byteLength":20}]`, data)
	if err := d.SetFloats(0, []float32{5, 6, 7, 8}); err != nil {
		t.Fatal(err)
	}
	d = read(t, d.GLB())
	if got := d.Floats(1); got[1] != -2 {
		t.Errorf("the other's sparse item is %v, want -2", got[1])
	}
}

func TestASparseItemThatIsNoNumberIsRefused(t *testing.T) {
	d := one(t, `[{"bufferView":0,"componentType":5121,"count":1,"type":"SCALAR"}]`, `[{"buffer":0,"byteLength":8}]`, "\x00\x00\x00\x00\x00\x00\x80\x7f")
	d.Root().Set("accessors", clone(t, `[{"componentType":5126,"count":2,"type":"SCALAR","sparse":{"count":1,"indices":{"bufferView":0,"componentType":5121},"values":{"bufferView":0,"byteOffset":4}}}]`))
	refused(t, d.GLB(), "accessors[0].sparse.values: item 0 is no finite number; allowed are finite numbers")
}

// What a file takes grows as it does: four times as many pictures in it take four times the memory, and not sixteen.
func TestManyPicturesTakeLinearMemory(t *testing.T) {
	taken := func(n int) uint64 {
		images := strings.TrimSuffix(strings.Repeat(`{"uri":"data:image/png;base64,AAAA"},`, n), ",")
		d := read(t, []byte(`{"asset":{"version":"2.0"},"images":[`+images+`]}`))
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		data := d.GLB()
		runtime.ReadMemStats(&after)
		if again := read(t, data).Root().Member("images"); again.Len() != n || again.At(n-1).Member("bufferView") == nil {
			t.Fatalf("of %d pictures %d come back", n, again.Len())
		}
		return after.TotalAlloc - before.TotalAlloc
	}
	if few, many := taken(2_000), taken(8_000); many > 6*few {
		t.Errorf("2,000 pictures take %d bytes and 8,000 take %d", few, many)
	}
}

// A view that an extension holds once more, as compression does, keeps its bytes: who understands the extension would read the old
// numbers there.
func TestNumbersThatAnExtensionHoldsOnceMoreAreWrittenElsewhere(t *testing.T) {
	d := strip(t)
	output := d.Animations[0].Samplers[1].Output
	view, _ := d.Root().Member("accessors").At(output).Member("bufferView").Int()
	d.Root().Member("bufferViews").At(int(view)).Set("extensions", clone(t, `{"TEST_packed":{"buffer":0,"byteOffset":0,"byteLength":4}}`))
	d = read(t, d.GLB())
	before := slices.Clone(d.Floats(output))
	if err := d.SetTrack(0, 1, []float32{0, 1}, []float32{9, 9, 9, 9, 9, 9}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	data := d.GLB()
	d = read(t, data)
	if got := d.Track(0, 1).Values; got[0] != 9 {
		t.Errorf("the channel has %v", got)
	}
	now, _ := d.Root().Member("accessors").At(d.Animations[0].Samplers[1].Output).Member("bufferView").Int()
	if d.Root().Member("bufferViews").At(int(now)).Member("extensions") != nil {
		t.Errorf("the new numbers stand in view %d, which the extension holds once more as %v", now, before)
	}
}

// Whatever an extension that is not known here, or extras, may name by a number stays as it was for its program: an accessor, a view, a
// sampler. Extensions about materials name none, and what nobody else names is changed in its place.
func TestWhatAnotherProgramMayNameIsLeftToIt(t *testing.T) {
	for _, c := range []struct {
		at, name, text string
		named          bool
	}{
		{"", "extensions", `{}`, false},
		{"", "extensions", `{"TEST_copies":{"like":10}}`, true},
		{"", "extensions", `{"TEST_copies":{"list":[{"deep":[0,10.0]}]}}`, true},
		{"", "extensions", `{"TEST_copies":{"path":"/accessors/10/max"}}`, true},
		{"", "extensions", `{"TEST_copies":{"note":"10 of them","less":-10,"half":10.5,"many":1e15}}`, false},
		{"", "extensions", `{"KHR_materials_variants":{"variants":[10]}}`, false},
		{"", "extras", `{"accessor":10}`, true},
		{"nodes", "extensions", `{"TEST_crowd":{"attributes":{"TRANSLATION":10}}}`, true},
		{"nodes", "extensions", `{"KHR_lights_punctual":{"light":10}}`, false},
		{"animations", "extensions", `{"TEST_tracks":[{"sampler":1}]}`, true},
		{"nodes", "extensions", `{"TEST_tracks":[{"sampler":1}]}`, false},
	} {
		d := strip(t)
		part := d.Root()
		if c.at != "" {
			part = part.Member(c.at).At(0)
		}
		part.Set(c.name, clone(t, c.text))
		d = read(t, d.GLB())
		was := d.Animations[0].Samplers[1]
		if was.Output != 10 || d.Root().Member("accessors").At(10).Member("bufferView").Raw() != "10" {
			t.Fatalf("the keys are in accessor %d, view %s", was.Output, d.Root().Member("accessors").At(10).Member("bufferView").Raw())
		}
		before := slices.Clone(d.Floats(10))
		if err := d.SetTrack(0, 1, []float32{0, 1}, []float32{9, 9, 9, 9, 9, 9}, "LINEAR"); err != nil {
			t.Fatal(err)
		}
		d = read(t, d.GLB())
		if got := d.Track(0, 1).Values; got[0] != 9 {
			t.Errorf("%s %s: the channel has %v", c.name, c.text, got)
		}
		if is := d.Floats(10); slices.Equal(is, before) != c.named {
			t.Errorf("%s of %q, %s: accessor 10 has %v, had %v", c.name, c.at, c.text, is, before)
		}
		if s := d.Animations[0].Samplers[1]; c.at == "animations" && s != was {
			t.Errorf("%s: sampler 1 is %+v, was %+v", c.text, s, was)
		}
	}
}

// The same holds of inverse binds, and of bytes of which another accessor is named: a view, and what lies in it.
func TestBindsAndViewsThatAnotherProgramMayNameAreLeftToIt(t *testing.T) {
	d := strip(t)
	binds := d.Skins[0].InverseBinds
	d.Root().Set("extensions", clone(t, `{"TEST_copies":{"like":`+strconv.Itoa(binds)+`}}`))
	d = read(t, d.GLB())
	before := slices.Clone(d.Floats(binds))
	if err := d.SetInverseBinds(0, make([]affine.Map, 2)); err != nil {
		t.Fatal(err)
	}
	if err := d.SetFloats(binds, slices.Repeat([]float32{3}, 32)); err != nil { // asked for by name
		t.Fatal(err)
	}
	d = read(t, d.GLB())
	if got := d.Skins[0].InverseBinds; got == binds || d.Floats(got)[15] != 1 {
		t.Errorf("the skin has accessor %d: %v", got, d.Floats(got))
	}
	d.Root().Member("accessors").At(binds).Set("bufferView", jsontree.NewInt(binds))
	if got := read(t, d.GLB()).Floats(binds); !slices.Equal(got, before) {
		t.Errorf("view %d holds %v, had %v", binds, got, before)
	}
}
