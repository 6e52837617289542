package shed

import (
	"bytes"
	"encoding/binary"
	"errors"
	"iter"
	"slices"
)

// memory is what a module's memory holds at its start. What no segment covers is zero.
type memory struct {
	file     []byte
	image    []byte    // the memory, up to its last byte that is not zero
	segments []segment // by address
}

type segment struct{ address, file, size int }

// find gives the place in the file of the byte at an address, or -1 between segments.
func (m *memory) find(address int) int {
	i, found := slices.BinarySearchFunc(m.segments, address, func(s segment, a int) int { return s.address - a })
	if !found {
		i--
	}
	if i < 0 || address >= m.segments[i].address+m.segments[i].size {
		return -1
	}
	return m.segments[i].file + address - m.segments[i].address
}

func (m *memory) byte(address int) int { return int(m.image[address]) }

// set writes a byte; one between segments is zero already, and nothing but zero is written there.
func (m *memory) set(address int, b byte) {
	m.image[address] = b
	if i := m.find(address); i >= 0 {
		m.file[i] = b
	} else if b != 0 {
		panic("a byte between the segments")
	}
}

func (m *memory) half(address int) int { return int(binary.LittleEndian.Uint32(m.image[address:])) }

func (m *memory) setHalf(address, value int) {
	for i := range 4 {
		m.set(address+i, byte(value>>(8*i)))
	}
}

func (m *memory) word(address int) int { return int(binary.LittleEndian.Uint64(m.image[address:])) }

func (m *memory) text(address int) string {
	end := bytes.IndexByte(m.image[address:], 0)
	return string(m.image[address : address+end])
}

var errModule = errors.New("it is no WebAssembly module as Go 1.26 makes them; it is left as it is")

const (
	headSize    = 8 // of a module, before its sections
	codeSection = 10
	dataSection = 11
	mostMemory  = 64 << 20 // far beyond what a module of ours has at its start
)

// span is where something stands in a file.
type span struct{ from, to int }

// sections goes through the sections of a module: what each is, and where its content stands.
func sections(file []byte) iter.Seq2[byte, span] {
	return func(yield func(byte, span) bool) {
		for at := headSize; at < len(file); {
			id := file[at]
			size, body := number(file, at+1)
			if at = body + size; !yield(id, span{body, at}) {
				return
			}
		}
	}
}

// findSegments reads the list of segments, each with a constant address (i32.const N end).
func (m *memory) findSegments() error {
	if len(m.file) < headSize || string(m.file[:headSize]) != "\x00asm\x01\x00\x00\x00" {
		return errModule
	}
	for id, at := range sections(m.file) {
		if at.to > len(m.file) {
			return errModule
		}
		if id != dataSection {
			continue
		}
		count, next := number(m.file, at.from)
		for range count {
			s, end, ok := m.segment(next)
			if !ok {
				return errModule
			}
			m.segments, next = append(m.segments, s), end
		}
	}
	slices.SortFunc(m.segments, func(a, b segment) int { return a.address - b.address })
	if len(m.segments) == 0 {
		return errModule
	}
	return m.fill()
}

// fill copies the segments to their addresses.
func (m *memory) fill() error {
	last := m.segments[len(m.segments)-1]
	if last.address+last.size > mostMemory {
		return errModule
	}
	m.image = make([]byte, last.address+last.size+8)
	for _, s := range m.segments {
		copy(m.image[s.address:], m.file[s.file:s.file+s.size])
	}
	return nil
}

func (m *memory) segment(at int) (s segment, end int, ok bool) {
	if m.file[at] != 0 || m.file[at+1] != 0x41 {
		return s, 0, false
	}
	address, next := signed(m.file, at+2)
	if m.file[next] != 0x0b {
		return s, 0, false
	}
	size, start := number(m.file, next+1)
	return segment{address, start, size}, start + size, start+size <= len(m.file)
}

// number reads an unsigned LEB128 number and says where it ends.
func number(b []byte, at int) (value, end int) {
	v, n := binary.Uvarint(b[at:])
	if n <= 0 {
		panic("no number")
	}
	return int(v), at + n
}

// signed reads a signed LEB128 number; addresses are never negative.
func signed(b []byte, at int) (value, end int) {
	value, end = number(b, at)
	return value, end
}
