package book

import (
	"maps"
	"strconv"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/lesson"
)

// changed is the good book with some files changed.
func changed(files map[string]string) (*Book, string) {
	all := good()
	maps.Copy(all, files)
	b, told := load(all)
	return b, strings.Join(told, "\n")
}

func TestAValueMayHaveNineDecimals(t *testing.T) {
	text := strings.Replace(good()["lessons/one.md"], "{=grip.owed_length}", "{=grip.owed_length:9}", 1)
	if _, told := changed(map[string]string{"lessons/one.md": text}); told != "" {
		t.Errorf("nine decimals: %s", told)
	}
}

// A lesson whose order was refused claims no place.
func TestALessonWithoutAnOrderClaimsNoPlace(t *testing.T) {
	all := good()
	for _, name := range []string{"lessons/one.md", "lessons/two.md"} {
		all[name] = strings.NewReplacer("order: 1\n", "order: none\n", "order: 2\n", "order: none\n").Replace(all[name])
	}
	if _, told := changed(all); strings.Contains(told, "already has a lesson") {
		t.Errorf("told: %s", told)
	}
}

const asking = "```exercise\nid: far\ntitle: F\ncalculator: pivot-offset\nask: owed_length\nquestion: How far?\nanswer: 0 cm\nhints:\n  - {mistake: M, say: S, times: 2}\n```\n"

func TestAnExerciseStandsInACheckOnce(t *testing.T) {
	files := map[string]string{
		"lessons/one.md":    good()["lessons/one.md"] + asking,
		"lessons/two.md":    good()["lessons/two.md"] + asking,
		"paths/rigger.yaml": good()["paths/rigger.yaml"] + "closing: [one/far, two/far]\n",
	}
	if _, told := changed(files); !strings.Contains(told, `exercise "two/far" is in the check twice, or another has its name`) {
		t.Errorf("told: %q", told)
	}
	files["paths/rigger.yaml"] = good()["paths/rigger.yaml"] + "closing: [one/far]\n"
	if _, told := changed(files); told != "" {
		t.Errorf("once: %s", told)
	}
}

// What a page prints of a published value is part of what its numbers depend on.
func TestTheContextOfAPageHoldsItsFacts(t *testing.T) {
	first := func(b *Book) lesson.Lesson { return b.Lessons[0] }
	for _, ref := range []string{"{=fact:hand-1}", "{=fact:hand-1:1}"} {
		text := strings.Replace(good()["lessons/one.md"], "{=fact:hand-1}", ref, 1)
		one, told := changed(map[string]string{"lessons/one.md": text})
		two, too := changed(map[string]string{"lessons/one.md": text, "facts.csv": strings.Replace(good()["facts.csv"], "21.67", "21.68", 1)})
		if told+too != "" {
			t.Fatalf("%s: %s%s", ref, told, too)
		}
		if one.Context(first(one)) == two.Context(first(two)) {
			t.Errorf("%s: another value leaves the context as it was", ref)
		}
	}
}

// derived: a thousandth of a metre is a millimetre, so three decimals of metres are none of millimetres.
func TestDecimalsFollowTheUnit(t *testing.T) {
	f := Fact{ID: "a", Value: "1.250", Unit: "m"}
	for unit, want := range map[string]string{"mm": "1250\u00a0mm", "cm": "125.0\u00a0cm", "m": "1.250\u00a0m"} {
		if got, err := f.Convert(-1, unit); err != nil || got != want {
			t.Errorf("1.250 m in %s is %q, %v; want %q", unit, got, err, want)
		}
	}
}

func TestAFactHasAnID(t *testing.T) {
	if _, told := changed(map[string]string{"facts.csv": good()["facts.csv"] + ",hand,length,2,mm,,,reuleaux1876,memory,\n"}); !strings.Contains(told, "facts.csv:3: fact \"\": id must not be empty") {
		t.Errorf("told: %q", told)
	}
}

