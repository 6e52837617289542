package catalog

// Field returns the scalar input with the id.
func (s Spec) Field(id string) (Field, bool) {
	for i := range s.Fields { // by index: a Field is large, and a batch asks for millions
		if s.Fields[i].ID == id {
			return s.Fields[i], true
		}
	}
	return Field{}, false
}

// Table returns the input table with the id.
func (s Spec) Table(id string) (Table, bool) {
	for i := range s.Tables {
		if s.Tables[i].ID == id {
			return s.Tables[i], true
		}
	}
	return Table{}, false
}

// Output returns the scalar output with the id.
func (s Spec) Output(id string) (Output, bool) { return findOutput(s.Outputs, id) }

// Shown returns the field, output or working that a slot or a lesson may print, as an Output.
func (s Spec) Shown(id string) (Output, bool) {
	if f, ok := s.Field(id); ok {
		return Output{ID: f.ID, Label: f.Label, Help: f.Help, Kind: f.Kind, Digits: f.Digits(), Text: f.Worded()}, true
	}
	if o, ok := s.Output(id); ok {
		return o, true
	}
	return findOutput(s.Workings, id)
}

func findOutput(list []Output, id string) (Output, bool) {
	for i := range list {
		if list[i].ID == id {
			return list[i], true
		}
	}
	return Output{}, false
}

// Digits returns how many decimals the field's Step asks for when its value is shown.
func (f Field) Digits() int {
	digits := 0
	for step := f.Step; digits < 6 && step > 0 && step < 1-1e-9; step *= 10 {
		digits++
	}
	return digits
}

// IDs lists the ids of the columns, in order.
func (t Table) IDs() []string {
	var ids []string
	for _, c := range t.Columns {
		ids = append(ids, c.ID)
	}
	return ids
}

// Column returns the column with the id.
func (t Table) Column(id string) (Column, bool) {
	for i := range t.Columns {
		if t.Columns[i].ID == id {
			return t.Columns[i], true
		}
	}
	return Column{}, false
}

// Names lists every id that an input may use: fields, then tables.
func (s Spec) Names() []string {
	var ids []string
	for _, f := range s.Fields {
		ids = append(ids, f.ID)
	}
	for _, t := range s.Tables {
		ids = append(ids, t.ID)
	}
	return ids
}
