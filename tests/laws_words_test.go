package tests

import (
	"regexp"
	"strings"
)

// The laws of words: what no file of the project may hold.
func wordLaws() []law {
	return []law{
		{
			name: "nothing is left to do", find: leftovers, least: 300,
			broken: []breach{
				{files{"a.go": "package a\n\n// " + "TO" + "DO: more\n"}, "a.go:3: \"TO" + "DO\" marks work that is not done; do it, or take the mark away"},
				{files{"content/a.md": "Lorem " + "ipsum dolor\n"}, "content/a.md:1: \"Lorem " + "ipsum\" marks work that is not done; do it, or take the mark away"},
				{files{"a.css": "a {} /* place" + "holder */\n"}, "a.css:1: \"place" + "holder\" marks work that is not done; do it, or take the mark away"},
			},
			kept: files{"a.md": "The hackney carriage; nothing to do.\n"},
		},
		{
			name: "no path of a machine and no host of a registry", find: places, least: 300,
			broken: []breach{
				{files{"a.md": "see /ho" + "me/somebody/x\n"}, "a.md:1: \"/ho" + "me/\" names a place of one machine; say it from the project's folder"},
				{files{"a.go": "package a\n\nvar x = \"/wo" + "rk/main\"\n"}, "a.go:3: \"/wo" + "rk/\" names a place of one machine; say it from the project's folder"},
				{files{"a.json": "{\"x\": \"C:" + "\\\\Users\"}\n"}, "a.json:1: \"C:" + "\\\\\" names a place of one machine; say it from the project's folder"},
				{files{"a.json": "{\"resolved\": \"https://registry." + "npmjs." + "org/x\"}\n"}, "a.json:1: \"registry." + "npmjs." + "org\" names the host of a registry; the client knows where to ask"},
			},
			kept: files{"a.md": "/lessons/work/, from home/main to /srv/handbook\n"},
		},
		{
			name: "the lock file names versions and sums, not places", find: lockFile, least: 1,
			broken: []breach{
				{files{"theme/package-lock.json": "{\n\"resolved\": \"x\"}\n"}, "theme/package-lock.json:2: holds \"resolved\"; run npm install with theme/.npmrc in place"},
				{files{"tests/lighthouse/package-lock.json": "{\"resolved\": \"x\"}\n"}, "tests/lighthouse/package-lock.json:1: holds \"resolved\"; run npm install with theme/.npmrc in place"},
				{files{"theme/package.json": "{\n\"temml\": \"^1.0.0\"}\n"}, "theme/package.json:2: \"^1.0.0\" is no exact version"},
			},
			kept: files{"theme/package.json": "{\"temml\": \"1.0.0\", \"engines\": {\"node\": \">=20\"}}\n"},
		},
	}
}

// The marks are put together from halves, so that this file does not hold them.
var (
	leftover     = regexp.MustCompile(`\b(TO` + `DO|FIX` + `ME|XX` + `X|HA` + `CK|TB` + `D)\b|(?i)\blorem` + ` ipsum|\bplace` + `holder|\bcoming` + ` soon|\bnot (?:yet )?` + `implemented`)
	machinePlace = regexp.MustCompile(`(?:^|[^\w./-])(/(?:ho` + `me|ro` + `ot|wo` + `rk|Us` + `ers|fa` + `rm|tmp|private|mnt)/|[A-Z]:\\+)`)
	registry     = regexp.MustCompile(`(?i)registry\.` + `npmjs|npmjs\.` + `(?:org|com)|proxy\.` + `golang\.org|sum\.` + `golang\.org|goproxy\.` + `|deb\.` + `debian\.org|pypi\.` + `org|registry\.yarn` + `pkg\.com`)
)

func leftovers(p *project, b *breaches) {
	for _, name := range p.names {
		b.seen++
		text := p.text[name]
		for _, m := range leftover.FindAllStringIndex(text, -1) {
			b.add(name, lineOf(text, m[0]), "%q marks work that is not done; do it, or take the mark away", text[m[0]:m[1]])
		}
	}
}

func places(p *project, b *breaches) {
	for _, name := range p.names {
		b.seen++
		text := p.text[name]
		for _, m := range machinePlace.FindAllStringSubmatchIndex(text, -1) {
			b.add(name, lineOf(text, m[2]), "\"%s\" names a place of one machine; say it from the project's folder", text[m[2]:m[3]])
		}
		for _, m := range registry.FindAllStringIndex(text, -1) {
			end := m[1] + strings.IndexFunc(text[m[1]:]+" ", func(c rune) bool { return c != '.' && (c < 'a' || c > 'z') })
			b.add(name, lineOf(text, m[0]), "%q names the host of a registry; the client knows where to ask", text[m[0]:end])
		}
	}
}

var looseVersion = regexp.MustCompile(`"[\w@/.-]+":\s*("[\^~*<][^"]*")`)

func lockFile(p *project, b *breaches) {
	for _, name := range packageFiles {
		name = strings.Replace(name, ".json", "-lock.json", 1)
		if _, ok := p.text[name]; !ok {
			continue
		}
		b.seen++
		if at := strings.Index(p.text[name], `"resolved"`); at >= 0 {
			b.add(name, lineOf(p.text[name], at), `holds "resolved"; run npm install with theme/.npmrc in place`)
		}
	}
	for _, name := range packageFiles {
		for _, m := range looseVersion.FindAllStringSubmatchIndex(p.text[name], -1) {
			b.add(name, lineOf(p.text[name], m[2]), "%s is no exact version", p.text[name][m[2]:m[3]])
		}
	}
}
