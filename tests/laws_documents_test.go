package tests

import (
	"encoding/json"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
)

// The laws of the documents: what README.md and DEVELOPERS.md say about the tree must be so.
func documentLaws() []law {
	const graph = "<!-- graph -->\n```\n"
	return []law{
		{
			name: "what the documents name exists", find: namedPlaces, least: 40,
			broken: []breach{
				{files{"README.md": "see `calc/nothing` and\n`tests/run.sh`\n", "tests/run.sh": ""}, "README.md:1: names calc/nothing, which does not exist"},
				{files{"DEVELOPERS.md": "[words](content/LICENSE)\n"}, "DEVELOPERS.md:1: names content/LICENSE, which does not exist"},
			},
			kept: files{"README.md": "`calc/a`, `./calc/...`, `go run ./cmd/x`, `mcp_flex=85&x=1/2`, `encoding/json`, [site](https://x.org/a), `/plates/`\n", "calc/a/a.go": "package a\n"},
		},
		{
			name: "every room is told of in DEVELOPERS.md", find: toldRooms, least: 6,
			broken: []breach{{files{"DEVELOPERS.md": "`calc`\n", "calc/a.go": "package calc\n", "spare/a.txt": "x"}, "spare: is not told of in DEVELOPERS.md"}},
		},
		{
			name: "the Graph of packages in DEVELOPERS.md is the true one", find: toldGraph, least: 30,
			broken: []breach{
				{files{"DEVELOPERS.md": graph + "calc/a → calc/b\n```\n", "calc/a/a.go": "package a\n"}, "DEVELOPERS.md:3: says \"calc/a → calc/b\"; the packages say \"calc/a\"; run go test ./tests -run Graph -update"},
				{files{"DEVELOPERS.md": graph + "calc/a\n```\n", "calc/a/a.go": "package a\n", "calc/b/b.go": "package b\n"}, "DEVELOPERS.md:4: says \"\"; the packages say \"calc/b\"; run go test ./tests -run Graph -update"},
			},
			kept: files{"DEVELOPERS.md": graph + "calc/a → calc/b\ncalc/b\n```\n", "calc/a/a.go": "package a\n\nimport _ \"centrode/calc/b\"\n", "calc/b/b.go": "package b\n", "calc/b/b_test.go": "package b\n\nimport _ \"centrode/calc/a\"\n"},
		},
		{
			name: "an oddity is told once in DEVELOPERS.md", find: oddities, least: 20,
			broken: []breach{{files{"DEVELOPERS.md": "- **It is so.** It was.\n- **It is not.** No.\n- **It is so.** It is.\n"},
				"DEVELOPERS.md:3: tells \"It is so.\" again, see line 1; one of the two is older"}},
		},
		{
			name: "git leaves the ends of lines alone", find: lineEnds, least: 1,
			broken: []breach{
				{files{"README.md": "x"}, ".gitattributes: lacks the line \"* text=auto eol=lf\"; with the settings of git for Windows scripts would not run, and the site would be another"},
				{files{".gitattributes": "* text=auto eol=lf\n", "calc/a.txt": "x\r\ny\r\n"}, "calc/a.txt:1: ends its lines with a carriage return; the same checkout gives the same bytes everywhere"},
			},
			kept: files{".gitattributes": "*.png binary\n* text=auto eol=lf\n", "calc/a.txt": "x\n"},
		},
		{
			name: "every dependency has its reason in DEVELOPERS.md", find: toldDependencies, least: 15,
			broken: []breach{
				{files{"go.mod": "module centrode\n\nrequire (\n\texample.org/m v1.0.0\n)\n", "a.go": "package a\n\nimport _ \"example.org/m/sub\"\n", "DEVELOPERS.md": "| `other.org/m` | it does something well |\n"},
					"DEVELOPERS.md: has no row with the reason for example.org/m\nDEVELOPERS.md:1: gives a reason for other.org/m, which nothing uses"},
				{files{"go.mod": "module centrode\n\nrequire example.org/m v1.0.0\n", "a.go": "package a\n\nimport _ \"example.org/m\"\n", "DEVELOPERS.md": "| `example.org/m` | it works |\n"},
					"DEVELOPERS.md:1: the reason for example.org/m is too short to be one"},
				{files{"go.mod": "module centrode\n\nrequire (\n\texample.org/m v1.0.0\n\texample.org/n v1.0.0 // indirect\n)\n", "DEVELOPERS.md": "none\n"},
					"go.mod:4: asks for example.org/m, which no file imports; go mod tidy takes it out"},
				{files{"theme/package.json": "{\"dependencies\": {\"temml\": \"1.0.0\"}}", "DEVELOPERS.md": "none\n"}, "DEVELOPERS.md: has no row with the reason for temml"},
			},
		},
	}
}

