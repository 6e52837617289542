package sheet

import (
	"slices"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/calc/quantity"
)

// fit takes the placement and as many results as the page has room for, all in their order: what is left over and how sure
// it is goes first, then what changes, and last what does not exist.
func (v *EntryView) fit(placement, results []Row, room int) {
	v.all = append(append(v.all, placement...), results...)
	room -= len(placement)
	kept := make([]bool, len(results))
	for rank := range 4 {
		for i, r := range results {
			if room > 0 && !kept[i] && rank == rankOf(r) {
				kept[i], room = true, room-1
			}
		}
	}
	v.Rows = placement
	for i, r := range results {
		if kept[i] {
			v.Rows = append(v.Rows, r)
		} else {
			v.Left++
		}
	}
}

// rankOf sorts results by what a decision needs. The ids are those of all calculators that fit something.
func rankOf(r Row) int {
	switch {
	case r.Candidate == plate.None:
		return 3
	case strings.HasSuffix(r.Key, "_rms"), strings.HasPrefix(r.Key, "sigma"):
		return 0
	case r.Current == "" || r.Current != r.Candidate:
		return 1
	}
	return 2
}

// placed are the inputs that make the placement: those in which the two states differ or, where the calculator compares
// by itself or nothing is compared, those that differ from the defaults. over are those for which there is no room and that with does not name.
func placed(base, live catalog.Answer) (rows []Row, over int) {
	const most = 6
	alone := live.Spec.Compares || live.Spec.Single
	for _, f := range live.Spec.Fields {
		before, after := plate.Slot(base, f.ID), plate.Slot(live, f.ID)
		row := Row{Key: f.ID, Label: f.Label, Current: unit(f, before), Candidate: unit(f, after), Placement: true}
		switch {
		case alone && isDefault(f, live.Values):
			continue
		case alone:
			row.Current = ""
		case before == after:
			continue
		case !f.Worded():
			row.Difference = plate.Signed(quantity.Centimetres, live.Values.Numbers[f.ID]-base.Values.Numbers[f.ID], f.Kind, f.Digits())
		}
		if len(rows) < most {
			rows = append(rows, row)
		} else if !alone {
			over++
		}
	}
	return rows, over
}

// with names the inputs that are not the placement, without which nobody knows what was asked; those for which the page has no room are
// counted as not shown, and a table is told by its rows, as is one that is not the same in both.
func (v *EntryView) with(placement []Row, base catalog.Answer, room int) string {
	var list []string
	for _, f := range v.live.Spec.Fields {
		isIt := func(r Row) bool { return r.Key == f.ID }
		if text := plate.Slot(v.live, f.ID); text == plate.Slot(base, f.ID) && !slices.ContainsFunc(placement, isIt) {
			list = append(list, f.Label+" "+unit(f, text))
		}
	}
	now, before := tables(v.live), tables(base)
	for _, t := range v.live.Spec.Tables {
		switch {
		case now[t.ID] != before[t.ID]: // nothing else says that the placements were not asked alike
			list = append(list, t.Label+" ("+rowsOf(v.live, t.ID)+", against "+rowsOf(base, t.ID)+" for the current)")
		case v.live.Values.Tables[t.ID].Len > 0:
			list = append(list, t.Label+" ("+rowsOf(v.live, t.ID)+")")
		}
	}
	if most := 2 * room; len(list) > most {
		v.Unshown += len(list) - most
		list = list[:most]
	}
	if len(list) == 0 {
		return ""
	}
	return "With: " + strings.Join(list, ", ") + "."
}

func rowsOf(a catalog.Answer, table string) string {
	return quantity.Things(a.Values.Tables[table].Len, "row", "rows")
}

func isDefault(f catalog.Field, v catalog.Values) bool {
	if f.Worded() {
		return v.Choices[f.ID] == f.DefaultChoice
	}
	return v.Numbers[f.ID] == f.Default
}

// unit puts the field's unit behind a number.
func unit(f catalog.Field, text string) string {
	if f.Worded() {
		return text
	}
	return text + quantity.Centimetres.After(f.Kind)
}

// rows are the coordinates of a measured placement and how far it moved.
func (m Measured) rows() []Row {
	var rows []Row
	add := func(key, label string, a, b float64, distance bool) {
		r := Row{Key: key, Label: label, Placement: true}
		if !distance {
			r.Current, r.Candidate = quantity.Format(a, quantity.Length, 2), quantity.Format(b, quantity.Length, 2)
		}
		r.Difference = plate.Signed(quantity.Centimetres, b-a, quantity.Length, 2)
		rows = append(rows, r)
	}
	a, b := m.Current, m.Candidate
	add("x", "Pivot x", a.X, b.X, false)
	add("y", "Pivot y", a.Y, b.Y, false)
	add("z", "Pivot z", a.Z, b.Z, false)
	add("moved", "Moved in all", 0, b.Sub(a).Len(), true)
	rows[3].Difference = quantity.Format(b.Sub(a).Len(), quantity.Length, 2)
	return rows
}

// stated are the numbers of a measured placement as rows.
func (e Entry) stated() []Row {
	var rows []Row
	for _, n := range e.Numbers {
		r := Row{Key: n.ID, Label: n.Label, Current: n.print(n.Current), Candidate: n.print(n.Candidate)}
		if n.Sigma.Known && n.Sigma.Text == "" && n.Candidate.Known {
			r.Candidate += " ± " + quantity.Format(n.Sigma.Number, n.Kind, n.Digits)
		}
		if n.Current.Known && n.Candidate.Known && n.Current.Text == "" && n.Candidate.Text == "" {
			r.Difference = plate.Signed(quantity.Centimetres, n.Candidate.Number-n.Current.Number, n.Kind, n.Digits)
		}
		rows = append(rows, r)
	}
	return rows
}

func (n Number) print(v Value) string {
	switch {
	case !v.Known:
		return ""
	case v.Text != "":
		return v.Text
	}
	return quantity.Format(v.Number, n.Kind, n.Digits)
}

// paragraphs divides the reasons at their line feeds.
func paragraphs(text string) []string {
	var list []string
	for line := range strings.SplitSeq(text, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			list = append(list, line)
		}
	}
	return list
}

// FromPlate makes an entry of a plate as it stands: the state that it started from and the live one, with the numbers
// they give. Errors are those of the states.
func FromPlate(c catalog.Calculator, base, live, title string) (Entry, error) {
	e := Entry{Title: title, Calculator: c.Spec().ID, Current: base, Candidate: live}
	was, is, err := e.run(func(string) (catalog.Calculator, error) { return c, nil }, "plate")
	if err != nil {
		return Entry{}, err
	}
	e.Current, e.Candidate = plate.State(was), plate.State(is)
	if len(e.Current) > MaxState || len(e.Candidate) > MaxState {
		return Entry{}, refuse("", "", "these values are too long for a sheet, which holds at most 256 kB of them")
	}
	_, known := results(was, is)
	for _, k := range known {
		if len(e.Numbers) < MaxNumbers {
			e.Numbers = append(e.Numbers, Number{ID: k.row.Key, Current: k.current, Candidate: k.candidate})
		}
	}
	return e, nil
}
