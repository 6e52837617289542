package proof

import (
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/report"
)

const (
	leastExercises = 80
	seedsEach      = 60
	leastSets      = 12 // different sets of numbers among the seeds
)

var (
	aReference = regexp.MustCompile(`\{=([^}]*)\}`)
	aNumber    = regexp.MustCompile(`\d+(?:\.\d+)?`)
)

// freshAnswer is what plate.Fresh says, as far as these tests read it.
type freshAnswer struct {
	State, Answer, Tolerance, Hints, Result string
	Told, Gave                              []string
}

// Every exercise, with many seeds, through the text that its page carries: the numbers are as good a question as those
// printed, and grading knows the right answer and every mistake for what it is.
func TestFreshNumbersMakeAsGoodAQuestion(t *testing.T) {
	b := realBook(t)
	p := Run(b, &report.Log{}, nil)
	exercises := 0
	for _, page := range b.Pages() {
		for _, e := range page.Lesson.Exercises {
			exercises++
			t.Run(page.ID+"/"+e.ID, func(t *testing.T) {
				var refs []string
				for _, m := range aReference.FindAllStringSubmatch(e.Question, -1) {
					refs = append(refs, m[1])
				}
				r, ok := p.Question(page.ID, e.ID, refs)
				if !ok {
					t.Fatal("has no question")
				}
				tryFresh(t, e.Calculator.Text, aReference.ReplaceAllString(e.Question, ""), r)
			})
		}
	}
	if exercises < leastExercises {
		t.Errorf("%d exercises, want at least %d", exercises, leastExercises)
	}
}

func tryFresh(t *testing.T, calculator, typed string, r plate.Recipe) {
	c, err := list.Find(calculator)
	if err != nil {
		t.Fatal(err)
	}
	recipe := plate.WriteRecipe(c.Spec(), r)
	own, err := r.Printed(c)
	if err != nil {
		t.Fatal(err)
	}
	sets := map[string]bool{}
	for i := range seedsEach {
		seed := strconv.Itoa(i * 977)
		text := new(plate.Desk).Fresh(c, recipe, seed, 480, "x")
		var f freshAnswer
		if err := json.Unmarshal(text, &f); err != nil || f.State == "" {
			t.Fatalf("seed %s: %v: %.200s", seed, err, text)
		}
		sets[f.State] = true
		if slices.Contains(f.Told, plate.None) || len(f.Told) != len(r.Told) {
			t.Errorf("seed %s: tells %q", seed, f.Told)
		}
		verdict := func(answer string) (v struct {
			Verdict string
			Hint    int
		}) {
			if err := json.Unmarshal(plate.GradeOutput(c, r.Ask, answer, f.Answer, f.Tolerance, f.Hints), &v); err != nil {
				t.Fatal(err)
			}
			return v
		}
		printed := strings.TrimRight(f.Result, " ")
		if v := verdict(f.Answer); v.Verdict != "right" {
			t.Errorf("seed %s: the right answer %s is %s", seed, f.Answer, v.Verdict)
		}
		if v := verdict(printed); v.Verdict != "right" {
			t.Errorf("seed %s: the printed answer %s is %s", seed, printed, v.Verdict)
		}
		for k, outcome := range strings.Fields(f.Hints) {
			if v := verdict(strings.ReplaceAll(outcome, "_", " ")); v.Verdict != "hint" || v.Hint != k {
				t.Errorf("seed %s: mistake %d, %s (right is %s), is taken for %s %d", seed, k+1, outcome, f.Answer, v.Verdict, v.Hint)
			}
		}
		if own.Right.Number < 0 != strings.HasPrefix(f.Answer, "-") {
			t.Errorf("seed %s: the answer %s has another sign than the printed one, of which the hints speak", seed, f.Answer)
		}
		if i > 2 {
			continue // the rest costs as much again, and does not depend on how large the numbers are
		}
		contradicts(t, seed, typed, r, c.Spec().ID)
		if again := new(plate.Desk).Fresh(c, recipe, seed, 480, "x"); string(again) != string(text) {
			t.Errorf("seed %s gives two answers", seed)
		}
	}
	if len(sets) < leastSets {
		t.Errorf("%d seeds give %d sets of numbers, want at least %d", seedsEach, len(sets), leastSets)
	}
}

