package tests

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
)

// planned is one lesson of the curriculum: where it stands and which calculators it must put to work.
type planned struct {
	slug        string
	part, order int
	calculators []string
}

// curriculum is the plan of the handbook, part by part and in order. A lesson that is added belongs here, too.
var curriculum = plan(
	[]string{
		"what-placement-decides finger-curl", "turning-about-a-point pivot-offset", "the-owed-translation pivot-offset",
		"frames-and-families reseat", "hinge-saddle-ball hinge-plane", "arcs-chords-reach hinge-arc", "one-pose-one-pole pose-fit",
		"many-poses-one-pivot pose-fit placement-map", "when-the-centre-moves pose-fit", "judging-a-placement hinge-arc",
	}, []string{
		"the-finger finger-curl bend-section", "knuckles-and-palm hinge-plane", "the-thumb pose-fit", "the-wrist hinge-arc",
		"the-elbow hinge-arc bend-section", "the-shoulder limb-fold pose-fit", "the-spine-and-neck limb-fold", "the-hip pose-fit",
		"the-knee pose-fit placement-map", "ankle-and-foot hinge-arc", "the-jaw pose-fit", "eyes-and-lids hinge-arc",
		"the-digitigrade-leg limb-fold", "wings-tails-fins limb-fold", "pins-and-pistons hinge-arc", "stylised-proportions finger-curl",
	}, []string{
		"measuring-a-character pose-fit", "trial-skinning bend-section", "moving-a-joint-safely reseat",
		"orientation-after-a-move hinge-plane", "when-animation-exists key-fit reseat", "side-by-side-review", "limits-and-notes limb-fold",
		"writing-a-lesson",
	})

func plan(parts ...[]string) []planned {
	var list []planned
	for i, part := range parts {
		for k, row := range part {
			words := strings.Fields(row)
			list = append(list, planned{words[0], i + 1, k + 1, words[1:]})
		}
	}
	return list
}

// What a lesson costs in time: the words of its text, tables, questions, notes and hints, and a while for each plate,
// comparison and exercise. Formulas and the tables of worked examples are not counted. The two figures are estimates, for
// nobody has been timed. They were set once, when all lessons together came out within two per cent of what their
// authors had said. The pace is below what is remembered of silent reading of English, some 240 words a minute (from
// memory), since this text is full of numbers.
const (
	wordsAMinute = 180
	minutesEach  = 1.5 // of a plate, a comparison, an exercise
	minutesOff   = 0.2 // share by which the minutes of a lesson may differ from the estimate
	longest      = 15  // minutes of a lesson, so that it fits between two tasks
)

// Flesch–Kincaid grade: 0.39 words a sentence + 11.8 syllables a word − 15.59 (Kincaid and others 1975, from memory).
// Grade 7 is the English of a pupil of twelve or thirteen. The subject is hard enough, and many read it in a second
// language.
const highestGrade = 7

// How alike two paragraphs may be: the share of their runs of five words that both hold.
const (
	shingle       = 5
	alike         = 0.3
	paragraphFrom = 12 // words; shorter ones, such as "That is x.", may come twice
)

// A stub stands for a lesson in the small projects that break these laws.
func stub(change ...string) files {
	text := strings.NewReplacer(change...).Replace(stubText)
	return files{"content/lessons/a.md": text}
}

const stubText = `---
title: A
minutes: 7
---
Tamsin folds.

` + "```worked\nid: w\nsource: [x]\n```\n```exercise\nid: e\nhints:\n- {mistake: m, say: No.}\n```" + `

> [!mistake]
> Haste.

> [!tomorrow]
> Go.
`

func curriculumLaws() []law {
	return slices.Concat(planLaws(), teachingLaws(), safetyLaws(), repeatLaws())
}

