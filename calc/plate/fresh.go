package plate

import (
	"errors"
	"math"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/vary"
)

// Fresh answers an exercise with the numbers of a seed as JSON: the state, what grading needs (answer, tolerance, hints,
// as in GradeOutput), and all that its card prints: the numbers told in the question, the given values and rows, the
// result and its slack, what each mistake gives, the steps' slots, the drawing. An empty seed is the printed exercise.
func (desk *Desk) Fresh(c catalog.Calculator, recipe, seed string, width float64, id string) []byte {
	r, err := ReadRecipe(c, recipe)
	if err != nil {
		return Refusal(err)
	}
	d, ok := vary.Drawn{}, false
	if seed == "" {
		d, err = r.Printed(c)
		ok = err == nil
	} else {
		d, ok = r.Draw(c, seed)
	}
	if !ok {
		return Refusal(errors.New("has no fresh numbers; the printed ones stand"))
	}
	asked, _ := d.Answer.Spec.Output(r.Ask)
	w := writer{Writer: jsontree.Writer{B: make([]byte, 0, 16<<10)}}
	w.Open('{')
	w.Key("state").Text(State(d.Answer))
	w.Key("answer").Text(AnswerText(d.Right))
	w.Key("tolerance").Text(quantity.Shortest(d.Tolerance))
	w.Key("hints").Text(HintTexts(d.Outcomes))
	w.Key("told").Texts(told(r, d))
	w.Key("given")
	w.entries(FieldTexts(d.Answer))
	w.Key("rows")
	w.Open('{')
	for _, t := range d.Answer.Spec.Tables {
		w.Key(t.ID)
		w.grid(InputCells(t, d.Answer.Values.Tables[t.ID]))
	}
	w.Close('}')
	w.Key("result").Text(Text(d.Answer, asked))
	w.Key("slack").Text(quantity.Shortest(d.Tolerance) + quantity.Centimetres.After(asked.Kind))
	w.Key("gave").Texts(Gave(d.Answer.Spec, r.Question, d.Outcomes))
	w.Key("slots")
	w.entries(Slots(d.Answer))
	w.Key("figure")
	w.drawing(figure.Layout(c.Figure(d.Answer.Values, d.Answer.Result), figure.Options{Width: width, ID: id, Words: desk.Words}))
	w.Close('}')
	return w.B
}

func (w *writer) grid(rows [][]string) {
	w.Open('[')
	for _, row := range rows {
		w.Texts(row)
	}
	w.Close(']')
}

// AnswerText writes a right answer as GradeOutput takes it.
func AnswerText(right vary.Outcome) string {
	if !right.Exists {
		return None
	}
	return right.Text()
}

// HintTexts writes the outcomes of mistakes as GradeOutput takes them: one word each, divided by spaces.
func HintTexts(outcomes []vary.Outcome) string {
	list := make([]string, len(outcomes))
	for i, x := range outcomes {
		list[i] = strings.ReplaceAll(AnswerText(x), " ", "_")
	}
	return strings.Join(list, " ")
}

// Gave prints what each mistake of a question leads to, with its unit: that of the output which was read by mistake, or
// of the one that is asked for.
func Gave(spec catalog.Spec, q vary.Question, outcomes []vary.Outcome) []string {
	asked, _ := spec.Output(q.Ask)
	list := make([]string, len(outcomes))
	for i, x := range outcomes {
		list[i] = AnswerText(x)
		if !x.Exists || x.IsWord {
			continue
		}
		shown := asked
		if m := q.Mistakes[i]; m.Formula == "" {
			if read, ok := spec.Output(m.Output); ok && read.Kind != asked.Kind {
				shown = read
			}
		}
		list[i] = quantity.Format(x.Number, shown.Kind, shown.Digits)
	}
	return list
}

func told(r Recipe, d vary.Drawn) []string {
	list := make([]string, len(r.Told))
	for i, t := range r.Told {
		list[i] = t.Text(d.Answer, d.Factor)
	}
	return list
}

// Text prints a told number with its unit, all lengths having grown by factor.
func (t Told) Text(a catalog.Answer, factor float64) string {
	if t.ID == "" {
		length := vary.Grown(t.Length, factor)
		if t.Unit == "" {
			return quantity.Number(length, ExactDigits(length, 0))
		}
		return Measure(length, quantity.Length, ExactDigits(length, 0), t.Unit)
	}
	shown, _ := a.Spec.Shown(t.ID)
	for _, numbers := range [...]map[string]float64{a.Result.Numbers, a.Values.Numbers} {
		if v, ok := numbers[t.ID]; ok {
			digits := t.Digits
			if _, isField := a.Spec.Field(t.ID); isField {
				digits = ExactDigits(v, digits)
			}
			return Measure(v, shown.Kind, digits, t.Unit)
		}
	}
	return Slot(a, t.ID)
}

// Measure prints a number of the base unit in the unit given, "" for the base unit itself, with so many decimals of the
// base unit. A unit of another kind prints as None.
func Measure(v float64, kind quantity.Kind, digits int, unit string) string {
	if unit == "" {
		return quantity.Format(v, kind, digits)
	}
	factor, err := quantity.Parse("1"+unit, kind)
	if err != nil {
		return None
	}
	for size := factor; size >= 10-1e-9; size /= 10 {
		digits++
	}
	for size := factor; size < 1-1e-9; size *= 10 {
		digits--
	}
	return quantity.In(v/factor, unit, max(digits, 0))
}

// ExactDigits returns how many decimals show v as it was set, at least digits and at most six.
func ExactDigits(v float64, digits int) int {
	const most = 6
	for scale := math.Pow10(digits); digits < most && math.Abs(v*scale-math.Round(v*scale)) > 1e-6; scale *= 10 {
		digits++
	}
	return digits
}

// FieldText prints an input with its unit, as fine as it was set.
func FieldText(a catalog.Answer, f catalog.Field) string {
	if f.Worded() {
		return Slot(a, f.ID)
	}
	return shownValue(a.Values.Units, f, a.Values.Numbers[f.ID])
}

// FieldTexts prints every input.
func FieldTexts(a catalog.Answer) []catalog.Entry {
	var list []catalog.Entry
	for _, f := range a.Spec.Fields {
		list = append(list, catalog.Entry{ID: f.ID, Text: FieldText(a, f)})
	}
	return list
}

// InputCells prints the cells of an input table, with all the digits that were typed and without units.
func InputCells(t catalog.Table, rows catalog.Rows) [][]string {
	list := make([][]string, rows.Len)
	for i := range list {
		for _, c := range t.Columns {
			cell := ""
			switch {
			case c.Text && i < len(rows.Texts[c.ID]):
				cell = rows.Texts[c.ID][i]
			case !c.Text && i < len(rows.Numbers[c.ID]):
				cell = quantity.Number(rows.Numbers[c.ID][i], -1)
			}
			list[i] = append(list[i], cell)
		}
	}
	return list
}
