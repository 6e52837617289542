package proof

import (
	"fmt"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/book"
)

// fromMemory follows a published value that nobody has looked up.
const fromMemory = " (from memory)"

// Print returns the text of {=ref} on a page: number, no-break space, unit. See book.Book.Value for what ref may be.
// A computed number has the decimals that the block states for it, else those of the output; a field has the decimals
// it was set with.
func (p *Proof) Print(page, ref string) (string, error) {
	one, ok := p.pages[page]
	if !ok {
		return "", fmt.Errorf("page %q has no values", page)
	}
	v, err := p.book.Value(one.page.Lesson, ref)
	if err != nil {
		return "", fmt.Errorf("{=%s}: %w", ref, err)
	}
	if v.IsFact {
		text, err := v.Fact.Convert(v.Digits, v.Unit)
		if err == nil && v.Fact.Status == "memory" {
			text += fromMemory
		}
		return text, err
	}
	if v.Story {
		return told(v, 0).Text(catalog.Answer{}, 1), nil
	}
	text, ok := one.value(v)
	if !ok {
		return "", fmt.Errorf("{=%s}: block %q has no answer", ref, v.Block.ID)
	}
	return text, nil
}

// value prints what a block's run gives for v; ok is false when the block did not run.
func (one *pageProof) value(v book.Value) (text string, ok bool) {
	if v.Side == "" {
		a, ok := one.answers[v.Block.ID]
		return one.print(v, a, number(a, v.Shown)), ok
	}
	both, ok := one.pairs[v.Block.ID]
	switch v.Side {
	case "current":
		return one.print(v, both.current, number(both.current, v.Shown)), ok
	case "candidate":
		return one.print(v, both.candidate, number(both.candidate, v.Shown)), ok
	}
	before, after := number(both.current, v.Shown), number(both.candidate, v.Shown)
	if before == nil || after == nil {
		return none, ok
	}
	difference := *after - *before
	return one.print(v, both.candidate, &difference), ok
}

// number returns the answer's field, output or working; nil when there is none.
func number(a catalog.Answer, o catalog.Output) *float64 {
	for _, numbers := range []map[string]float64{a.Result.Numbers, a.Values.Numbers} {
		if n, ok := numbers[o.ID]; ok {
			return &n
		}
	}
	return nil
}

func (one *pageProof) print(v book.Value, a catalog.Answer, n *float64) string {
	if v.Shown.Text || n == nil {
		return plate.Slot(a, v.Shown.ID)
	}
	digits := one.wanted(v)
	if _, isField := v.Spec.Field(v.Shown.ID); isField && v.Digits < 0 {
		digits = plate.ExactDigits(*n, digits)
	}
	return plate.Measure(*n, v.Shown.Kind, digits, v.Unit)
}

// wanted are the decimals asked for, else those of decimals.
func (one *pageProof) wanted(v book.Value) int {
	if v.Digits >= 0 {
		return v.Digits
	}
	return one.decimals(v)
}

// decimals are those that the block states for the value, else those of its description.
func (one *pageProof) decimals(v book.Value) int {
	if stated, ok := one.digits[v.Block.ID+"."+v.Shown.ID]; ok {
		return stated
	}
	return v.Shown.Digits
}
