package page

import (
	"strings"
	"testing"

	"centrode/calc/catalog"
)

// What is seen is said too, and what scrolls is reached by keyboard.
func TestProseHasANameForWhoCannotSeeIt(t *testing.T) {
	b := tinyBook()
	b.Lessons[1].Body = strings.Replace(body, "[^1]\n", "[^1] Again.[^1]\n", 1) + "\n### A third\n\n| a |\n|---|\n| b |\n\n> [!mistake]\n> M.\n\n> [!tomorrow]\n> T.\n\n> [!note]\n> N.\n\nA [[pivot|<pivot> & co]].\n"
	in, _ := input(t, b)
	page := string(Render(in)["lessons/the-finger/index.html"])
	for _, f := range faults(page) {
		t.Error(f)
	}
	wantIn(t, "the page", stretch(t, page, `<div class="prose">`, "</article>"),
		`class="heading-anchor" href="#a-third" aria-labelledby="a-third"`, `<th scope="col" class="align-left">left</th>`, `<th scope="col">a</th>`,
		`<section class="table-scroll" aria-label="Table 1" tabindex="0">`, `<section class="table-scroll" aria-label="Table 2" tabindex="0">`,
		`id="note-1-mention"`, `id="note-1-mention-2"`, `href="#note-1-mention" role="doc-backlink" aria-label="Back to the text"`, `href="#note-1-mention-2" role="doc-backlink"`,
		`callout-mistake" role="note"><p class="callout-title"><span class="callout-sign" aria-hidden="true">×</span> <span class="callout-word">Common mistake</span>`,
		`&lt;pivot&gt; &amp; co</a>`, `<span class="callout-word">Tomorrow`, `<span class="callout-word">Note`, `aria-describedby="define-pivot-1"`, `id="define-pivot-2"`, `<span class="memory-note">(from memory)</span>`, `class="value value-fact"`)
	wantIn(t, "before the first card", stretch(t, page, `<div class="prose">`, `id="grip"`), `<div class="formula" role="group" aria-label="Formula" tabindex="0">`)
	wantIn(t, "the list of sections", stretch(t, page, `<nav class="lesson-sections"`, "</nav>"), `href="#where-it-stands`, `no #a-third`)
}

func TestATagIsReportedOnItsOwnLine(t *testing.T) {
	b := tinyBook()
	b.Lessons[0].Body = "One line,\nand a <b>tag</b>.\n"
	in, log := input(t, b)
	Render(in)
	if err := log.Err(); err == nil || !strings.Contains(err.Error(), "content/lessons/the-elbow.md:6: has an HTML tag") {
		t.Errorf("told: %v", err)
	}
}

func TestWhatCannotBeSetIsShownAsItWasTyped(t *testing.T) {
	b := tinyBook()
	b.Lessons[0].Body = "$a<\\foo$\n\n```klingon\nif a < b & c\n```\n"
	in, _ := input(t, b)
	wantIn(t, "the page", string(Render(in)["lessons/the-elbow/index.html"]), `<code class="formula-unread">a&lt;\foo</code>`, `if a &lt; b &amp; c`)
}

// A link stands in no other link, and in no heading.
func TestATermInAHeadingIsNoLink(t *testing.T) {
	b := tinyBook()
	b.Lessons[0].Body = "## The [[axis]] of [@b2010]\n\nTo [the [[axis]]](/lessons/the-finger/).\n"
	in, _ := input(t, b)
	page := string(Render(in)["lessons/the-elbow/index.html"])
	for _, f := range faults(page) {
		t.Error(f)
	}
	wantIn(t, "the heading", stretch(t, page, "<h2 id=\"the-axis", "</h2>"), `The axis of <span class="citation">(Bell 2010a)</span>`, `no <a`, `no <span class="term`)
}

func TestTheListOfSectionsNamesATextOfTwoParagraphsWhole(t *testing.T) {
	b := tinyBook()
	b.Lessons[1].Worked[0].Note = "One.\n\nTwo."
	in, _ := input(t, b)
	page := string(Render(in)["lessons/the-finger/index.html"])
	for _, f := range faults(page) {
		t.Error(f)
	}
	wantIn(t, "the note", stretch(t, page, `class="card-note"`, "</div>"), "<p>One.</p>", "<p>Two.</p>")
}

func TestThePageInAnotherLanguageSaysWhichWordsAreEnglish(t *testing.T) {
	in, log := input(t, tinyBook())
	in.Words = languages(t)
	files := Render(in)
	if err := log.Err(); err != nil {
		t.Error(err)
	}
	tag := in.Words[1].Tag
	other, first := string(files[tag+"/lessons/the-finger/index.html"]), string(files["lessons/the-finger/index.html"])
	wantIn(t, "the other page", other, `<html lang="`+tag+`"`, `<title lang="en">The finger`, `class="lesson-title" lang="en">`, `href="/`+tag+`/lessons/the-elbow/"`, `site-`+tag+`.modules`, `hreflang="en" lang="en" href="/lessons/the-finger/"`)
	wantIn(t, "the first page", first, `hreflang="`+tag+`" lang="`+tag+`" href="/`+tag+`/lessons/the-finger/"`, `no site-`+tag, `<a href="/lessons/the-elbow/">`)
	wantIn(t, "the other list of sources", string(files[tag+"/sources/index.html"]), `href="/`+tag+`/glossary/"`, `no <title lang="en">`)
}

func TestATimeIsSaidAsPeopleSayIt(t *testing.T) {
	s := inEnglish(t)
	for minutes, want := range map[int]string{59: "59\u00a0min", 60: "1\u00a0h", 61: "1\u00a0h 1\u00a0min", 120: "2\u00a0h"} {
		if got := s.lasts(minutes); got != want {
			t.Errorf("%d minutes: %q, want %q", minutes, got, want)
		}
	}
}

func TestEveryFieldSaysWhatItTakes(t *testing.T) {
	s := inEnglish(t)
	f := answers{t}.run(1).Spec.Fields[0]
	f.Min, f.Max, f.SlideMin, f.SlideMax, f.Step, f.Help = -3, 9, -1, 2, 0, "How far?"
	if got := s.formField("p", f, "1"); got.Min != "-1" || got.Max != "2" || got.Step != "any" || got.Help != "How far? Allowed: from −3 to 9\u00a0cm." {
		t.Errorf("the field is %+v", got)
	}
	f.MinOpen = true
	if got := s.rangeWords(f); !strings.Contains(got, "above −3") {
		t.Errorf("a range without its end is said as %q", got)
	}
	f.Choices, f.Kind = []catalog.Choice{{ID: "in", Label: "Inward"}, {ID: "out", Label: "Outward"}}, 0
	if got := s.formField("p", f, "out").Choices; len(got) != 2 || got[0].Chosen || !got[1].Chosen {
		t.Errorf("the choices are %+v, want the second made", got)
	}
}
