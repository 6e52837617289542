// Package ask reads one question for a calculator: `field=value` words, a JSON object, or a CSV table.
//
// Every reader fills a catalog.Values through catalog.Set, so units and refusals are the same at every door.
package ask

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"strconv"
	"strings"

	"centrode/calc/catalog"
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
	members, err := membersOf(object)
	if err != nil {
		return err
	}
	return fill(spec, v, members)
}

// Named is JSON for an object of a list, whose member "name" tells it apart from the others and is no field. It is told also when the
// object is refused for something else.
func Named(spec catalog.Spec, v *catalog.Values, object []byte) (name string, err error) {
	members, err := membersOf(object)
	if err != nil {
		return "", err
	}
	if raw, ok := members["name"]; ok {
		if json.Unmarshal(raw, &name) != nil {
			return "", &catalog.InputError{Field: "name", Given: clip(raw), Allowed: "must be a text"}
		}
		delete(members, "name")
	}
	return name, fill(spec, v, members)
}

func membersOf(object []byte) (map[string]json.RawMessage, error) {
	var members map[string]json.RawMessage
	err := json.Unmarshal(object, &members)
	if err != nil || members == nil {
		return nil, errors.New(`the input must be a JSON object such as {"angle": "60 deg"}: ` + complaint(object, err))
	}
	if bytes.Count(object, []byte(":")) == len(members) {
		return members, nil // each name has its colon, so none stands twice: most objects of a batch need no second reading
	}
	if name := twice(object); name != "" {
		return nil, errors.New("the name " + strconv.Quote(clip([]byte(name))) + " stands twice in one object; allowed is once")
	}
	return members, nil
}

func fill(spec catalog.Spec, v *catalog.Values, members map[string]json.RawMessage) error {
	members, err := unwrapped(spec, members)
	if err != nil {
		return err
	}
	// The Spec's order makes the first refusal the same at every run; what is left over is unknown.
	for _, id := range spec.Names() {
		raw, ok := members[id]
		if !ok {
			continue
		}
		delete(members, id)
		if err := member(spec, v, id, raw); err != nil {
			return err
		}
	}
	for _, id := range sortedKeys(members) {
		return catalog.UnknownField(spec, id)
	}
	return nil
}

// twice is a name that stands twice in one object of the text, which is valid JSON: of the two values, one would be left out without
// a word.
func twice(text []byte) string {
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.UseNumber()
	var open []map[string]bool // the names of each object around; nil for an array
	named := false             // in an object, whether its next token is a value
	for {
		token, err := decoder.Token()
		if err != nil {
			return ""
		}
		switch bracket, _ := token.(json.Delim); {
		case bracket == '{':
			open, named = append(open, map[string]bool{}), false
		case bracket == '[':
			open = append(open, nil)
		case bracket != 0:
			open, named = open[:len(open)-1], false
		case len(open) > 0 && open[len(open)-1] != nil && !named:
			name, names := token.(string), open[len(open)-1]
			if names[name] {
				return name
			}
			names[name], named = true, true
		default:
			named = false
		}
	}
}

// complaint says why a text is no JSON object, without the words of the program that reads it.
func complaint(text []byte, err error) string {
	var kind *json.UnmarshalTypeError
	if err == nil || errors.As(err, &kind) {
		return clip(bytes.TrimSpace(text)) + " is none"
	}
	if err.Error() == "unexpected end of JSON input" {
		return "the text ends in the middle"
	}
	return err.Error()
}

// Clip keeps what is quoted from an input to so many bytes, and cuts no letter in two.
func Clip[T string | []byte](text T, most int) string {
	return strings.ToValidUTF8(string(text[:min(len(text), most)]), "")
}

func clip(text []byte) string { return Clip(text, 40) }

// unwrapped lets an answer be asked again: of an object that a calculator printed, only the inputs are read.
func unwrapped(spec catalog.Spec, members map[string]json.RawMessage) (map[string]json.RawMessage, error) {
	name, ok := members["calculator"]
	if _, both := members["inputs"]; !ok || !both {
		return members, nil
	}
	var id string
	if err := json.Unmarshal(name, &id); err != nil || id != spec.ID {
		return nil, errors.New("the input is an answer of " + clip(name) + ", and this is " + spec.ID)
	}
	var inputs map[string]json.RawMessage
	if err := json.Unmarshal(members["inputs"], &inputs); err != nil {
		return nil, errors.New(`"inputs" of the answer must be an object: ` + err.Error())
	}
	return inputs, nil
}

