package book

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/quantity"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/lesson"
)

// SourceWords are what a worked example may say instead of a source key.
func SourceWords() []string { return []string{"common practice", "derived", "invented"} }

// blocks checks the calculators, presets, inputs and outputs that the blocks of a page name.
func (c *checker) blocks(l lesson.Lesson) {
	for _, b := range l.Blocks() {
		if b.Calculator.Text == "" {
			continue // reported as missing
		}
		spec, ok := c.calculator(l.File, b.Calculator.Line, b.Calculator.Text)
		if !ok {
			continue
		}
		if _, ok := c.Preset(spec, b.Preset.Text); !ok && b.Preset.Text != "" {
			c.log.Add(l.File, b.Preset.Line, b.ID+": "+unknownPreset(c.Book, spec, b.Preset.Text).Error())
		}
		switch b.Kind {
		case lesson.WorkedBlock:
			c.worked(l, l.Worked[b.Index], spec)
		case lesson.ExerciseBlock:
			c.exercise(l, l.Exercises[b.Index], spec)
		case lesson.PlateBlock:
			c.plate(l, l.Plates[b.Index], spec)
		case lesson.CompareBlock:
			c.compare(l, l.Compares[b.Index], spec)
		}
	}
}

func (c *checker) worked(l lesson.Lesson, w lesson.Worked, spec catalog.Spec) {
	c.given(l.File, w.ID, spec, w.Given)
	for _, e := range w.Expect {
		c.output(l.File, w.ID+": expect", lesson.Ref{Text: e.ID, Line: e.Line}, spec)
	}
	c.outputs(l.File, w.ID+": show", w.Show, spec)
	for _, r := range w.Source {
		if !c.isKey[r.Text] && !slices.Contains(SourceWords(), r.Text) {
			c.unknown(l.File, r.Line, w.ID+": source", r.Text, append(SourceWords(), c.keys...))
		}
	}
}

func (c *checker) exercise(l lesson.Lesson, e lesson.Exercise, spec catalog.Spec) {
	c.given(l.File, e.ID, spec, e.Given)
	if e.Ask.Text != "" {
		c.output(l.File, e.ID+": ask", e.Ask, spec)
	}
	for _, h := range e.Hints {
		c.given(l.File, e.ID, spec, h.Given)
		if h.Output.Text != "" {
			c.output(l.File, e.ID+": hint", h.Output, spec)
		}
	}
}

func (c *checker) plate(l lesson.Lesson, p lesson.Plate, spec catalog.Spec) {
	c.given(l.File, p.ID, spec, p.Given)
	c.shown(l.File, p.ID+": show", p.Show, spec)
	for _, r := range p.Inputs {
		if !slices.Contains(spec.Names(), r.Text) {
			c.unknown(l.File, r.Line, p.ID+": inputs: "+spec.ID+" input", r.Text, spec.Names())
		}
	}
	for _, r := range p.Presets {
		if _, ok := c.Preset(spec, r.Text); !ok {
			c.log.Add(l.File, r.Line, p.ID+": presets: "+unknownPreset(c.Book, spec, r.Text).Error())
		}
	}
	if calculator, err := list.Find(spec.ID); err == nil && p.Check {
		if _, ok := calculator.(catalog.Judged); !ok {
			c.log.Add(l.File, p.Line, p.ID+": only: verdict: "+spec.ID+" gives no verdict; leave \"only\" out")
		}
	}
}

func (c *checker) compare(l lesson.Lesson, p lesson.Compare, spec catalog.Spec) {
	c.given(l.File, p.ID, spec, p.Given)
	c.given(l.File, p.ID, spec, p.Current)
	c.given(l.File, p.ID, spec, p.Candidate)
	c.shown(l.File, p.ID+": show", p.Show, spec)
}

// given tries each input by itself, so that all that are refused are told and not only the first.
func (c *checker) given(file, id string, spec catalog.Spec, list []lesson.Given) {
	for i, g := range list {
		alone := list[i : i+1]
		if slices.ContainsFunc(list[:i], func(before lesson.Given) bool { return before.ID == g.ID }) {
			continue // a key twice, reported by the reader
		}
		v := catalog.NewValues()
		err := catalog.Set(spec, &v, g.ID, g.Text)
		if err == nil {
			_, err = catalog.Prepare(spec, v)
		}
		if err != nil && isAbout(err, g.ID) {
			line, text := Blame(id, g.Line, err, alone)
			c.log.Add(file, line, text)
		}
	}
}

