package markup

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
)

// Slug returns the anchor of a heading with the given text: its letters and digits in lower case, every run of anything
// else one hyphen, apostrophes dropped. A text without letters or digits gives "section".
func Slug(heading string) string {
	var b strings.Builder
	gap := false
	for _, r := range heading {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(unicode.ToLower(r))
		case r != '\'' && r != '’':
			gap = true
		}
	}
	if b.Len() == 0 {
		return "section"
	}
	return b.String()
}

// ids gives each heading of one document its own anchor: the second "Depth" becomes "depth-1", the third "depth-2".
type ids struct {
	used map[string]bool
	next map[string]int // the suffix to try first, so that a file of equal headings costs no square
}

func newIDs() *ids { return &ids{map[string]bool{}, map[string]int{}} }

// termInOtherWords matches [[term|words]], of which a heading shows the words only.
var termInOtherWords = regexp.MustCompile(`\[\[[^\]|]*\|([^\]]*)\]\]`)

// Generate implements parser.IDs.
func (s *ids) Generate(value []byte, _ ast.NodeKind) []byte {
	base := Slug(termInOtherWords.ReplaceAllString(string(value), "$1"))
	id := base
	for s.used[id] {
		s.next[base]++
		id = base + "-" + strconv.Itoa(s.next[base])
	}
	s.used[id] = true
	return []byte(id)
}

// Put implements parser.IDs.
func (s *ids) Put(value []byte) { s.used[string(value)] = true }
