// Package spell finds the known word nearest to a mistyped one, so that an error can offer it.
//
// Start at Nearest. The distance is the number of single-letter insertions, deletions, substitutions and
// neighbour swaps (restricted Damerau–Levenshtein); words further apart than a third of their length get no offer. Where none
// is near, capitals count as the small letters they are: who types CM or FINGER-CURL is near.
package spell

import (
	"strconv"
	"strings"
)

// Nearest returns the entry of known closest to word, or "" when none is close enough to be a likely slip.
// Ties go to the earlier entry, so the answer does not depend on anything but its arguments.
func Nearest(word string, known []string) string {
	best, bestDistance := "", 1+max(1, len(word)/3)
	for fold := byte(0); best == "" && fold <= 0x20; fold += 0x20 {
		for _, candidate := range known {
			if d := distance(word, candidate, fold, bestDistance); d < bestDistance && d < max(len(word), len(candidate)) { // some letter must agree
				best, bestDistance = candidate, d
			}
		}
	}
	return best
}

// Offer returns `; nearest: "…"` for the nearest known word, or "" when there is none: the tail of an error line.
func Offer(word string, known []string) string {
	if nearest := Nearest(word, known); nearest != "" {
		return `; nearest: "` + nearest + `"`
	}
	return ""
}

// Choose is Offer, and where no known word is near, names them: "; it has a, b, c". Of many it names the first; one that a file made up
// to spoil a line, long or with signs that do not print, is left out.
func Choose(word string, known []string, has string) string {
	const most, longest = 12, 60
	if near := Offer(word, known); near != "" {
		return near
	}
	text, count := "", 0
	for _, one := range known {
		switch {
		case one == "" || len(one) > longest || strings.ContainsFunc(one, func(r rune) bool { return !strconv.IsPrint(r) }):
		case count == most:
			return text + " and others"
		case count == 0:
			text, count = "; "+has+" "+one, 1
		default:
			text, count = text+", "+one, count+1
		}
	}
	return text
}

// distance is the restricted Damerau–Levenshtein distance in bytes, or bound where it is no less, which most pairs of words show
// soon: a book that is full of unknown words is checked against all known ones. Words over 64 bytes are as far apart as
// bound, which keeps a hostile megabyte of input from costing anything. The bits of fold do not count: 0x20 tells a capital from its letter.
func distance(a, b string, fold byte, bound int) int {
	if max(len(a), len(b)) > 64 || max(len(a), len(b))-min(len(a), len(b)) >= bound {
		return bound
	}
	var rows [3][65]int
	previous, current, next := &rows[0], &rows[1], &rows[2]
	for j := range current {
		current[j] = j
	}
	least := 0 // of the row before
	for i := 1; i <= len(a); i++ {
		next[0] = i
		before := least
		least = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1]|fold == b[j-1]|fold {
				cost = 0
			}
			next[j] = min(current[j]+1, next[j-1]+1, current[j-1]+cost)
			if i > 1 && j > 1 && a[i-1]|fold == b[j-2]|fold && a[i-2]|fold == b[j-1]|fold {
				next[j] = min(next[j], previous[j-2]+1)
			}
			least = min(least, next[j])
		}
		if min(before, least) >= bound { // a swap reaches back two rows
			return bound
		}
		previous, current, next = current, next, previous
	}
	return min(current[len(b)], bound)
}
