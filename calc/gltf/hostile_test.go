package gltf_test

import (
	"encoding/binary"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/tests/hard/bound"
)

// at follows a way such as "accessors 1 sparse" through the tree.
func at(v *jsontree.Value, way string) *jsontree.Value {
	for _, step := range strings.Fields(way) {
		if i, err := strconv.Atoi(step); err == nil {
			v = v.At(i)
		} else {
			v = v.Member(step)
		}
	}
	return v
}

// spoil sets members of the bar's JSON: "way name = JSON", one a line; "way name =" removes one.
func spoil(t testing.TB, lines string) []byte {
	t.Helper()
	d := strip(t)
	for line := range strings.SplitSeq(lines, "\n") {
		way, text, _ := strings.Cut(line, "=")
		steps := strings.Fields(way)
		owner, last := at(d.Root(), strings.Join(steps[:len(steps)-1], " ")), steps[len(steps)-1]
		if strings.TrimSpace(text) == "" {
			owner.Remove(last)
			continue
		}
		v, err := jsontree.Parse([]byte(text), jsontree.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if i, err := strconv.Atoi(last); err == nil && i < owner.Len() {
			owner.SetAt(i, v)
		} else if err == nil {
			owner.Append(v)
		} else {
			owner.Set(last, v)
		}
	}
	return d.GLB()
}

// patch writes a float or a byte into the data of an accessor of the bar.
func patch(t testing.TB, accessor, number, size int, bits uint32) []byte {
	t.Helper()
	d := strip(t)
	view, _ := at(d.Root(), "accessors "+strconv.Itoa(accessor)+" bufferView").Int()
	offset, _ := at(d.Root(), "bufferViews "+strconv.Itoa(int(view))+" byteOffset").Int()
	data := d.GLB()
	bin := 20 + int(binary.LittleEndian.Uint32(data[12:])) + 8
	place := data[bin+int(offset)+number*size:]
	if size == 1 {
		place[0] = byte(bits)
	} else {
		binary.LittleEndian.PutUint32(place, bits)
	}
	return data
}

// The accessors of the bar: 0 indices, 1 POSITION, 2 NORMAL, 3 JOINTS_0, 4 WEIGHTS_0, 5 target, 6 inverse binds,
// 7 and 9 times, 8 rotations, 10 translations.
func TestAHostileFileIsRefusedByPlace(t *testing.T) {
	nan, inf := math.Float32bits(float32(math.NaN())), math.Float32bits(float32(math.Inf(1)))
	for _, c := range []struct{ name, change, want string }{
		{"2^32 items", "accessors 1 count = 4294967296", "accessors[1].count: 4294967296; allowed is a whole number from 1 to 134217728"},
		{"more items than bytes", "accessors 1 count = 100000000", "accessors[1].count: 100000000; allowed are at most 20, as many as the bytes hold"},
		{"no items", "accessors 1 count = 0", "accessors[1].count: 0; allowed is a whole number from 1 to 134217728"},
		{"half an item", "accessors 1 count = 1.5", "accessors[1].count: 1.5; allowed is a whole number from 1 to 134217728"},
		{"offset beyond the view", "accessors 1 byteOffset = 1000000", "accessors[1].byteOffset: 1000000; allowed is a whole number from 0 to 240"},
		{"offset that shifts items out", "accessors 1 byteOffset = 4", "accessors[1].count: 20; allowed are at most 19, as many as the bytes hold"},
		{"offset at the very end", "accessors 1 byteOffset = 240", "accessors[1].count: 20; allowed are at most 0, as many as the bytes hold"},
		{"odd offset", "accessors 1 byteOffset = 2", "accessors[1].byteOffset: 194 with that of the view; allowed is a multiple of the 4 bytes of a number"},
		{"negative offset", "bufferViews 1 byteOffset = -4", "bufferViews[1].byteOffset: -4; allowed is a whole number from 0 to 1512"},
		{"view beyond the buffer", "bufferViews 1 byteLength = 5000", "bufferViews[1].byteLength: 5000; allowed is a whole number from 1 to 1320"},
		{"view at the very end", "bufferViews 1 byteOffset = 1512\nbufferViews 1 byteLength = 1", "bufferViews[1].byteOffset: 1512; allowed is below 1512, the size of the buffer"},
		{"view of no buffer", "bufferViews 1 buffer = 7", "bufferViews[1].buffer: 7; allowed is one of the buffers, numbered from 0 to 0"},
		{"absurd stride", "bufferViews 1 byteStride = 2147483647", "bufferViews[1].byteStride: 2147483647; allowed is a whole number from 4 to 252"},
		{"odd stride", "bufferViews 1 byteStride = 14", "bufferViews[1].byteStride: 14; allowed is a multiple of 4"},
		{"stride under an item", "bufferViews 1 byteStride = 8", "accessors[1].bufferView: a view with a stride of 8 bytes; allowed is one whose stride is at least 12 bytes, the size of an item, and none for sparse data"},
		{"stride that leads out", "bufferViews 1 byteStride = 252", "accessors[1].count: 20; allowed are at most 1, as many as the bytes hold"},
		{"buffer longer than its bytes", "buffers 0 byteLength = 99999", "buffers[0].byteLength: 99999 where the file holds 1512 bytes; allowed are at most as many as there are"},
		{"gigabytes of zeros", `accessors 11 = {"componentType":5126,"type":"MAT4","count":60000000}`, "accessors[11].count: more than 134217728 numbers in all accessors together; allowed are at most that many"},
		{"many zeros", `accessors 11 = {"componentType":5121,"type":"SCALAR","count":5000000}`, "accessors[11].count: 5000000 items without bytes of their own; allowed are at most 4194304, and fewer where there are many such accessors"},
		{"gigabytes by a sparse item", `accessors 11 = {"componentType":5126,"type":"SCALAR","count":100000000,"sparse":{"count":1,"indices":{"bufferView":0,"componentType":5123},"values":{"bufferView":1}}}`,
			"accessors[11].count: 100000000 items without bytes of their own; allowed are at most 4194304, and fewer where there are many such accessors"},
		{"sparse items beyond the end", `accessors 1 sparse = {"count":2,"indices":{"bufferView":0,"componentType":5123,"byteOffset":4},"values":{"bufferView":2}}`,
			"accessors[1].sparse.indices: item 1 is 1; allowed are rising numbers below 20"},
		{"more sparse items than items", `accessors 1 sparse = {"count":21,"indices":{"bufferView":0,"componentType":5123},"values":{"bufferView":2}}`, "accessors[1].sparse.count: 21; allowed is a whole number from 1 to 20"},
		{"odd offset of the view", "bufferViews 1 byteOffset = 194\nbufferViews 1 byteLength = 240", "accessors[1].byteOffset: 194 with that of the view; allowed is a multiple of the 4 bytes of a number"},
		{"sparse places that stand twice", `accessors 1 sparse = {"count":2,"indices":{"bufferView":0,"componentType":5121},"values":{"bufferView":2}}`, "accessors[1].sparse.indices: item 1 is 0; allowed are rising numbers below 20"},
		{"sparse data with a stride", "bufferViews 2 byteStride = 12\n" + `accessors 1 sparse = {"count":2,"indices":{"bufferView":0,"componentType":5123},"values":{"bufferView":2}}`,
			"accessors[1].sparse.values.bufferView: a view with a stride of 12 bytes; allowed is one whose stride is at least 12 bytes, the size of an item, and none for sparse data"},
		{"sparse places that are floats", `accessors 1 sparse = {"count":2,"indices":{"bufferView":0,"componentType":5126},"values":{"bufferView":2}}`, "accessors[1].sparse.indices.componentType: 5126; allowed is 5121, 5123 or 5125"},
		{"unknown component type", "accessors 1 componentType = 5124", "accessors[1].componentType: 5124; allowed is 5120, 5121, 5122, 5123, 5125 or 5126"},
		{"unknown type", `accessors 1 type = "VEC33"`, `accessors[1].type: "VEC33"; allowed is SCALAR, VEC2, VEC3, VEC4, MAT2, MAT3 or MAT4; nearest: "VEC3"`},
		{"normalised floats", "accessors 1 normalized = true", "accessors[1].normalized: true; allowed is true for whole numbers of 8 and 16 bits alone"},
		{"a node in itself", "nodes 1 children = [1]", "nodes[1].children[0]: node 1, which is a child of node 0 already; allowed is a node with no other parent"},
		{"a circle of nodes", "nodes 2 children = [0]\nnodes 1 children = [2]\nscenes 0 nodes = []", "nodes[0].children: the node contains itself; allowed are nodes that form trees"},
		{"two parents", "nodes 2 children = [1]", "nodes[2].children[0]: node 1, which is a child of node 0 already; allowed is a node with no other parent"},
		{"child that is not there", "nodes 1 children = [99]", "nodes[1].children[0]: 99; allowed is one of the nodes, numbered from 0 to 2"},
		{"matrix beside translation", "nodes 1 matrix = [1,0,0,0,0,1,0,0,0,0,1,0,0,0,0,1]", "nodes[1].matrix: a matrix beside translation, rotation or scale; allowed is one or the other"},
		{"perspective", "nodes 0 matrix = [1,0,0,1,0,1,0,0,0,0,1,0,0,0,0,1]", "nodes[0].matrix: a last row that is not 0 0 0 1; allowed is a matrix of translation, rotation and scale"},
		{"no rotation at all", "nodes 1 rotation = [0,0,0,0]", "nodes[1].rotation: 0 0 0 0; allowed is a quaternion of length 1"},
		{"number beyond all", "nodes 1 translation = [0,1e999,0]", "nodes[1].translation[1]: 1e999; allowed is a number of size up to 1e+12"},
		{"two numbers for three", "nodes 1 translation = [0,1]", "nodes[1].translation: a list of 2; allowed are 3 numbers"},
		{"scales that multiply", "nodes 0 scale = [1e12,1e12,1e12]\nnodes 1 scale = [1e12,1,1]", "nodes[1]: a place or a scale of 1e+24 once all parents are counted; allowed is a size up to 1e+15"},
		{"name that is no text", "nodes 1 name = 5", "nodes[1].name: 5; allowed is a text"},
		{"no version", "asset version =", `asset.version: nothing; allowed is "2.0"`},
		{"newer than known", `asset minVersion = "2.1"`, `asset.minVersion: "2.1"; allowed is "2.0"`},
		{"squeezed meshes", `extensionsRequired = ["KHR_materials_unlit","KHR_draco_mesh_compression"]`, "extensionsRequired[1]: the file cannot be read without KHR_draco_mesh_compression, which is not understood here; allowed is a file saved without it"},
		{"squeezed views", `extensionsRequired = ["EXT_meshopt_compression"]`, "extensionsRequired[0]: the file cannot be read without EXT_meshopt_compression, which is not understood here; allowed is a file saved without it"},
		{"squeezed without a word of it", `meshes 0 primitives 0 extensions = {"KHR_draco_mesh_compression":{"bufferView":0,"attributes":{"POSITION":0}}}` + "\naccessors 1 bufferView =", "meshes[0].primitives[0].extensions.KHR_draco_mesh_compression: places that are compressed and nowhere else, which cannot be read here; allowed is a file saved without it"},
		{"no primitives", "meshes 0 primitives = []", "meshes[0].primitives: a list; allowed is a list of at least one primitive"},
		{"unknown mode", "meshes 0 primitives 0 mode = 7", "meshes[0].primitives[0].mode: 7; allowed is a whole number from 0 to 6"},
		{"attribute of another length", "meshes 0 primitives 0 attributes NORMAL = 8", "meshes[0].primitives[0].attributes.NORMAL: VEC4 of component type 5126; allowed is VEC3 of floats, or of whole numbers of 8 or 16 bits"},
		{"positions that are indices", "meshes 0 primitives 0 attributes POSITION = 0", "meshes[0].primitives[0].attributes.POSITION: SCALAR of component type 5123; allowed is VEC3 of floats, or of whole numbers of 8 or 16 bits"},
		{"indices that are floats", "meshes 0 primitives 0 indices = 7", "meshes[0].primitives[0].indices: SCALAR of component type 5126; allowed is SCALAR of unsigned whole numbers"},
		{"joints without weights", "meshes 0 primitives 0 attributes WEIGHTS_0 =", "meshes[0].primitives[0].attributes.WEIGHTS_0: nothing; allowed is an accessor, since JOINTS_0 is given"},
		{"joints that are floats", "meshes 0 primitives 0 attributes JOINTS_0 = 4", "meshes[0].primitives[0].attributes.JOINTS_0: VEC4 of component type 5126; allowed is VEC4 of unsigned whole numbers of 8 or 16 bits"},
		{"target of another length", "meshes 0 primitives 0 targets 0 POSITION = 10", "meshes[0].primitives[0].targets[0].POSITION: 2 items; allowed are 20, as many as the vertices"},
		{"weights without targets", "meshes 0 primitives 0 targets =\nmeshes 0 weights = [1]", "meshes[0].weights: a list; allowed is nothing, for the mesh has no targets"},
		{"skin without joints", "skins 0 joints = []", "skins[0].joints: a list; allowed is a list of at least one node"},
		{"joint twice", "skins 0 joints = [0,0]", "skins[0].joints[1]: node 0 for the second time; allowed is each node once"},
		{"too few matrices", "skins 0 joints = [0,1,2]", "skins[0].inverseBindMatrices: 2 matrices; allowed are at least 3, one for each joint"},
		{"matrices that are vectors", "skins 0 inverseBindMatrices = 1", "skins[0].inverseBindMatrices: VEC3 of component type 5126; allowed is MAT4 of floats"},
		{"more joints used than there are", "skins 0 joints = [0]", "meshes[0].primitives[0].attributes.JOINTS_0: joint 1; allowed is one of the joints of the skin of node 2, numbered from 0 to 0"},
		{"skin that is not there", "nodes 2 skin = 3", "nodes[2].skin: 3; allowed is one of the skins, numbered from 0 to 0"},
		{"scene that is not there", "scene = 1", "scene: 1; allowed is one of the scenes, numbered from 0 to 0"},
		{"unknown way between keys", `animations 0 samplers 0 interpolation = "LINAER"`, `animations[0].samplers[0].interpolation: "LINAER"; allowed is LINEAR, STEP or CUBICSPLINE; nearest: "LINEAR"`},
		{"cubic keys without tangents", `animations 0 samplers 0 interpolation = "CUBICSPLINE"`, "animations[0].channels[0].sampler: 2 values for 2 keys; allowed are 6 for a rotation that is CUBICSPLINE"},
		{"rotations for a translation", "animations 0 samplers 1 output = 8", "animations[0].channels[1].sampler: an output that is VEC4 of component type 5126; allowed is VEC3 of floats or of normalised whole numbers for a translation"},
		{"times that are places", "animations 0 samplers 0 input = 1", "animations[0].samplers[0].input: VEC3 of component type 5126; allowed is SCALAR of floats"},
		{"channel to nowhere", "animations 0 channels 0 target node = -1", "animations[0].channels[0].target.node: -1; allowed is one of the nodes, numbered from 0 to 2"},
		{"list that is an object", "meshes = {}", "meshes: an object; allowed is a list"},
		{"buffer far away", `buffers 1 = {"byteLength":1,"uri":"https://example.org/a.bin"}`, `buffers[1].uri: "https://example.org/a.bin"; allowed is the name of a file beside this one, or a data URI`},
		{"buffer beside", `buffers 1 = {"byteLength":1,"uri":"a%20b.bin"}`, `buffers[1].uri: the file needs "a b.bin" beside it; allowed is to give that file too, or to save everything as one .glb`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if strings.Contains(c.change, `"uri"`) { // GLB would put bytes there
				text := strings.Replace(string(strip(t).Text()), `"buffers":[`, `"buffers":[`+strings.TrimPrefix(c.change, "buffers 1 = ")+",", 1)
				refused(t, []byte(text), strings.Replace(c.want, "buffers[1]", "buffers[0]", 1))
				return
			}
			refused(t, spoil(t, c.change), c.want)
		})
	}
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"a position that is no number", patch(t, 1, 7, 4, nan), "accessors[1]: item 2 is no finite number; allowed are finite numbers"},
		{"an infinite inverse bind", patch(t, 6, 17, 4, inf), "accessors[6]: item 1 is no finite number; allowed are finite numbers"},
		{"a position beyond all", patch(t, 1, 3, 4, math.Float32bits(1e30)), "meshes[0].primitives[0].attributes.POSITION: item 1 holds 1e+30; allowed is a size up to 1e+12"},
		{"a vertex that is not there", patch(t, 0, 1, 4, 0x00020014), "meshes[0].primitives[0].indices: vertex 20; allowed is one of the vertices, numbered from 0 to 19"},
		{"weights that sum to 0", patch(t, 4, 0, 4, 0), "meshes[0].primitives[0].attributes.WEIGHTS_0: the weights of vertex 0 sum to 0; allowed are weights that sum to 1"},
		{"a negative weight", patch(t, 4, 5, 4, math.Float32bits(-0.5)), "meshes[0].primitives[0].attributes.WEIGHTS_0: vertex 1 has the weight -0.5; allowed are weights of 0 or more"},
		{"a joint that is not there", patch(t, 3, 40, 1, 200), "meshes[0].primitives[0].attributes.JOINTS_0: joint 200; allowed is one of the joints of the skin of node 2, numbered from 0 to 1"},
		{"keys back in time", patch(t, 7, 0, 4, math.Float32bits(2)), "animations[0].samplers[0].input: key 1 is at 1 s; allowed are times that rise from 0 or later"},
		{"nothing", nil, "file: nothing; allowed is a .glb or .gltf file"},
		{"a picture", []byte("\x89PNG\r\n"), "file: begins like no glTF file; allowed is a .glb or .gltf file"},
		{"version 1", []byte("glTF\x01\x00\x00\x00\x0c\x00\x00\x00"), "file: version 1 of .glb; allowed is version 2"},
		{"a chunk of 4 GB", []byte("glTF\x02\x00\x00\x00\x14\x00\x00\x00\xff\xff\xff\xffJSON"), "file: a chunk of 4294967295 bytes with 0 left; allowed is a whole .glb file"},
		{"no JSON first", []byte("glTF\x02\x00\x00\x00\x14\x00\x00\x00\x00\x00\x00\x00BIN\x00"), "file: a first chunk that is no JSON; allowed is JSON as the first chunk"},
		{"deep JSON", []byte(`{"a":` + strings.Repeat("[", 1<<20)), "json: line 1, byte 68: more than 64 lists and objects inside each other; allowed are that many"},
		{"a name twice", []byte(`{"asset":{"version":"2.0"},"asset":{}}`), `json: line 1, byte 35: the name "asset" stands twice in one object; allowed is once`},
		{"a list of everything", []byte("[1]"), "file: begins like no glTF file; allowed is a .glb or .gltf file"},
		{"bad base64", []byte(`{"asset":{"version":"2.0"},"buffers":[{"byteLength":3,"uri":"data:;base64,AA*A"}]}`), "buffers[0].uri: character 2 of the base64 is '*'; allowed are A–Z a–z 0–9 + / and = at the end"},
		{"base64 cut off", []byte(`{"asset":{"version":"2.0"},"buffers":[{"byteLength":3,"uri":"data:;base64,AAAAA"}]}`), "buffers[0].uri: base64 that ends within a byte; allowed are A–Z a–z 0–9 + / and = at the end"},
		{"data that is not base64", []byte(`{"asset":{"version":"2.0"},"buffers":[{"byteLength":3,"uri":"data:,abc"}]}`), `buffers[0].uri: data that is not base64; allowed is "data:application/octet-stream;base64,…"`},
		{"a buffer without bytes", []byte(`{"asset":{"version":"2.0"},"buffers":[{"byteLength":3}]}`), "buffers[0]: a buffer without a uri and without a binary part; allowed is a uri"},
		{"zeros many times over", zeros(40), "accessors[16].count: 4194304 items without bytes of their own; allowed are at most 4194304, and fewer where there are many such accessors"},
		{"bytes many times over", shared(1<<20, 140), "accessors[128].count: more than 134217728 numbers in all accessors together; allowed are at most that many"},
		{"vertices many times over", reused(t, 1<<18, "meshes 0 primitives", `{"attributes":{"POSITION":1}}`, 80), "meshes[0].primitives[64].attributes: more than 16777216 vertices in all primitives together; allowed are at most that many"},
		{"indices many times over", reused(t, 1<<18, "meshes 0 primitives", `{"attributes":{"POSITION":2},"indices":0}`, 300), "meshes[0].primitives[256].indices: more than 67108864 indices in all primitives together; allowed are at most that many"},
		{"targets many times over", reused(t, 1<<18, "meshes 0 primitives", `{"attributes":{"POSITION":1},"targets":[`+strings.Repeat(`{"POSITION":1},`, 299)+`{"POSITION":1}]}`, 1), "meshes[0].primitives[0].targets: more than 67108864 vertices in all morph targets together; allowed are at most that many"},
		{"keys many times over", reused(t, 1<<18, "animations 0 channels", `{"sampler":0,"target":{"node":0,"path":"scale"}}`, 80), "animations[0].channels[64].sampler: more than 67108864 numbers in all channels together; allowed are at most that many"},
		{"a hundred thousand attributes", manyAttributes(100_000), "meshes[0].primitives[0].attributes.A99999: 1; allowed is one of the accessors, numbered from 0 to 0"},
		{"a circle of nodes", []byte(`{"asset":{"version":"2.0"},"nodes":[{},{"children":[2]},{"children":[3]},{"children":[1]}]}`), "nodes[3].children: the node contains itself; allowed are nodes that form trees"},
	} {
		t.Run(c.name, func(t *testing.T) { refused(t, c.data, c.want) })
	}
}

