package book

import (
	"strings"
	"sync"

	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
)

// Context is a fingerprint of what the numbers of a page depend on besides its own text: the cast's presets for the
// calculators of its blocks, and the published values it prints. The calculators themselves are part of the program.
func (b *Book) Context(l lesson.Lesson) string {
	if l.Sum == "" { // no file's
		return b.context(l)
	}
	return remembered(&b.contexts, l.Sum, func() string { return b.context(l) })
}

// remembered is what sum returned for the key before, or returns now.
func remembered(sums *sync.Map, key string, sum func() string) string {
	if before, ok := sums.Load(key); ok {
		return before.(string)
	}
	now := sum()
	sums.Store(key, now)
	return now
}

func (b *Book) context(l lesson.Lesson) string {
	var parts []string
	for _, block := range l.Blocks() {
		parts = append(parts, b.castSum(block.Calculator.Text))
	}
	for _, r := range l.Prose.Values {
		if id, ok := strings.CutPrefix(r.Text, "fact:"); ok {
			id, _, _ = strings.Cut(id, ":")
			parts = append(parts, keep.SumValues(b.Facts[id]))
		}
	}
	return keep.Sum(parts...)
}

// castSum is a fingerprint of the cast's presets for a calculator.
func (b *Book) castSum(calculator string) string {
	return remembered(&b.castSums, calculator, func() string {
		var parts []string
		for _, who := range b.Cast {
			for _, p := range who.Presets {
				if p.Calculator.Text == calculator {
					parts = append(parts, keep.SumValues(p.Preset))
				}
			}
		}
		return keep.Sum(parts...)
	})
}
