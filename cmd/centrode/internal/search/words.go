package search

import (
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// letters are the ranges of what a word is made of, as in theme/scripts/find.js: digits, Latin, Greek.
var letters = [][2]rune{{'0', '9'}, {'a', 'z'}, {0xc0, 0xd6}, {0xd8, 0xf6}, {0xf8, 0x24f}, {0x370, 0x3ff}}

// isLetter ignores case as the page's pattern does: signs are alike that have one upper case.
func isLetter(r rune) bool {
	lower := unicode.ToLower(r)
	return inLetters(r) || r >= utf8.RuneSelf && inLetters(unicode.ToUpper(r)) || unicode.ToUpper(lower) == r && inLetters(lower)
}

func inLetters(r rune) bool {
	for _, l := range letters {
		if r >= l[0] && r <= l[1] {
			return true
		}
	}
	return false
}

// plain returns a word in lower case and without accents.
func plain(word string) string {
	simple := true
	for i := range len(word) {
		if c := word[i]; c >= utf8.RuneSelf || c >= 'A' && c <= 'Z' {
			simple = false
			break
		}
	}
	if simple {
		return word
	}
	lower := strings.ToLower(word)
	if end, ok := strings.CutSuffix(lower, "σ"); ok && end != "" && strings.HasSuffix(word, "Σ") {
		lower = end + "ς" // a capital at the end of a word
	}
	return strings.Map(func(r rune) rune {
		if r >= 0x300 && r <= 0x36f {
			return -1
		}
		return r
	}, norm.NFD.String(lower))
}

// Lexicon numbers the words of an index and knows which to leave out. It is safe for many goroutines.
type Lexicon struct {
	Remembers bool // the index before is kept, to write the next one sooner

	mu      sync.Mutex
	last    *pieces
	count   int   // of the places when they were last read
	order   []int // of the words, when they were last sorted
	common  map[string]bool
	numbers map[string]int32
	words   []string
}

// NewLexicon returns an empty one that leaves out the common words.
func NewLexicon(common []string) *Lexicon {
	x := &Lexicon{common: map[string]bool{}, numbers: map[string]int32{}}
	for _, word := range common {
		x.common[word] = true
	}
	return x
}

// number returns the number of a word as it stands in a text; ok is false for one that the index leaves out. Bare numbers
// stand in every worked example and would fill a third of it.
func (x *Lexicon) number(word string) (n int32, ok bool) {
	term := plain(word)
	if x.common[term] || strings.Trim(term, "0123456789") == "" {
		return 0, false
	}
	x.mu.Lock()
	defer x.mu.Unlock()
	n, known := x.numbers[term]
	if !known {
		n = int32(len(x.words))
		term = strings.Clone(term) // not the text that it stands in
		x.numbers[term], x.words = n, append(x.words, term)
	}
	return n, true
}

// sorted returns the numbers of all words in the order of the words.
func (x *Lexicon) sorted() []int {
	byWord := func(a, b int) int { return strings.Compare(x.words[a], x.words[b]) }
	if before := len(x.order); before == 0 {
		for w := range x.words {
			x.order = append(x.order, w)
		}
		slices.SortFunc(x.order, byWord)
	} else {
		for w := before; w < len(x.words); w++ { // those that a change has brought
			at, _ := slices.BinarySearchFunc(x.order, w, byWord)
			x.order = slices.Insert(x.order, at, w)
		}
	}
	return x.order
}

// count is how often a word stands in a field.
type count struct{ word, times int32 }

// read counts the words of a text; length is how many different ones it has, those left out included, or −1 for a text
// that is not there.
func (x *Lexicon) read(text string) (words []count, length int) {
	seen := map[string]bool{}
	at := map[int32]int{}
	for from := 0; from < len(text); {
		word := nextWord(text[from:])
		if word.end == 0 {
			break
		}
		one := text[from+word.start : from+word.end]
		from += word.end
		seen[one] = true
		if n, ok := x.number(one); ok {
			if i, again := at[n]; again {
				words[i].times++
			} else {
				at[n] = len(words)
				words = append(words, count{n, 1})
			}
		}
	}
	return words, len(seen)
}

// span is where a word lies in a text; its end is 0 when there is none.
type span struct{ start, end int }

func nextWord(text string) span {
	start := strings.IndexFunc(text, isLetter)
	if start < 0 {
		return span{}
	}
	end := strings.IndexFunc(text[start:], func(r rune) bool { return !isLetter(r) })
	if end < 0 {
		return span{start, len(text)}
	}
	return span{start, start + end}
}
