package shed

import "strings"

// Places in runtime.moduledata of the types and of the list of those without a name of their own, and in the types of
// internal/abi of what leads to others. A name is a byte of flags, its length, its text.
const (
	typesStart = 296
	typesEnd   = 304
	typesList  = 360

	typeKind   = 23
	typeForm   = 40
	typePart   = 48 // what a pointer, list, array or channel holds, or the key of a map
	typeOther  = 56 // what a map holds, or the fields of a struct
	fieldType  = 8
	fieldsSize = 24

	kindArray, kindChannel, kindMap, kindPointer, kindSlice, kindStruct = 17, 18, 21, 22, 23, 25
)

// clearTypes takes the written forms of types, such as "*main.point": a failed assertion prints them, and reflect, which
// has them all stay where it is linked. A form that could be the name of a method too stays, for methods are found by name.
func (t tables) clearTypes(functions []function) {
	for _, f := range functions {
		if strings.HasPrefix(f.name, "reflect.") {
			return
		}
	}
	start := t.m.word(t.module + typesStart)
	list, count := t.m.word(t.module+typesList), t.m.word(t.module+typesList+8)
	seen := map[int]bool{}
	for i := range count {
		t.clearType(start+t.m.half(list+4*i), start, seen)
	}
}

// clearType takes the form of the type at a place, and of those that it is made of.
func (t tables) clearType(at, start int, seen map[int]bool) {
	if seen[at] {
		return
	}
	seen[at] = true
	name := start + t.m.half(at+typeForm)
	size, text := number(t.m.image, name+1)
	if end := t.m.word(t.module + typesEnd); at < start || at >= end || text+size > end {
		panic("a type outside of the types")
	}
	if strings.ContainsAny(string(t.m.image[text:text+size]), "*[({ ") {
		for i := range size {
			t.m.set(text+i, 0)
		}
	}
	switch t.m.byte(at + typeKind) {
	case kindMap:
		t.clearType(t.m.word(at+typeOther), start, seen)
		fallthrough
	case kindArray, kindChannel, kindPointer, kindSlice:
		t.clearType(t.m.word(at+typePart), start, seen)
	case kindStruct:
		fields := t.m.word(at + typeOther)
		for i := range t.m.word(at + typeOther + 8) {
			t.clearType(t.m.word(fields+fieldsSize*i+fieldType), start, seen)
		}
	}
}
