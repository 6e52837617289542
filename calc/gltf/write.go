package gltf

import (
	"strconv"

	"centrode/calc/jsontree"
)

// GLB returns the document as one binary file: the first buffer is its binary part, other buffers that lay in files of
// their own become data URIs. Images beside the file stay beside it.
func (d *Document) GLB() []byte {
	var bin []byte
	if len(d.buffers) > 0 {
		bin = d.buffers[0].data
	}
	text := d.packed(func(i int, b *jsontree.Value) {
		if i == 0 {
			b.Remove("uri")
		} else if d.buffers[i].apart || b.Member("uri") == nil {
			b.Set("uri", dataURI(d.buffers[i].data))
		}
	}).AppendTo(nil)
	out := appendUint32([]byte(magic), 2)
	out = appendUint32(out, 0)
	out = appendChunk(out, chunkJSON, text, ' ')
	if len(d.buffers) > 0 {
		out = appendChunk(out, chunkBIN, bin, 0)
	}
	out = append(out, d.extra...)
	copy(out[8:], appendUint32(nil, uint32(len(out))))
	return out
}

// Text returns the document as one .gltf file: every buffer is a data URI in it.
func (d *Document) Text() []byte {
	tree := d.packed(func(i int, b *jsontree.Value) {
		if d.buffers[i].apart || b.Member("uri") == nil {
			b.Set("uri", dataURI(d.buffers[i].data))
		}
	})
	return append(tree.AppendTo(nil), '\n')
}

// packed is the JSON with members of buffers changed; the tree of the document stays as it is.
func (d *Document) packed(change func(i int, b *jsontree.Value)) *jsontree.Value {
	root := d.root.Copy()
	if len(d.buffers) == 0 {
		return root
	}
	list := root.Member("buffers").Copy()
	for i := range d.buffers {
		b := list.At(i).Copy()
		change(i, b)
		list.SetAt(i, b)
	}
	return root.Set("buffers", list)
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
