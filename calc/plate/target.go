package plate

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/quantity"
)

// target is what one axis of a handle edits: a field, or one cell of an input table.
type target struct {
	id    string        // as the axis has it: "offset_x", or "landmarks:4:x" for the x in the fourth row
	field catalog.Field // of a cell: its column, in the form of a field
	table string        // the cell's table; "" for a field
	row   int           // counted from 0
	now   float64
}

// targetOf finds what an axis edits; ok is false for a word, an unknown id or a row that the table does not have.
func targetOf(a catalog.Answer, id string) (t target, ok bool) {
	if f, is := a.Spec.Field(id); is {
		return target{id: id, field: f, now: a.Values.Numbers[id]}, !f.Worded()
	}
	table, rest, _ := strings.Cut(id, ":")
	number, column, _ := strings.Cut(rest, ":")
	row, err := strconv.Atoi(number)
	spec, is := a.Spec.Table(table)
	c, has := spec.Column(column)
	numbers := a.Values.Tables[table].Numbers[column]
	if err != nil || !is || !has || row < 1 || row > len(numbers) {
		return target{}, false
	}
	return target{id, asField(c), table, row - 1, numbers[row-1]}, true
}

// asField is a column in the form of a field. A column has no step of its own: an arrow key moves a length by 0.1 cm and
// an angle by 1°, and dragging snaps to a tenth of that.
func asField(c catalog.Column) catalog.Field {
	f := catalog.Field{ID: c.ID, Label: c.Label, Kind: c.Kind, Min: c.Min, Max: c.Max, MinOpen: c.MinOpen, Step: 0.1}
	if c.Kind == quantity.Angle || c.Kind == quantity.Count {
		f.Step = 1
	}
	return f
}

// write puts a value into the field or the cell. The column is copied, since columns are shared.
func (t target) write(v catalog.Values, value float64) {
	if t.table == "" {
		v.Numbers[t.field.ID] = value
		return
	}
	rows := v.Tables[t.table]
	numbers := make(map[string][]float64, len(rows.Numbers))
	maps.Copy(numbers, rows.Numbers)
	rows.Numbers = numbers
	column := slices.Clone(rows.Numbers[t.field.ID])
	column[t.row] = value
	rows.Numbers[t.field.ID] = column
	v.Tables[t.table] = rows
}

// appendTargets lists what a handle edits, without axes that edit nothing.
func appendTargets(list []target, a catalog.Answer, h figure.Handle) []target {
	for _, axis := range h.Axes {
		if t, ok := targetOf(a, axis.Field); ok {
			list = append(list, t)
		}
	}
	return list
}

// spoken says in one line what a handle sets, given what its axes show: "Offset x 1.2 cm, Offset y 0 cm", "row 4, x 5.08 cm, y 5.53 cm".
func spoken(targets []target, texts []string, words figure.Words) string {
	var said strings.Builder
	for i, t := range targets {
		if i > 0 {
			said.WriteString(", ")
		}
		if t.table != "" && (i == 0 || targets[i-1].table != t.table || targets[i-1].row != t.row) {
			said.WriteString(words.Of("row "+strconv.Itoa(t.row+1)) + ", ")
		}
		said.WriteString(words.Of(t.field.Label) + " " + texts[i])
	}
	return said.String()
}

// shownValues prints what each axis of a handle has now.
func shownValues(units quantity.Units, targets []target) []string {
	texts := make([]string, len(targets))
	for i, t := range targets {
		texts[i] = shownValue(units, t.field, t.now)
	}
	return texts
}
