// Package maths turns TeX into MathML at build time, so that a page shows formulas without a script.
//
// Start at New and MathML. The converter is an npm package, run inside an embedded JavaScript engine; its
// source is handed in, so the package reads no file. A formula that cannot be converted is an error with the
// converter's reason, never half a formula. Output carries no style attribute (a strict content policy refuses those):
// what the converter writes there becomes classes, listed in styles.go, or is refused.
package maths

import (
	"fmt"
	"regexp"
	"strings"
	"sync"
)

// maxLength bounds a formula in bytes; the longest derivation line of the handbook has under 300.
const maxLength = 4000

// Renderer converts formulas and remembers many of them. It is safe for many goroutines; each busy one has an engine of its own.
type Renderer struct {
	program *program
	mu      sync.Mutex
	idle    []*engine
	cache   map[string]formula // by key(tex, display)
	before  map[string]formula // the cache that was full
}

// New prepares a renderer from the converter's source text (dist/temml.min.js). Engines start when first needed.
func New(source string) (*Renderer, error) {
	p, err := compile(source)
	if err != nil {
		return nil, err
	}
	return &Renderer{program: p, cache: map[string]formula{}}, nil
}

var (
	slotCommand = regexp.MustCompile(`\\slot\s*\{\s*([^{}]*?)\s*\}`)
	slotName    = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*$`)
	slotElement = regexp.MustCompile(`<m(?:n|text) class="slot slot-([A-Za-z0-9_]+)( [^"]*)?">[^<]*</m(?:n|text)>`)
)

// MathML converts one formula; display asks for the block form. Where \slot{id} stands for a number the markup has an
// <mn class="slot slot-id"> whose text is fill(id), which a page may replace at any time; fill is asked for nothing else.
func (r *Renderer) MathML(tex string, display bool, fill func(id string) string) (string, error) {
	f, err := r.unfilled(tex, display)
	if err != nil {
		return "", err
	}
	return f.fill(fill), nil
}

// formula is markup cut where slots stand.
type formula struct {
	texts []string // around the slots: one more than there are slots
	slots []slot
	size  int // about that of the whole
}

type slot struct{ id, open string } // open is its start tag

func cut(markup string) (f formula) {
	end := 0
	for _, at := range slotElement.FindAllStringSubmatchIndex(markup, -1) {
		id, more := markup[at[2]:at[3]], ""
		if at[4] >= 0 {
			more = markup[at[4]:at[5]]
		}
		f.texts = append(f.texts, markup[end:at[0]])
		f.slots = append(f.slots, slot{id, `<mn class="slot slot-` + id + more + `">`})
		end = at[1]
	}
	f.texts, f.size = append(f.texts, markup[end:]), len(markup)+16*len(f.slots)
	return f
}

func (f formula) fill(fill func(id string) string) string {
	if len(f.slots) == 0 {
		return f.texts[0]
	}
	var b strings.Builder
	b.Grow(f.size)
	for i, s := range f.slots {
		b.WriteString(f.texts[i])
		b.WriteString(s.open)
		b.WriteString(escape(fill(s.id)))
		b.WriteString(`</mn>`)
	}
	b.WriteString(f.texts[len(f.slots)])
	return b.String()
}

// Slots lists the ids of the slots of a formula in order, repeats included.
func Slots(tex string) []string {
	var ids []string
	for _, m := range slotCommand.FindAllStringSubmatch(tex, -1) {
		ids = append(ids, m[1])
	}
	return ids
}

func key(tex string, display bool) string {
	if display {
		return "block " + tex
	}
	return "inline " + tex
}

func (r *Renderer) unfilled(tex string, display bool) (formula, error) {
	key := key(tex, display)
	if f, known := r.recall(key); known {
		return f, nil
	}
	markup, err := r.convert(tex, display)
	if err != nil {
		return formula{}, fmt.Errorf("formula %s: %w", quote(tex), err)
	}
	f := cut(markup)
	r.mu.Lock()
	defer r.mu.Unlock()
	r.remember(key, f)
	return f, nil
}

// most is how many formulas a cache holds: those of a book ten times the handbook. Of a longer book it holds those that were used last.
const most = 4000

func (r *Renderer) recall(key string) (formula, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if f, known := r.cache[key]; known {
		return f, true
	}
	f, known := r.before[key]
	if known {
		r.remember(key, f)
	}
	return f, known
}

func (r *Renderer) remember(key string, f formula) {
	if len(r.cache) >= most {
		r.cache, r.before = map[string]formula{}, r.cache
	}
	r.cache[key] = f
}

func (r *Renderer) convert(tex string, display bool) (string, error) {
	plain, err := withoutSlots(tex)
	if err != nil {
		return "", err
	}
	e, err := r.take()
	if err != nil {
		return "", err
	}
	raw, err := e.run(plain, display)
	if err != nil {
		return "", err // the engine may hold half a state: it is not given back
	}
	r.give(e)
	markup, err := restyle(raw)
	if err != nil {
		return "", err
	}
	return annotate(markup, tex), nil
}

// withoutSlots writes each slot as a text in a class of its own. A digit would be joined to digits beside it (2\slot{x}
// is one number to the converter), and a minus would be split off; a text does neither.
func withoutSlots(tex string) (string, error) {
	switch {
	case strings.TrimSpace(tex) == "":
		return "", fmt.Errorf("is empty")
	case len(tex) > maxLength:
		return "", fmt.Errorf("is %d bytes long; must be at most %d", len(tex), maxLength)
	}
	for _, id := range Slots(tex) {
		if !slotName.MatchString(id) {
			return "", fmt.Errorf(`\slot{%s}: must name a field, output or working by its id`, id)
		}
	}
	return slotCommand.ReplaceAllString(tex, `{\class{slot slot-$1}{\text{0}}}`), nil
}

// annotate keeps the TeX source beside the formula, for a reader who copies it. A formula with slots is live, so its
// source would be stale as soon as a value changes: it gets none.
func annotate(markup, tex string) string {
	if len(Slots(tex)) > 0 {
		return markup
	}
	return strings.Replace(markup, "<math", `<math alttext="`+escape(strings.Join(strings.Fields(tex), " "))+`"`, 1)
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func escape(text string) string { return escaper.Replace(text) }

// quote shows a formula in a message, a long one shortened.
func quote(tex string) string {
	const most = 80
	if runes := []rune(tex); len(runes) > most {
		tex = string(runes[:most]) + "…"
	}
	return "$" + tex + "$"
}
