package figure

import (
	"math"
	"strconv"

	"centrode/calc/plane"
)

const (
	heatSteps = 16  // classes heat-0 … heat-15 of the ramp
	heatCell  = 3.0 // smallest cell that is drawn, px; finer grids are resampled
)

// heat draws a grid as one path for each step of the ramp. Each path covers its own step and all above, so that no gap
// shows between neighbours.
func (d *draft) heat(m Heat) {
	area := Rect{}
	a, okA := d.sheet.place(m.Area.Min)
	b, okB := d.sheet.place(m.Area.Max)
	if !okA || !okB || m.Cols < 1 || m.Rows < 1 || len(m.Values) != m.Cols*m.Rows {
		return
	}
	area.Min = plane.Vec{X: min(a.X, b.X), Y: min(a.Y, b.Y)}
	area.Max = plane.Vec{X: max(a.X, b.X), Y: max(a.Y, b.Y)}
	if !(area.Max.X > area.Min.X && area.Max.Y > area.Min.Y) {
		return
	}
	g := resample(m, area)
	lines := g.toEdges()
	size := area.Max.Sub(area.Min)
	frame := el("rect", "x", number(area.Min.X), "y", number(area.Min.Y), "width", number(size.X), "height", number(size.Y), "class", "heat-frame")
	d.drawn = append(d.drawn, el("g", "class", "heat").with(d.bands(g, area)...).with(frame).named(m.Name, d.words))
	for _, level := range m.Levels {
		d.contour(lines, area, level, m.Unit)
	}
	for _, e := range m.Edges {
		d.edge(lines, area, e)
	}
}

// edge draws the line of one value, with its text beside the end that reaches farthest to the right.
func (d *draft) edge(g grid, area Rect, e Edge) {
	at := plane.Vec{X: math.Inf(-1)}
	chains := d.lines(g.placed(area, e.Level), "line edge", e.Role)
	for _, chain := range chains {
		for _, p := range chain {
			if p.X > at.X {
				at = p
			}
		}
	}
	if len(chains) > 0 && e.Text != "" {
		d.notes = append(d.notes, note{text: e.Text, role: e.Role, rank: e.Rank, at: at, away: plane.Vec{X: 1},
			near: 4 * d.sheet.gauge, kind: "label"})
	}
}

// placed returns the contour lines of a level on the sheet; g reaches the edges.
func (g grid) placed(area Rect, level float64) [][]plane.Vec {
	chains := g.contours(level)
	for _, chain := range chains {
		for i, p := range chain {
			chain[i] = plane.Vec{
				X: area.Min.X + along(p.X, g.cols)*(area.Max.X-area.Min.X),
				Y: area.Max.Y - along(p.Y, g.rows)*(area.Max.Y-area.Min.Y)}
		}
	}
	return chains
}

// along is how far along one side of the map a place among n cells lies, of which the first and the last stand on the map's edges.
func along(x float64, n int) float64 {
	inner := float64(n - 2)
	return min(max(x/2, x-0.5), (x+inner-1)/2) / inner
}

// grid is a table of values, row by row.
type grid struct {
	cols, rows int
	values     []float64
	next       links // for contours
}

// resample makes the cells at least heatCell wide, reading between the centres of the given cells linearly, so that
// neither the page nor the reader is burdened with cells that nobody could tell apart.
func resample(m Heat, area Rect) grid {
	size := area.Max.Sub(area.Min)
	g := grid{cols: min(m.Cols, max(1, int(size.X/heatCell))), rows: min(m.Rows, max(1, int(size.Y/heatCell))), values: m.Values}
	if g.cols == m.Cols && g.rows == m.Rows {
		return g
	}
	source := grid{cols: m.Cols, rows: m.Rows, values: m.Values}
	g.values = make([]float64, 0, g.cols*g.rows)
	for row := range g.rows {
		v := (float64(row)+0.5)*float64(m.Rows)/float64(g.rows) - 0.5
		for col := range g.cols {
			u := (float64(col)+0.5)*float64(m.Cols)/float64(g.cols) - 0.5
			g.values = append(g.values, source.between(u, v))
		}
	}
	return g
}

func (g grid) at(col, row int) float64 { return g.values[row*g.cols+col] }

// between reads linearly between cell centres, and beyond the outermost ones goes on as between them and their neighbours.
func (g grid) between(u, v float64) float64 {
	col, row := min(int(u), max(g.cols-2, 0)), min(int(v), max(g.rows-2, 0))
	right, up := min(col+1, g.cols-1), min(row+1, g.rows-1)
	s, t := u-float64(col), v-float64(row)
	low := g.at(col, row)*(1-s) + g.at(right, row)*s
	high := g.at(col, up)*(1-s) + g.at(right, up)*s
	return low*(1-t) + high*t
}