func planLaws() []law {
	all := func(change func(files)) files {
		list := files{}
		for _, l := range curriculum {
			text := fmt.Sprintf("---\npart: %d\norder: %d\n---\n", l.part, l.order)
			for _, c := range l.calculators {
				text += "```plate\ncalculator: " + c + "\n```\n"
			}
			list["content/lessons/"+l.slug+".md"] = text
		}
		change(list)
		return list
	}
	const knee = "content/lessons/the-knee.md"
	return []law{{
		name: "the lessons are those of the curriculum, in its order and with its calculators", find: plannedLessons, least: 34,
		broken: []breach{
			{all(func(f files) { delete(f, knee) }), knee + ": is in the curriculum and does not exist"},
			{all(func(f files) { f["content/lessons/a.md"] = "---\npart: 1\n---\n" }), "content/lessons/a.md: is not in the curriculum of tests/curriculum_test.go"},
			{all(func(f files) { f[knee] = strings.Replace(f[knee], "order: 9", "order: 8", 1) }), knee + ": stands at part 2, order 8; the curriculum has it at part 2, order 9"},
			{all(func(f files) { f[knee] = strings.Replace(f[knee], "placement-map", "hinge-arc", 1) }), knee + ": uses placement-map in no block; the curriculum asks for it"},
		},
		kept: all(func(files) {}),
	}, {
		name: "the rigger's path is the whole curriculum, the first week has eight lessons", find: plannedPaths, least: 4,
		broken: []breach{{files{
			"content/paths/rigger.yaml":           "lessons:\n  - the-knee\n",
			"content/paths/onboarding.yaml":       "lessons:\n  - the-knee\n",
			"content/paths/animator.yaml":         "lessons:\n  - the-knee\n",
			"content/paths/technical-artist.yaml": "lessons:\n  - frames-and-families\n  - key-fit\n",
		}, "content/paths/animator.yaml: holds [the-knee]; want [what-placement-decides arcs-chords-reach the-finger the-digitigrade-leg side-by-side-review]\n" +
			"content/paths/onboarding.yaml: holds 1 lessons; want 8\n" +
			"content/paths/rigger.yaml: is not the curriculum in its order; the first difference is lesson 1\n" +
			"content/paths/technical-artist.yaml: lacks many-poses-one-pivot, moving-a-joint-safely, orientation-after-a-move, when-animation-exists"}},
	}}
}

func plannedLessons(p *project, b *breaches) {
	wanted := map[string]planned{}
	for _, l := range curriculum {
		wanted[l.slug] = l
		if name := "content/lessons/" + l.slug + ".md"; p.text[name] == "" {
			b.add(name, 0, "is in the curriculum and does not exist")
		}
	}
	for _, l := range p.lessons() {
		want, ok := wanted[l.slug]
		if !ok {
			b.add(l.name, 0, "is not in the curriculum of tests/curriculum_test.go")
			continue
		}
		b.seen++
		if l.front.Part != want.part || l.front.Order != want.order {
			b.add(l.name, 0, "stands at part %d, order %d; the curriculum has it at part %d, order %d", l.front.Part, l.front.Order, want.part, want.order)
		}
		for _, c := range want.calculators {
			if !slices.ContainsFunc(l.blocks, func(x taughtBlock) bool { return x.Calculator == c && x.Kind != "exercise" }) {
				b.add(l.name, 0, "uses %s in no block; the curriculum asks for it", c)
			}
		}
	}
}

var pathItem = regexp.MustCompile(`(?m)^  - (\S+)$`)

func plannedPaths(p *project, b *breaches) {
	var whole []string
	for _, l := range curriculum {
		whole = append(whole, l.slug)
	}
	animator := strings.Fields("what-placement-decides arcs-chords-reach the-finger the-digitigrade-leg side-by-side-review")
	artist := strings.Fields("frames-and-families many-poses-one-pivot moving-a-joint-safely orientation-after-a-move when-animation-exists")
	for name := range p.under("content/paths", ".yaml") {
		var got []string
		lessons, _, _ := strings.Cut(p.text[name], "\nclosing:") // a list of exercises, which the book checks
		for _, m := range pathItem.FindAllStringSubmatch(lessons, -1) {
			got = append(got, m[1])
		}
		b.seen++
		switch strings.TrimSuffix(strings.TrimPrefix(name, "content/paths/"), ".yaml") {
		case "rigger":
			if !slices.Equal(got, whole) {
				first := slices.IndexFunc(whole, func(slug string) bool { i := slices.Index(whole, slug); return i >= len(got) || got[i] != slug })
				b.add(name, 0, "is not the curriculum in its order; the first difference is lesson %d", first+1)
			}
		case "animator":
			if !slices.Equal(got, animator) {
				b.add(name, 0, "holds %v; want %v", got, animator)
			}
		case "onboarding":
			if len(got) != 8 {
				b.add(name, 0, "holds %d lessons; want 8", len(got))
			}
		case "technical-artist":
			if lacks := slices.DeleteFunc(slices.Clone(artist), func(s string) bool { return slices.Contains(got, s) }); len(lacks) > 0 {
				b.add(name, 0, "lacks %s", strings.Join(lacks, ", "))
			}
		}
	}
}

