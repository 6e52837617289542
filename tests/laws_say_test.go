package tests

import (
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// The laws of what the interface says: its words stand in theme/words, every one of them is used, and no word stands
// anywhere else. That the languages have the same keys and gaps is held by the builder (cmd/centrode/internal/words), and
// that a page in another language says nothing else by a test of its pages.
func sayLaws() []law {
	en := `{"copyLink": "Copy link", "rowsShown": "Rows {first} to {last}"}`
	return []law{
		{
			name: "every word of the interface is used, and with its gaps filled", find: saidWords, least: 150,
			broken: []breach{
				{files{"theme/words/en.json": en}, "theme/words/en.json:1: nothing says \"copyLink\"; take it away\ntheme/words/en.json:1: nothing says \"rowsShown\"; take it away"},
				{files{"theme/words/en.json": `{"copyLink": "x"}`, "theme/templates/a.tmpl": "{{say \"copyLink\"}}\n{{say \"copyLnk\"}}"}, "theme/templates/a.tmpl:2: says \"copyLnk\", which is not in theme/words/en.json"},
				{files{"theme/words/en.json": en, "theme/scripts/a.js": "words.copyLink;\nsay(words.rowsShown, { first, end: 3 });"}, "theme/scripts/a.js:2: fills the gaps [end first] of rowsShown, which has [first last]"},
				{files{"theme/words/en.json": en, "theme/scripts/a.js": "words.copyLink;\nwords.rowsShown;"}, "theme/scripts/a.js:2: says rowsShown as it stands; its gaps [first last] need say(words.rowsShown, …)"},
			},
			kept: files{"theme/words/en.json": en, "theme/scripts/a.js": "say(words.rowsShown, { first: f(1, { a: 2 }), last });", pageRoom + "/a.go": "package page\n\nvar a = s.say(\"copyLink\")\n"},
		},
		{
			name: "templates hold no words of their own", find: templateWords, least: 15,
			broken: []breach{
				{files{"theme/templates/a.tmpl": "<p>\nCopy {{.}}</p>"}, "theme/templates/a.tmpl:2: holds the words \"Copy\"; put them into theme/words and write {{say \"key\"}}"},
				{files{"theme/templates/a.tmpl": "<nav{{ofWords}} aria-label=\"Where you are\">"}, "theme/templates/a.tmpl:1: holds the words \"Where you are\"; put them into theme/words and write {{say \"key\"}}"},
			},
			kept: files{"theme/templates/a.tmpl": "<a class=\"site name\" rel=\"alternate\" href=\"/\">Centrode</a> {{say \"copyLink\"}}<script type=\"application/json\">{{.}}</script>"},
		},
		{
			name: "scripts hold no words of their own", find: scriptWords, least: 30,
			broken: []breach{
				{files{"theme/scripts/a.js": "// It's the reader's.\nx.textContent = 'Copy link';\n"}, "theme/scripts/a.js:2: holds the words \"Copy link\"; put them into theme/words and say words.key"},
				{files{"theme/scripts/a.js": "x(`Row ${n}`);\n"}, "theme/scripts/a.js:1: holds the words \"Row ${n}\"; put them into theme/words and say words.key"},
			},
			kept: files{"theme/scripts/a.js": "/* 'Copy link' */ key === 'ArrowLeft' || key === 'Escape';\nthrow new Error('the program ended'); a('plate-say', 'M0 1', /\\/'/g, 'https://x');\n"},
		},
	}
}

const wordFile = "theme/words/en.json"

var (
	templateSay = regexp.MustCompile(`\bsay\s+"([^"]*)"`)
	goSay       = regexp.MustCompile(`\.say\("([^"]*)"`)
	scriptSay   = regexp.MustCompile(`(\bsay\()?\bwords\.([a-zA-Z]+)(, \{)?`)
	wordGap     = regexp.MustCompile(`\{([a-zA-Z]+)\}`)
)

func saidWords(p *project, b *breaches) {
	if p.text[wordFile] == "" {
		return
	}
	var texts map[string]any
	if err := json.Unmarshal([]byte(p.text[wordFile]), &texts); err != nil {
		b.add(wordFile, 0, "%v", err)
		return
	}
	said := map[string]bool{}
	note := func(name string, at int, key string) bool {
		said[key] = true
		_, known := texts[key]
		if !known {
			b.add(name, lineOf(p.text[name], at), "says %q, which is not in %s", key, wordFile)
		}
		return known
	}
	for name := range p.under("theme/templates", ".tmpl") {
		for _, m := range templateSay.FindAllStringSubmatchIndex(p.text[name], -1) {
			note(name, m[2], p.text[name][m[2]:m[3]])
		}
	}
	for name := range p.program(pageRoom) {
		for _, m := range goSay.FindAllStringSubmatchIndex(p.text[name], -1) {
			note(name, m[2], p.text[name][m[2]:m[3]])
		}
	}
	for name := range p.under("theme/scripts", ".js") {
		text := p.text[name]
		for _, m := range scriptSay.FindAllStringSubmatchIndex(text, -1) {
			key := text[m[4]:m[5]]
			if !note(name, m[4], key) {
				continue
			}
			given := []string(nil)
			if m[2] >= 0 && m[6] >= 0 {
				given = memberNames(text[m[7]:])
			}
			wordGaps(b, name, lineOf(text, m[4]), key, gapsOf(texts[key]), given)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(texts)) {
		b.seen++
		if !said[key] && key != "languageName" { // every language names itself to the others
			b.add(wordFile, lineOf(p.text[wordFile], strings.Index(p.text[wordFile], `"`+key+`"`)), "nothing says %q; take it away", key)
		}
	}
}

func wordGaps(b *breaches, name string, line int, key string, want, given []string) {
	switch {
	case slices.Equal(want, given):
	case given == nil:
		b.add(name, line, "says %s as it stands; its gaps %v need say(words.%s, …)", key, want, key)
	default:
		b.add(name, line, "fills the gaps %v of %s, which has %v", given, key, want)
	}
}

// gapsOf lists the gaps of a text or of its two forms.
func gapsOf(text any) []string {
	data, _ := json.Marshal(text)
	var names []string
	for _, m := range wordGap.FindAllStringSubmatch(string(data), -1) {
		names = append(names, m[1])
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// memberNames lists the names of an object literal, given what follows its opening brace.
func memberNames(text string) []string {
	depth, start := 0, 0
	var names []string
	for at, c := range text {
		switch c {
		case '(', '[', '{':
			depth++
			continue
		case ')', ']', '}':
			depth--
		case ',':
		default:
			continue
		}
		if depth == 0 && c == ',' || depth < 0 {
			name, _, _ := strings.Cut(text[start:at], ":")
			if name = strings.TrimSpace(name); name != "" {
				names = append(names, name)
			}
			start = at + 1
		}
		if depth < 0 {
			break
		}
	}
	slices.Sort(names)
	return names
}

var (
	templateAction = regexp.MustCompile(`(?s)\{\{.*?\}\}`)
	bareData       = regexp.MustCompile(`\bdata-[\w-]+(="[^"]*")?`) // attributes in a part of a tag
	letters        = regexp.MustCompile(`\p{L}{2,}`)
	spokenAttrs    = []string{"aria-label", "aria-description", "aria-roledescription", "title", "alt", "place" + "holder", "label"}
	// sameEverywhere are names, which no language translates.
	sameEverywhere = []string{"Centrode", "CC BY 4.0", "MIT"}
)

func templateWords(p *project, b *breaches) {
	for name := range p.under("theme/templates", ".tmpl") {
		b.seen++
		text := templateAction.ReplaceAllStringFunc(p.text[name], func(s string) string { return strings.Repeat("\n", strings.Count(s, "\n")) })
		text = strings.ReplaceAll(text, "noscript>", "div>") // whose content is no markup to the tokenizer
		tokens, at := html.NewTokenizer(strings.NewReader(text)), 0
		report := func(words string) {
			if words = strings.TrimSpace(bareData.ReplaceAllString(words, "")); letters.MatchString(words) && !slices.Contains(sameEverywhere, words) {
				line := lineOf(text, at) + strings.Count(text[at:at+max(0, strings.Index(text[at:], words))], "\n")
				b.add(name, line, "holds the words %q; put them into theme/words and write {{say \"key\"}}", words)
			}
		}
		for kind := tokens.Next(); kind != html.ErrorToken; kind = tokens.Next() {
			raw := len(tokens.Raw())
			token := tokens.Token()
			if kind == html.TextToken {
				report(token.Data)
			}
			for _, a := range token.Attr {
				if slices.Contains(spokenAttrs, a.Key) {
					report(a.Val)
				}
			}
			at += raw
		}
	}
}

var (
	scriptComment = regexp.MustCompile(`(?s)/\*.*?\*/|(?m-s)(^|\s)//.*$`)
	scriptText    = regexp.MustCompile("'(?:[^'\\\\\\n]|\\\\.)*'|`(?:[^`\\\\]|\\\\.)*`")
	sentenceLike  = regexp.MustCompile(`^\p{Lu}\p{Ll}+(?:[.!?:]?$|[ ,])`)
	// keyNames are what browsers call keys and the kinds of what is dragged.
	keyNames = regexp.MustCompile(`^(?:Arrow(?:Left|Right|Up|Down)?|Page(?:Up|Down)|Home|End|Enter|Escape|Tab|Backspace|Delete|Shift|Control|Meta|Alt|Files|Infinity)$`)
)

func scriptWords(p *project, b *breaches) {
	for name := range p.under("theme/scripts", ".js") {
		b.seen++
		text := scriptComment.ReplaceAllStringFunc(p.text[name], func(s string) string { return strings.Repeat("\n", strings.Count(s, "\n")) })
		for _, m := range scriptText.FindAllStringIndex(text, -1) {
			words := text[m[0]+1 : m[1]-1]
			if sentenceLike.MatchString(words) && !keyNames.MatchString(words) {
				b.add(name, lineOf(text, m[0]), "holds the words %q; put them into theme/words and say words.key", words)
			}
		}
	}
}
