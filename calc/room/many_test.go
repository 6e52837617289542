package room

import (
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"

	"centrode/tests/hard/bound"
)

// manyMoved is a file of so many joints, all below the first and each turned by the one clip; its triangle hangs on the first three.
func manyMoved(joints int) []byte {
	var data []byte
	var views, accessors []string
	add := func(component int, kind string, count int, bytes []byte) {
		views = append(views, fmt.Sprintf(`{"buffer":0,"byteOffset":%d,"byteLength":%d}`, len(data), len(bytes)))
		accessors = append(accessors, fmt.Sprintf(`{"bufferView":%d,"componentType":%d,"type":%q,"count":%d}`, len(views)-1, component, kind, count))
		data = append(data, bytes...)
	}
	floats := func(list ...float32) (bytes []byte) {
		for _, x := range list {
			bytes = binary.LittleEndian.AppendUint32(bytes, math.Float32bits(x))
		}
		return bytes
	}
	add(5126, "VEC3", 3, floats(0, 0, 0, 1, 0, 0, 0, 1, 0))
	add(5121, "VEC4", 3, []byte{0, 0, 0, 0, 1, 0, 0, 0, 2, 0, 0, 0})
	add(5126, "VEC4", 3, floats(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0))
	add(5126, "SCALAR", 2, floats(0, 1))
	add(5126, "VEC4", 2, floats(0, 0, 0, 1, 0, 0, 0.6, 0.8))
	var nodes, children, list, channels []string
	for i := range joints {
		list = append(list, fmt.Sprint(i))
		channels = append(channels, fmt.Sprintf(`{"sampler":0,"target":{"node":%d,"path":"rotation"}}`, i))
		if i > 0 {
			children, nodes = append(children, fmt.Sprint(i)), append(nodes, `{"translation":[0.1,0,0]}`)
		}
	}
	all := func(list []string) string { return strings.Join(list, ",") }
	return fmt.Appendf(nil, `{"asset":{"version":"2.0"},"nodes":[{"children":[%s]},%s,{"mesh":0,"skin":0}],"skins":[{"joints":[%s]}],
		"meshes":[{"primitives":[{"attributes":{"POSITION":0,"JOINTS_0":1,"WEIGHTS_0":2}}]}],"animations":[{"samplers":[{"input":3,"output":4}],"channels":[%s]}],
		"accessors":[%s],"bufferViews":[%s],"buffers":[{"byteLength":%d,"uri":"data:;base64,%s"}]}`,
		all(children), all(nodes), all(list), all(channels), all(accessors), all(views), len(data), base64.StdEncoding.EncodeToString(data))
}

// A file of two megabytes can have twenty thousand joints, each moved by a clip: to look each up among all moves, and each one's children among
// all joints, takes many seconds here, and longer in a page.
func TestManyMovedJointsAreDescribedAndPosedSoon(t *testing.T) {
	r, err := Open([]File{{"many.gltf", manyMoved(20_000)}})
	if err != nil {
		t.Fatal(err)
	}
	end := bound.Watch(t, 2<<20)
	text := r.Describe()
	err = r.Pose(Ask{Joint: 1, Clip: -1, Angle: 30, Point: -1, Trial: true})
	end()
	if err != nil || len(text) < 1<<20 {
		t.Errorf("described in %d bytes, posed: %v", len(text), err)
	}
}
