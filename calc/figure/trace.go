package figure

import (
	"math"

	"centrode/calc/plane"
)

// trace is the data of an SVG path, in pixels.
type trace []byte

func (t *trace) to(command byte, p plane.Vec) {
	*t = append(*t, command)
	*t = appendNumber(*t, p.X)
	*t = append(*t, ' ')
	*t = appendNumber(*t, p.Y)
}

func (t *trace) line(points ...plane.Vec) {
	*t = append(*t, make(trace, len(points)*len("L123.45 678.9"))...)[:len(*t)] // room for all
	for i, p := range points {
		if i == 0 {
			t.to('M', p)
		} else {
			t.to('L', p)
		}
	}
}

func (t *trace) close() { *t = append(*t, 'Z') }

// arc appends a circular arc of less than half a turn from where the path stands to p; clockwise as seen on the sheet.
func (t *trace) arc(radius float64, clockwise bool, p plane.Vec) {
	*t = append(*t, 'A')
	*t = appendNumber(*t, radius)
	*t = append(*t, ' ')
	*t = appendNumber(*t, radius)
	flags := " 0 0 0 "
	if clockwise {
		flags = " 0 0 1 "
	}
	*t = append(*t, flags...)
	*t = appendNumber(*t, p.X)
	*t = append(*t, ' ')
	*t = appendNumber(*t, p.Y)
}

// appendNumber writes at most two decimals, without trailing zeros or a negative zero. What is not a number is written
// as 0, so that no error upstream can make a drawing unreadable.
func appendNumber(b []byte, x float64) []byte {
	if !(math.Abs(x) <= 1e12) {
		x = 0
	}
	hundredths := int64(math.Round(x * 100))
	if hundredths < 0 {
		b = append(b, '-')
		hundredths = -hundredths
	}
	// Digit by digit: with strconv.AppendInt in its place the calculators were some 3 kB larger, 698 for 695 with brotli.
	var room [16]byte // the largest has thirteen digits
	first := len(room)
	for whole := hundredths / 100; first == len(room) || whole > 0; whole /= 10 {
		first--
		room[first] = byte('0' + whole%10)
	}
	b = append(b, room[first:]...)
	switch rest := hundredths % 100; {
	case rest == 0:
		return b
	case rest%10 == 0:
		return append(b, '.', byte('0'+rest/10))
	default:
		return append(b, '.', byte('0'+rest/10), byte('0'+rest%10))
	}
}

//go:noinline
func number(x float64) string { return string(appendNumber(make([]byte, 0, 12), x)) }

// lines keeps lines, to be drawn when the number on them has its place.
func (d *draft) lines(chains [][]plane.Vec, kind string, role Role) [][]plane.Vec {
	for _, chain := range chains {
		d.ink.line(chain...)
	}
	d.measured = append(d.measured, measured{kind: kind, role: role, after: len(d.drawn), chains: chains})
	return chains
}

// measured is a line with a number on it, to be drawn after so many drawn marks, open where the number stands: the contour lines of one
// level, or a dimension line.
type measured struct {
	kind   string
	role   Role
	after  int
	chains [][]plane.Vec
	gap    Rect
}

// drawMeasured puts the lines with numbers among the drawn marks, each over what came before it and under what came later.
func (d *draft) drawMeasured() {
	drawn, done := make([]Node, 0, len(d.drawn)+len(d.measured)), 0
	for _, c := range d.measured {
		drawn, done = append(drawn, d.drawn[done:c.after]...), c.after
		t := d.pen[:0]
		for _, chain := range c.chains {
			t.open(chain, c.gap)
		}
		d.pen = t
		drawn = appendPath(drawn, c.kind, c.role, t)
	}
	d.drawn = append(drawn, d.drawn[done:]...)
}
