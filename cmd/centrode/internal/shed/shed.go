// Package shed takes out of a WebAssembly module of Go what only a traceback reads: files, lines, names of functions,
// and which call was put into which function; how types are written, where nothing but a failed assertion asks; and the bodies of
// functions that only record an execution, which nobody starts, or look into the program.
//
// A module carries for each function the line of every instruction. The runtime needs tables of that kind to move and
// scan stacks, and keeps those; lines and names it reads only to print where a program stopped, which no page shows. The
// bytes are set to zero where they stand, so nothing in memory moves, and the module compresses to much less.
// Names that the runtime does ask for stay: those of wrappers, which it takes apart when a method meets a nil pointer,
// those of reflect, and the beginning of its own.
//
// The tables are described in runtime/symtab.go and runtime/runtime2.go of Go 1.26. Whatever is not exactly as described
// there is an error, and then nothing is changed.
package shed

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"iter"
	"slices"
	"strings"
)

// Sizes and numbers of the tables of Go 1.26.
const (
	magic         = 0xfffffff1
	headerSize    = 72
	functionSize  = 44 // of runtime._func, before the offsets of its tables
	idWrapper     = 23 // abi.FuncIDWrapper
	tableUnsafe   = 0  // abi.PCDATA_UnsafePoint, for stopping at any instruction, which needs signals
	tableInlined  = 2  // abi.PCDATA_InlTreeIndex
	tableLiveArgs = 3  // abi.PCDATA_ArgLiveIndex
	mostTables    = 16
	listInlined   = 3    // abi.FUNCDATA_InlTree
	listArguments = 5    // abi.FUNCDATA_ArgInfo
	inlinedSize   = 16   // of runtime.inlinedCall
	argumentsEnd  = 0xff // abi.TraceArgsEndSeq
	none          = 0xffffffff
	functionLists = 320    // the place of gofunc in runtime.moduledata
	firstEntry    = 0x1000 // what the linker counts functions from (funcValueOffset)
)

// Fields of runtime._func, by their place.
const (
	fieldEntry  = 0
	fieldName   = 4
	fieldStack  = 16
	fieldFile   = 20
	fieldLine   = 24
	fieldTables = 28
	fieldUnit   = 32
	fieldStart  = 36
	fieldID     = 40
	fieldLists  = 43
)

// shedTables are the tables that nothing but a traceback or a signal reads.
var shedTables = []int{tableUnsafe, tableInlined, tableLiveArgs}

var errTables = errors.New("the tables of functions are not those of Go 1.26; they are left as they are")

// Lines gives a copy of the module without what tracebacks print, and without what looks into the program.
func Lines(module []byte) (lean []byte, err error) {
	defer func() {
		if recover() != nil { // a read outside of the module: it is none, or one of another form
			lean, err = nil, errTables
		}
	}()
	m := &memory{file: slices.Clone(module)}
	if err := m.findSegments(); err != nil {
		return nil, err
	}
	t, err := findTables(m)
	if err != nil {
		return nil, err
	}
	functions, err := t.functions()
	if err != nil {
		return nil, err
	}
	shorten(functions)
	*m = memory{file: t.exchanged(functions)}
	if err := m.findSegments(); err != nil { // the same memory, at other places of the file
		return nil, err
	}
	t.clear(functions)
	return m.file, nil
}

// tables are the addresses of the parts.
type tables struct {
	m                              *memory
	count                          int
	names, units, files, steps, at int
	lists                          int
	module                         int // runtime.moduledata
}

// findTables finds the header by its first bytes and by what must follow them.
func findTables(m *memory) (tables, error) {
	first := append(binary.LittleEndian.AppendUint32(nil, magic), 0, 0, 1, 8)
	for at := range places(m.image, first) {
		part := func(i int) int { return at + m.word(at+32+8*i) }
		t := tables{m, m.word(at + 8), part(0), part(1), part(2), part(3), part(4), 0, 0}
		if t.names == at+headerSize && t.names < t.units && t.units <= t.files && t.files < t.steps && t.steps < t.at {
			return t, t.findLists(at)
		}
	}
	return tables{}, errTables
}

// findLists finds runtime.moduledata by its first two words, the address of the header and of the names behind it, and
// in it the address that the lists of functions are counted from.
func (t *tables) findLists(header int) error {
	first := binary.LittleEndian.AppendUint64(nil, uint64(header))
	for at := range places(t.m.image, binary.LittleEndian.AppendUint64(first, uint64(t.names))) {
		if t.lists, t.module = t.m.word(at+functionLists), at; t.lists > t.at {
			return nil
		}
	}
	return errTables
}