var documents = []string{"README.md", "DEVELOPERS.md", "CHANGELOG.md"}

var (
	codeSpan   = regexp.MustCompile("`([^`\n]+)`")
	markLink   = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	plainPlace = regexp.MustCompile(`^[a-z.][\w.-]*(?:/[\w.-]+)*/?$`)
)

// rooms are the folders at the root; a name whose first part is one of them is a place.
func (p *project) rooms() []string {
	met := map[string]bool{}
	for _, name := range p.names {
		if first, _, deep := strings.Cut(name, "/"); deep {
			met[first] = true
		}
	}
	return slices.Sorted(maps.Keys(met))
}

func (p *project) exists(name string) bool {
	name = strings.TrimSuffix(name, "/")
	if _, ok := p.text[name]; ok || p.mute[name] {
		return true
	}
	return slices.ContainsFunc(p.names, func(other string) bool { return strings.HasPrefix(other, name+"/") })
}

func namedPlaces(p *project, b *breaches) {
	rooms := append(p.rooms(), "calc", "cmd", "content", "tests", "theme", "wasm", "docs")
	for _, document := range documents {
		text := outsideFences(p.text[document])
		check := func(at int, name string) {
			b.seen++
			if !p.exists(name) {
				b.add(document, lineOf(text, at), "names %s, which does not exist", name)
			}
		}
		for _, m := range codeSpan.FindAllStringSubmatchIndex(text, -1) {
			name := text[m[2]:m[3]]
			first, _, _ := strings.Cut(name, "/")
			if plainPlace.MatchString(name) && strings.Contains(name, "/") && slices.Contains(rooms, first) {
				check(m[0], name)
			}
		}
		for _, m := range markLink.FindAllStringSubmatchIndex(text, -1) {
			if target := text[m[2]:m[3]]; !strings.Contains(target, "://") && target[0] != '/' && target[0] != '#' {
				check(m[0], target)
			}
		}
	}
}

// outsideFences blanks out fenced code, lines kept.
func outsideFences(text string) string {
	fence := ""
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		switch {
		case fence == "" && strings.HasPrefix(line, "```"):
			fence = line[:len(line)-len(strings.TrimLeft(line, "`"))]
		case fence != "" && strings.TrimRight(line, " ") == fence:
			fence = ""
		case fence == "":
			continue
		}
		lines[i] = ""
	}
	return strings.Join(lines, "\n")
}

func toldRooms(p *project, b *breaches) {
	for _, room := range p.rooms() {
		if strings.HasPrefix(room, ".") {
			continue
		}
		b.seen++
		if text := p.text["DEVELOPERS.md"]; !strings.Contains(text, "`"+room+"`") && !strings.Contains(text, "`"+room+"/") {
			b.add(room, 0, "is not told of in DEVELOPERS.md")
		}
	}
}

// lineEnds holds the checkout to line feeds. A carriage return inside of a line is the matter of whoever wrote it.
func lineEnds(p *project, b *breaches) {
	const name, line = ".gitattributes", "* text=auto eol=lf"
	b.seen++
	if !slices.Contains(strings.Split(p.text[name], "\n"), line) {
		b.add(name, 0, "lacks the line %q; with the settings of git for Windows scripts would not run, and the site would be another", line)
	}
	for _, file := range p.names {
		b.seen++
		if at := strings.Index(p.text[file], "\r\n"); at >= 0 {
			b.add(file, lineOf(p.text[file], at), "ends its lines with a carriage return; the same checkout gives the same bytes everywhere")
		}
	}
}

// graph lists the project's packages with those of ours that each imports, tests left out, one a line.
func (p *project) graph() []string {
	uses := map[string]map[string]bool{}
	short := func(folder string) string {
		if rest, ok := strings.CutPrefix(folder, internal+"/"); ok {
			return "internal/" + rest
		}
		return folder
	}
	for name, file := range p.program("") {
		from := short(path.Dir(name))
		if uses[from] == nil {
			uses[from] = map[string]bool{}
		}
		for imported := range p.imports(file) {
			if folder, ours := strings.CutPrefix(imported, "centrode/"); ours {
				uses[from][short(folder)] = true
			}
		}
	}
	var lines []string
	for _, from := range slices.Sorted(maps.Keys(uses)) {
		line := from
		if len(uses[from]) > 0 {
			line += " → " + strings.Join(slices.Sorted(maps.Keys(uses[from])), ", ")
		}
		lines = append(lines, line)
	}
	return lines
}

