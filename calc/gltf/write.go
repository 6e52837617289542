package gltf

import (
	"strconv"
	"strings"

	"centrode/calc/jsontree"
)

// GLB returns the document as one binary file. All buffers become one, the binary part, and images that are data URIs go
// into it, since the standard advises against such addresses in a binary file; what second and further buffers say of
// themselves besides their bytes is lost. Images beside the file stay beside it.
func (d *Document) GLB() []byte {
	root, bin := d.merged()
	out := appendUint32([]byte(magic), 2)
	out = appendUint32(out, 0)
	out = appendChunk(out, chunkJSON, root.AppendTo(nil), ' ')
	if len(bin) > 0 {
		out = appendChunk(out, chunkBIN, bin, 0)
	}
	out = append(out, d.extra...)
	copy(out[8:], appendUint32(nil, uint32(len(out))))
	return out
}

// merged is the JSON for a binary file, and its binary part. The tree of the document stays as it is.
func (d *Document) merged() (root *jsontree.Value, bin []byte) {
	root = d.root.Copy()
	starts := make([]int, len(d.buffers))
	for i, b := range d.buffers {
		if i == 0 {
			bin = b.data[:len(b.data):len(b.data)] // what is appended must not reach the document's bytes
		} else {
			starts[i], bin = place4(bin, b.data)
		}
	}
	if len(starts) > 1 {
		moveViews(root, starts)
	}
	bin = d.takeImages(root, bin)
	if len(bin) == 0 {
		return root, nil
	}
	first := jsontree.NewObject() // of an image alone
	if len(d.buffers) > 0 {
		first = d.root.Member("buffers").At(0).Copy()
		first.Remove("uri")
	}
	if len(d.buffers) == 0 || len(bin) > len(d.buffers[0].data) {
		first.Set("byteLength", jsontree.NewInt(len(bin)))
	}
	return root.Set("buffers", jsontree.NewArray(first)), bin
}

// place4 appends data at the next multiple of four.
func place4(bin, data []byte) (at int, out []byte) {
	for len(bin)%4 != 0 {
		bin = append(bin, 0)
	}
	return len(bin), append(bin, data...)
}

// moveViews says in which place of the one buffer the bytes of the former ones lie; extensions that repeat a view's words
// are told too.
func moveViews(root *jsontree.Value, starts []int) {
	views := root.Member("bufferViews")
	if views == nil {
		return
	}
	views = views.Copy()
	root.Set("bufferViews", views)
	for i := range views.Len() {
		v := moved(views.At(i), starts)
		if extensions := v.Member("extensions"); extensions.Kind() == jsontree.Object {
			extensions = extensions.Copy()
			for k := range extensions.Len() {
				extensions.SetAt(k, moved(extensions.At(k), starts))
			}
			v = v.Copy().Set("extensions", extensions)
		}
		views.SetAt(i, v)
	}
}

func moved(v *jsontree.Value, starts []int) *jsontree.Value {
	from, ok := v.Member("buffer").Int()
	if !ok || from <= 0 || from >= int64(len(starts)) {
		return v
	}
	offset, _ := v.Member("byteOffset").Int()
	return v.Copy().Set("buffer", jsontree.NewInt(0)).Set("byteOffset", jsontree.NewInt(int(offset)+starts[from]))
}

// takeImages moves images that are data URIs into the binary part. One that cannot be decoded stays what it is.
func (d *Document) takeImages(root *jsontree.Value, bin []byte) []byte {
	images := root.Member("images")
	var fresh, views *jsontree.Value // lists of our own, made for the first image that is taken
	for i := range images.Len() {
		rest, ok := cutFold(images.At(i).Member("uri").Text(), "data:")
		head, body, comma := strings.Cut(rest, ",")
		kind, base64 := strings.CutSuffix(head, ";base64")
		data, problem := base64Bytes(body)
		if !ok || !comma || !base64 || problem != "" || kind == "" || len(data) == 0 {
			continue
		}
		if fresh == nil {
			fresh, views = images.Copy(), jsontree.NewArray()
			if old := root.Member("bufferViews"); old != nil {
				views = old.Copy()
			}
			root.Set("bufferViews", views).Set("images", fresh)
		}
		var at int
		at, bin = place4(bin, data)
		view := views.Append(jsontree.NewObject().Set("buffer", jsontree.NewInt(0)).
			Set("byteOffset", jsontree.NewInt(at)).Set("byteLength", jsontree.NewInt(len(data))))
		image := images.At(i).Copy()
		image.Remove("uri")
		if image.Member("mimeType") == nil {
			image.Set("mimeType", jsontree.NewString(kind))
		}
		fresh.SetAt(i, image.Set("bufferView", jsontree.NewInt(view)))
	}
	return bin
}

// Chunks is how many parts a binary file has behind its JSON and its bytes: those of other programs, which GLB keeps and Text cannot.
func (d *Document) Chunks() (n int) {
	for at := d.extra; len(at) > 0; n++ {
		_, _, at, _ = chunk(at) // was whole when it was read
	}
	return n
}

// Text returns the document as one .gltf file: every buffer is a data URI in it. What Chunks counts is lost.
func (d *Document) Text() []byte {
	root := d.root.Copy()
	if list := root.Member("buffers"); len(d.buffers) > 0 {
		list = list.Copy()
		for i, b := range d.buffers {
			if b.apart || list.At(i).Member("uri") == nil {
				list.SetAt(i, list.At(i).Copy().Set("uri", dataURI(b.data)))
			}
		}
		root.Set("buffers", list)
	}
	return append(root.AppendTo(nil), '\n')
}

func dataURI(data []byte) *jsontree.Value {
	return jsontree.NewString(string(appendBase64([]byte("data:application/octet-stream;base64,"), data)))
}

func appendChunk(b []byte, kind uint32, body []byte, pad byte) []byte {
	b = appendUint32(b, uint32(len(body)+3)&^3)
	b = append(appendUint32(b, kind), body...)
	for len(b)%4 != 0 {
		b = append(b, pad)
	}
	return b
}

// addView puts bytes at the end of the first buffer, which is made if there is none, and returns the view of them.
func (d *Document) addView(data []byte) int {
	list := d.root.List("buffers")
	if len(d.buffers) == 0 {
		d.buffers = append(d.buffers, buffer{owned: true})
		list.Append(jsontree.NewObject())
	}
	b := d.own(0)
	for len(b.data)%4 != 0 {
		b.data = append(b.data, 0)
	}
	v := view{buffer: 0, offset: len(b.data), length: len(data)}
	b.data = append(b.data, data...)
	list.At(0).Set("byteLength", jsontree.NewInt(len(b.data)))
	d.views = append(d.views, v)
	return d.root.List("bufferViews").Append(jsontree.NewObject().
		Set("buffer", jsontree.NewInt(0)).Set("byteOffset", jsontree.NewInt(v.offset)).Set("byteLength", jsontree.NewInt(v.length)))
}

// own makes the bytes of a buffer ours to change: until then they are those that were read. A data URI holds them no
// longer and goes; the address of a file is replaced when the document is written.
func (d *Document) own(i int) *buffer {
	b := &d.buffers[i]
	if !b.owned {
		b.owned, b.data = true, append([]byte(nil), b.data...)
	}
	if !b.apart {
		d.root.Member("buffers").At(i).Remove("uri")
	}
	return b
}

// itemPath names an accessor for messages.
func itemPath(accessor int) string { return "accessors[" + strconv.Itoa(accessor) + "]" }
