package gltf

import (
	"strconv"
	"strings"

	"centrode/calc/quantity"
)

// buffer is the bytes of one member of buffers.
type buffer struct {
	data  []byte
	apart bool // lies in a file of its own
	owned bool // data is ours to change
}

// view is one member of bufferViews.
type view struct{ buffer, offset, length, stride int }

func (d *Document) viewBytes(i int) []byte {
	v := d.views[i]
	return d.buffers[v.buffer].data[v.offset : v.offset+v.length]
}

func (r *reader) readBuffers() {
	list := r.root.member("buffers")
	for i := range r.size(list) {
		p := list.item(i)
		if !r.object(p) {
			return
		}
		length := r.whole(p.member("byteLength"), 0, 1, maxBytes)
		b := r.content(i, p)
		if r.err == nil && len(b.data) < length {
			r.refuse(p.member("byteLength"), strconv.Itoa(length)+" where the file holds "+quantity.Things(len(b.data), "byte", "bytes"), "are at most as many as there are")
		}
		if r.err != nil {
			return
		}
		b.data = b.data[:length:length]
		r.doc.buffers = append(r.doc.buffers, b)
	}
}

// content finds the bytes of a buffer.
func (r *reader) content(i int, p *place) buffer {
	at := p.member("uri")
	if at.v == nil {
		if i > 0 || r.bin == nil {
			r.refuse(p, "a buffer without a uri and without a binary part", "is a uri")
		}
		return buffer{data: r.bin}
	}
	uri := r.text(at)
	if rest, ok := cutFold(uri, "data:"); ok {
		return r.inline(at, rest)
	}
	name, ok := relative(uri)
	switch {
	case r.err != nil:
	case !ok:
		r.refuse(at, short(strconv.Quote(uri)), "is the name of a file beside this one, or a data URI")
	case r.open == nil:
		r.refuse(at, "the file needs "+short(strconv.Quote(name))+" beside it", "is to give that file too, or to save everything as one .glb")
	default:
		data, err := r.open(name)
		if err != nil {
			r.refuse(at, short(strconv.Quote(name))+" cannot be opened ("+err.Error()+")", "is a file beside this one")
		} else if len(data) > maxBytes {
			r.refuse(at, strconv.Itoa(len(data))+" bytes", "are at most "+strconv.Itoa(maxBytes))
		}
		return buffer{data: data, apart: true}
	}
	return buffer{}
}

// inline decodes what follows "data:".
func (r *reader) inline(at *place, rest string) buffer {
	head, body, ok := strings.Cut(rest, ",")
	if !ok || !strings.HasSuffix(head, ";base64") {
		r.refuse(at, "data that is not base64", `is "data:application/octet-stream;base64,…"`)
		return buffer{}
	}
	data, problem := base64Bytes(body)
	if problem != "" {
		r.refuse(at, problem, "are A–Z a–z 0–9 + / and = at the end")
	}
	return buffer{data: data, owned: true}
}

func cutFold(s, prefix string) (string, bool) {
	if len(s) < len(prefix) || !strings.EqualFold(s[:len(prefix)], prefix) {
		return s, false
	}
	return s[len(prefix):], true
}

// relative resolves the percent escapes of an address; ok is false for one that is empty, absolute or escaped wrongly.
func relative(uri string) (name string, ok bool) {
	if uri == "" || uri[0] == '/' || uri[0] == '\\' || strings.Contains(uri, ":") {
		return "", false
	}
	var b []byte
	for i := 0; i < len(uri); i++ {
		if uri[i] != '%' {
			b = append(b, uri[i])
			continue
		}
		if i+3 > len(uri) {
			return "", false
		}
		c, err := strconv.ParseUint(uri[i+1:i+3], 16, 8)
		if err != nil || c == 0 {
			return "", false
		}
		b = append(b, byte(c))
		i += 2
	}
	return string(b), true
}

func (r *reader) readViews() {
	list := r.root.member("bufferViews")
	for i := range r.size(list) {
		p := list.item(i)
		if !r.object(p) {
			return
		}
		v := view{buffer: r.must(p.member("buffer"), len(r.doc.buffers), "buffers")}
		if r.err != nil {
			return
		}
		room := len(r.doc.buffers[v.buffer].data)
		v.offset = r.whole(p.member("byteOffset"), 0, 0, room)
		v.length = r.whole(p.member("byteLength"), 0, 1, max(1, room-v.offset))
		v.stride = r.whole(p.member("byteStride"), 4, 4, 252)
		if p.member("byteStride").v == nil {
			v.stride = 0
		}
		if v.stride%4 != 0 {
			r.refuse(p.member("byteStride"), strconv.Itoa(v.stride), "is a multiple of 4")
		}
		if v.offset+v.length > room { // an offset at the very end leaves not one byte
			r.refuse(p.member("byteOffset"), strconv.Itoa(v.offset), "is below "+strconv.Itoa(room)+", the size of the buffer")
		}
		r.doc.views = append(r.doc.views, v)
	}
}