// zeros is a file of that many accessors without bytes.
func zeros(n int) []byte {
	return []byte(`{"asset":{"version":"2.0"},"accessors":[` + strings.TrimSuffix(strings.Repeat(`{"componentType":5121,"count":4194304,"type":"SCALAR"},`, n), ",") + `]}`)
}

// shared is a file of that many accessors over the same bytes.
func shared(count, n int) []byte {
	d := gltf.New("centrode tests")
	d.AddUints("SCALAR", 5121, make([]uint32, count))
	for range n {
		d.Root().Member("accessors").Append(d.Root().Member("accessors").At(0))
	}
	return d.GLB()
}

// reused is a file whose list at the way holds one thing many times: a primitive or a channel of many items.
func reused(t testing.TB, items int, way, thing string, n int) []byte {
	t.Helper()
	d := gltf.New("centrode tests")
	indices, points := make([]uint32, items), make([]float32, 3*items)
	d.AddUints("SCALAR", 5121, indices)
	d.AddFloats("VEC3", points)
	d.AddFloats("VEC3", points[:3])
	d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{{Mode: 4, Indices: -1, Material: -1, Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: 1}}}}})
	d.AddNode(gltf.Node{Parent: -1, Mesh: -1, Skin: -1})
	times := make([]float32, items)
	for i := range times {
		times[i] = float32(i)
	}
	if err := d.AddTrack(d.AddAnimation("a"), 0, "scale", times, points, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	v, err := jsontree.Parse([]byte(thing), jsontree.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	list := jsontree.NewArray()
	for range n {
		list.Append(v)
	}
	steps := strings.Fields(way)
	at(d.Root(), strings.Join(steps[:2], " ")).Set(steps[2], list)
	return d.GLB()
}

// manyAttributes is a file of one primitive with that many attributes.
func manyAttributes(n int) []byte {
	var b strings.Builder
	b.WriteString(`{"asset":{"version":"2.0"},"accessors":[{"componentType":5126,"count":1,"type":"VEC3"}],"meshes":[{"primitives":[{"attributes":{"A0":0`)
	for i := 1; i < n; i++ {
		b.WriteString(`,"A` + strconv.Itoa(i) + `":` + strconv.Itoa(i/(n-1)))
	}
	return []byte(b.String() + `}}]}]}`)
}

// refused reads the file, which must be refused with the message, in bounded time and memory.
func refused(t *testing.T, data []byte, want string) {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := time.Now()
	d, err := gltf.Read(data, nil)
	took := time.Since(start)
	runtime.ReadMemStats(&after)
	var format *gltf.FormatError
	if d != nil || !errors.As(err, &format) || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
	// Generous, since other tests run beside this one: a file of kilobytes must not take megabytes or seconds.
	if most, got := uint64(4<<20+64*len(data)), after.TotalAlloc-before.TotalAlloc; got > most {
		t.Errorf("%d bytes were taken for a file of %d; allowed %d", got, len(data), most)
	}
	if took > 10*time.Second {
		t.Errorf("took %v", took)
	}
}

func TestAMissingFileIsNamed(t *testing.T) {
	text := []byte(`{"asset":{"version":"2.0"},"buffers":[{"byteLength":4,"uri":"a%2Fb.bin"}]}`)
	open := func(name string) ([]byte, error) { return nil, errors.New("no " + name) }
	if _, err := gltf.Read(text, open); err == nil || err.Error() != `buffers[0].uri: "a/b.bin" cannot be opened (no a/b.bin); allowed is a file beside this one` {
		t.Error(err)
	}
	short := func(string) ([]byte, error) { return []byte("abc"), nil }
	if _, err := gltf.Read(text, short); err == nil || err.Error() != "buffers[0].byteLength: 4 where the file holds 3 bytes; allowed are at most as many as there are" {
		t.Error(err)
	}
}

func TestAFileCutOffAnywhereIsRefused(t *testing.T) {
	data := strip(t).GLB()
	for n := range data {
		if d, err := gltf.Read(data[:n], nil); err == nil || d != nil {
			t.Fatalf("the first %d of %d bytes are read", n, len(data))
		}
	}
}

// use asks a document for everything that it can be asked, and returns what is wrong with the answers.
func use(d *gltf.Document) string {
	finite := func(list ...float64) bool {
		for _, x := range list {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return false
			}
		}
		return true
	}
	for _, m := range d.Worlds() {
		if list := m.Columns(); !finite(list[:]...) {
			return "a world that is not finite"
		}
	}
	for i, m := range d.Meshes {
		for j, p := range m.Primitives {
			s := d.Surface(i, j)
			for _, v := range s.Triangles {
				if int(v) >= len(s.Positions)/3 {
					return "a corner without a vertex"
				}
			}
			for k := range p.Targets {
				if moved := d.Target(i, j, k); len(moved) != len(s.Positions) {
					return "a target of another length"
				}
			}
		}
	}
	for i, s := range d.Skins {
		if len(d.InverseBinds(i)) != len(s.Joints) {
			return "inverse binds of another number"
		}
	}
	for i := range d.Animations {
		for _, seconds := range []float64{-1, 0, 0.37, 1, 1e30, math.NaN()} {
			locals := posed(d, i, seconds)
			for _, m := range d.WorldsOf(locals) {
				if list := m.Columns(); len(locals) < 8 && !finite(list[:]...) {
					return "a posed world that is not finite"
				}
			}
		}
	}
	for _, write := range []func(*gltf.Document) []byte{(*gltf.Document).GLB, (*gltf.Document).Text} {
		data := write(d)
		again, err := gltf.Read(data, nil)
		if err != nil {
			return "what is written is refused: " + err.Error()
		}
		if string(write(again)) != string(data) {
			return "what is written reads as something else"
		}
	}
	return ""
}

