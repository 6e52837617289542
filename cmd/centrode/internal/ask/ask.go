// Package ask reads one question for a calculator: `field=value` words, a JSON object, or a CSV table.
//
// Every reader fills a catalog.Values through catalog.Set, so units and refusals are the same at every door.
package ask

import (
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/jsontree"
	"centrode/calc/plate"
	"centrode/calc/quantity"
)

// Word reads one `field=value` argument.
func Word(spec catalog.Spec, v *catalog.Values, word string) error {
	id, text, ok := strings.Cut(word, "=")
	if !ok {
		return errors.New(strconv.Quote(word) + ` must be written field=value, as in "` + example(spec) + `"`)
	}
	return catalog.Set(spec, v, id, text)
}

// example is an entry that the calculator accepts.
func example(spec catalog.Spec) string {
	if len(spec.Fields) == 0 {
		return spec.Tables[0].ID + "=1,2,3"
	}
	f := spec.Fields[0]
	if f.Worded() {
		return f.ID + "=" + f.DefaultChoice
	}
	return f.ID + "=" + quantity.Shortest(f.Default) + f.Kind.Suffix()
}

// JSON reads an object whose members are numbers, texts with units, choices, or tables (arrays of objects).
func JSON(spec catalog.Spec, v *catalog.Values, object []byte) error {
	question, err := parsed(object)
	if err != nil {
		return err
	}
	return fill(spec, v, question)
}

// NameColumn and PresetColumn stand beside the fields of a question that is one of many: what tells it apart from the others, and where it
// starts.
const NameColumn, PresetColumn = "name", "preset"

// Entry is an object of a list. Its name is told also when it is refused for something else.
type Entry struct {
	Name, Preset string
	question     *jsontree.Value
	keep         []string
}

// Listed reads an object of a list; members to keep are no fields.
func Listed(object []byte, keep ...string) (e Entry, err error) {
	e.keep = keep
	if e.question, err = parsed(object); err != nil {
		return Entry{}, err
	}
	if e.Name, err = e.text(NameColumn); err == nil {
		e.Preset, err = e.text(PresetColumn)
	}
	return e, err
}

// Kept is what the object has in a member to keep: as a cell, where a text stands without its quotes, and as JSON; nothing where it has
// none.
func (e Entry) Kept(i int) (cell string, json []byte) {
	if e.question == nil {
		return "", nil
	}
	given := e.question.Member(e.keep[i])
	switch {
	case given == nil:
		return "", nil
	case given.Kind() == jsontree.String:
		return given.Text(), given.AppendTo(nil)
	}
	return string(given.AppendTo(nil)), given.AppendTo(nil)
}

func (e Entry) text(member string) (string, error) {
	given := e.question.Member(member)
	if given == nil {
		return "", nil
	}
	if given.Kind() != jsontree.String {
		return "", &catalog.InputError{Field: member, Given: quoted(given), Allowed: "must be a text"}
	}
	return given.Text(), nil
}

// Fill takes the fields and tables.
func (e Entry) Fill(spec catalog.Spec, v *catalog.Values) error {
	return fill(spec, v, e.question, append([]string{NameColumn, PresetColumn}, e.keep...)...)
}

// HasName reports whether the text is an object with a name.
func HasName(text []byte) bool {
	object, err := parsed(text)
	return err == nil && object.Member(NameColumn) != nil
}

func parsed(text []byte) (*jsontree.Value, error) {
	const must = `the input must be a JSON object such as {"angle": "60 deg"}: `
	object, err := jsontree.Parse(text, jsontree.Limits{})
	if err != nil {
		return nil, errors.New(must + err.Error())
	}
	if object.Kind() != jsontree.Object {
		return nil, errors.New(must + quoted(object) + " is none")
	}
	return object, nil
}

// fill takes the members in the order of the text, but for those that are no fields.
func fill(spec catalog.Spec, v *catalog.Values, question *jsontree.Value, but ...string) error {
	question, in, err := unwrapped(spec, question)
	if err != nil {
		return err
	}
	for i := range question.Len() {
		if id := question.Name(i); !slices.Contains(but, id) {
			if err := in.member(spec, v, id, question.At(i)); err != nil {
				return err
			}
		}
	}
	return nil
}

// Shell is a word as a command line takes it: in quotes where a space or a sign would divide it.
func Shell(word string) string {
	for _, c := range word {
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c > 0x7f || strings.ContainsRune("-_./,:=@%+", c)) {
			return `"` + strings.NewReplacer(`"`, `\"`, "$", `\$`, "`", "\\`").Replace(word) + `"`
		}
	}
	return word
}

// Clip keeps what is quoted from an input to so many bytes, and cuts no letter in two.
func Clip[T string | []byte](text T, most int) string {
	return strings.ToValidUTF8(string(text[:min(len(text), most)]), "")
}

// quoted is a value as a message quotes it.
func quoted(v *jsontree.Value) string { return Clip(v.AppendTo(nil), 40) }

