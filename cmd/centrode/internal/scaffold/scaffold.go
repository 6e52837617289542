// Package scaffold writes the first version of a lesson or of a calculator: complete, so that it builds and passes at
// once, and short, so that its author replaces it part by part and sees at every step what the build thinks of it.
//
// Start at NewLesson and NewCalculator. Both return files and touch no disk. The numbers in a new lesson are computed by
// the calculator that it shows, so they are true from the first minute.
package scaffold

import (
	"bytes"
	"embed"
	"fmt"
	"go/format"
	"regexp"
	"strconv"
	"strings"
	"text/template"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/lesson"
)

// File is a file to create, or to replace when Replaces is set. The path is relative to the project.
type File struct {
	Path     string
	Content  []byte
	Replaces bool
}

//go:embed forms
var formFiles embed.FS

var forms = template.Must(template.New("").Delims("«", "»").Funcs(template.FuncMap{"quote": strconv.Quote}).ParseFS(formFiles, "forms/*"))

var slugPattern = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

// NameError is what is wrong with a name that was asked for.
type NameError string

// Error implements error.
func (e NameError) Error() string { return string(e) }

// checkSlug refuses a name that could not stand in an address.
func checkSlug(what, slug string) error {
	if len(slug) > 60 || !slugPattern.MatchString(slug) {
		return NameError(fmt.Sprintf("%q: the name of a %s must be lower-case words joined by hyphens, such as the-long-neck, and at most 60 letters", slug, what))
	}
	if complaint := lesson.Unfit(slug); complaint != "" {
		return NameError(fmt.Sprintf("%q: %s", slug, complaint))
	}
	return nil
}

// titled turns "the-long-neck" into "The long neck".
func titled(slug string) string {
	text := strings.ReplaceAll(slug, "-", " ")
	return strings.ToUpper(text[:1]) + text[1:]
}

// Lesson says what lesson to begin. Slug and Calculator are required.
type Lesson struct {
	Slug       string
	Title      string // "": made from the slug
	Part       int    // 1 to 3
	Order      int    // within the part
	Calculator catalog.Calculator
}

// NewLesson returns the file of a lesson with a worked example, a plate and an exercise of the calculator.
func NewLesson(l Lesson) (File, error) {
	if err := checkSlug("lesson", l.Slug); err != nil {
		return File{}, err
	}
	if l.Title == "" {
		l.Title = titled(l.Slug)
	}
	answer, err := catalog.Run(l.Calculator, catalog.NewValues())
	if err != nil {
		return File{}, fmt.Errorf("%s with its default values: %w", l.Calculator.Spec().ID, err)
	}
	shown, ok := telling(answer)
	if !ok {
		return File{}, fmt.Errorf("%s gives no number for its default values that a lesson could ask for; name another with -calculator", answer.Spec.ID)
	}
	value := answer.Result.Numbers[shown.ID]
	data := map[string]any{
		"Title": l.Title, "Part": l.Part, "Order": l.Order, "Calculator": answer.Spec.ID, "CalculatorTitle": answer.Spec.Title,
		"Output": shown.ID, "Label": shown.Label, "Value": text(value, shown), "Tolerance": tolerance(shown), "Given": given(answer),
	}
	return render("lesson.md", "content/lessons/"+l.Slug+".md", data)
}

// telling picks the output that an example can ask for: the first number far enough from 0 that half of it is another.
func telling(a catalog.Answer) (catalog.Output, bool) {
	for _, o := range a.Spec.Outputs {
		v, ok := a.Result.Numbers[o.ID]
		if ok && !o.Text && (v > 0.1 || v < -0.1) {
			return o, true
		}
	}
	return catalog.Output{}, false
}

func text(v float64, o catalog.Output) string {
	return strings.TrimSpace(quantity.Fixed(v, o.Digits) + " " + o.Kind.Suffix())
}

// tolerance is one unit of the last digit shown: a reader who rounds is right.
func tolerance(o catalog.Output) string {
	unit := "1"
	if o.Digits > 0 {
		unit = "0." + strings.Repeat("0", o.Digits-1) + "1"
	}
	return strings.TrimSpace(unit + " " + o.Kind.Suffix())
}

// given writes the first two quantities with their defaults, so that an author sees how values are given.
func given(a catalog.Answer) []catalog.Entry {
	var list []catalog.Entry
	for _, f := range a.Spec.Fields {
		if !f.Worded() && len(list) < 2 {
			list = append(list, catalog.Entry{ID: f.ID, Text: quantity.Entry(a.Values.Numbers[f.ID], f.Kind)})
		}
	}
	return list
}

func render(form, path string, data any) (File, error) {
	var b bytes.Buffer
	if err := forms.ExecuteTemplate(&b, form, data); err != nil {
		return File{}, err
	}
	if !strings.HasSuffix(path, ".go") {
		return File{Path: path, Content: b.Bytes()}, nil
	}
	source, err := format.Source(b.Bytes())
	if err != nil {
		return File{}, fmt.Errorf("%s: %w", path, err)
	}
	return File{Path: path, Content: source}, nil
}
