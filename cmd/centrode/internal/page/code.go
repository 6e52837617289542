package page

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"github.com/alecthomas/chroma/v2"
	chromahtml "github.com/alecthomas/chroma/v2/formatters/html"
	"github.com/alecthomas/chroma/v2/lexers"
	"github.com/alecthomas/chroma/v2/styles"
)

// listings remembers those of one text: each costs about half a millisecond.
type listings map[string]string

func (known listings) highlight(info, code string) (string, error) {
	key := info + "\x00" + code
	if out, ok := known[key]; ok {
		return out, nil
	}
	out, err := highlight(info, code)
	if err == nil {
		known[key] = out
	}
	return out, err
}

// highlight returns a listing as markup with classes. info is what stands after the opening fence: a language, then
// optionally the lines to point out, as {2,4-5} or {hl_lines=[2]}. An error still comes with the plain listing.
func highlight(info, code string) (string, error) {
	language, lines, err := readInfo(info)
	if err != nil {
		return plain(code), err
	}
	lexer := lexers.Fallback
	if language != "" {
		if lexer = lexers.Get(language); lexer == nil {
			return plain(code), fmt.Errorf("code in %q: no such language is known; leave the word out, or use text", language)
		}
	}
	tokens, err := chroma.Coalesce(lexer).Tokenise(nil, code)
	if err != nil {
		return plain(code), fmt.Errorf("code in %q: %w", language, err)
	}
	b := scratch()
	defer used(b)
	formatter := plainly()
	if len(lines) > 0 {
		formatter = chromahtml.New(chromahtml.WithClasses(true), chromahtml.HighlightLines(lines))
	}
	if err := formatter.Format(b, styles.Fallback, tokens); err != nil {
		return plain(code), fmt.Errorf("code in %q: %w", language, err)
	}
	// A long line scrolls, which must also work by keyboard.
	return strings.Replace(b.String(), `<pre class="chroma">`, `<pre tabindex="0" class="chroma">`, 1) + "\n", nil
}

// plainly points out no lines. It is made once: it reads a whole style.
var plainly = sync.OnceValue(func() *chromahtml.Formatter { return chromahtml.New(chromahtml.WithClasses(true)) })

func plain(code string) string {
	return `<pre tabindex="0" class="chroma"><code>` + escape(code) + "</code></pre>\n"
}

var (
	infoShape  = regexp.MustCompile(`^([\w+#.-]*)\s*(?:\{\s*(?:hl_lines\s*=\s*)?\[?([\d\s,"-]*)\]?\s*\})?$`)
	rangeShape = regexp.MustCompile(`(\d+)(?:\s*-\s*(\d+))?`)
)

// readInfo reads "go {2,4-5}".
func readInfo(info string) (language string, lines [][2]int, err error) {
	m := infoShape.FindStringSubmatch(strings.TrimSpace(info))
	if m == nil {
		return "", nil, fmt.Errorf("code in %q: must be a language and, to point out lines, their numbers: go {2,4-5}", info)
	}
	for _, r := range rangeShape.FindAllStringSubmatch(m[2], -1) {
		from, _ := strconv.Atoi(r[1])
		to := from
		if r[2] != "" {
			to, _ = strconv.Atoi(r[2])
		}
		lines = append(lines, [2]int{from, to})
	}
	return m[1], lines, nil
}
