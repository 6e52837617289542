package sheet

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"centrode/calc/catalog"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/spell"
)

// Read reads the file of a sheet. What is no such file, or is beyond the bounds, is refused with a *catalog.InputError
// whose Field names the member: "entries[1].candidate". States are read later, by Prove. Time and memory are linear in
// the text.
func Read(text []byte) (Sheet, error) {
	if len(text) > MaxBytes {
		return Sheet{}, refuse("", strconv.Itoa(len(text))+" bytes", "a sheet has at most "+strconv.Itoa(MaxBytes))
	}
	root, err := jsontree.Parse(text, jsontree.Limits{Depth: 8, Values: 4096})
	if err != nil {
		return Sheet{}, refuse("", "", "the file is no JSON of a sheet: "+err.Error())
	}
	r := &reader{}
	s := r.sheet(root)
	return s, r.err
}

func refuse(field, given, allowed string) error {
	return &catalog.InputError{Field: field, Given: given, Allowed: allowed}
}

// reader keeps the first refusal; after it, what is read does not matter.
type reader struct{ err error }

func (r *reader) refuse(field, given, allowed string) {
	if r.err == nil {
		r.err = refuse(field, given, allowed)
	}
}

func (r *reader) sheet(o *jsontree.Value) Sheet {
	var s Sheet
	r.members(o, "", "format", "title", "character", "reviewer", "date", "reasons", "entries")
	if got := o.Member("format"); got.Text() != Format {
		r.refuse("format", given(got), "must be "+Format+"; this file is no sheet, or one of a later version")
		return s
	}
	for _, t := range s.texts() {
		*t.text = r.text(o, t.name, t.name, t.most)
	}
	if !isDate(s.Date) {
		r.refuse("date", quantity.Quoted(s.Date), "must be a day written year-month-day, as in 2026-03-04, or left out")
	}
	entries := o.Member("entries")
	if n := entries.Len(); entries.Kind() != jsontree.Array || n < 1 || n > MaxEntries {
		r.refuse("entries", given(entries), "must be a list of 1 to "+strconv.Itoa(MaxEntries)+" placements")
		return s
	}
	for i := range entries.Len() {
		s.Entries = append(s.Entries, r.entry(entries.At(i), "entries["+strconv.Itoa(i+1)+"]"))
	}
	return s
}

func (r *reader) entry(o *jsontree.Value, at string) Entry {
	e := Entry{Title: r.text(o, "title", at+".title", MaxLine), Joint: r.text(o, "joint", at+".joint", MaxLine)}
	measured := o.Member("measured") != nil
	if measured {
		r.members(o, at, "title", "joint", "measured", "current", "candidate", "parent", "child", "numbers")
		e.Measured = Measured{File: r.text(o, "measured", at+".measured", MaxLine), Parent: r.point(o, "parent", at, false), Child: r.point(o, "child", at, false)}
		if current, candidate := r.point(o, "current", at, true), r.point(o, "candidate", at, true); current != nil && candidate != nil {
			e.Measured.Current, e.Measured.Candidate = *current, *candidate
		}
		if e.Measured.File == "" {
			r.refuse(at+".measured", "", "must name the file that the placement was measured from")
		}
	} else {
		r.members(o, at, "title", "joint", "calculator", "current", "candidate", "numbers")
		e.Calculator = r.text(o, "calculator", at+".calculator", MaxLine)
		if e.Calculator == "" {
			r.refuse(at+".calculator", "", `must name a calculator; a placement from a file has "measured" instead`)
		}
		e.Current, e.Candidate = r.state(o, "current", at), r.state(o, "candidate", at)
	}
	numbers := o.Member("numbers")
	if numbers != nil && numbers.Kind() != jsontree.Array || numbers.Len() > MaxNumbers {
		r.refuse(at+".numbers", given(numbers), "must be a list of at most "+strconv.Itoa(MaxNumbers)+" numbers")
		return e
	}
	for i := range numbers.Len() {
		e.Numbers = append(e.Numbers, r.number(numbers.At(i), at+".numbers["+strconv.Itoa(i+1)+"]", measured))
	}
	return e
}

func (r *reader) number(o *jsontree.Value, at string, measured bool) Number {
	n := Number{ID: r.text(o, "id", at+".id", MaxLine)}
	if measured {
		r.members(o, at, "id", "label", "quantity", "digits", "current", "candidate", "sigma")
		n.Label = r.text(o, "label", at+".label", MaxLine)
		n.Kind = r.kind(o, at)
		digits, ok := o.Member("digits").Int()
		if o.Member("digits") != nil && !(ok && digits >= 0 && digits <= 6) {
			r.refuse(at+".digits", given(o.Member("digits")), "must be a whole number from 0 to 6")
		}
		n.Digits = int(min(max(digits, 0), 6))
		n.Sigma = r.value(o, "sigma", at)
		if n.Label == "" {
			r.refuse(at+".label", "", "must say what the number is")
		}
	} else {
		r.members(o, at, "id", "current", "candidate")
	}
	n.Current, n.Candidate = r.value(o, "current", at), r.value(o, "candidate", at)
	return n
}

// members refuses what is no object, and every member beside the known ones.
func (r *reader) members(o *jsontree.Value, at string, known ...string) {
	if o.Kind() != jsontree.Object {
		r.refuse(at, given(o), "must be an object with members such as "+quantity.Quoted(known[0]))
	}
	for i := range o.Len() {
		if name := o.Name(i); !has(known, name) {
			r.refuse(strings.TrimPrefix(at+".", ".")+clip(name), "", "is unknown here"+spell.Offer(name, known))
		}
	}
}

