package tests

import (
	"encoding/csv"
	"encoding/json"
	"regexp"
	"strings"
)

// The laws of evidence: what a lesson leans on can be looked up, and no answer hangs on a number that nobody gave.
func evidenceLaws() []law {
	const head = "id,topic,quantity,value,unit,spread,population_or_condition,source_key,status,note\n"
	const sources = `[{"id": "old1901", "custom": {"status": "seen"}}, {"id": "lost1840", "custom": {"status": "memory"}}]`
	page := func(text string) string { return "---\ntitle: A\n---\n" + text + "\n" }
	const lesson = "content/lessons/a.md"
	return []law{{
		name: "what was read in a source that a lesson cites stands in a row of the facts", find: citedRows, least: 60,
		broken: []breach{
			{files{lesson: page("So it is [@old1901, p. 3]."), sourcesFile: sources, factsFile: head}, lesson + ":4: cites old1901, which was seen, and " + factsFile + " has no row of what it says"},
		},
		kept: files{
			lesson: page("So it is [@old1901], and [@lost1840] is remembered to say so. `[@never]`"), sourcesFile: sources,
			factsFile: head + "a-1,a,b,1,cm,,,old1901,seen,abstract\n",
		},
	}, {
		name: "a hinge is swept with the flesh of its limb, so that no contact is told of flesh that nobody gave", find: sweptBare, least: 20,
		broken: []breach{
			{files{lesson: page("```worked\nid: a\ncalculator: hinge-arc\ngiven: {tip_x: 5 cm, parent_radius: 0 cm}\n```")}, lesson + ":4: sweeps a hinge without child_radius"},
			{files{lesson: page("```console\n$ centrode calc hinge-arc tip_x=5\nIt touches.\n```")}, lesson + ":4: sweeps a hinge without child_radius\n" + lesson + ":4: sweeps a hinge without parent_radius"},
			{files{lesson: page("```console\n$ centrode calc hinge-arc\nIt touches.\n```")}, lesson + ":4: sweeps a hinge without child_radius\n" + lesson + ":4: sweeps a hinge without parent_radius"},
		},
		kept: files{lesson: page("```plate\ncalculator: hinge-arc\npreset: moss-hock\n```\n```worked\ncalculator: hinge-arc\ngiven: {parent_radius: 0 cm, child_radius: 1 cm}\n```\n" +
			"```console\n$ centrode calc hinge-arc parent_radius=1 child_radius=1\n```\n```worked\ncalculator: hinge-plane\n```\n" +
			"```console\n$ centrode calc hinge-arc -preset moss-hock tip_x=5\n$ centrode calc hinge-arc -presets\n```")},
	}}
}

const (
	sourcesFile = "content/sources.json"
	factsFile   = "content/facts.csv"
)

var (
	citedKey = regexp.MustCompile(`\[@([a-z0-9_]+)`)
	code     = regexp.MustCompile("`[^`\n]*`")
)

func citedRows(p *project, b *breaches) {
	var sources []struct {
		ID     string
		Custom struct{ Status string }
	}
	if err := json.Unmarshal([]byte(p.text[sourcesFile]), &sources); p.text[sourcesFile] != "" && err != nil {
		b.add(sourcesFile, 0, "%v", err)
	}
	seen := map[string]bool{}
	for _, s := range sources {
		seen[s.ID] = s.Custom.Status == "seen"
	}
	rows, err := csv.NewReader(strings.NewReader(p.text[factsFile])).ReadAll()
	if err != nil {
		b.add(factsFile, 0, "%v", err)
	}
	told := map[string]bool{}
	for _, r := range rows {
		told[r[7]] = true
	}
	for name := range p.under("content/lessons", ".md") {
		text := code.ReplaceAllString(p.text[name], "")
		for _, m := range citedKey.FindAllStringSubmatchIndex(text, -1) {
			b.seen++
			if key := text[m[2]:m[3]]; seen[key] && !told[key] {
				b.add(name, lineOf(text, m[0]), "cites %s, which was seen, and %s has no row of what it says", key, factsFile)
			}
		}
	}
}

// fenced is a block of the handbook or of commands with what stands in it.
var fenced = regexp.MustCompile("(?ms)^```(worked|exercise|plate|compare|console)\n(.*?)^```$")

// sweeps is a command that sweeps a hinge, to the end of its line; one that starts from a preset has the flesh of that, and one that tells of the
// calculator sweeps nothing.
var sweeps = regexp.MustCompile(`(?m)calc hinge-arc(?: .*)?$`)

func swept(block, inside string) (times int) {
	if block != "console" {
		if strings.Contains("\n"+inside, "\npreset: ") {
			return 0
		}
		return strings.Count("\n"+inside, "\ncalculator: hinge-arc\n")
	}
	for _, command := range sweeps.FindAllString(inside, -1) {
		if !strings.Contains(command, " -preset") && !strings.Contains(command, " -describe") {
			times++
		}
	}
	return times
}

func sweptBare(p *project, b *breaches) {
	for name := range p.under("content", ".md") {
		text := p.text[name]
		for _, m := range fenced.FindAllStringSubmatchIndex(text, -1) {
			inside := text[m[4]:m[5]]
			times := swept(text[m[2]:m[3]], inside)
			if times == 0 {
				continue
			}
			b.seen++
			for _, flesh := range []string{"parent_radius", "child_radius"} {
				if strings.Count(inside, flesh) < times {
					b.add(name, lineOf(text, m[0]), "sweeps a hinge without %s", flesh)
				}
			}
		}
	}
}
