package proof

import (
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/vary"
	"centrode/cmd/centrode/internal/lesson"
)

// freshSeeds is how many draws of each exercise the proof looks at; the tests look at more.
const freshSeeds = 4

// fresh reports an exercise for which no sound fresh numbers are found.
func (p prover) fresh(c catalog.Calculator, block lesson.Block, q vary.Question) {
	for i := range freshSeeds {
		if _, ok := q.Draw(c, strconv.Itoa(i)); !ok {
			p.problem(block.Line, block.ID+`: no fresh numbers make a sound question (seed `+strconv.Itoa(i)+
				`): with all lengths grown alike the answer does not change, or a hint meets another; name an input under "vary", such as "angle: 20 deg to 80 deg by 5 deg"`)
			return
		}
	}
}

// fixed keeps a length as it is printed.
const fixed = "fixed"

// varied reads "vary".
func (p prover) varied(block lesson.Block, e lesson.Exercise, spec catalog.Spec, printed catalog.Values) (ranges []vary.Range, wobbles []vary.Wobble) {
	for _, g := range e.Vary {
		refuse := func(text string) { p.problem(g.Line, block.ID+": vary: "+g.ID+": "+strconv.Quote(g.Text)+": "+text) }
		if _, ok := spec.Table(g.ID); ok {
			share, err := quantity.Parse(strings.TrimPrefix(g.Text, "within "), quantity.Ratio)
			if err != nil || !(share > 0 && share <= 0.5) {
				refuse(`must be a part such as "within 10 %", at most 50 %`)
				continue
			}
			wobbles = append(wobbles, vary.Wobble{Table: g.ID, Share: share})
			continue
		}
		f, ok := spec.Field(g.ID)
		if !ok || f.Worded() {
			refuse("is no number or table of " + spec.ID)
			continue
		}
		if g.Text == fixed {
			v := printed.Numbers[f.ID]
			ranges = append(ranges, vary.Range{Field: f.ID, From: v, To: v, Step: 1})
			continue
		}
		r, ok := rangeOf(g, f)
		if !ok {
			refuse(`must be a range such as "20 deg to 80 deg by 5 deg", with at least three values, all of them ` + f.RangeWords() + `; or "fixed"`)
			continue
		}
		ranges = append(ranges, r)
	}
	return ranges, wobbles
}

func rangeOf(g lesson.Given, f catalog.Field) (vary.Range, bool) {
	from, rest, _ := strings.Cut(g.Text, " to ")
	to, step, _ := strings.Cut(rest, " by ")
	r := vary.Range{Field: f.ID}
	for _, bound := range []struct {
		text  string
		value *float64
	}{{from, &r.From}, {to, &r.To}, {step, &r.Step}} {
		v, err := quantity.Parse(bound.text, f.Kind)
		if err != nil {
			return r, false
		}
		*bound.value = v
	}
	values := (r.To - r.From) / r.Step
	return r, r.Step > 0 && values >= 2 && values < 1e4 && r.From >= f.Min && r.To <= f.Max
}
