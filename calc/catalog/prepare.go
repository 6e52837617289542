package catalog

import (
	"strconv"

	"centrode/calc/quantity"
	"centrode/calc/spell"
)

// Prepare fills defaults and checks every value against the Spec: known ids, finite, in range, known choices, complete
// tables. It returns a new set; an *InputError names the first value (in the Spec's order) that is refused.
func Prepare(spec Spec, given Values) (Values, error) {
	full := NewValues()
	if err := prepareInto(spec, given, &full); err != nil {
		return Values{}, err
	}
	return full, nil
}

// prepareInto is Prepare into values that are reused: every field is written, tables must have been cleared.
func prepareInto(spec Spec, given Values, full *Values) error {
	full.Units = given.Units
	if err := refuseUnknown(spec, given); err != nil {
		return err
	}
	for i := range spec.Fields {
		if err := prepareField(&spec.Fields[i], given, *full); err != nil {
			return err
		}
	}
	for _, t := range spec.Tables {
		if err := prepareTable(t, given, *full); err != nil {
			return err
		}
	}
	return nil
}

func refuseUnknown(spec Spec, given Values) error {
	var unknown firstName
	for id := range given.Numbers {
		if f, ok := spec.Field(id); !ok || f.Worded() {
			unknown.note(id)
		}
	}
	for id := range given.Choices {
		if f, ok := spec.Field(id); !ok || !f.Worded() {
			unknown.note(id)
		}
	}
	for id := range given.Tables {
		if _, ok := spec.Table(id); !ok {
			unknown.note(id)
		}
	}
	if !unknown.found {
		return nil
	}
	return UnknownField(spec, unknown.name)
}

// firstName keeps the first of some names in the order of the alphabet: maps have no order, and a message must be stable.
type firstName struct {
	name  string
	found bool
}

func (f *firstName) note(name string) {
	if !f.found || name < f.name {
		f.name, f.found = name, true
	}
}

// UnknownField is the refusal of an id that the Spec does not have, with the nearest one that it has.
func UnknownField(spec Spec, id string) error {
	if _, ok := spec.Field(id); ok {
		return &InputError{Field: id, Allowed: "is not of the kind that this field takes"}
	}
	return &InputError{Field: plain(id), Allowed: "is no field of " + spec.ID + spell.Offer(id, spec.Names())}
}

// plain makes an id that came from outside fit for one line of a message: a long, empty or odd one is quoted and clipped.
func plain(id string) string {
	for _, c := range id {
		if c <= ' ' || c == '"' || c == '\u007f' || c == '\ufffd' {
			return quantity.Quoted(id)
		}
	}
	if id == "" || len(id) > 60 {
		return quantity.Quoted(id)
	}
	return id
}

func prepareField(f *Field, given, full Values) error {
	if f.Worded() {
		choice, ok := given.Choices[f.ID]
		if !ok {
			choice = f.DefaultChoice
		}
		if f.Free {
			return prepareText(*f, choice, full)
		}
		for _, c := range f.Choices {
			if c.ID == choice {
				full.Choices[f.ID] = choice
				return nil
			}
		}
		return refuseChoice(*f, choice)
	}
	value, ok := given.Numbers[f.ID]
	if !ok {
		value = f.Default
	}
	if !within(value, f.Min, f.Max, f.MinOpen) {
		return &InputError{Field: f.ID, Given: quantity.Entry(value, f.Kind), Allowed: "must be " + rangeWords(f.Kind, f.Min, f.Max, f.MinOpen)}
	}
	full.Numbers[f.ID] = value
	return nil
}

// longest bounds free text in bytes; no joint of a character has a longer name.
const longest = 256

func prepareText(f Field, text string, full Values) error {
	if len(text) > longest {
		return &InputError{Field: f.ID, Given: strconv.Itoa(len(text)) + " bytes", Allowed: "must be a text of at most " + strconv.Itoa(longest) + " bytes"}
	}
	full.Choices[f.ID] = text
	return nil
}

