package mapping

import (
	"slices"
	"strconv"
	"strings"

	"centrode/calc/figure"
)

// Sizes in pixels of the drawing's natural size.
const (
	textSize = 14.5
	lineStep = 17.0 // from one line of a title to the next
	rowGap   = 14.0 // between the titles of two rows
	channel  = 41.0 // between the words of one column and the marks of the next
	mark     = 5.5  // half the width of a diamond or ring
	indent   = 12.0 // from the middle of a mark to its words
	margin   = 8.0
	heading  = 34.0 // above the first row of a band
	setWidth = 0.88 // of the room that figure reserves: what words in the site's own face take at most
	air      = 3.0  // between words and the line that leaves them
	short    = 7.5  // em: a title up to this width stays on one line
	medium   = 10.5 // em: half the width of a title that two lines can hold
)

// sheet is the map with its measures.
type sheet struct {
	*net
	titles        [][]string // lines of each place's title
	step          float64    // height of a row
	x             []float64  // of the marks of each column
	tops          []float64  // of each band
	width, height float64
}

func (n *net) measure(bands []string) sheet {
	s := sheet{net: n, x: make([]float64, n.columns), tops: make([]float64, len(bands))}
	wide := make([]float64, n.columns)
	most := 1
	for i, p := range n.places {
		lines := broken(p.Title)
		s.titles = append(s.titles, lines)
		most = max(most, len(lines))
		column := n.items[i].column
		wide[column] = max(wide[column], widest(lines)*textSize*setWidth+air)
	}
	s.step = float64(most)*lineStep + rowGap
	for i, name := range bands { // the names stand over the first column, so that no line bends through them
		if n.rows[i] > 0 {
			wide[0] = max(wide[0], figure.TextWidth(name)*textSize*setWidth-indent)
		}
	}
	at := margin + mark
	for i := range wide {
		s.x[i] = at
		at += indent + wide[i] + channel
	}
	s.width = at - channel + margin
	for i := range bands {
		s.tops[i] = s.height
		if n.rows[i] > 0 {
			s.height += heading + float64(n.rows[i])*s.step
		}
	}
	s.height += margin
	return s
}

// y is the middle of an item's row.
func (s sheet) y(i int) float64 {
	it := s.items[i]
	return s.tops[it.band] + heading + (float64(it.row)+0.5)*s.step
}

// end is where an item's lines begin: behind the widest line of its words.
func (s sheet) end(i int) float64 {
	if s.items[i].passes {
		return s.x[s.items[i].column]
	}
	return s.x[s.items[i].column] + indent + widest(s.titles[i])*textSize*setWidth + air
}

// turn is where the room before the next column begins.
func (s sheet) turn(column int) float64 { return s.x[column+1] - mark - channel + 4 }

func (n *net) draw(p Plan) figure.Node {
	root := element("svg", "class", "map", "role", "group", "aria-labelledby", p.ID+"-title "+p.ID+"-desc")
	root.Children = []figure.Node{words("title", p.Name, "id", p.ID+"-title"), words("desc", p.Description, "id", p.ID+"-desc")}
	s := sheet{width: 1, height: 1}
	if len(p.Places) > 0 && len(p.Bands) > 0 {
		s = n.measure(p.Bands)
		root.Children = append(root.Children, s.bands(p.Bands)...)
		root.Children = append(root.Children, s.lines()...)
		for i := range n.places {
			root.Children = append(root.Children, s.place(i))
		}
	}
	root.Attrs = append(root.Attrs, figure.Attr{Name: "viewBox", Value: "0 0 " + number(s.width) + " " + number(s.height)},
		figure.Attr{Name: "width", Value: number(s.width)}, figure.Attr{Name: "height", Value: number(s.height)})
	return root
}

// bands draws the names of the parts, each under a rule but the first.
func (s sheet) bands(names []string) []figure.Node {
	var list []figure.Node
	for i, name := range names {
		if s.rows[i] == 0 {
			continue
		}
		if s.tops[i] > 0 {
			list = append(list, element("path", "class", "map-rule", "d", path('M', 0, s.tops[i])+path('H', s.width)))
		}
		list = append(list, words("text", name, "class", "map-part", "x", number(margin/2), "y", number(s.tops[i]+textSize*1.4)))
	}
	return list
}

// lines draws how each item is reached. Between two chosen places a line is heavier, as long as other places are there to
// stand out from.
func (s sheet) lines() []figure.Node {
	var list []figure.Node
	kept := s.kept()
	mixed := slices.ContainsFunc(s.places, func(p Place) bool { return !p.Chosen })
	for i, it := range s.items {
		for _, from := range it.from {
			class := "map-line"
			if mixed && kept[i] && kept[from] {
				class += " map-line-chosen"
			}
			list = append(list, element("path", "class", class, "d", s.curve(from, i)))
		}
	}
	return list
}

