package asset

// Letters are the characters that the pages show in text and in formulas. The fonts hold them, and those that a reader or a
// calculator may put there later.
type Letters struct{ Text, Maths map[rune]bool }

// Always in the fonts: what scripts and live numbers print, what German asks for, and what readers type into names.
const (
	textSigns  = "ıŒœŠšŸŽžƒˆ˜‐‑‒–—―‘’‚“”„†‡•…‰′″‹›⁄€™←↑→↓−≈≤≥√∞ΔΩπµ\u00a0\u2009\u202f"
	mathsSigns = "×·÷±−√∑∫∏≤≥<>=≈≠≡∝∈→←↔⇒⊥∥∠°′″|‖∣⌈⌉⌊⌋⟨⟩¯ˉ^ˆ~˜˙¨⃗∞∂∇…⋯⋮⋱∘⊤ℎℓ\u2061\u2062\u2063\u2064\u0302\u0304\u0307\u0308\u20d7"
)

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
	set := plainLetters(l.Text)
	for r := rune(0xa0); r <= 0xff; r++ {
		set[r] = true
	}
	for _, r := range textSigns {
		set[r] = true
	}
	return sortedRunes(set)
}

func (l Letters) maths() string {
	set := plainLetters(l.Maths)
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