// isAbout reports whether a refusal names the input, or one of its columns.
func isAbout(err error, id string) bool {
	var refused *catalog.InputError
	return !errors.As(err, &refused) || refused.Field == id || strings.HasPrefix(refused.Field, id+".") || len(id) > 60
}

// Blame returns where and how to report that a calculator refused the inputs of the block with the id: at the input
// that the error names, at its row when it is a table's, else at the given line.
func Blame(id string, line int, err error, lists ...[]lesson.Given) (int, string) {
	var refused *catalog.InputError
	if errors.As(err, &refused) {
		name, _, _ := strings.Cut(refused.Field, ".")
		for _, list := range lists {
			for _, g := range list {
				if g.ID != name {
					continue
				}
				line = g.Line
				if refused.Row > 0 && refused.Row <= len(g.Rows) {
					line = g.Rows[refused.Row-1]
				}
			}
		}
	}
	return line, id + ": " + err.Error()
}

func unknownPreset(b *Book, spec catalog.Spec, id string) error {
	var known []string
	for _, p := range b.Presets(spec) {
		known = append(known, p.ID)
	}
	return &catalog.InputError{Allowed: "preset " + clip(id) + " is no preset of " + spec.ID + spell.Offer(id, known)}
}

func (c *checker) outputs(file, what string, refs []lesson.Ref, spec catalog.Spec) {
	for _, r := range refs {
		c.output(file, what, r, spec)
	}
}

// shown checks what a plate shows: outputs and answer tables.
func (c *checker) shown(file, what string, refs []lesson.Ref, spec catalog.Spec) {
	for _, r := range refs {
		if !slices.ContainsFunc(spec.Answers, func(t catalog.Table) bool { return t.ID == r.Text }) {
			c.output(file, what, r, spec)
		}
	}
}

func (c *checker) output(file, what string, r lesson.Ref, spec catalog.Spec) {
	if _, ok := spec.Output(r.Text); !ok {
		c.unknown(file, r.Line, what+": "+spec.ID+" output", r.Text, outputIDs(spec))
	}
}

func outputIDs(spec catalog.Spec) []string {
	var ids []string
	for _, o := range spec.Outputs {
		ids = append(ids, o.ID)
	}
	return ids
}

// Value is what a {=…} names.
type Value struct {
	Fact   Fact // when IsFact
	IsFact bool
	Block  lesson.Block
	Side   string // "current", "candidate" or "difference" in a comparison, else ""
	Spec   catalog.Spec
	Shown  catalog.Output // the field, output or working
	Digits int            // decimals asked for; -1 when not said
	Unit   string         // unit asked for; "" when not said
	Story  bool           // a length of an exercise's story, and no field: Length
	Length float64        // cm
}

// Value reads what stands in {=…} on a page: "block.output", "block.field", in a comparison "block.current.output"
// (or candidate, or difference), or "fact:id"; then, if wanted, ":2" for decimals or ":mm" for a unit. "exercise*1.2 cm"
// is a length of the story that no field holds; it grows with the exercise's other lengths. Without its unit it is printed
// without, as a coordinate among others.
func (b *Book) Value(page lesson.Lesson, ref string) (Value, error) {
	v := Value{Digits: -1}
	if id, length, ok := strings.Cut(ref, "*"); ok {
		return storyValue(v, page, id, length)
	}
	name, isFact := strings.CutPrefix(ref, "fact:")
	name, suffix, _ := strings.Cut(name, ":")
	if n, err := strconv.Atoi(suffix); err == nil && n >= 0 && n <= 9 {
		v.Digits = n
	} else {
		v.Unit = suffix
	}
	if isFact {
		return b.factValue(page, v, name)
	}
	parts := strings.Split(name, ".")
	if len(parts) < 2 || len(parts) > 3 {
		return v, errors.New(`must be "block.output", "block.field" or "fact:id"`)
	}
	block, ok := page.Block(parts[0])
	if !ok {
		var known []string
		for _, other := range page.Blocks() {
			known = append(known, other.ID)
		}
		return v, fmt.Errorf("block %s is unknown on this page%s", clip(parts[0]), spell.Offer(parts[0], known))
	}
	v.Block = block
	return b.blockValue(v, parts[1:])
}