// units are the symbols of what the bare numbers of an answer are in, by the name of what they measure; none for base units.
type units map[string]string

// named reads the units that an answer says it is written in. One that says what is not understood is refused: its numbers would be taken for others.
func named(given *jsontree.Value) (units, error) {
	if given == nil {
		return nil, nil
	}
	if given.Kind() != jsontree.Object {
		return nil, errors.New(`"units" of the answer is ` + given.Kind().Word() + "; it must be an object")
	}
	list := units{}
	for i := range given.Len() {
		name, unit := given.Name(i), given.At(i)
		if unit.Text() == "" || !slices.Contains([]string{quantity.Length.Name(), quantity.Angle.Name(), quantity.Area.Name()}, name) {
			return nil, errors.New(`"units" of the answer has ` + strconv.Quote(Clip(name, 40)) + ": " + quoted(unit) + `; it must name units of length, angle and area, as in {"length": "mm"}`)
		}
		list[name] = unit.Text()
	}
	return list, nil
}

// behind writes the unit behind a bare number.
func (u units) behind(text string, kind quantity.Kind) string {
	if unit := u[kind.Name()]; unit != "" {
		return plate.WithUnit(strings.TrimSpace(text), unit)
	}
	return text
}

// unwrapped lets an answer be asked again: of an object that a calculator printed, only the inputs are read, in the units that it names.
func unwrapped(spec catalog.Spec, question *jsontree.Value) (*jsontree.Value, units, error) {
	id, inputs := question.Member("calculator"), question.Member("inputs")
	switch {
	case id == nil || inputs == nil:
		return question, nil, nil
	case id.Text() != spec.ID:
		return nil, nil, errors.New("the input is an answer of " + quoted(id) + ", and this is " + spec.ID)
	case inputs.Kind() != jsontree.Object:
		return nil, nil, errors.New(`"inputs" of the answer is ` + inputs.Kind().Word() + "; it must be an object")
	}
	in, err := named(question.Member("units"))
	return inputs, in, err
}

func (u units) member(spec catalog.Spec, v *catalog.Values, id string, given *jsontree.Value) error {
	if table, ok := spec.Table(id); ok {
		rows, err := u.rows(table, given)
		if err == nil {
			v.Tables[id] = rows
		}
		return err
	}
	field, ok := spec.Field(id)
	if !ok {
		return catalog.UnknownField(spec, id)
	}
	text, err := scalar(id, 0, field.Worded(), given)
	if err != nil {
		return err
	}
	return catalog.Set(spec, v, id, u.behind(text, field.Kind))
}

// scalar turns a JSON number or string into the text that catalog.Set reads.
func scalar(field string, row int, worded bool, given *jsontree.Value) (string, error) {
	switch given.Kind() {
	case jsontree.String:
		return given.Text(), nil
	case jsontree.Number:
		return given.Raw(), nil
	}
	allowed := `must be a number, or a text such as "12 mm"`
	if worded {
		allowed = "must be a text"
	}
	return "", &catalog.InputError{Field: field, Row: row, Given: quoted(given), Allowed: allowed}
}

func (u units) rows(table catalog.Table, given *jsontree.Value) (catalog.Rows, error) {
	refused := func() error {
		return &catalog.InputError{Field: table.ID, Given: quoted(given), Allowed: "must be an array of objects, one a row"}
	}
	if given.Kind() != jsontree.Array {
		return catalog.Rows{}, refused()
	}
	b := catalog.NewRows(table)
	cells := make([]string, len(table.Columns))
	for i := range given.Len() {
		object := given.At(i)
		if object.Kind() != jsontree.Object {
			return catalog.Rows{}, refused()
		}
		clear(cells)
		for k := range object.Len() {
			id := object.Name(k)
			at := slices.IndexFunc(table.Columns, func(c catalog.Column) bool { return c.ID == id })
			if at < 0 {
				return catalog.Rows{}, catalog.UnknownColumn(table, id, i+1)
			}
			column, cell := table.Columns[at], object.At(k)
			if cell.Kind() == jsontree.Null && column.Optional {
				continue // programs write null for what they do not have, such as the parent of a root
			}
			text, err := scalar(table.ID+"."+id, i+1, column.Text, cell)
			if err != nil {
				return catalog.Rows{}, err
			}
			cells[at] = u.behind(text, column.Kind)
		}
		if err := b.Add(cells); err != nil {
			return catalog.Rows{}, err
		}
	}
	return b.Rows(), nil
}

// Column is what one head of a CSV file says: the id of a column or a field, or the head itself where it names none, and the unit that
// bare numbers below it have.
type Column struct {
	ID, Unit string
	Kept     bool // the writer's own, and no input
}

// Cell is the text of a cell below the head, with the head's unit behind a bare number.
func (c Column) Cell(text string) string {
	if text = catalog.CellText(text); c.Unit == "" {
		return text
	}
	return plate.WithUnit(strings.TrimSpace(text), c.Unit)
}

