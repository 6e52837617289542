// Package mapping draws which lessons rest on which: a map in ink, read from left to right, and the same as a list.
//
// Start at Draw for the drawing and at Tree for the list. A column is a step: a lesson stands in the first column after
// all that it rests on. Bands from top to bottom are the parts of the book. A need that follows through another lesson is
// not drawn. Lines keep to the room between columns and to rows of their own, so that none runs through words. The result
// depends on the input alone. The package reads no content and measures no font: room for words is reserved with the
// table of calc/figure. Colours and weights are the style sheet's.
package mapping

import (
	"slices"

	"centrode/calc/figure"
)

// Place is one lesson on a map.
type Place struct {
	Language    string // of the title, where the page has another
	Href, Title string
	Band        int   // index of its band
	Needs       []int // indexes of the places it rests on; one that is out of range or leads in a circle is left out
	Chosen      bool  // drawn as a filled diamond, the others as an open ring
}

// Plan is what a map shows.
type Plan struct {
	Places []Place  // in the order of the book
	Bands  []string // names, from top to bottom; one without places is left out
	// ID begins every id in the drawing; Name and Description tell it to a reader who does not see it.
	ID, Name, Description string
}

// Draw lays the map out as an SVG element, one unit to a pixel of its natural size. A plan without places gives a drawing
// without marks.
func Draw(p Plan) figure.Node {
	n := newNet(p)
	n.settle()
	return n.draw(p)
}

// Branch is a lesson in the list with those that come right after it.
type Branch struct {
	Place
	Also     []Place // what else has a line to it besides the lesson it stands under
	Branches []Branch
}

// Tree orders the places as nested lists: each stands under the latest of its needs, and every other that does not follow
// is named.
func Tree(p Plan) []Branch {
	needs := direct(sound(p.Places))
	steps := stepsOf(needs)
	under := make([][]int, len(p.Places))
	var roots []int
	for i := range p.Places {
		if parent := latest(needs[i], steps); parent >= 0 {
			under[parent] = append(under[parent], i)
		} else {
			roots = append(roots, i)
		}
	}
	var grow func(list []int) []Branch
	grow = func(list []int) []Branch {
		var out []Branch
		for _, i := range list {
			b := Branch{Place: p.Places[i], Branches: grow(under[i])}
			for _, need := range needs[i] {
				if need != latest(needs[i], steps) {
					b.Also = append(b.Also, p.Places[need])
				}
			}
			out = append(out, b)
		}
		return out
	}
	return grow(roots)
}

// latest returns the need with the most steps before it, the later in the book of two; -1 when there is none.
func latest(needs, steps []int) int {
	best := -1
	for _, n := range needs {
		if best < 0 || steps[n] > steps[best] || steps[n] == steps[best] && n > best {
			best = n
		}
	}
	return best
}

// sound returns each place's needs without repetition, strangers and circles, in order.
func sound(places []Place) [][]int {
	needs := make([][]int, len(places))
	for i, p := range places {
		for _, n := range p.Needs {
			if n >= 0 && n < len(places) && !slices.Contains(needs[i], n) && n != i && !reaches(needs, n, i) {
				needs[i] = append(needs[i], n)
			}
		}
		slices.Sort(needs[i])
	}
	return needs
}

// reaches reports whether from rests on to, directly or through others. needs holds no circle.
func reaches(needs [][]int, from, to int) bool {
	seen := make([]bool, len(needs))
	stack := []int{from}
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if at == to {
			return true
		}
		if !seen[at] {
			seen[at] = true
			stack = append(stack, needs[at]...)
		}
	}
	return false
}

// direct drops the needs that follow from another need of the same place.
func direct(needs [][]int) [][]int {
	out := make([][]int, len(needs))
	for i, list := range needs {
		follows := below(needs, list)
		for _, n := range list {
			if !follows[n] {
				out[i] = append(out[i], n)
			}
		}
	}
	return out
}

// below marks all that places rest on, directly or through others. needs holds no circle.
func below(needs [][]int, places []int) []bool {
	seen := make([]bool, len(needs))
	stack := slices.Clone(places)
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, n := range needs[at] {
			if !seen[n] {
				seen[n] = true
				stack = append(stack, n)
			}
		}
	}
	return seen
}

// stepsOf counts the longest way to each place from one that rests on nothing.
func stepsOf(needs [][]int) []int {
	steps := make([]int, len(needs))
	for i := range steps {
		steps[i] = -1
	}
	var count func(i int) int
	count = func(i int) int {
		if steps[i] < 0 {
			steps[i] = 0
			for _, n := range needs[i] {
				steps[i] = max(steps[i], count(n)+1)
			}
		}
		return steps[i]
	}
	for i := range needs {
		count(i)
	}
	return steps
}
