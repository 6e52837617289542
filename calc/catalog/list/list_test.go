package list

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
)

var (
	idPattern   = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	slotPattern = regexp.MustCompile(`\\slot\{([^}]*)\}`)
)

func TestAnUnknownCalculatorIsRefusedWithTheNearest(t *testing.T) {
	for id, want := range map[string]string{
		"hinge-ark":                `calculator "hinge-ark" is unknown; nearest: "hinge-arc"`,
		"elbow":                    `calculator "elbow" is unknown`,
		"":                         `calculator "" is unknown`,
		"a\nb":                     `calculator "a\nb" is unknown`,
		strings.Repeat("x", 1<<20): `calculator "` + strings.Repeat("x", 57) + `…" is unknown`,
	} {
		if _, err := Find(id); err == nil || err.Error() != want {
			t.Errorf("Find(%.20q)\n got %v\nwant %s", id, err, want)
		}
	}
	for _, id := range IDs() {
		if c, err := Find(id); err != nil || c.Spec().ID != id {
			t.Errorf("Find(%q) = %v, %v", id, c, err)
		}
	}
	if ids := IDs(); len(slices.Compact(slices.Sorted(slices.Values(ids)))) != len(ids) || len(ids) < 2 {
		t.Errorf("ids are not distinct, or fewer than 2: %v", ids)
	}
}

// Everything a form, a command, a figure and a reference page rely on.
func TestEveryDescriptionIsComplete(t *testing.T) {
	for _, c := range All() {
		spec := c.Spec()
		t.Run(spec.ID, func(t *testing.T) {
			if spec.Title == "" || !strings.HasSuffix(spec.Purpose, ".") || len(spec.Sources) == 0 || len(spec.Cautions) == 0 || len(spec.Steps) == 0 {
				t.Errorf("title %q, purpose %q, %d sources, %d cautions, %d steps", spec.Title, spec.Purpose, len(spec.Sources), len(spec.Cautions), len(spec.Steps))
			}
			inputs, shown := map[string]bool{}, map[string]bool{} // what may be set; what a slot may show
			claim := func(seen map[string]bool, id, label, help string, helpful bool) {
				if !idPattern.MatchString(id) || seen[id] {
					t.Errorf("id %q is malformed or used twice", id)
				}
				seen[id] = true
				if label == "" || helpful && !strings.HasSuffix(help, ".") {
					t.Errorf("%s: label %q, help %q", id, label, help)
				}
			}
			for _, f := range spec.Fields {
				claim(inputs, f.ID, f.Label, f.Help, true)
				shown[f.ID] = true
				checkField(t, spec, f)
			}
			for _, table := range spec.Tables {
				claim(inputs, table.ID, table.Label, table.Help, false)
			}
			for _, o := range spec.Outputs {
				claim(shown, o.ID, o.Label, o.Help, true)
				checkPair(t, spec.Outputs, o)
			}
			for _, o := range spec.Workings {
				claim(shown, o.ID, o.Label, o.Help, false)
			}
			for _, step := range spec.Steps {
				if step.Say == "" || step.TeX == "" {
					t.Errorf("step %q: %q", step.Say, step.TeX)
				}
				for _, slot := range slotPattern.FindAllStringSubmatch(step.TeX, -1) {
					if _, ok := spec.Shown(slot[1]); !ok {
						t.Errorf("step %q shows %q, which is nothing of this calculator", step.Say, slot[1])
					}
				}
			}
		})
	}
}

func checkField(t *testing.T, spec catalog.Spec, f catalog.Field) {
	t.Helper()
	if !slices.ContainsFunc(spec.Groups, func(g catalog.Group) bool { return g.ID == f.Group }) {
		t.Errorf("%s: group %q does not exist", f.ID, f.Group)
	}
	if f.Free {
		return
	}
	if f.Free {
		return
	}
	if len(f.Choices) > 0 {
		if !slices.ContainsFunc(f.Choices, func(c catalog.Choice) bool { return c.ID == f.DefaultChoice }) {
			t.Errorf("%s: default %q is no choice", f.ID, f.DefaultChoice)
		}
		return
	}
	if !(f.Min < f.Max && f.Default >= f.Min && f.Default <= f.Max && f.Step > 0) {
		t.Errorf("%s: default %v, range %v to %v, step %v", f.ID, f.Default, f.Min, f.Max, f.Step)
	}
	if f.SlideMax != f.SlideMin && !(f.SlideMin >= f.Min && f.SlideMax <= f.Max && f.Default >= f.SlideMin && f.Default <= f.SlideMax) {
		t.Errorf("%s: slider %v to %v, range %v to %v, default %v", f.ID, f.SlideMin, f.SlideMax, f.Min, f.Max, f.Default)
	}
}

