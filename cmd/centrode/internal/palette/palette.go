// Package palette reads the colours of the theme from its tokens, checks that text can be read in them, and writes the ones
// that a studio puts in their place.
//
// Start at Parse. Only theme/styles/tokens.css names colours; whoever needs one in Go asks here.
package palette

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
)

// Colour is in sRGB, 0 to 255 each.
type Colour struct{ R, G, B uint8 }

// Pair is one colour by day and by night.
type Pair struct{ Light, Dark Colour }

// Palette is all colours by name: "paper", "ink".
type Palette map[string]Pair

var token = regexp.MustCompile(`--([a-z][a-z-]*):\s*light-dark\(\s*(#[0-9A-Fa-f]{6})\s*,\s*(#[0-9A-Fa-f]{6})\s*\)`)

// Parse reads the colours from a style sheet of tokens.
func Parse(css string) Palette {
	p := Palette{}
	for _, m := range token.FindAllStringSubmatch(css, -1) {
		light, _ := Read(m[2])
		dark, _ := Read(m[3])
		p[m[1]] = Pair{light, dark}
	}
	return p
}

var hex = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)

// Read reads a colour such as "#" and six hexadecimal digits; ok is false for any other text.
func Read(text string) (c Colour, ok bool) {
	if !hex.MatchString(text) {
		return Colour{}, false
	}
	n, err := strconv.ParseUint(text[1:], 16, 32)
	return Colour{uint8(n >> 16), uint8(n >> 8), uint8(n)}, err == nil
}

// String writes the colour as Read takes it.
func (c Colour) String() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// luminance is the relative luminance. Source: WCAG 2.2, definition of relative luminance.
func (c Colour) luminance() float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// Contrast is the contrast ratio, 1 to 21. Source: WCAG 2.2, definition of contrast ratio.
func Contrast(a, b Colour) float64 {
	l, m := a.luminance(), b.luminance()
	return (max(l, m) + 0.05) / (min(l, m) + 0.05)
}

// Need is what one colour must differ from another by.
type Need struct {
	Name, On string
	Ratio    float64
}

// Needs are the pairs that pages put on each other: text 4.5, marks and borders 3 (WCAG 2.2, 1.4.3 and 1.4.11, level AA).
var Needs = []Need{
	{"ink", "paper", 4.5}, {"muted", "paper", 4.5}, {"link", "paper", 4.5}, {"caution", "paper", 4.5},
	{"current-text", "paper", 4.5}, {"candidate-text", "paper", 4.5}, {"line", "paper", 3}, {"current", "paper", 3}, {"candidate", "paper", 3},
	{"ink", "paper-deep", 4.5}, {"code-word", "paper-deep", 4.5}, {"code-text", "paper-deep", 4.5}, {"code-number", "paper-deep", 4.5},
	{"code-name", "paper-deep", 4.5}, {"code-note", "paper-deep", 4.5},
}

// Weakness is a need that is not met, in words.
type Weakness struct{ Name, On, Text string }

// Weak lists the needs that the palette does not meet, those of a changed colour only.
func (p Palette) Weak(changed Palette) []Weakness {
	var list []Weakness
	for _, n := range Needs {
		if !changed.has(n.Name) && !changed.has(n.On) {
			continue
		}
		front, ground := p[n.Name], p[n.On]
		for _, side := range []struct {
			when  string
			f, on Colour
		}{{"by day", front.Light, ground.Light}, {"by night", front.Dark, ground.Dark}} {
			if got := Contrast(side.f, side.on); !(got >= n.Ratio) {
				list = append(list, Weakness{n.Name, n.On, fmt.Sprintf("%s %s on %s %s has a contrast of %.2f %s; must be at least %g to be read (WCAG 2.2 AA)", n.Name, side.f, n.On, side.on, got, side.when, n.Ratio)})
			}
		}
	}
	return list
}

func (p Palette) has(name string) bool {
	_, ok := p[name]
	return ok
}

// CSS writes the colours as a style sheet for the layer of tokens; "" for none.
func (p Palette) CSS() string {
	if len(p) == 0 {
		return ""
	}
	text := "@layer tokens { :root {"
	for _, name := range slices.Sorted(maps.Keys(p)) {
		text += " --" + name + ": light-dark(" + p[name].Light.String() + ", " + p[name].Dark.String() + ");"
	}
	return text + " } }\n"
}
