package carry

import (
	"bytes"
	"encoding/binary"
	"strings"
	"testing"

	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/quantity"
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

// TestChunksThatATextCannotHoldAreTold: chunks for other programs go on in a binary file, and a text has no place for them. One that is
// only planned may become either.
func TestChunksThatATextCannotHoldAreTold(t *testing.T) {
	b := chain(t)
	whole := b.Doc.GLB()
	for range 3 {
		if doc, err := gltf.Read(whole, nil); err != nil {
			t.Fatal(err)
		} else if b, err = body.New("chunks.glb", doc); err != nil {
			t.Fatal(err)
		}
		for _, text := range []bool{false, true} {
			p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}, Text: text})
			if err != nil {
				t.Fatal(err)
			}
			want := text && b.Doc.Chunks() > 0
			if lost := strings.Join(p.Lose(), "\n"); strings.Contains(lost, "for other programs behind its bytes, which a .gltf has no place for") != want || want && !strings.Contains(lost, "has "+quantity.Things(b.Doc.Chunks(), "chunk ", "chunks ")) {
				t.Errorf("%d chunks, as text %v: told %s", b.Doc.Chunks(), text, lost)
			}
			if data, _, err := p.GLB(); err != nil || bytes.Count(data, []byte("MORE")) != b.Doc.Chunks() {
				t.Errorf("%d chunks, %v in the new file: %v", b.Doc.Chunks(), bytes.Count(data, []byte("MORE")), err)
			}
		}
		whole = append(whole, "\x04\x00\x00\x00MOREabcd"...)
		binary.LittleEndian.PutUint32(whole[8:], uint32(len(whole)))
	}
}
