package book

import (
	"fmt"
	"strings"

	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
)

// Context is a fingerprint of what the numbers of a page depend on besides its own text: the cast's presets for the
// calculators of its blocks, and the published values it prints. The calculators themselves are part of the program.
func (b *Book) Context(l lesson.Lesson) string {
	if l.Sum == "" { // no file's
		return b.context(l)
	}
	b.mu.Lock()
	sum, known := b.contexts[l.Sum]
	b.mu.Unlock()
	if known {
		return sum
	}
	sum = b.context(l)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.contexts == nil {
		b.contexts = make(map[string]string, len(b.Lessons)+len(b.Plates)+len(b.Checks))
	}
	b.contexts[l.Sum] = sum
	return sum
}

func (b *Book) context(l lesson.Lesson) string {
	var parts []string
	for _, block := range l.Blocks() {
		parts = append(parts, b.castSum(block.Calculator.Text))
	}
	for _, r := range l.Prose.Values {
		if id, ok := strings.CutPrefix(r.Text, "fact:"); ok {
			id, _, _ = strings.Cut(id, ":")
			parts = append(parts, fmt.Sprint(b.Facts[id]))
		}
	}
	return keep.Sum(parts...)
}

// castSum is a fingerprint of the cast's presets for a calculator.
func (b *Book) castSum(calculator string) string {
	b.mu.Lock()
	defer b.mu.Unlock()
	if sum, ok := b.castSums[calculator]; ok {
		return sum
	}
	var parts []string
	for _, who := range b.Cast {
		for _, p := range who.Presets {
			if p.Calculator.Text == calculator {
				parts = append(parts, fmt.Sprint(p.Preset))
			}
		}
	}
	if b.castSums == nil {
		b.castSums = map[string]string{}
	}
	b.castSums[calculator] = keep.Sum(parts...)
	return b.castSums[calculator]
}