func member(spec catalog.Spec, v *catalog.Values, id string, raw json.RawMessage) error {
	if table, ok := spec.Table(id); ok {
		rows, err := jsonRows(table, raw)
		if err == nil {
			v.Tables[id] = rows
		}
		return err
	}
	text, err := scalar(id, 0, raw)
	if err != nil {
		return err
	}
	return catalog.Set(spec, v, id, text)
}

// scalar turns a JSON number or string into the text that catalog.Set reads.
func scalar(field string, row int, raw json.RawMessage) (string, error) {
	raw = bytes.TrimSpace(raw)
	if len(raw) > 0 && raw[0] == '"' {
		var text string
		err := json.Unmarshal(raw, &text)
		return text, err
	}
	if len(raw) > 0 && (raw[0] == '-' || raw[0] >= '0' && raw[0] <= '9') {
		return string(raw), nil
	}
	return "", &catalog.InputError{Field: field, Row: row, Given: clip(raw), Allowed: `must be a number, or a text such as "12 mm"`}
}

func jsonRows(table catalog.Table, raw json.RawMessage) (catalog.Rows, error) {
	var objects []map[string]json.RawMessage
	if err := json.Unmarshal(raw, &objects); err != nil {
		return catalog.Rows{}, &catalog.InputError{Field: table.ID, Given: clip(raw), Allowed: "must be an array of objects, one a row"}
	}
	b := catalog.NewRows(table)
	cells := make([]string, len(table.Columns))
	for i, object := range objects {
		for j, c := range table.Columns {
			cells[j] = ""
			cell, ok := object[c.ID]
			if !ok {
				continue
			}
			delete(object, c.ID)
			var err error
			if cells[j], err = scalar(table.ID+"."+c.ID, i+1, cell); err != nil {
				return catalog.Rows{}, err
			}
		}
		for _, id := range sortedKeys(object) {
			return catalog.Rows{}, catalog.UnknownColumn(table, id, i+1)
		}
		if err := b.Add(cells); err != nil {
			return catalog.Rows{}, err
		}
	}
	return b.Rows(), nil
}

// TableFor returns the input table that a CSV header describes, or false when the columns are those of a batch. A header
// that comes near to a table, with most of its columns known there, is refused for the first that is wrong.
func TableFor(spec catalog.Spec, head []string) (catalog.Table, bool, error) {
	for _, t := range spec.Tables {
		err := describes(t, head)
		if err == nil {
			return t, true, nil
		}
		if known(t, head)*2 > len(head) && !fields(spec, head) {
			return catalog.Table{}, false, err
		}
	}
	return catalog.Table{}, false, nil
}

// describes says what keeps a header from being that of the table.
func describes(t catalog.Table, head []string) error {
	seen := map[string]bool{}
	for _, id := range head {
		if _, ok := t.Column(id); !ok {
			return catalog.UnknownColumn(t, id, 0)
		}
		if seen[id] {
			return &catalog.InputError{Field: t.ID + "." + id, Allowed: "stands twice in the header"}
		}
		seen[id] = true
	}
	for _, c := range t.Columns {
		if !c.Optional && !seen[c.ID] {
			return &catalog.InputError{Field: t.ID + "." + c.ID, Allowed: "is missing from the header; every row needs it"}
		}
	}
	return nil
}

// known counts the columns that the table has.
func known(t catalog.Table, head []string) int {
	count := 0
	for _, id := range head {
		if _, ok := t.Column(id); ok {
			count++
		}
	}
	return count
}

// fields reports whether every column is a field of the calculator.
func fields(spec catalog.Spec, head []string) bool {
	for _, id := range head {
		if _, ok := spec.Field(id); !ok {
			return false
		}
	}
	return true
}

// Table reads the records after the header into the table.
func Table(t catalog.Table, head []string, read func() ([]string, error)) (catalog.Rows, error) {
	position := map[string]int{}
	for i, id := range head {
		position[id] = i
	}
	b := catalog.NewRows(t)
	cells := make([]string, len(t.Columns))
	for {
		record, err := read()
		if err == io.EOF {
			return b.Rows(), nil
		}
		if err != nil {
			return catalog.Rows{}, err
		}
		if len(record) > len(head) {
			return catalog.Rows{}, &catalog.InputError{Field: t.ID, Row: b.Rows().Len + 1, Given: strconv.Itoa(len(record)) + " cells",
				Allowed: "must have at most " + strconv.Itoa(len(head)) + " cells, one for each column of the header"}
		}
		for j, c := range t.Columns {
			cells[j] = ""
			if i, ok := position[c.ID]; ok && i < len(record) {
				cells[j] = catalog.CellText(record[i])
			}
		}
		if err := b.Add(cells); err != nil {
			return catalog.Rows{}, err
		}
	}
}