func TestAStudiosFactGoesBeforeOurs(t *testing.T) {
	b, told := changed(map[string]string{"added/facts.csv": strings.Join(factColumns(), ",") + "\nhand-1,hand,length,30,mm,,,reuleaux1876,memory,\n"})
	if told != "" || b.Facts["hand-1"].Value != "30" {
		t.Errorf("hand-1 is %q; %s", b.Facts["hand-1"].Value, told)
	}
}

func TestAYearMayBeTold(t *testing.T) {
	for issued, want := range map[string]string{`{"raw": "1876"}`: "1876", `{"literal": "undated"}`: "undated"} {
		b, told := changed(map[string]string{"sources.json": strings.Replace(good()["sources.json"], `{"date-parts": [[1876]]}`, issued, 1)})
		if told != "" || b.Sources[0].Year != want {
			t.Errorf("%s is the year %q; %s", issued, b.Sources[0].Year, told)
		}
	}
}

// A text that runs over the end of its line is wrong on that line.
func TestABrokenSourceIsReportedOnItsLine(t *testing.T) {
	if _, told := changed(map[string]string{"sources.json": "[\n {\"id\": \"a\",\n  \"title\": \"b\n\"}\n]\n"}); !strings.Contains(told, "sources.json:3: is not readable as JSON") {
		t.Errorf("told: %q", told)
	}
}

// A word has no difference to another.
func TestAWordHasNoDifference(t *testing.T) {
	const two = "\n```compare\nid: both\ntitle: B\ncalculator: pose-fit\ncurrent: {kind: ball}\ncandidate: {kind: hinge}\n```\n\n{=both.current.determined}, {=both.difference."
	for output, want := range map[string]string{"pivot_x": "", "determined": `"determined" is a word; it has no unit, decimals or difference`} {
		if _, told := changed(map[string]string{"lessons/one.md": good()["lessons/one.md"] + two + output + "}\n"}); (told == "") != (want == "") || !strings.Contains(told, want) {
			t.Errorf("the difference of %s: told %q, want %q", output, told, want)
		}
	}
}

// Each of many unknown words is told, and the first of them with the nearest known one, which takes the most time.
func TestOfManyUnknownWordsTheFirstAreOfferedAnother(t *testing.T) {
	const many = int(manyOffers) + 100
	for what, text := range map[string]string{
		"terms":  strings.Repeat("[[polle]]\n\n", many),
		"links":  strings.Repeat("[a](/lessons/onne/)\n\n", many),
		"places": strings.Repeat("[a](/lessons/one/#dept)\n\n", many),
	} {
		files := good()
		files["lessons/two.md"] = page(2, "", text)
		_, problems := load(files)
		offered := 0
		for _, p := range problems {
			if strings.Contains(p, "; nearest: ") {
				offered++
			}
		}
		if len(problems) != many || offered != int(manyOffers) {
			t.Errorf("%s: %d told, %d with an offer, want %d and %d", what, len(problems), offered, many, manyOffers)
		}
	}
}

// Facts lie in a map, whose order is another in each run: the first lines of the file get the offers, always.
func TestOfManyUnknownSourcesOfFactsTheFirstLinesAreOfferedAnother(t *testing.T) {
	files := good()
	text := strings.Join(factColumns(), ",") + "\n"
	for i := range int(manyOffers) + 100 {
		text += "fact-" + strconv.Itoa(i) + ",hand,length,21.67,mm,,,reuleaux1867,seen,\n"
	}
	files["facts.csv"] = text + "hand-1,hand,length,21.67,mm,,,reuleaux1876,seen,\n"
	_, problems := load(files)
	for i, p := range problems {
		if want := `fact "fact-` + strconv.Itoa(i) + `":`; !strings.Contains(p, want) || strings.Contains(p, "; nearest: ") != (i < int(manyOffers)) {
			t.Fatalf("problem %d of %d is %q; want %s, and an offer in the first %d", i, len(problems), p, want, manyOffers)
		}
	}
	if len(problems) != int(manyOffers)+100 {
		t.Errorf("%d problems told", len(problems))
	}
}