// kept tells which items belong to a chosen place: passing lines do when a chosen place lies at their end.
func (s sheet) kept() []bool {
	kept := make([]bool, len(s.items))
	var back func(i int)
	back = func(i int) {
		for _, from := range s.items[i].from {
			if it := s.items[from]; it.passes && s.places[it.place].Chosen && !kept[from] {
				kept[from] = true
				back(from)
			}
		}
	}
	for i, p := range s.places {
		if kept[i] = p.Chosen; p.Chosen {
			back(i)
		}
	}
	return kept
}

// curve leaves level behind the words, bends in the room between the columns, and arrives level.
func (s sheet) curve(from, to int) string {
	y0, y1 := s.y(from), s.y(to)
	x0, x1, turn := s.end(from), s.x[s.items[to].column]-mark, s.turn(s.items[from].column)
	if s.items[to].passes {
		x1 = s.x[s.items[to].column]
	}
	if y0 == y1 {
		return path('M', x0, y0) + path('H', x1)
	}
	middle := (turn + x1) / 2
	return path('M', x0, y0) + path('H', turn) + path('C', middle, y0, middle, y1, x1, y1)
}

// place draws one lesson: its mark and its words, which are one link.
func (s sheet) place(i int) figure.Node {
	p, lines := s.places[i], s.titles[i]
	x, y := s.x[s.items[i].column], s.y(i)
	high := float64(len(lines)) * lineStep
	text := element("text", "class", "map-words")
	for k, line := range lines {
		if k > 0 { // so that the words of two lines do not run together when they are read out
			text.Children = append(text.Children, words("tspan", " "))
		}
		base := y - high/2 + lineStep*(float64(k)+0.5) + textSize*0.34
		text.Children = append(text.Children, words("tspan", line, "x", number(x+indent), "y", number(base)))
	}
	class, sign := "map-place", element("circle", "class", "map-mark", "cx", number(x), "cy", number(y), "r", number(mark-1))
	if p.Chosen {
		class += " map-chosen"
		sign = element("path", "class", "map-mark", "d", path('M', x-mark, y)+path('L', x, y-mark)+path('L', x+mark, y)+path('L', x, y+mark)+"Z")
	}
	link := element("a", "class", class, "href", p.Href)
	if p.Language != "" {
		link.Attrs = append(link.Attrs, figure.Attr{Name: "lang", Value: p.Language})
	}
	link.Children = []figure.Node{
		element("rect", "class", "map-hit", "x", number(x-mark-2), "y", number(y-high/2-4),
			"width", number(s.end(i)-x+mark+2), "height", number(high+8)),
		sign, text,
	}
	return link
}

// broken divides a title into lines: one, two or three, so that the longest is as short as can be.
func broken(title string) []string {
	list := strings.Fields(title)
	switch width := figure.TextWidth(title); {
	case width <= short || len(list) < 2:
		return []string{title}
	case width <= 2*medium || len(list) < 3:
		return divided(list, 2)
	}
	return divided(list, 3)
}

// divided breaks the words into so many lines, of which there are at least as many words.
func divided(list []string, lines int) []string {
	if lines == 1 {
		return []string{strings.Join(list, " ")}
	}
	var best []string
	for first := 1; first <= len(list)-lines+1; first++ {
		one := append([]string{strings.Join(list[:first], " ")}, divided(list[first:], lines-1)...)
		if best == nil || widest(one) < widest(best) {
			best = one
		}
	}
	return best
}

func widest(lines []string) float64 {
	most := 0.0
	for _, line := range lines {
		most = max(most, figure.TextWidth(line))
	}
	return most
}

// element builds a node from alternating names and values.
func element(tag string, pairs ...string) figure.Node {
	n := figure.Node{Tag: tag}
	for i := 0; i+1 < len(pairs); i += 2 {
		n.Attrs = append(n.Attrs, figure.Attr{Name: pairs[i], Value: pairs[i+1]})
	}
	return n
}

func words(tag, text string, pairs ...string) figure.Node {
	n := element(tag, pairs...)
	n.Text = text
	return n
}

// path writes one command of a path.
func path(command byte, values ...float64) string {
	var b strings.Builder
	b.WriteByte(command)
	for i, v := range values {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(number(v))
	}
	return b.String()
}

// number writes a length to a tenth of a pixel.
func number(v float64) string {
	text := strconv.FormatFloat(v, 'f', 1, 64)
	return strings.TrimSuffix(text, ".0")
}