func teachingLaws() []law {
	long := func(words int) string { return strings.Repeat("He folds it. ", words/3) }
	enough := stub("Tamsin folds.", long(720))
	with := func(from, to string) files { return stub("Tamsin folds.", long(720), from, to) }
	const a = "content/lessons/a.md"
	return []law{{
		name: "a lesson has what the curriculum asks of every lesson", find: parts, least: 34,
		broken: []breach{
			{stub("```worked", "```plate"), a + ": has no worked example"},
			{stub("```worked\nid: w\n", "```exercise\nid: x\nhints: [{say: No.}]\n"), a + ": has no figure: no plate, comparison or worked example\n" + a + ": has no worked example"},
			{stub("```exercise", "```plate"), a + ": has no exercise"},
			{stub("- {mistake: m, say: No.}", ""), a + ":11: e: the exercise has no hint"},
			{stub("[!mistake]", "[!note]"), a + ": has 0 callouts \"mistake\", want one at least"},
			{stub("> Go.", "> Go.\n\nMore."), a + ": does not end with its callout \"tomorrow\""},
			{stub("[!tomorrow]", "[!note]"), a + ": does not end with its callout \"tomorrow\"\n" + a + ": has 0 callouts \"tomorrow\", want one at least"},
			{stub("source: [x]", "source: invented"), a + ": cites no source and does not say \"common practice\""},
			{stub("minutes: 7", "minutes: soon"), a + ": cannot be read"},
		},
		kept: stub("source: [x]", "source: common practice"),
	}, {
		name: "a lesson is 700 to 1,500 words of its own", find: length, least: 34,
		broken: []breach{
			{stub(), a + ": has 4 words of its own; want 700 to 1,500"},
			{stub("Tamsin folds.", long(1503)), a + ": has 1505 words of its own; want 700 to 1,500"},
		},
		kept: enough,
	}, {
		name: "the minutes of a lesson are what its length says", find: minutes, least: 34,
		broken: []breach{
			{with("minutes: 7", "minutes: 3"), a + ": says 3 minutes; its words, plates and exercises come to 5.5"},
			{with("minutes: 7", "minutes: 9"), a + ": says 9 minutes; its words, plates and exercises come to 5.5"},
			{with("minutes: 7", "minutes: 16"), a + ": says 16 minutes; a lesson takes 15 at most: shorten or divide it\n" + a + ": says 16 minutes; its words, plates and exercises come to 5.5"},
		},
		kept: with("minutes: 7", "minutes: 5"),
	}, {
		name: "a lesson reads easily", find: readable, least: 34,
		broken: []breach{{stub("Tamsin folds.", strings.Repeat("Characteristically, anatomical considerations necessitate reinterpretation. ", 9)),
			a + ": reads at grade 45.3; want 7 at most: shorter sentences, shorter words"}},
		kept: enough,
	}, {
		name: "nothing is exclaimed", find: exclaimed, least: 40,
		broken: []breach{
			{stub("Go.", "Go!"), a + ":21: holds an exclamation mark"},
			{stub("say: No.", "say: No!"), a + ":14: holds an exclamation mark"},
		},
		kept: stub("Go.", "Go `a != b`, $n!$ and ![a drawing](/x/)."),
	}, {
		name: "the book holds 60 worked examples and 84 exercises", find: enoughBlocks, least: 34,
		broken: []breach{{stub(), "content/lessons: hold 1 exercises; want 84 at least\ncontent/lessons: hold 1 worked examples; want 60 at least"}},
	}}
}

// checklist is the lesson that says how a joint is moved without loss.
const checklist = "/lessons/moving-a-joint-safely/"

func safetyLaws() []law {
	region := func(say string) files {
		return stub("title: A", "title: A\npart: 2", "Tamsin folds.", "> [!caution]\n> "+say+"\n\nTamsin folds.")
	}
	const a = "content/lessons/a.md"
	return []law{{
		name: "a lesson on a region warns of what a move can lose, and leads to the checklist", find: leadsToTheChecklist, least: 16,
		broken: []breach{
			{stub("title: A", "title: A\npart: 2"), a + ": no caution of it leads to " + checklist},
			{region("Save the weights."), a + ": no caution of it leads to " + checklist},
			{region("Save the weights.\n\nSee [" + checklist + "](" + checklist + ")."), a + ": no caution of it leads to " + checklist},
		},
		kept: region("Save the weights\n> and see [how](" + checklist + "#when-a-joint-is-added)."),
	}}
}

// cautions are the callouts of that kind, to the line that ends them.
var cautions = regexp.MustCompile(`(?m)^> \[!caution\]\n(?:>.*\n)+`)

func leadsToTheChecklist(p *project, b *breaches) {
	for _, l := range p.lessons() {
		if l.front.Part != 2 {
			continue
		}
		b.seen++
		if !slices.ContainsFunc(cautions.FindAllString(p.text[l.name], -1), func(s string) bool { return strings.Contains(s, "]("+checklist) }) {
			b.add(l.name, 0, "no caution of it leads to %s", checklist)
		}
	}
}

