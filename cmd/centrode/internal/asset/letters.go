package asset

import (
	"bytes"
	"maps"
	"sync"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// Letters are the characters that the fonts must hold: those of the pages, and those that a reader or a calculator may
// put there later.
type Letters struct{ inText, inMaths map[rune]bool }

// Always in the fonts: what scripts and live numbers print, what German asks for, and what readers type into names.
const (
	textSigns  = "ıŒœŠšŸŽžƒˆ˜‐‑‒–—―‘’‚“”„†‡•…‰′″‹›⁄€™←↑→↓−≈≤≥√∞ΔΩπµ\u00a0\u2009\u202f"
	mathsSigns = "×·÷±−√∑∫∏≤≥<>=≈≠≡∝∈→←↔⇒⊥∥∠°′″|‖∣⌈⌉⌊⌋⟨⟩¯ˉ^ˆ~˜˙¨⃗∞∂∇…⋯⋮⋱∘⊤ℎℓ\u2061\u2062\u2063\u2064\u0302\u0304\u0307\u0308\u20d7"
)

// CountLetters reads the characters of all pages, by whether they stand in a formula or in text. each hands the pages to
// its argument, from as many goroutines as it likes.
func CountLetters(each func(put func(name string, page []byte))) Letters {
	all := Letters{map[rune]bool{}, map[rune]bool{}}
	var mu sync.Mutex
	each(func(_ string, page []byte) {
		l := Letters{map[rune]bool{}, map[rune]bool{}}
		l.read(page)
		mu.Lock()
		defer mu.Unlock()
		maps.Copy(all.inText, l.inText)
		maps.Copy(all.inMaths, l.inMaths)
	})
	return all
}

func (l Letters) read(page []byte) {
	t := html.NewTokenizer(bytes.NewReader(page))
	var maths int
	var in string // the element that the text stands in
	for kind := t.Next(); kind != html.ErrorToken; kind = t.Next() {
		switch kind {
		case html.StartTagToken:
			name, _ := t.TagName()
			in = string(name)
			if in == "math" {
				maths++
			}
		case html.EndTagToken:
			if name, _ := t.TagName(); string(name) == "math" {
				maths--
			}
			in = ""
		case html.TextToken:
			if in == "script" || in == "style" {
				continue
			}
			l.add(t.Text(), maths > 0, in)
		}
	}
}

func (l Letters) add(text []byte, maths bool, in string) {
	single := utf8.RuneCount(text) == 1
	for _, r := range string(text) {
		switch {
		case !maths:
			l.inText[r] = true
		case in == "mi" && single:
			l.inMaths[r], l.inMaths[slanted(r)] = true, true
		default: // numbers and words are set in the face of the text; signs in that of formulas
			l.inText[r], l.inMaths[r] = true, true
		}
	}
}

// slanted is the character that a browser shows for a variable of one letter. Source: MathML Core, 'italic mappings'.
func slanted(r rune) rune {
	switch {
	case r == 'h':
		return 'ℎ'
	case 'A' <= r && r <= 'Z':
		return 0x1d434 + r - 'A'
	case 'a' <= r && r <= 'z':
		return 0x1d44e + r - 'a'
	case 'Α' <= r && r <= 'Ω':
		return 0x1d6e2 + r - 'Α'
	case 'α' <= r && r <= 'ω':
		return 0x1d6fc + r - 'α'
	}
	return r
}

func plainLetters(set map[rune]bool) map[rune]bool {
	out := map[rune]bool{}
	for r := range set {
		if r >= ' ' {
			out[r] = true
		}
	}
	for r := ' '; r <= '~'; r++ {
		out[r] = true
	}
	return out
}

func (l Letters) text() string {
	set := plainLetters(l.inText)
	for r := rune(0xa0); r <= 0xff; r++ {
		set[r] = true
	}
	for _, r := range textSigns {
		set[r] = true
	}
	return sortedRunes(set)
}

func (l Letters) maths() string {
	set := plainLetters(l.inMaths)
	for _, r := range mathsSigns {
		set[r] = true
	}
	for _, span := range [][2]rune{{'A', 'Z'}, {'a', 'z'}, {'Α', 'Ω'}, {'α', 'ω'}} {
		for r := span[0]; r <= span[1]; r++ {
			set[r], set[slanted(r)] = true, true
		}
	}
	return sortedRunes(set)
}
