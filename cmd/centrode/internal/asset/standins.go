package asset

import (
	"fmt"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// standIn is a face that every system has under one of the names, shown until a font of ours has arrived.
type standIn struct {
	file, family, style string
	local               []string
	widths              string // advances of a to z and the space, in thousandths of the size
}

// The widths are those of the Adobe font metrics for the core fonts (Times-Roman, Times-Italic, Helvetica, Courier), which
// Times New Roman, Arial, Courier New and the Liberation fonts share: from memory, checked against the Liberation fonts by
// the test beside this file.
const (
	timesWidths  = "444 500 444 500 444 333 500 500 278 278 500 278 778 500 500 500 500 333 389 278 500 500 722 500 500 444 250"
	italicWidths = "500 500 444 500 444 278 500 500 278 278 444 278 722 500 500 500 500 389 389 278 500 444 667 444 444 389 250"
	arialWidths  = "556 556 500 556 556 278 556 556 222 222 500 222 833 556 556 556 556 333 500 278 556 500 722 500 500 500 278"
)

var (
	courierWidths  = strings.TrimSpace(strings.Repeat("600 ", 27))
	arial          = []string{"Arial", "Liberation Sans"}
	standInsByFont = []standIn{
		{"source-serif-4-latin-wght-normal.woff2", "Serif stand-in", "normal", []string{"Times New Roman", "Liberation Serif"}, timesWidths},
		{"source-serif-4-latin-wght-italic.woff2", "Serif stand-in", "italic", []string{"Times New Roman Italic", "TimesNewRomanPS-ItalicMT", "Liberation Serif Italic"}, italicWidths},
		{"source-sans-3-latin-wght-normal.woff2", "Sans stand-in", "normal", arial, arialWidths},
		{"source-sans-3-latin-wght-italic.woff2", "Sans stand-in", "italic", []string{"Arial Italic", "Arial-ItalicMT", "Liberation Sans Italic"}, arialWidths},
		{"jetbrains-mono-latin-wght-normal.woff2", "Mono stand-in", "normal", []string{"Courier New", "Liberation Mono"}, courierWidths},
	}
)

// How often each of a to z and the space stands in a thousand characters of English prose: counted in the handbook's own
// lessons, and rounded. The widths depend little on it, and the same figures for every build keep the styles the same.
var letterShares = [27]int{64, 11, 20, 30, 104, 20, 14, 52, 52, 2, 8, 31, 19, 56, 62, 16, 1, 45, 56, 88, 16, 7, 16, 2, 10, 0, 197}

// standIns writes the rules of the stand-ins: their letters are stretched until a line of text is as long as in the font,
// and their lines get the height of its lines, so that nothing moves when it arrives.
func standIns(cut map[string]cutFont) (string, error) {
	var b strings.Builder
	b.WriteString("@layer base {\n")
	for _, s := range standInsByFont {
		f, err := sfnt.Parse(cut[s.file].Plain)
		if err != nil {
			return "", fmt.Errorf("%s, cut: %w", s.file, err)
		}
		size := fixed.I(int(f.UnitsPerEm())) // so that all measures are in the font's own units
		m, err := f.Metrics(nil, size, font.HintingNone)
		if err != nil {
			return "", fmt.Errorf("%s, cut: %w", s.file, err)
		}
		ours, err := meanWidth(f, size)
		if err != nil {
			return "", fmt.Errorf("%s, cut: %w", s.file, err)
		}
		theirs, err := meanOf(s.widths)
		if err != nil {
			return "", err
		}
		stretch := ours / theirs
		share := func(height fixed.Int26_6) float64 { return 100 * float64(height) / float64(size) / stretch }
		fmt.Fprintf(&b, `@font-face { font-family: "%s"; font-style: %s; src: local("%s"); size-adjust: %.1f%%; ascent-override: %.1f%%; descent-override: %.1f%%; line-gap-override: %.1f%%; }`+"\n",
			s.family, s.style, strings.Join(s.local, `"), local("`), 100*stretch, share(m.Ascent), share(m.Descent), share(max(0, m.Height-m.Ascent-m.Descent)))
	}
	b.WriteString("}\n")
	return b.String(), nil
}

// meanWidth is the width of a character of prose in the font, in parts of its size.
func meanWidth(f *sfnt.Font, size fixed.Int26_6) (float64, error) {
	var buffer sfnt.Buffer
	var total, weight float64
	for i, r := range "abcdefghijklmnopqrstuvwxyz " {
		glyph, err := f.GlyphIndex(&buffer, r)
		if err != nil {
			return 0, err
		}
		width, err := f.GlyphAdvance(&buffer, glyph, size, font.HintingNone)
		if err != nil {
			return 0, err
		}
		total += float64(letterShares[i]) * float64(width) / float64(size)
		weight += float64(letterShares[i])
	}
	return total / weight, nil
}

func meanOf(widths string) (float64, error) {
	var total, weight float64
	for i, field := range strings.Fields(widths) {
		var width float64
		if _, err := fmt.Sscan(field, &width); err != nil || i >= len(letterShares) {
			return 0, fmt.Errorf("the widths of a stand-in: %q: must be 27 numbers", widths)
		}
		total += float64(letterShares[i]) * width / 1000
		weight += float64(letterShares[i])
	}
	return total / weight, nil
}