// graphPlace is the fenced list in DEVELOPERS.md.
var graphPlace = regexp.MustCompile("(?s)<!-- graph -->\n```\n(.*?)```\n")

func toldGraph(p *project, b *breaches) {
	const name = "DEVELOPERS.md"
	want := p.graph()
	b.seen = len(want)
	m := graphPlace.FindStringSubmatchIndex(p.text[name])
	if m == nil {
		b.add(name, 0, "holds no list of packages; put one after <!-- graph -->")
		return
	}
	told := strings.Split(strings.TrimSuffix(p.text[name][m[2]:m[3]], "\n"), "\n")
	first := lineOf(p.text[name], m[2])
	at := func(list []string, i int) string {
		if i < len(list) {
			return list[i]
		}
		return ""
	}
	for i := range max(len(told), len(want)) {
		if at(told, i) != at(want, i) {
			b.add(name, first+i, "says %q; the packages say %q; run go test ./tests -run Graph -update", at(told, i), at(want, i))
			return // one line that is missing shifts all after it
		}
	}
}

var (
	required = regexp.MustCompile(`(?m)^(?:require\s+|\s+)([\w.-]+\.[a-z]+/[\w./-]+) v[^\s/]+( // indirect)?`)
	oddity   = regexp.MustCompile(`(?m)^- \*\*(.+?)\*\*`)
	reason   = regexp.MustCompile("(?m)^\\| `((?:@[\\w-]+/)?[\\w.-]+(?:/[\\w./-]+)?)` \\| (.*) \\|$")
)

// packageFiles name what npm brings: for the theme, and for Lighthouse alone, which is large and which no other test needs.
var packageFiles = []string{"theme/package.json", "tests/lighthouse/package.json"}

// dependencies are the modules that some file imports, and the npm packages.
func (p *project) dependencies(t *breaches) []string {
	used := map[string]bool{}
	for _, file := range p.code {
		for imported := range p.imports(file) {
			best := ""
			for _, m := range required.FindAllStringSubmatch(p.text["go.mod"], -1) {
				if (imported == m[1] || strings.HasPrefix(imported, m[1]+"/")) && len(m[1]) > len(best) {
					best = m[1]
				}
			}
			if best != "" {
				used[best] = true
			}
		}
	}
	for _, m := range required.FindAllStringSubmatchIndex(p.text["go.mod"], -1) {
		if module := p.text["go.mod"][m[2]:m[3]]; m[4] < 0 && !used[module] {
			t.add("go.mod", lineOf(p.text["go.mod"], m[2]), "asks for %s, which no file imports; go mod tidy takes it out", module)
		}
	}
	for _, file := range packageFiles {
		text, ok := p.text[file]
		if !ok {
			continue
		}
		var npm struct{ Dependencies, DevDependencies, OptionalDependencies map[string]string }
		if err := json.Unmarshal([]byte(text), &npm); err != nil {
			t.add(file, 0, "is no JSON: %v", err)
		}
		for _, list := range []map[string]string{npm.Dependencies, npm.DevDependencies, npm.OptionalDependencies} {
			for name := range list {
				used[name] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(used))
}

// oddities finds those that stand twice, as they do when two people told of the same thing at the same time.
func oddities(p *project, b *breaches) {
	const name = "DEVELOPERS.md"
	told := map[string]int{}
	for _, m := range oddity.FindAllStringSubmatchIndex(p.text[name], -1) {
		title, line := p.text[name][m[2]:m[3]], lineOf(p.text[name], m[0])
		b.seen++
		if first, again := told[title]; again {
			b.add(name, line, "tells %q again, see line %d; one of the two is older", title, first)
		}
		told[title] = line
	}
}

func toldDependencies(p *project, b *breaches) {
	const name = "DEVELOPERS.md"
	used := p.dependencies(b)
	told := map[string]bool{}
	text := p.text[name]
	for _, m := range reason.FindAllStringSubmatchIndex(text, -1) {
		module, why := text[m[2]:m[3]], text[m[4]:m[5]]
		if !strings.Contains(module, ".") && !strings.HasPrefix(module, "@") && !slices.Contains(used, module) {
			continue // a row of another table
		}
		if p.exists(module) {
			continue // a place
		}
		told[module] = true
		switch {
		case !slices.Contains(used, module):
			b.add(name, lineOf(text, m[0]), "gives a reason for %s, which nothing uses", module)
		case len(strings.Fields(why)) < 3:
			b.add(name, lineOf(text, m[0]), "the reason for %s is too short to be one", module)
		}
	}
	for _, module := range used {
		b.seen++
		if !told[module] {
			b.add(name, 0, "has no row with the reason for %s", module)
		}
	}
}