func parts(p *project, b *breaches) {
	for _, l := range p.lessons() {
		b.seen++
		if l.unread {
			b.add(l.name, 0, "cannot be read")
		}
		for _, c := range []struct {
			has  bool
			want string
		}{
			{l.count("worked") > 0, "has no worked example"},
			{l.count("plate", "compare", "worked") > 0, "has no figure: no plate, comparison or worked example"},
			{l.count("exercise") > 0, "has no exercise"},
			{l.last() == "tomorrow", `does not end with its callout "tomorrow"`},
			{l.cites(p.text[l.name]), `cites no source and does not say "common practice"`},
		} {
			if !c.has {
				b.add(l.name, 0, "%s", c.want)
			}
		}
		for _, kind := range []string{"mistake", "tomorrow"} {
			if !slices.ContainsFunc(l.paragraphs, func(g paragraph) bool { return g.callout == kind }) {
				b.add(l.name, 0, "has 0 callouts %q, want one at least", kind)
			}
		}
		for _, x := range l.blocks {
			if x.Kind == "exercise" && len(x.Hints) == 0 {
				b.add(l.name, x.Line, "%s: the exercise has no hint", x.ID)
			}
		}
	}
}

// last is the callout with which the lesson ends, "" for any other end.
func (t *taught) last() string {
	if len(t.paragraphs) == 0 {
		return ""
	}
	end := t.paragraphs[len(t.paragraphs)-1]
	for _, x := range t.blocks {
		if x.Line > end.line {
			return ""
		}
	}
	return end.callout
}

func (t *taught) cites(text string) bool {
	if len(t.front.Sources) > 0 || strings.Contains(text, "[@") || strings.Contains(strings.ToLower(text), "common practice") {
		return true
	}
	return slices.ContainsFunc(t.blocks, func(x taughtBlock) bool { _, list := x.Source.([]any); return list })
}

// own is the number of words that the lesson itself tells: running text and tables, without its blocks.
func (t *taught) own() int {
	n := 0
	for _, g := range slices.Concat(t.paragraphs, t.cells) {
		n += countWords(g.text)
	}
	return n
}

func length(p *project, b *breaches) {
	for _, l := range p.lessons() {
		b.seen++
		if n := l.own(); n < 700 || n > 1500 {
			b.add(l.name, 0, "has %d words of its own; want 700 to 1,500", n)
		}
	}
}

func (t *taught) estimate() float64 {
	words := t.own()
	for _, x := range t.blocks {
		for _, s := range x.sentences() {
			words += countWords(bare(s))
		}
	}
	return float64(words)/wordsAMinute + minutesEach*float64(t.count("plate", "compare", "exercise"))
}

func minutes(p *project, b *breaches) {
	for _, l := range p.lessons() {
		b.seen++
		want := l.estimate()
		if got := float64(l.front.Minutes); !(math.Abs(got-want) <= minutesOff*want) {
			b.add(l.name, 0, "says %d minutes; its words, plates and exercises come to %.1f", l.front.Minutes, want)
		}
		if l.front.Minutes > longest {
			b.add(l.name, 0, "says %d minutes; a lesson takes %d at most: shorten or divide it", l.front.Minutes, longest)
		}
	}
}

func readable(p *project, b *breaches) {
	for _, l := range p.lessons() {
		b.seen++
		if g := l.grade(); !(g <= highestGrade) {
			b.add(l.name, 0, "reads at grade %.1f; want %d at most: shorter sentences, shorter words", g, highestGrade)
		}
	}
}

func exclaimed(p *project, b *breaches) {
	for name := range p.under("content", ".md", ".yaml") {
		b.seen++
		for i, line := range strings.Split(p.text[name], "\n") {
			line = strings.NewReplacer("[!", "", "![", "", "```", "").Replace(line)
			if strings.Contains(spans.ReplaceAllString(line, ""), "!") {
				b.add(name, i+1, "holds an exclamation mark")
			}
		}
	}
}

func enoughBlocks(p *project, b *breaches) {
	worked, exercises := 0, 0
	for _, l := range p.lessons() {
		b.seen++
		worked, exercises = worked+l.count("worked"), exercises+l.count("exercise")
	}
	if worked < 60 {
		b.add("content/lessons", 0, "hold %d worked examples; want 60 at least", worked)
	}
	if exercises < 84 {
		b.add("content/lessons", 0, "hold %d exercises; want 84 at least", exercises)
	}
}
