package tests

import (
	"path"
	"regexp"
	"slices"
	"strings"
)

// The laws of the theme: colours are tokens, markup carries no style and no script, and nothing lies about unused.
func themeLaws() []law {
	return []law{
		{
			name: "no colour outside the tokens", find: colours, least: 60,
			broken: []breach{
				{files{"theme/styles/a.css": "@layer parts {\n  .a { color: #fff; }\n}\n"}, "theme/styles/a.css:2: the colour #fff; name it in @layer tokens and read it from there"},
				{files{"theme/styles/a.css": ".a { fill: color-mix(in oklab, red 10%, transparent); }\n"}, "theme/styles/a.css:1: the colour red; name it in @layer tokens and read it from there"},
				{files{"theme/styles/a.css": "@layer parts { .a { border: 1px solid\n rgb(1 2 3) } }\n"}, "theme/styles/a.css:2: the colour rgb(; name it in @layer tokens and read it from there"},
				{files{"theme/scripts/a.js": "x.style.color = '#20242a';\n"}, "theme/scripts/a.js:1: the colour #20242a; name it in @layer tokens and read it from there"},
				{files{"calc/figure/a.go": "package figure\n\nvar c = \"#20242a\"\n"}, "calc/figure/a.go:3: the colour #20242a; name it in @layer tokens and read it from there"},
			},
			kept: files{"theme/styles/a.css": "/* #fff */ @layer tokens { :root { --ink: #20242a; } }\n@layer parts { #add .red:hover { white-space: nowrap; color: var(--ink-red); fill: currentColor; stroke: CanvasText; } }\n"},
		},
		{
			name: "no style speaks of left and right where lines may run the other way", find: physical, least: 25,
			broken: []breach{
				{files{"theme/styles/a.css": "@layer parts {\n  .a { margin-left: 1em; }\n}\n"}, "theme/styles/a.css:2: margin-left; write margin-inline-start or -end, which follow the direction of the text"},
				{files{"theme/styles/a.css": ".a { inset: 0;\n  right: 2em }\n"}, "theme/styles/a.css:2: right; write inset-inline-start or -end, which follow the direction of the text"},
				{files{"theme/styles/a.css": ".a { border-right: 1px solid; scroll-padding-left: 0 }\n"}, "theme/styles/a.css:1: border-right; write border-inline-start or -end, which follow the direction of the text\ntheme/styles/a.css:1: scroll-padding-left; write scroll-padding-inline-start or -end, which follow the direction of the text"},
				{files{"theme/styles/a.css": ".a { border-left-width: 1px; border-top-right-radius: 1px }\n"}, "theme/styles/a.css:1: border-left-width; write border-inline-start-width or -end-, which follow the direction of the text\ntheme/styles/a.css:1: border-top-right-radius; write border-start-end-radius and the like, which follow the direction of the text"},
				{files{"theme/styles/a.css": ".a { padding: 0 0 0 2px; }\n"}, "theme/styles/a.css:1: padding with four edges; write padding-block and padding-inline, which follow the direction of the text"},
				{files{"theme/styles/a.css": "@media print {\n .a { text-align: right; float: left } }\n"}, "theme/styles/a.css:2: float: left; write inline-start or inline-end, which follow the direction of the text\ntheme/styles/a.css:2: text-align: right; write start or end, which follow the direction of the text"},
			},
			kept: files{"theme/styles/a.css": "/* left: 0 */ .b { margin: 1px 2px 3px 2px; padding: calc(1px + 2px) 0 1px; } .plate-left, a[href$=\"left:\"]:hover { margin-inline-start: 0; transform-origin: left top; --left: 0; background-position: right; object-position: left; text-align: end; float: inline-end; clear: both }\n"},
		},
		{
			name: "no style ends an escape with the space that it means to show", find: eaten, least: 25,
			broken: []breach{
				{files{"theme/styles/a.css": ".a { color: inherit; }\n.a::before { content: \"\\2013 \"; }\n"}, "theme/styles/a.css:2: \"\\2013 \" shows no space, since that ends the escape; write \\A0 or give the sign a width"},
				{files{"theme/styles/a.css": ".a::before { content: \"\\26A0\\FE0E \"; }\n"}, "theme/styles/a.css:1: \"\\26A0\\FE0E \" shows no space, since that ends the escape; write \\A0 or give the sign a width"},
			},
			kept: files{"theme/styles/a.css": ".a::before { content: \"\\2013\\A0\"; } .b::after { content: \" / \"; } .c::after { content: \"\\2013  \"; }\n"},
		},
		{
			name: "templates hold no inline style and no inline script", find: inline, least: 15,
			broken: []breach{
				{files{"theme/templates/a.tmpl": "<p>\n<b style=\"x\">"}, "theme/templates/a.tmpl:2: a style attribute; the content security policy would drop it"},
				{files{"theme/templates/a.tmpl": "<style>"}, "theme/templates/a.tmpl:1: a style element; the content security policy would drop it"},
				{files{"theme/templates/a.tmpl": "<script type=\"module\">x()</script>"}, "theme/templates/a.tmpl:1: an inline script; the content security policy would drop it"},
				{files{"theme/templates/a.tmpl": "<a onclick=\"x()\">"}, "theme/templates/a.tmpl:1: a handler attribute; the content security policy would drop it"},
				{files{"theme/templates/a.tmpl": "<a href=\"javascript:x()\">"}, "theme/templates/a.tmpl:1: a script address; the content security policy would drop it"},
			},
			kept: files{"theme/templates/a.tmpl": "<script type=\"module\" src=\"{{.Script}}\"></script><script type=\"application/json\" data-hints>{{.Hints}}</script><script type=\"application/ld+json\">{{.Learning}}</script><p class=\"style\" data-once=\"1\">"},
		},
		{
			name: "no style, script or template is unused", find: orphans, least: 50,
			broken: []breach{
				{files{"theme/styles/site.css": "@import \"./a.css\";\n", "theme/styles/a.css": "", "theme/styles/b.css": ""}, "theme/styles/b.css: nothing that begins at theme/styles/site.css reaches it"},
				{files{"theme/scripts/site.js": "import { a } from './a.js';\n", "theme/scripts/a.js": "import('./b.js');\n", "theme/scripts/b.js": "", "theme/scripts/c.js": ""}, "theme/scripts/c.js: nothing that begins at theme/scripts/site.js reaches it"},
				{files{"theme/styles/site.css": "@import \"./a.css\";\n"}, "theme/styles/site.css: names theme/styles/a.css, which does not exist"},
				{files{"theme/templates/_a.tmpl": "{{define \"a\"}}{{end}}\n", "theme/templates/b.tmpl": "{{template \"c\"}}"}, "theme/templates/_a.tmpl: no template and no page uses the part \"a\"\ntheme/templates/b.tmpl: no page of " + pageRoom + " names it"},
			},
			kept: files{"theme/templates/_a.tmpl": "{{define \"a\"}}{{end}}\n", "theme/templates/b.tmpl": "{{template \"a\" .}}", pageRoom + "/a.go": "package page\n\nvar x = \"b.tmpl\"\n"},
		},
	}
}

