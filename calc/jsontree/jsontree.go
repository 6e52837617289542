// Package jsontree reads JSON into an ordered tree and writes it again with every text as it was.
//
// Start at Parse. Members keep their order, and numbers and strings keep the characters they were written with, so a tree
// that is read and written differs from its source in white space alone. Sizes are bounded by Limits, because the text
// may come from anybody. The methods that read a Value accept nil, which stands for what is not there, so that a path of
// members can be followed without asking at each step; those that change it do not. It is here because encoding/json loses order and digits, and is large.
package jsontree

import (
	"math"
	"strconv"
	"strings"

	"centrode/calc/quantity"
)

// Kind tells what a Value is.
type Kind uint8

// The kinds of JSON, and Missing for the nil Value.
const (
	Missing Kind = iota
	Null
	Bool
	Number
	String
	Array
	Object
)

// Word is the kind as a message names it.
func (k Kind) Word() string {
	return [...]string{"nothing", "null", "a truth value", "a number", "a text", "a list", "an object"}[k]
}

// Value is one node of the tree. Change it with its methods alone.
type Value struct {
	kind  Kind
	raw   string   // of a leaf: its characters, quotes included
	names []string // of an object: the names of its members, raw and without quotes
	items []*Value // of a list or an object
}

// Kind is Missing for nil.
func (v *Value) Kind() Kind {
	if v == nil {
		return Missing
	}
	return v.kind
}

// Len is the number of items of a list or members of an object, and 0 for all else.
func (v *Value) Len() int {
	if v == nil {
		return 0
	}
	return len(v.items)
}

// At is item or member i, or nil.
func (v *Value) At(i int) *Value {
	if v == nil || i < 0 || i >= len(v.items) {
		return nil
	}
	return v.items[i]
}

// Name is the name of member i of an object, or "".
func (v *Value) Name(i int) string {
	if v == nil || i < 0 || i >= len(v.names) {
		return ""
	}
	return decode(v.names[i])
}

// Member is the member with that name, or nil.
func (v *Value) Member(name string) *Value { return v.At(v.find(name)) }

func (v *Value) find(name string) int {
	if v == nil {
		return -1
	}
	for i, raw := range v.names {
		if raw == name || strings.IndexByte(raw, '\\') >= 0 && decode(raw) == name {
			return i
		}
	}
	return -1
}

// Raw is the text of a leaf exactly as it was written, and "" for a list, an object and nil.
func (v *Value) Raw() string {
	if v == nil {
		return ""
	}
	return v.raw
}

// Text is the decoded text of a string, and "" for all else.
func (v *Value) Text() string {
	if v.Kind() != String {
		return ""
	}
	return decode(v.raw[1 : len(v.raw)-1])
}

// True reports whether v is the truth value true.
func (v *Value) True() bool { return v.Kind() == Bool && v.raw == "true" }

// Float is the value of a number. ok is false for what is no number and for one outside the range of a float64.
func (v *Value) Float() (x float64, ok bool) {
	if v.Kind() != Number {
		return 0, false
	}
	x, err := strconv.ParseFloat(v.raw, 64)
	return x, err == nil
}

// Int is the value of a number without a fraction, nearer to 0 than 2⁵³, up to where a float64 is exact; 3.0 is one too. ok is false
// for all else.
func (v *Value) Int() (n int64, ok bool) {
	x, ok := v.Float()
	if !ok || x != math.Trunc(x) || math.Abs(x) >= 1<<53 {
		return 0, false
	}
	return int64(x), true
}

// NewObject returns an object without members.
func NewObject() *Value { return &Value{kind: Object} }

// NewArray returns a list of the items.
func NewArray(items ...*Value) *Value { return &Value{kind: Array, items: items} }

// NewString returns a text.
func NewString(s string) *Value { return &Value{kind: String, raw: string(AppendString(nil, s))} }

// NewBool returns a truth value.
func NewBool(on bool) *Value { return &Value{kind: Bool, raw: strconv.FormatBool(on)} }

// NewInt returns a number.
func NewInt(n int) *Value { return &Value{kind: Number, raw: strconv.Itoa(n)} }

// NewNumber returns a number in the fewest digits that read back the same; what is not finite becomes null.
func NewNumber(x float64) *Value {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return &Value{kind: Null, raw: "null"}
	}
	return &Value{kind: Number, raw: quantity.Shortest(x)}
}

// NewStrings returns a list of texts.
func NewStrings(list ...string) *Value {
	v := NewArray()
	for _, text := range list {
		v.items = append(v.items, NewString(text))
	}
	return v
}

// NewNumbers returns a list of numbers.
func NewNumbers(list ...float64) *Value {
	v := NewArray()
	for _, x := range list {
		v.items = append(v.items, NewNumber(x))
	}
	return v
}

// NewInts returns a list of whole numbers.
func NewInts(list ...int) *Value {
	v := NewArray()
	for _, n := range list {
		v.items = append(v.items, NewInt(n))
	}
	return v
}

// Set gives the object the member: in the place of the one with that name, else at the end. It returns the object.
func (v *Value) Set(name string, member *Value) *Value {
	if i := v.find(name); i >= 0 {
		v.items[i] = member
		return v
	}
	quoted := string(AppendString(nil, name))
	v.names = append(v.names, quoted[1:len(quoted)-1])
	v.items = append(v.items, member)
	return v
}

// Remove takes the member of that name away, if there is one.
func (v *Value) Remove(name string) {
	if i := v.find(name); i >= 0 {
		v.names = append(v.names[:i], v.names[i+1:]...)
		v.items = append(v.items[:i], v.items[i+1:]...)
	}
}

// Append puts the item at the end of a list and returns its place.
func (v *Value) Append(item *Value) int {
	v.items = append(v.items, item)
	return len(v.items) - 1
}

// List returns the member, a list; it makes an empty one where there is none.
func (v *Value) List(name string) *Value {
	list := v.Member(name)
	if list == nil {
		list = NewArray()
		v.Set(name, list)
	}
	return list
}

// Copy returns a value with a list of items of its own; the items themselves are shared.
func (v *Value) Copy() *Value {
	c := *v
	c.names, c.items = append([]string(nil), v.names...), append([]*Value(nil), v.items...)
	return &c
}

// SetAt puts another item or member in place i.
func (v *Value) SetAt(i int, item *Value) { v.items[i] = item }