func storyValue(v Value, page lesson.Lesson, id, length string) (Value, error) {
	block, ok := page.Block(id)
	if !ok || block.Kind != lesson.ExerciseBlock {
		return v, fmt.Errorf("%s is no exercise of this page; a length of a story belongs to one", clip(id))
	}
	cm, err := quantity.Parse(length, quantity.Length)
	if err != nil {
		return v, err
	}
	v.Unit = strings.TrimLeft(length, "-−+0123456789., ")
	v.Story, v.Length, v.Block = true, cm, block
	return v, nil
}

func (b *Book) factValue(page lesson.Lesson, v Value, id string) (Value, error) {
	v.IsFact = true
	var ok bool
	if v.Fact, ok = b.Facts[id]; !ok {
		known := make([]string, 0, len(b.Facts))
		for other := range b.Facts {
			known = append(known, other)
		}
		slices.Sort(known)
		return v, fmt.Errorf("fact %s is unknown%s", clip(id), spell.Offer(id, known))
	}
	if v.Fact.Source != "" && !cites(page, v.Fact.Source) {
		return v, fmt.Errorf("fact %s comes from %s, which this page does not cite; write [@%s] beside it", clip(id), v.Fact.Source, v.Fact.Source)
	}
	if _, err := v.Fact.Convert(v.Digits, v.Unit); err != nil {
		return v, err
	}
	return v, nil
}

func cites(page lesson.Lesson, key string) bool {
	is := func(r lesson.Ref) bool { return r.Text == key }
	for _, w := range page.Worked {
		if slices.ContainsFunc(w.Source, is) {
			return true
		}
	}
	return slices.ContainsFunc(page.Prose.Citations, is) || slices.ContainsFunc(page.Sources, is)
}

func (b *Book) blockValue(v Value, parts []string) (Value, error) {
	sides := []string{"current", "candidate", "difference"}
	switch compare := v.Block.Kind == lesson.CompareBlock; {
	case compare && len(parts) == 1:
		return v, fmt.Errorf(`%s compares two runs; write "%s.current.%s", or candidate, or difference`, clip(v.Block.ID), v.Block.ID, parts[0])
	case !compare && len(parts) == 2:
		return v, fmt.Errorf(`%s is one run; write "%s.%s"`, clip(v.Block.ID), v.Block.ID, parts[1])
	case compare && !slices.Contains(sides, parts[0]):
		return v, fmt.Errorf("%s must be current, candidate or difference%s", clip(parts[0]), spell.Offer(parts[0], sides))
	case compare:
		v.Side = parts[0]
	}
	id := parts[len(parts)-1]
	spec, err := Spec(v.Block.Calculator.Text)
	if err != nil {
		return v, err
	}
	v.Spec = spec
	var ok bool
	if v.Shown, ok = spec.Shown(id); !ok {
		return v, fmt.Errorf("%s is no output or field of %s%s", clip(id), spec.ID, spell.Offer(id, shownIDs(spec)))
	}
	if v.Shown.Text && (v.Unit != "" || v.Digits >= 0 || v.Side == "difference") {
		return v, fmt.Errorf("%s is a word; it has no unit, decimals or difference", clip(id))
	}
	if v.Unit != "" {
		if _, err := quantity.Parse("1 "+v.Unit, v.Shown.Kind); err != nil {
			return v, fmt.Errorf("%s after the colon is neither a number of decimals nor a unit of %s", clip(v.Unit), clip(id))
		}
	}
	return v, nil
}

func shownIDs(spec catalog.Spec) []string {
	ids := outputIDs(spec)
	for _, f := range spec.Fields {
		ids = append(ids, f.ID)
	}
	for _, o := range spec.Workings {
		ids = append(ids, o.ID)
	}
	return ids
}