// contradicts looks for a number that the question types and that fresh numbers have changed.
func contradicts(t *testing.T, seed, typed string, r plate.Recipe, calculator string) {
	c, _ := list.Find(calculator)
	d, ok := r.Draw(c, seed)
	if !ok {
		t.Fatal("no draw")
	}
	changed := map[string]bool{}
	for id, v := range r.Given.Numbers {
		if d.Answer.Values.Numbers[id] != v {
			changed[quantity.Shortest(math.Abs(v))] = true
		}
	}
	for id, rows := range r.Given.Tables {
		for column, list := range rows.Numbers {
			for i, v := range list {
				if d.Answer.Values.Tables[id].Numbers[column][i] != v {
					changed[quantity.Shortest(math.Abs(v))] = true
				}
			}
		}
	}
	for _, n := range aNumber.FindAllString(typed, -1) {
		if strings.Contains(n, ".") {
			n = strings.TrimRight(strings.TrimRight(n, "0"), ".")
		}
		if changed[n] && !strings.Contains(typed, "pose "+n) {
			t.Errorf("the question types %s, which fresh numbers change; write {=block.field} or {=block*%s}", n, n)
		}
	}
}

func TestAQuestionWithoutSoundNumbersIsReported(t *testing.T) {
	_, problems := prove(exercise("answer: 1.118 cm\ntolerance: 0.05 cm\nvary: {offset_x: 1 cm to 5 cm by 0.1 cm, lever_: 1 to 2 by 1, angle: wide}\nhints:\n  - {mistake: m, formula: lever * 2, say: s}\n  - {mistake: n, formula: sine(2), say: s}"))
	if len(problems) != 3 || !strings.Contains(problems[1], `vary: lever_: "1 to 2 by 1": is no number or table of pivot-offset`) ||
		!strings.Contains(problems[0], `vary: angle: "wide": must be a range such as`) || !strings.Contains(problems[2], `formula: "sine(2)": "sine" is no function`) {
		t.Errorf("got %q", problems)
	}
}

// What is printed under an exercise as its working comes to what was asked. A fit only reports how sure it is and whether
// its poses share an axis, and how many joints get new numbers is counted, not computed.
func TestTheWorkingOfAnExerciseComesToItsAnswer(t *testing.T) {
	reported := []string{"reseat changed", "pose-fit determined", "pose-fit sigma_major", "pose-fit axis_z", "pose-fit slide"}
	b := realBook(t)
	p := Run(b, &report.Log{}, nil)
	exercises := 0
	for _, page := range b.Pages() {
		for _, e := range page.Lesson.Exercises {
			a, ok := p.Answer(page.ID, e.ID)
			if !ok {
				t.Fatalf("%s/%s has no answer", page.ID, e.ID)
			}
			exercises++
			asked, _ := a.Spec.Output(e.Ask.Text)
			answer := strings.Fields(plate.Text(a, asked))[0]
			shown := slices.ContainsFunc(plate.Slots(a), func(slot catalog.Entry) bool {
				return strings.TrimRight(slot.Text, "°") == strings.TrimRight(answer, "°") && slices.ContainsFunc(a.Spec.Steps, func(s catalog.Step) bool {
					return strings.Contains(s.TeX, `\slot{`+slot.ID+`}`)
				})
			})
			if name := a.Spec.ID + " " + asked.ID; shown == slices.Contains(reported, name) {
				t.Errorf("%s/%s asks for %s, %s; its working shows that: %v", page.ID, e.ID, name, answer, shown)
			}
		}
	}
	if exercises < leastExercises {
		t.Errorf("%d exercises, want at least %d", exercises, leastExercises)
	}
}