func has(list []string, word string) bool {
	for _, one := range list {
		if one == word {
			return true
		}
	}
	return false
}

// text reads a text of at most so many characters; one that is missing is empty. Signs that steer a terminal or a
// printer are refused; only reasons may have more than one line.
func (r *reader) text(o *jsontree.Value, name, field string, most int) string {
	v := o.Member(name)
	if v == nil {
		return ""
	}
	if v.Kind() != jsontree.String {
		r.refuse(field, given(v), "must be a text")
	}
	text := v.Text()
	if n := utf8.RuneCountInString(text); n > most {
		r.refuse(field, strconv.Itoa(n)+" characters", "must be at most "+strconv.Itoa(most))
	}
	for _, c := range text {
		if steers(c) && !(c == '\n' && most == MaxReasons) {
			r.refuse(field, quantity.Quoted(text), "holds a sign that is no letter and no space; take it out")
		}
	}
	return strings.TrimSpace(text)
}

// steers reports whether a sign steers a terminal or a printer.
func steers(c rune) bool {
	return c < ' ' || c >= 0x7f && c < 0xa0 || c >= 0x202a && c <= 0x202e || c >= 0x2066 && c <= 0x2069
}

// Line fits what a file calls something into one line of a sheet: at most MaxLine characters, none that Read refuses.
func Line(text string) string {
	letters := []rune(strings.Map(func(c rune) rune {
		if steers(c) {
			return ' '
		}
		return c
	}, text))
	if len(letters) > MaxLine {
		letters = append(letters[:MaxLine-1], '…')
	}
	return string(letters)
}

func (r *reader) state(o *jsontree.Value, name, at string) string {
	v := o.Member(name)
	if v.Kind() != jsontree.String {
		r.refuse(at+"."+name, given(v), `must be a state such as "angle=60", or "" for the defaults`)
	}
	if n := len(v.Text()); n > MaxState {
		r.refuse(at+"."+name, strconv.Itoa(n)+" bytes", "must be at most "+strconv.Itoa(MaxState)+"; a sheet is one page")
	}
	return v.Text()
}

// far bounds coordinates, as the calculators do: ten kilometres.
const far = 1e6

func (r *reader) point(o *jsontree.Value, name, at string, needed bool) *rigid.Vec {
	v := o.Member(name)
	if v == nil && !needed {
		return nil
	}
	var xyz [3]float64
	good := v.Kind() == jsontree.Array && v.Len() == len(xyz)
	for i := range xyz {
		x, ok := v.At(i).Float()
		good = good && ok && math.Abs(x) <= far
		xyz[i] = x
	}
	if !good {
		r.refuse(at+"."+name, given(v), "must be a place [x, y, z] in cm, each at most 1000000 from the origin")
		return nil
	}
	return &rigid.Vec{X: xyz[0], Y: xyz[1], Z: xyz[2]}
}

func (r *reader) value(o *jsontree.Value, name, at string) Value {
	switch v := o.Member(name); v.Kind() {
	case jsontree.Missing, jsontree.Null:
		return Value{}
	case jsontree.String:
		if text := r.text(o, name, at+"."+name, 40); text != "" {
			return Word(text)
		}
		return Value{}
	default:
		if x, ok := v.Float(); ok && math.Abs(x) < 1e15 {
			return Of(x)
		}
		r.refuse(at+"."+name, given(v), "must be a number, a word or null")
		return Value{}
	}
}

func (r *reader) kind(o *jsontree.Value, at string) quantity.Kind {
	v := o.Member("quantity")
	var names []string
	for _, kind := range []quantity.Kind{quantity.Length, quantity.Angle, quantity.Area, quantity.Ratio, quantity.Count} {
		if v.Text() == kind.Name() {
			return kind
		}
		names = append(names, kind.Name())
	}
	if v != nil {
		r.refuse(at+".quantity", given(v), "must be "+strings.Join(names, ", "))
	}
	return quantity.Ratio
}

// given is a member as a message quotes it.
func given(v *jsontree.Value) string {
	switch v.Kind() {
	case jsontree.String:
		return quantity.Quoted(v.Text())
	case jsontree.Array, jsontree.Object, jsontree.Missing:
		return v.Kind().Word()
	}
	return clip(v.Raw())
}

// clip keeps what is quoted from a file short.
func clip(text string) string {
	if quoted := quantity.Quoted(text); len(text) > 60 {
		return quoted
	}
	return text
}

// isDate accepts nothing, and a day of the calendar's form.
func isDate(text string) bool {
	if text == "" {
		return true
	}
	if len(text) != len("2026-03-04") {
		return false
	}
	for i, c := range text {
		if (i == 4 || i == 7) != (c == '-') || c != '-' && (c < '0' || c > '9') {
			return false
		}
	}
	number := func(digits string) (n int) {
		for _, c := range digits {
			n = 10*n + int(c-'0')
		}
		return n
	}
	year, month, day := number(text[:4]), number(text[5:7]), number(text[8:])
	last := 31
	switch month {
	case 4, 6, 9, 11:
		last = 30
	case 2:
		last = 28
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			last = 29
		}
	}
	return month >= 1 && month <= 12 && day >= 1 && day <= last
}