// places goes through all places of a text.
func places(b, text []byte) iter.Seq[int] {
	return func(yield func(int) bool) {
		for from := 0; ; from++ {
			i := bytes.Index(b[from:], text)
			if i < 0 || !yield(from+i) {
				return
			}
			from += i
		}
	}
}

// function is what is needed of one.
type function struct {
	at     int
	name   string
	tables []int  // the offsets of its tables in steps, by number
	lists  []int  // and of its lists, counted from the address that moduledata holds
	body   []byte // what stands in place of its own; nil where that stays
}

// functions reads the list, and refuses it where anything is not in its place.
func (t tables) functions() ([]function, error) {
	var list []function
	for i := range t.count {
		entry, offset := t.m.half(t.at+8*i), t.m.half(t.at+8*i+4)
		f := function{at: t.at + offset}
		n := t.m.half(f.at + fieldTables)
		if entry != firstEntry+i || t.m.half(f.at+fieldEntry) != entry || n > mostTables || t.m.byte(f.at+fieldLists) > mostTables {
			return nil, errTables
		}
		f.name = t.m.text(t.names + t.m.half(f.at+fieldName))
		for j := range n {
			f.tables = append(f.tables, t.m.half(f.at+functionSize+4*j))
		}
		for j := range t.m.byte(f.at + fieldLists) {
			f.lists = append(f.lists, t.m.half(f.at+functionSize+4*(n+j)))
		}
		list = append(list, f)
	}
	if len(list) == 0 || !slices.ContainsFunc(list, func(f function) bool { return f.name == "runtime.main" }) {
		return nil, fmt.Errorf("runtime.main is not among the functions; %w", errTables)
	}
	return list, nil
}

// clear empties the tables. What two functions share stays while one of them needs it.
func (t tables) clear(functions []function) {
	t.clearTypes(functions)
	t.clearLists(functions)
	kept := make([]bool, t.at-t.steps)
	kept[0] = true
	for _, f := range functions {
		if f.body != nil {
			t.forget(f)
			continue
		}
		t.keep(kept, t.m.half(f.at+fieldStack))
		for i, offset := range f.tables {
			if !slices.Contains(shedTables, i) {
				t.keep(kept, offset)
			}
		}
	}
	for i, k := range kept {
		if !k {
			t.m.set(t.steps+i, 0)
		}
	}
	for i := t.units; i < t.steps; i++ {
		t.m.set(i, 0)
	}
	t.clearFunctions(functions)
}

// keep marks one table: pairs of numbers of varying length, until a first of a pair, not the very first, is zero.
func (t tables) keep(kept []bool, offset int) {
	if offset == 0 {
		return
	}
	for first := true; ; first = false {
		more := t.m.byte(t.steps+offset) != 0
		offset = t.keepNumber(kept, offset)
		if !more && !first {
			return
		}
		offset = t.keepNumber(kept, offset)
	}
}

func (t tables) keepNumber(kept []bool, offset int) int {
	for {
		kept[offset] = true
		offset++
		if t.m.byte(t.steps+offset-1) < 0x80 {
			return offset
		}
	}
}

// clearFunctions takes lines and names from each function. A name is never moved; the functions of the runtime share
// the first of theirs, cut after "runtime.", by which it knows goroutines of its own.
func (t tables) clearFunctions(functions []function) {
	const own = "runtime."
	stays := make([]bool, t.units-t.names)
	shared := -1
	for _, f := range functions {
		offset := t.m.half(f.at + fieldName)
		if strings.HasPrefix(f.name, own) && shared < 0 {
			shared = offset
			mark(stays[offset:], len(own))
		}
		switch {
		case t.m.byte(f.at+fieldID) == idWrapper || strings.HasPrefix(f.name, "reflect."):
			mark(stays[offset:], len(f.name))
		case strings.HasPrefix(f.name, own):
			t.m.setHalf(f.at+fieldName, shared)
		default:
			t.m.setHalf(f.at+fieldName, 0)
		}
		for _, field := range []int{fieldFile, fieldLine, fieldUnit, fieldStart} {
			t.m.setHalf(f.at+field, 0)
		}
		for _, table := range shedTables {
			if table < len(f.tables) {
				t.m.setHalf(f.at+functionSize+4*table, 0)
			}
		}
	}
	for i, s := range stays {
		if !s {
			t.m.set(t.names+i, 0)
		}
	}
}

func mark(list []bool, n int) {
	for i := range n {
		list[i] = true
	}
}