// steps gives each cell its step of the ramp, -1 for a value that is not finite.
func (g grid) steps() []int8 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range g.values {
		if math.Abs(v) <= math.MaxFloat64 {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	steps := make([]int8, len(g.values))
	for i, v := range g.values {
		switch {
		case !(math.Abs(v) <= math.MaxFloat64):
			steps[i] = -1
		case hi > lo:
			steps[i] = int8(min((v/2-lo/2)/(hi/2-lo/2)*heatSteps, heatSteps-1)) // halves, so that the range cannot overflow
		}
	}
	return steps
}

func (d *draft) bands(g grid, area Rect) []Node {
	steps := g.steps()
	nodes := make([]Node, 0, heatSteps)
	for step := range int8(heatSteps) {
		t := d.pen[:0]
		for row := range g.rows {
			t.runs(steps[row*g.cols:(row+1)*g.cols], step, g.strip(area, row))
		}
		d.pen = t
		nodes = appendPath(nodes, "heat-"+strconv.Itoa(int(step)), "", t)
	}
	return nodes
}

// strip is the part of the sheet that one row of cells covers; rows count from below.
func (g grid) strip(area Rect, row int) Rect {
	height := (area.Max.Y - area.Min.Y) / float64(g.rows)
	bottom := area.Max.Y - float64(row)*height
	return Rect{plane.Vec{X: area.Min.X, Y: bottom - height}, plane.Vec{X: area.Max.X, Y: bottom}}
}

// runs appends a rectangle for each run of cells of at least the given step.
func (t *trace) runs(steps []int8, least int8, strip Rect) {
	width := (strip.Max.X - strip.Min.X) / float64(len(steps))
	for col := 0; col < len(steps); col++ {
		if steps[col] < least {
			continue
		}
		first := col
		for col+1 < len(steps) && steps[col+1] >= least {
			col++
		}
		t.to('M', plane.Vec{X: strip.Min.X + float64(first)*width, Y: strip.Min.Y})
		*t = appendNumber(append(*t, 'H'), strip.Min.X+float64(col+1)*width)
		*t = appendNumber(append(*t, 'V'), strip.Max.Y)
		*t = appendNumber(append(*t, 'H'), strip.Min.X+float64(first)*width)
		t.close()
	}
}

// contour draws the lines of one level and asks for a place for its number.
func (d *draft) contour(g grid, area Rect, level float64, unit string) {
	var longest []plane.Vec
	for _, chain := range d.lines(g.placed(area, level), "contour", "") {
		if len(chain) > len(longest) {
			longest = chain
		}
	}
	d.contourNumber(longest, area, level, unit)
}

// contourNumber asks for a place on the line: at its middle, else elsewhere; a line shorter than three numbers gets
// none, because the gap would leave too little of it.
func (d *draft) contourNumber(chain []plane.Vec, area Rect, level float64, unit string) {
	text := string(appendLevel(nil, level))
	if unit != "" {
		text += "\u00a0" + unit
	}
	length := 0.0
	for i := 1; i < len(chain); i++ {
		length += chain[i].Sub(chain[i-1]).Len()
	}
	if length < 3*textWidth(text)*d.sheet.text {
		return
	}
	n := note{text: text, own: true, rank: dropRank, kind: "contour", bound: true, breaks: len(d.measured)}
	for _, sixteenths := range []int{8, 4, 12, 6, 10, 2, 14, 7, 9, 5, 11, 3, 13} {
		spot := chain[len(chain)*sixteenths/16]
		if area.holds(around(spot, textWidth(text)*d.sheet.text/2, lineHeight*d.sheet.text/2)) {
			n.spots = append(n.spots, spot)
		}
	}
	d.notes = append(d.notes, n)
}

// appendLevel writes a level with the digits it was given, up to six significant ones, and a typographic minus.
func appendLevel(b []byte, level float64) []byte {
	if level < 0 {
		b = append(b, "−"...)
	}
	return strconv.AppendFloat(b, math.Abs(level), 'g', 6, 64)
}

// open appends a chain without what lies inside the gap.
func (t *trace) open(chain []plane.Vec, gap Rect) {
	pen := false
	for i := 1; i < len(chain); i++ {
		a, b := chain[i-1], chain[i]
		from, to, cut := gap.clip(a, b)
		if !cut {
			from, to = b, b
		}
		if !pen && from != a {
			t.to('M', a)
		}
		if from != a {
			t.to('L', from)
		}
		pen = !cut && (pen || from != a) // a step of no length starts nothing
		if cut && to != b {
			t.line(to, b)
			pen = true
		}
	}
}