const pageRoom = internal + "/page"

var (
	hexColour      = regexp.MustCompile(`#[0-9a-fA-F]{3,8}\b`)
	longHexColour  = regexp.MustCompile(`#[0-9a-fA-F]{6}\b`)
	colourFunction = regexp.MustCompile(`\b(rgba?|hsla?|hwb|lab|lch|oklab|oklch|color)\(`)
	// The families of CSS's named colours; system colours and transparent are intents, not colours.
	namedColour = regexp.MustCompile(`\b(dark|light|dim|medium|pale|deep|hot|ghost|antique|floral|navajo|midnight|royal|sky|steel|slate|cadet|sea|forest|olive|lawn|spring|rosy|saddle|sandy|indian|fire)*` +
		`(black|white|gr[ae]y|silver|red|green|blue|yellow|orange|purple|brown|pink|navy|teal|maroon|olive|lime|aqua|cyan|fuchsia|magenta|gold|crimson|coral|salmon|tomato|khaki|violet|indigo|orchid|plum|tan|beige|ivory|linen|snow|wheat|peru|sienna|chocolate|firebrick|turquoise|azure)\b`)
	variableName = regexp.MustCompile(`--[\w-]+`)
	cssComment   = regexp.MustCompile(`(?s)/\*.*?\*/`)
	cssString    = regexp.MustCompile(`"[^"\n]*"|'[^'\n]*'`)
)

func colours(p *project, b *breaches) {
	report := func(name string, line int, colour string) {
		b.add(name, line, "the colour %s; name it in @layer tokens and read it from there", colour)
	}
	for name := range p.under("theme/styles", ".css") {
		b.seen++
		styleColours(p.text[name], func(line int, colour string) { report(name, line, colour) })
	}
	// Drawings and markup name roles. Six digits: fewer could be the number of an issue or an anchor.
	for _, place := range [][2]string{{"theme/scripts", ".js"}, {"theme/templates", ".tmpl"}, {"calc", ".go"}, {"wasm", ".go"}, {"cmd", ".go"}} {
		for name := range p.under(place[0], place[1]) {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			b.seen++
			text := p.text[name]
			for _, m := range longHexColour.FindAllStringIndex(text, -1) {
				report(name, lineOf(text, m[0]), text[m[0]:m[1]])
			}
		}
	}
}

