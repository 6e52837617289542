package figure

// Text is never measured: the build has no fonts and the page must agree with it. Boxes are reserved from a table of
// widths that is generous for the sans faces in use (the digits of most are 0.50 to 0.56 em wide).

const (
	lineHeight  = 1.3  // height of a label's box, in em
	ascent      = 1.0  // from the top of the box to the baseline, in em
	middleDrop  = 0.35 // from the middle of the box to the baseline: half the height of a capital
	textPadding = 0.35 // both sides together, in em
	wordSpace   = 0.3  // and more of it between two texts on a line, or they would read as one
)

// TextWidth returns the room to reserve for a line of text in a sans face, in em, for drawings that are laid out outside
// this package. It is generous: words end before it.
func TextWidth(text string) float64 { return textWidth(text) }

// textWidth returns the reserved width of a line of text, in em.
func textWidth(text string) float64 {
	width := textPadding
	for _, r := range text {
		width += runeWidth(r)
	}
	return width
}

func runeWidth(r rune) float64 {
	switch {
	case r >= '0' && r <= '9':
		return 0.56
	case r >= 'a' && r <= 'z':
		return lowerWidth(r)
	case r >= 'A' && r <= 'Z':
		return upperWidth(r)
	case r >= 0x2E80: // ideographs and other full-width signs
		return 1.05
	case r >= 0x300 && r < 0x370: // combining marks
		return 0
	}
	return signWidth(r)
}

func lowerWidth(r rune) float64 {
	switch r {
	case 'i', 'j', 'l':
		return 0.27
	case 'f', 'r', 't':
		return 0.37
	case 'm':
		return 0.87
	case 'w':
		return 0.76
	}
	return 0.57
}

func upperWidth(r rune) float64 {
	switch r {
	case 'I', 'J':
		return 0.5
	case 'M', 'W':
		return 0.92
	}
	return 0.7
}

func signWidth(r rune) float64 {
	switch r {
	case ' ', '\u00a0', '\u202f', '.', ',', ':', ';', '·', '\'', '’', '|', '!', '/', '(', ')', '[', ']':
		return 0.32
	case '°', '"', '-', '“', '”':
		return 0.4
	case '−', '+', '=', '±', '×', '<', '>', '≤', '≥', '–', '?':
		return 0.6
	case '—', '…', '%', '@', '→', '←':
		return 1
	}
	return 0.72
}
