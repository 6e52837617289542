package book

import (
	"slices"
	"strings"
)

// prerequisites reports every circle of needs, once, at the need that closes it.
func (c *checker) prerequisites() {
	index := map[string]int{}
	for i, l := range c.Lessons {
		index[l.Slug] = i
	}
	const fresh, open, done = 0, 1, 2
	state := make([]int, len(c.Lessons))
	var trail []string
	var visit func(i int)
	visit = func(i int) {
		state[i] = open
		trail = append(trail, c.Lessons[i].Slug)
		for _, need := range c.Lessons[i].Needs {
			j, ok := index[need.Text]
			switch {
			case !ok || state[j] == done:
			case state[j] == fresh:
				visit(j)
			default:
				circle := append(slices.Clone(trail[slices.Index(trail, need.Text):]), need.Text)
				c.log.Add(c.Lessons[i].File, need.Line, "needs form a circle: "+strings.Join(circle, " → "))
			}
		}
		trail = trail[:len(trail)-1]
		state[i] = done
	}
	for i := range c.Lessons {
		if state[i] == fresh {
			visit(i)
		}
	}
}
