package page

import (
	"encoding/json"
	"html/template"
	"regexp"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/lesson"
)

// Exercise is a question that the page grades.
type Exercise struct {
	ID         string
	Lesson     string // slug of the lesson, for the record of what was solved
	Title      template.HTML
	Question   template.HTML
	Calculator string
	Output     string
	Label      string // of the answer's field
	Unit       string
	Answer     string // number in the base unit, or a word
	Tolerance  string // in the base unit
	HintValues string // outcomes of the mistakes, divided by spaces
	Hints      string // what to say for each, as a JSON list
	Recipe     string // what fresh numbers are drawn from, see plate.Recipe
	Given      Given
	Result     Value
	Slack      string // the tolerance as printed, with its unit; empty when an answer must be exact
	Steps      []Step
	Figure     template.HTML
	Mistakes   []Mistake
	Open       string
}

// Mistake is one known way to a wrong answer.
type Mistake struct {
	Name string
	Gave string // the number it leads to, with its unit
	Say  template.HTML
}

func (d *document) exercise(e lesson.Exercise) part {
	view, a, ok := d.exerciseView(e, false)
	if !ok {
		return d.unanswered(e.ID, e.Line)
	}
	d.use(a, "Exercise", e.Title, e.ID)
	view.Steps = d.steps(a, e.Line)
	view.Figure = d.figure(e.ID, a)
	return part{"exercise", view}
}

// exerciseView gathers what an exercise prints, without its derivation and drawing. Quiet leaves out the links of its
// texts, for pages that have no references. ok is false when it could not be computed.
func (d *document) exerciseView(e lesson.Exercise, quiet bool) (view Exercise, a catalog.Answer, ok bool) {
	if a, ok = d.site.Proof.Answer(d.page, e.ID); !ok {
		return view, a, false
	}
	r, ok := d.site.Proof.Question(d.page, e.ID, refsOf(e.Question))
	if !ok {
		return view, a, false
	}
	asked, _ := a.Spec.Output(e.Ask.Text)
	d.asking = e.ID
	question := d.inline(e.Question, e.Line, quiet)
	d.asking = ""
	result, _ := d.site.outputValue(a, e.Ask.Text)
	view = Exercise{
		ID: e.ID, Lesson: d.page, Title: d.title(e.ID, d.site.say("exercise"), e.Title), Question: question,
		Calculator: a.Spec.ID, Output: asked.ID, Label: asked.Label, Unit: asked.Kind.Unit(), Recipe: plate.WriteRecipe(a.Spec, r),
		Given: given(a, d.site.named(a.Spec, e.Preset, e.Given)), Result: result,
		Open: openHref(a.Spec.ID, plate.State(a)),
	}
	if slack, err := quantity.Parse(e.Tolerance, asked.Kind); err == nil {
		view.Tolerance = quantity.Shortest(slack)
		if slack > 0 {
			view.Slack = view.Tolerance + quantity.Centimetres.After(asked.Kind)
		}
	}
	printed, err := r.Printed(a.Calculator)
	if err != nil {
		return view, a, false
	}
	view.Answer, view.HintValues = plate.AnswerText(printed.Right), plate.HintTexts(printed.Outcomes)
	said := []string{}
	for i, gave := range plate.Gave(a.Spec, r.Question, printed.Outcomes) {
		h := e.Hints[i]
		view.Mistakes = append(view.Mistakes, Mistake{Name: h.Mistake, Gave: gave, Say: d.inline(h.Say, h.Line, quiet)})
		said = append(said, plainText(string(d.inline(h.Say, h.Line, true))))
	}
	text, err := json.Marshal(said)
	if err != nil {
		d.problem(e.Line, err.Error())
	}
	view.Hints = string(text)
	return view, a, true
}

// reference is a value in running text.
var reference = regexp.MustCompile(`\{=([^}]*)\}`)

// refsOf lists what a text holds as {=…}, in order.
func refsOf(text string) []string {
	var list []string
	for _, m := range reference.FindAllStringSubmatch(text, -1) {
		list = append(list, strings.TrimSpace(m[1]))
	}
	return list
}
