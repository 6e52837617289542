package page

import (
	"slices"
	"strconv"
	"unique"

	"centrode/cmd/centrode/internal/keep"
)

// outline is what the rest of the site needs to know of a page: what links can lead to, where its own lead, and what characters
// it shows. Words that many pages share, such as the addresses in every footer, are held once.
type outline struct {
	ids         []unique.Handle[string]
	twice       []string                // ids given to more than one element
	lost        []string                // ids that the page itself names (for, aria-describedby and their like) and does not have
	links       []unique.Handle[string] // addresses as written, each once; not those of places on the page itself
	text, maths unique.Handle[string]   // characters, rising
	sum         string                  // a fingerprint of all but the characters, where results are kept
}

// Letters are the characters that pages show, in text and in formulas.
type Letters struct{ Text, Maths map[rune]bool }

func (o outline) has(id string) bool { return slices.Contains(o.ids, unique.Make(id)) }

// fingerprint is of all that the check of links looks at.
func (o outline) fingerprint() string {
	parts := slices.Concat([]string{strconv.Itoa(len(o.twice)), strconv.Itoa(len(o.lost)), strconv.Itoa(len(o.ids))}, o.twice, o.lost)
	for _, list := range [][]unique.Handle[string]{o.ids, o.links} {
		for _, one := range list {
			parts = append(parts, one.Value())
		}
	}
	return keep.Sum(parts...)
}

// names are the ids in order, for the nearest match of one that is not there.
func (o outline) names() []string {
	var list []string
	for _, id := range o.ids {
		list = append(list, id.Value())
	}
	slices.Sort(list)
	return list
}
