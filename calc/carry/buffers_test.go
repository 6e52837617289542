package carry

import (
	"strings"
	"testing"

	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// TestWhatFurtherBuffersSayIsToldToBeLost: the new file has one buffer, so the name and extras of a second one go.
func TestWhatFurtherBuffersSayIsToldToBeLost(t *testing.T) {
	const file = `{"asset":{"version":"2.0"},"nodes":[{"name":"root","children":[1]},{"name":"elbow","children":[2],"translation":[0.3,0,0]},{"name":"ball","mesh":0}],` +
		`"meshes":[{"primitives":[{"attributes":{"POSITION":0}}]}],"accessors":[{"bufferView":0,"componentType":5126,"count":3,"type":"VEC3"}],"bufferViews":[{"buffer":1,"byteLength":36}],` +
		`"buffers":[{"byteLength":4,"uri":"a.bin","name":"first"},{"byteLength":36,"uri":"b.bin"}]}`
	for _, more := range []string{"", `,"name":"clips"`, `,"extras":{"take":7}`} {
		doc, err := gltf.Read([]byte(strings.Replace(file, `"b.bin"`, `"b.bin"`+more, 1)), func(string) ([]byte, error) { return make([]byte, 36), nil })
		if err != nil {
			t.Fatal(err)
		}
		b, err := body.New("two.gltf", doc)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(b, 1, Options{To: rigid.Vec{X: 31}})
		if err != nil {
			t.Fatal(err)
		}
		if told := strings.Contains(strings.Join(p.Lose(), "\n"), "several buffers"); told != (more != "") {
			t.Errorf("%q: told %v: %q", more, told, p.Lose())
		}
	}
}