// Columns reads a header as a page reads a first line: ids or labels, in capitals or not, with a unit where there is one, as in "x (mm)".
// What may stand beside the fields is known in capitals, too.
func Columns(t catalog.Table, head []string) []Column {
	list := make([]Column, len(head))
	for i, name := range head {
		if at, unit := plate.Named(t, name); at >= 0 {
			list[i] = Column{ID: t.Columns[at].ID, Unit: unit}
		} else {
			list[i] = Column{ID: name}
			if lower := strings.ToLower(name); lower == NameColumn || lower == PresetColumn {
				list[i].ID = lower
			}
		}
	}
	return list
}

// TableFor returns the input table that a CSV header describes, or false when the columns are those of a batch. A header
// that comes near to a table, with most of its columns known there, is refused for the first that is wrong.
func TableFor(spec catalog.Spec, head []string) (catalog.Table, bool, error) {
	for _, t := range spec.Tables {
		columns := Columns(t, head)
		err := describes(t, columns)
		if err == nil {
			return t, true, nil
		}
		if known(t, columns)*2 > len(head) && !fields(spec, head) {
			return catalog.Table{}, false, err
		}
	}
	return catalog.Table{}, false, nil
}

// Describes says what keeps a header from being that of the table; nil where it is that.
func Describes(t catalog.Table, head []string) error { return describes(t, Columns(t, head)) }

// describes says what keeps a header from being that of the table. A column "name" may stand beside the table's own.
func describes(t catalog.Table, head []Column) error {
	seen := map[string]bool{}
	for _, c := range head {
		if err := plate.Mismeasured(t, c.ID); err != nil {
			return &catalog.InputError{Field: t.ID + "." + strconv.Quote(Clip(c.ID, 60)), Allowed: err.Error()}
		}
		if _, ok := t.Column(c.ID); !ok && c.ID != NameColumn {
			return aside(t, catalog.UnknownColumn(t, c.ID, 0))
		}
		if seen[c.ID] {
			return &catalog.InputError{Field: t.ID + "." + c.ID, Allowed: "stands twice in the header"}
		}
		seen[c.ID] = true
	}
	for _, c := range t.Columns {
		if !c.Optional && !seen[c.ID] {
			return &catalog.InputError{Field: t.ID + "." + c.ID, Allowed: "is missing from the header; every row needs it"}
		}
	}
	return nil
}

// aside says in a refusal what a column of the writer's own may be called, unless the table has that one itself.
func aside(t catalog.Table, err error) error {
	var unknown *catalog.InputError
	if _, own := t.Column(NameColumn); !own && errors.As(err, &unknown) {
		unknown.Allowed += `; a column "name" may stand beside them`
	}
	return err
}

// known counts the columns that the table has.
func known(t catalog.Table, head []Column) int {
	count := 0
	for _, c := range head {
		if _, ok := t.Column(c.ID); ok {
			count++
		}
	}
	return count
}

// Fields are the scalar inputs as the columns of a table, for a header that names them.
func Fields(spec catalog.Spec) catalog.Table {
	var t catalog.Table
	for _, f := range spec.Fields {
		t.Columns = append(t.Columns, catalog.Column{ID: f.ID, Label: f.Label, Kind: f.Kind, Text: f.Worded()})
	}
	return t
}

// fields reports whether every column is a field of the calculator.
func fields(spec catalog.Spec, head []string) bool {
	t := Fields(spec)
	return known(t, Columns(t, head)) == len(head)
}

// Table reads the records after the header into the table. Where no commas divide their cells, one in a cell may be a decimal comma: all
// cells together tell, as in a page.
func Table(t catalog.Table, head []string, read func() ([]string, error), decimal bool) (catalog.Rows, error) {
	position, columns := map[string]int{}, Columns(t, head)
	for i, c := range columns {
		position[c.ID] = i
	}
	b := catalog.NewRows(t)
	var kept [][]string
	addKept := func() error {
		if err := plate.Points(t, kept); err != nil {
			return err
		}
		for _, cells := range kept {
			if err := b.Add(cells); err != nil {
				return err
			}
		}
		return nil
	}
	for row := 1; ; row++ {
		record, err := read()
		if err == io.EOF {
			err = addKept()
			return b.Rows(), err
		}
		if err != nil {
			return catalog.Rows{}, err
		}
		if len(record) > len(head) {
			return catalog.Rows{}, &catalog.InputError{Field: t.ID, Row: row, Given: strconv.Itoa(len(record)) + " cells",
				Allowed: "must have at most " + quantity.Things(len(head), "cell", "cells") + ", one for each column of the header"}
		}
		cells := make([]string, len(t.Columns))
		for j, c := range t.Columns {
			if i, ok := position[c.ID]; ok && i < len(record) {
				cells[j] = columns[i].Cell(record[i])
			}
		}
		if !decimal {
			err = b.Add(cells)
		} else if kept = append(kept, cells); row > t.MaxRows {
			err = addKept() // which refuses the last
		}
		if err != nil {
			return catalog.Rows{}, err
		}
	}
}