// blanked is the text as spaces, line by line, so that what stands behind it keeps its place.
func blanked(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' {
			return r
		}
		return ' '
	}, s)
}

// styleColours finds colours in the values of declarations that stand outside of @layer tokens.
func styleColours(text string, found func(line int, colour string)) {
	text = cssComment.ReplaceAllStringFunc(text, blanked)
	text = cssString.ReplaceAllStringFunc(text, blanked)
	text = variableName.ReplaceAllStringFunc(text, func(s string) string { return strings.Repeat("-", len(s)) })
	var above []string
	start := 0
	for at, c := range text {
		switch c {
		case '{':
			above = append(above, strings.TrimSpace(text[start:at]))
		case ';', '}':
			if _, value, ok := strings.Cut(text[start:at], ":"); ok && !slices.Contains(above, "@layer tokens") {
				from := at - len(value)
				for _, e := range []*regexp.Regexp{hexColour, colourFunction, namedColour} {
					for _, m := range e.FindAllStringIndex(value, -1) {
						found(lineOf(text, from+m[0]), value[m[0]:m[1]])
					}
				}
			}
			if c == '}' && len(above) > 0 {
				above = above[:len(above)-1]
			}
		default:
			continue
		}
		start = at + 1
	}
}

// sides are declarations that name a side of the screen; the first group is the property, the second its value.
var sides = regexp.MustCompile(`(?:^|[\s;{])([a-z-]+)\s*:\s*([^;{}]*)`)

var (
	sidedBox    = regexp.MustCompile(`^((?:scroll-)?(?:margin|padding)|border)-(?:left|right)(-[a-z]+)?$`)
	sidedEdges  = regexp.MustCompile(`^((?:scroll-)?(?:margin|padding)|inset)$`)
	sidedCorner = regexp.MustCompile(`^border-(?:top|bottom)-(?:left|right)-radius$`)
	sidedWord   = regexp.MustCompile(`^(?:left|right)\b`)
)

func physical(p *project, b *breaches) {
	for name := range p.under("theme/styles", ".css") {
		b.seen++
		text := cssComment.ReplaceAllStringFunc(p.text[name], blanked)
		text = cssString.ReplaceAllStringFunc(text, blanked)
		for _, m := range sides.FindAllStringSubmatchIndex(text, -1) {
			if found, better := sided(text[m[2]:m[3]], text[m[4]:m[5]]); found != "" {
				b.add(name, lineOf(text, m[2]), "%s; write %s, which follow the direction of the text", found, better)
			}
		}
	}
}

// eatenSpace is a text whose last escape is ended by its one last space, which is then no part of it.
var eatenSpace = regexp.MustCompile(`"[^"\n]*\\[0-9A-Fa-f]{1,6} "`)

func eaten(p *project, b *breaches) {
	for name := range p.under("theme/styles", ".css") {
		b.seen++
		for _, at := range eatenSpace.FindAllStringIndex(p.text[name], -1) {
			b.add(name, lineOf(p.text[name], at[0]), `%s shows no space, since that ends the escape; write \A0 or give the sign a width`, p.text[name][at[0]:at[1]])
		}
	}
}

// sided says what of a declaration names a side, and what to write in its place.
func sided(property, value string) (found, better string) {
	if m := sidedBox.FindStringSubmatch(property); m != nil && m[2] != "" {
		return property, m[1] + "-inline-start" + m[2] + " or -end-"
	} else if m != nil {
		return property, m[1] + "-inline-start or -end"
	}
	if edges := strings.Fields(value); sidedEdges.MatchString(property) && len(edges) == 4 && edges[1] != edges[3] {
		return property + " with four edges", property + "-block and " + property + "-inline"
	}
	switch {
	case sidedCorner.MatchString(property):
		return property, "border-start-end-radius and the like"
	case property == "left" || property == "right":
		return property, "inset-inline-start or -end"
	case property == "text-align" && sidedWord.MatchString(value):
		return property + ": " + sidedWord.FindString(value), "start or end"
	case (property == "float" || property == "clear") && sidedWord.MatchString(value):
		return property + ": " + sidedWord.FindString(value), "inline-start or inline-end"
	}
	return "", ""
}