func refuseChoice(f Field, given string) error {
	ids, words := []string{}, ""
	for i, c := range f.Choices {
		ids = append(ids, c.ID)
		switch {
		case i > 0 && i == len(f.Choices)-1:
			words += " or "
		case i > 0:
			words += ", "
		}
		words += c.ID
	}
	return &InputError{Field: f.ID, Given: quantity.Quoted(given), Allowed: "must be " + words + spell.Offer(given, ids)}
}

// within is written so that NaN is outside every range.
func within(v, lo, hi float64, open bool) bool {
	return v >= lo && v <= hi && !(open && v == lo)
}

// RangeWords says in words what the field accepts: "above 0 and at most 30 cm".
func (f Field) RangeWords() string { return rangeWords(f.Kind, f.Min, f.Max, f.MinOpen) }

func rangeWords(kind quantity.Kind, lo, hi float64, open bool) string {
	unit := kind.Suffix()
	if unit != "" {
		unit = " " + unit
	}
	if open {
		return "above " + quantity.Shortest(lo) + " and at most " + quantity.Shortest(hi) + unit
	}
	return "from " + quantity.Shortest(lo) + " to " + quantity.Shortest(hi) + unit
}

func prepareTable(t Table, given, full Values) error {
	rows, ok := given.Tables[t.ID]
	if !ok {
		rows = t.Default
	}
	if t.Optional && rows.Len == 0 { // a program that has none may say so by an empty list
		return nil
	}
	if rows.Len < t.MinRows || rows.Len > t.MaxRows {
		return &InputError{Field: t.ID, Given: quantity.Things(rows.Len, "row", "rows"),
			Allowed: "must have from " + strconv.Itoa(t.MinRows) + " to " + strconv.Itoa(t.MaxRows) + " rows"}
	}
	if err := refuseColumns(t, rows); err != nil {
		return err
	}
	out := Rows{Len: rows.Len, Numbers: map[string][]float64{}, Texts: map[string][]string{}}
	for _, c := range t.Columns {
		if err := prepareColumn(t, c, rows, out); err != nil {
			return err
		}
	}
	full.Tables[t.ID] = out
	return nil
}

func refuseColumns(t Table, rows Rows) error {
	var unknown firstName
	for id := range rows.Numbers {
		if c, ok := t.Column(id); !ok || c.Text {
			unknown.note(id)
		}
	}
	for id := range rows.Texts {
		if c, ok := t.Column(id); !ok || !c.Text {
			unknown.note(id)
		}
	}
	if !unknown.found {
		return nil
	}
	return UnknownColumn(t, unknown.name, 0)
}

// UnknownColumn is the refusal of a column that the table does not have, with the nearest one that it has, or with all of them.
func UnknownColumn(t Table, id string, row int) error {
	return &InputError{Field: t.ID + "." + plain(id), Row: row, Allowed: "is no column of " + t.ID + spell.Choose(id, t.IDs(), "its columns are")}
}

func prepareColumn(t Table, c Column, rows, out Rows) error {
	name := t.ID + "." + c.ID
	if c.Text {
		texts, ok := rows.Texts[c.ID]
		if !ok {
			if !c.Optional {
				return &InputError{Field: name, Allowed: "is missing; every row needs it"}
			}
			texts = make([]string, rows.Len)
		}
		if len(texts) != rows.Len {
			return &InputError{Field: name, Allowed: "must have one entry for each row"}
		}
		out.Texts[c.ID] = texts
		return nil
	}
	numbers, ok := rows.Numbers[c.ID]
	if !ok {
		if !c.Optional {
			return &InputError{Field: name, Allowed: "is missing; every row needs it"}
		}
		numbers = make([]float64, rows.Len)
		for i := range numbers {
			numbers[i] = c.Default
		}
	}
	if len(numbers) != rows.Len {
		return &InputError{Field: name, Allowed: "must have one entry for each row"}
	}
	for i, v := range numbers {
		if !within(v, c.Min, c.Max, c.MinOpen) {
			return &InputError{Field: name, Row: i + 1, Given: quantity.Entry(v, c.Kind),
				Allowed: "must be " + rangeWords(c.Kind, c.Min, c.Max, c.MinOpen)}
		}
	}
	out.Numbers[c.ID] = numbers
	return nil
}