func checkPair(t *testing.T, outputs []catalog.Output, o catalog.Output) {
	t.Helper()
	if (o.Side == "") != (o.Pair == "") {
		t.Errorf("%s: side %q without pair %q", o.ID, o.Side, o.Pair)
	}
	if o.Pair == "" {
		return
	}
	sides := map[string]int{}
	for _, other := range outputs {
		if other.Pair == o.Pair {
			sides[other.Side]++
		}
	}
	if sides["current"] != 1 || sides["candidate"] != 1 || len(sides) != 2 {
		t.Errorf("%s: pair %q has sides %v", o.ID, o.Pair, sides)
	}
}

func TestDefaultsAndPresetsAreAnswered(t *testing.T) {
	for _, c := range All() {
		spec := c.Spec()
		presets := append([]catalog.Preset{{ID: "defaults", Label: "Defaults", Note: "invented"}}, spec.Presets...)
		for _, p := range presets {
			t.Run(spec.ID+"/"+p.ID, func(t *testing.T) {
				v := catalog.NewValues()
				for _, e := range p.Values {
					if err := catalog.Set(spec, &v, e.ID, e.Text); err != nil {
						t.Fatal(err)
					}
				}
				a, err := catalog.Run(c, v)
				if err != nil {
					t.Fatal(err)
				}
				if p.Label == "" || p.Note == "" {
					t.Errorf("preset has label %q and note %q", p.Label, p.Note)
				}
				checkAnswer(t, a)
			})
		}
	}
}

// checkAnswer requires that every number is declared, that what is missing is explained, and that words and figure exist.
func checkAnswer(t *testing.T, a catalog.Answer) {
	t.Helper()
	for id := range a.Result.Numbers {
		if _, ok := a.Spec.Shown(id); !ok {
			t.Errorf("%s is answered but not described", id)
		}
	}
	for _, o := range a.Spec.Outputs {
		_, text := a.Result.Texts[o.ID]
		explained := slices.ContainsFunc(a.Result.Warnings, func(w catalog.Warning) bool { return stem(w.Field) == stem(o.ID) })
		if !a.Result.Has(o.ID) && !text && !explained {
			t.Errorf("%s is missing and no warning says why", o.ID)
		}
	}
	for _, w := range a.Result.Warnings {
		if w.Code == "" || w.Field == "" || !strings.HasSuffix(w.Text, ".") {
			t.Errorf("warning %+v", w)
		}
	}
	if say := a.Say(); !strings.HasSuffix(say, ".") || strings.Contains(say, "NaN") {
		t.Errorf("the sentence is %q", say)
	}
	f := a.Calculator.Figure(a.Values, a.Result)
	size := f.View.Max.Sub(f.View.Min)
	if f.Title == "" || f.Desc == "" || len(f.Marks) == 0 || !(size.X > 0 && size.Y > 0) || math.IsInf(size.X+size.Y, 0) {
		t.Errorf("figure %q, %q, %d marks, view %v", f.Title, f.Desc, len(f.Marks), f.View)
	}
	for _, h := range f.Handles {
		for _, axis := range h.Axes {
			if !editable(a, axis.Field) || h.Name == "" {
				t.Errorf("handle %q edits %q, which is neither a field nor a cell of a table", h.Name, axis.Field)
			}
		}
	}
}

// editable reports whether an axis names a field, or a numeric cell of a given row: "points:3:x", rows counted from 1.
func editable(a catalog.Answer, name string) bool {
	if _, ok := a.Spec.Field(name); ok {
		return true
	}
	parts := strings.Split(name, ":")
	if len(parts) != 3 {
		return false
	}
	row, err := strconv.Atoi(parts[1])
	return err == nil && row >= 1 && row <= len(a.Values.Tables[parts[0]].Numbers[parts[2]])
}

// stem is an id without its last word: curl_radius, curl_x and curl_y are missing together and explained once.
func stem(id string) string {
	if i := strings.LastIndexByte(id, '_'); i > 0 {
		return id[:i]
	}
	return id
}

func TestARunnerForgetsWhatTheLastQuestionGave(t *testing.T) {
	for id, given := range map[string][]string{"hinge-arc": {"parent_end", "current"}, "reseat": {"keys", "10,0,0,1,0,0"}, "pivot-offset": {"angle", "10"}} {
		c, err := Find(id)
		if err != nil {
			t.Fatal(err)
		}
		want, err := catalog.Run(c, catalog.NewValues())
		if err != nil {
			t.Fatal(err)
		}
		r := catalog.NewRunner(c, catalog.NewValues())
		if err := catalog.Set(c.Spec(), r.Question(), given[0], given[1]); err != nil {
			t.Fatal(err)
		}
		first, err := r.Answer()
		if err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		if string(first.AppendJSON(nil)) == string(want.AppendJSON(nil)) {
			t.Errorf("%s: %v changes nothing, so this shows nothing", id, given)
		}
		r.Question()
		got, err := r.Answer()
		if err != nil || string(got.AppendJSON(nil)) != string(want.AppendJSON(nil)) {
			t.Errorf("%s: after %v a question without it is answered %s (%v)\nwant %s", id, given, got.AppendJSON(nil), err, want.AppendJSON(nil))
		}
	}
}