var inlineForms = []struct {
	what string
	form *regexp.Regexp
}{
	{"a style attribute", regexp.MustCompile(`(?i)<[^<>]*\sstyle\s*=`)},
	{"a style element", regexp.MustCompile(`(?i)<style\b`)},
	{"a handler attribute", regexp.MustCompile(`(?i)<[^<>]*\son[a-z]+\s*=`)},
	{"a script address", regexp.MustCompile(`(?i)javascript:`)},
	{"an inline script", regexp.MustCompile(`(?i)<script\b[^>]*>`)},
}

func inline(p *project, b *breaches) {
	for name := range p.under("theme/templates", ".tmpl") {
		b.seen++
		text := p.text[name]
		for _, f := range inlineForms {
			for _, m := range f.form.FindAllStringIndex(text, -1) {
				tag := text[m[0]:m[1]]
				if f.what == "an inline script" && (strings.Contains(tag, " src=") || strings.Contains(tag, `type="application/json"`) || strings.Contains(tag, `type="application/ld+json"`)) {
					continue // loaded, or data that no browser runs
				}
				b.add(name, lineOf(text, m[1]-1), "%s; the content security policy would drop it", f.what)
			}
		}
	}
}

var (
	styleImport  = regexp.MustCompile(`@import\s+"(\./[^"]+\.css)"`)
	scriptImport = regexp.MustCompile(`(?:\bfrom\s*|\bimport\s*\(?\s*)["'](\./[^"']+\.js)["']`)
	defines      = regexp.MustCompile(`\{\{-?\s*(?:define|block)\s+"([^"]+)"`)
	templateUse  = regexp.MustCompile(`\{\{-?\s*template\s+"([^"]+)"`)
)

func orphans(p *project, b *breaches) {
	p.reached(b, ".css", styleImport, "theme/styles/site.css", "theme/styles/room.css", "theme/styles/sheet.css", "theme/styles/specimens.css") // of one kind of page each, the latter
	// Programs of their own, which pages start by their addresses: the workers, what stands in the head, and what the fitting
	// room loads.
	p.reached(b, ".js", scriptImport, "theme/scripts/site.js", "theme/scripts/worker.js", "theme/offline/worker.js", "theme/scripts/head.js", "theme/scripts/room.js", "theme/scripts/roomworker.js", "theme/scripts/ink.js")
	templateOrphans(p, b)
}

// reached walks the imports from the entries and reports the files beside them that are not met.
func (p *project) reached(b *breaches, ending string, imports *regexp.Regexp, entries ...string) {
	met := map[string]bool{}
	for _, entry := range entries {
		met[entry] = true
	}
	for queue := entries; len(queue) > 0; queue = queue[1:] {
		from := queue[0]
		text := cssComment.ReplaceAllString(p.text[from], "")
		for _, m := range imports.FindAllStringSubmatch(text, -1) {
			to := path.Join(path.Dir(from), m[1])
			if _, exists := p.text[to]; !exists && path.Base(to) != "wasm_exec.js" { // that one comes with Go
				b.add(from, 0, "names %s, which does not exist", to)
			}
			if !met[to] {
				met[to], queue = true, append(queue, to)
			}
		}
	}
	for name := range p.under(path.Dir(entries[0]), ending) {
		b.seen++
		if !met[name] {
			b.add(name, 0, "nothing that begins at %s reaches it", entries[0])
		}
	}
}

func templateOrphans(p *project, b *breaches) {
	used := map[string]bool{} // names of parts that some template or page asks for
	named := ""               // the Go code of the pages
	for name := range p.under("theme/templates", ".tmpl") {
		for _, m := range templateUse.FindAllStringSubmatch(p.text[name], -1) {
			used[m[1]] = true
		}
	}
	for name := range p.under(pageRoom, ".go") {
		if !strings.HasSuffix(name, "_test.go") {
			named += p.text[name]
		}
	}
	for name := range p.under("theme/templates", ".tmpl") {
		b.seen++
		if !strings.HasPrefix(path.Base(name), "_") {
			stem := strings.TrimSuffix(path.Base(name), ".tmpl")
			if !strings.Contains(named, `"`+stem+`.tmpl"`) && !strings.Contains(named, `"`+stem+`"`) {
				b.add(name, 0, "no page of %s names it", pageRoom)
			}
			continue
		}
		for _, m := range defines.FindAllStringSubmatch(p.text[name], -1) {
			if !used[m[1]] && !strings.Contains(named, `"`+m[1]+`"`) {
				b.add(name, 0, "no template and no page uses the part %q", m[1])
			}
		}
	}
}