func TestDamageNeverPassesUnseenOrPanics(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 8))
	for _, whole := range [][]byte{strip(t).GLB(), strip(t).Text()} {
		read := 0
		for i := range 4000 {
			data := append([]byte(nil), whole...)
			for range 1 + r.IntN(4) {
				data[r.IntN(len(data))] = byte(r.Uint32())
			}
			d, err := gltf.Read(data, nil)
			if err != nil {
				continue
			}
			read++
			if wrong := use(d); wrong != "" {
				t.Fatalf("case %d: %s", i, wrong)
			}
		}
		if read < 100 {
			t.Errorf("%d damaged files were read, want some hundred: else nothing is tried", read)
		}
	}
}

// FuzzRead accepts a document that answers everything, or a *FormatError with a place.
func FuzzRead(f *testing.F) {
	f.Add(strip(f).GLB())
	f.Add(strip(f).Text())
	f.Add([]byte(`{"asset":{"version":"2.0"},"nodes":[{"children":[1]},{"matrix":[1,0,0,0,0,1,0,0,0,0,1,0,0,0,0,1]}],"scenes":[{"nodes":[0]}]}`))
	f.Add([]byte(`{"asset":{"version":"2.0"},"accessors":[{"componentType":5126,"count":3,"type":"VEC3"}],"meshes":[{"primitives":[{"attributes":{"POSITION":0},"mode":5}]}]}`))
	f.Add(zeros(3))
	f.Add(shared(16, 3))
	f.Add(patch(f, 4, 0, 4, 0))
	f.Add(spoil(f, "nodes 2 children = [0]\nnodes 1 children = [2]"))
	f.Add(spoil(f, `accessors 1 sparse = {"count":2,"indices":{"bufferView":0,"componentType":5123},"values":{"bufferView":2}}`))
	f.Add(spoil(f, "bufferViews 1 byteStride = 252"))
	f.Add(spoil(f, `animations 0 samplers 0 interpolation = "CUBICSPLINE"`))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bound.Watch(t, len(data))()
		d, err := gltf.Read(data, nil)
		if err != nil {
			var format *gltf.FormatError
			if !errors.As(err, &format) || format.Path == "" || format.Given == "" {
				t.Fatalf("a refusal without place or reason: %v", err)
			}
			return
		}
		if wrong := use(d); wrong != "" {
			t.Fatal(wrong)
		}
	})
}
