package words

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/calc/quantity"

	"github.com/dop251/goja"
	"github.com/evanw/esbuild/pkg/api"
)

// inLanguage runs a script of the theme with the words of a language; call is what the page makes of a text.
func inLanguage(t *testing.T, language, script, call string) func(text string) goja.Value {
	t.Helper()
	theme, err := filepath.Abs("../../../../theme")
	if err != nil {
		t.Fatal(err)
	}
	spoken := api.Plugin{Name: "words", Setup: func(b api.PluginBuild) {
		b.OnLoad(api.OnLoadOptions{Filter: `words.en(\.\w+)?\.json$`}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
			said, err := os.ReadFile(filepath.Join(theme, "words", language+strings.TrimPrefix(filepath.Base(a.Path), Base)))
			contents := string(said)
			return api.OnLoadResult{Contents: &contents, Loader: api.LoaderJSON}, err
		})
	}}
	made := api.Build(api.BuildOptions{AbsWorkingDir: theme, EntryPoints: []string{script}, Bundle: true, Format: api.FormatIIFE,
		GlobalName: "page", Target: api.ES2018, TsconfigRaw: "{}", LogLevel: api.LogLevelSilent, Plugins: []api.Plugin{spoken}})
	if len(made.Errors) > 0 {
		t.Fatal(made.Errors)
	}
	vm := goja.New()
	value, err := vm.RunString(string(made.OutputFiles[0].Contents) + "; " + call)
	if err != nil {
		t.Fatal(err)
	}
	ask, _ := goja.AssertFunction(value)
	return func(text string) goja.Value {
		out, err := ask(goja.Undefined(), vm.ToValue(text))
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		return out
	}
}

// teller is theme/scripts/refusal.js with the words of a language: what it makes of a refusal of the engine, as JSON.
func teller(t *testing.T, language string) func(refusal string) (text, lang string) {
	ask := inLanguage(t, language, "scripts/refusal.js", `(json) => { const { text, lang } = page.told(JSON.parse(json).error); return text + "\n" + lang }`)
	return func(refusal string) (string, string) {
		text, lang, _ := strings.Cut(ask(refusal).String(), "\n")
		return text, lang
	}
}

// hearer is a script of the theme that hears the engine in German.
func hearer(t *testing.T, script, name string) func(sentence string) string {
	ask := inLanguage(t, "de", script, "page."+name)
	return func(sentence string) string { return ask(sentence).String() }
}

// slips are what a reader types into the fields and cells of a calculator by mistake, as states.
func slips(spec catalog.Spec) (states []string) {
	texts := []string{"abc", "5 kg", "5 cmm", "1,234", "1,5,2", "3 cm", "3 deg", "3 cm2", "3 %", "-1e9", "1e9", "0.5"}
	for _, f := range spec.Fields {
		for _, text := range texts {
			if !f.Worded() {
				states = append(states, f.ID+"="+plate.Encode(text))
			}
		}
	}
	for _, table := range spec.Tables {
		var good []string
		for _, c := range table.Columns {
			good = append(good, quantity.Shortest(c.Default))
		}
		states = append(states, table.ID+"="+strings.Repeat(strings.Join(good, ",")+";", table.MaxRows)+strings.Join(good, ","))
		for i, c := range table.Columns {
			for _, text := range append(texts, "") {
				if cells := slices.Clone(good); !c.Text {
					cells[i] = catalog.Replaced(text, "%", "%25", ",", "%2C")
					states = append(states, table.ID+"="+plate.Encode(strings.Join(cells, ",")))
				}
			}
		}
	}
	return states
}

// unsolved are states of values that are each allowed, and that have no answer together.
var unsolved = map[string][]string{
	"hinge-plane": {"points=0,0,0;1,0,0;2,0,0", "points=0,0,0;0,0,0;2,0,0", "hinge_axis=-x"},
	"key-fit":     {"keys=0,0,0,0,0,0,0;10,0,0,1,0,0,0"},
	"pose-fit": {"landmarks=0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,1,0;2,0,0,0,1e-200;2,1,0,0,1e-200;2,0,0,1,1e-200", "landmarks=0,1e999,0,0",
		"landmarks=0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0", "landmarks=0,0,0,0;0,1,0,0;0,2,0,0;1,0,0,0;1,0,1,0;1,0,2,0", "landmarks=0,1,1,1;0,1,1,1;0,1,1,1;1,0,0,0;1,0,1,0;1,0,2,0",
		"landmarks=0,0,0,0;0,1,0,0;0,2,1,0;1,0,0,0,0;1,0,1,0,0;1,0,2,0,0", onParent, onParent + moved(1) + ";4,0,0,0;4,10,0,0;4,0,10,0;4,0,0,10", onParent + ";1,0,0,0;1,10,0,0;1,0,10,0;1,0,0,10",
		"parent=0,0,0,0;0,9,0,0;1,0,0,0;1,9,0,0;2,0,0,0;2,9,0,0;3,0,0,0;3,9,0,0", "parent=0,0,0,0;0,9,0,0;0,8,0,0;1,0,0,0;1,9,0,0;1,8,0,0;2,0,0,0;2,9,0,0;2,8,0,0;3,0,0,0;3,9,0,0;3,8,0,0"},
	"placement-map": {"min_u=0&max_u=1e-9", "kind=hinge&landmarks=0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,1,0"},
	"reseat":        {"joints=root,,0,0,0,0,0,0,0", "move=elbwo", "move=zzzzzzzz"},
}

// pastes are blocks that a table does not take.
func pastes(t catalog.Table) []string {
	var ids, good []string
	for i, c := range t.Columns {
		ids, good = append(ids, c.ID), append(good, "1,5") // with a decimal comma between commas
		if i == 0 && !c.Text {
			good[0] = "1,234"
		}
	}
	wide := strings.Repeat("1\t", len(ids)+1) + "1"
	return []string{wide, strings.Join(good, "\t"), ids[0] + "\n1", ids[0] + "\t" + strings.Join(ids, "\t") + "\n1", strings.Join(ids, ",") + "\n" + strings.Join(good, ",") + ",5"}
}

// refused are the refusals of what a reader may do to a calculator.
func refused(c catalog.Calculator) (list []error) {
	for _, state := range append(slips(c.Spec()), unsolved[c.Spec().ID]...) {
		if _, err := plate.Run(c, state); err != nil {
			list = append(list, err)
		}
	}
	for _, t := range c.Spec().Tables {
		for _, text := range pastes(t) {
			if _, err := plate.ReadPasted(t, text); err != nil {
				list = append(list, err)
			}
		}
	}
	return list
}

// TestWhatIsRefusedAtAFieldIsSaidInTheLanguageOfThePage holds theme/words/de.refusals.json to the engine: a reworded reason would be
// English again between German words. In English the page says what the engine says.
func TestWhatIsRefusedAtAFieldIsSaidInTheLanguageOfThePage(t *testing.T) {
	english, german := teller(t, "en"), teller(t, "de")
	count := 0
	for _, c := range list.All() {
		for _, state := range unsolved[c.Spec().ID] {
			if _, err := plate.Run(c, state); err == nil {
				t.Errorf("%s answers %s", c.Spec().ID, state)
			}
		}
		for _, err := range refused(c) {
			count++
			refusal := plate.Refusal(err)
			var engine struct{ Error struct{ Text string } }
			if err := json.Unmarshal(refusal, &engine); err != nil {
				t.Fatal(err)
			}
			if text, _ := english(string(refusal)); text != engine.Error.Text {
				t.Errorf("%s: in English the page says %q, the engine %q", c.Spec().ID, text, engine.Error.Text)
			}
			text, lang := german(string(refusal))
			if strings.Contains(text, `"`) {
				t.Errorf("%s: in German the page says %s, with quotes that are not German", c.Spec().ID, text)
			}
			for _, word := range []string{" must ", " is ", " has ", " and ", " or ", " with ", " cells", " rows"} {
				if lang != "" || strings.Contains(text, word) {
					t.Errorf("%s: in German the page says %q", c.Spec().ID, text)
					break
				}
			}
		}
	}
	if count < 300 {
		t.Errorf("only %d refusals looked at", count)
	}
}

// TestAnAnswerThatCannotBeReadIsRefusedInTheLanguageOfThePage holds an exercise to the same words.
func TestAnAnswerThatCannotBeReadIsRefusedInTheLanguageOfThePage(t *testing.T) {
	says := inLanguage(t, "de", "scripts/exercise.js", `(error) => page.verdictOf("unread", { error }, [])`)
	for _, kind := range []quantity.Kind{quantity.Length, quantity.Angle, quantity.Area, quantity.Ratio, quantity.Count} {
		for _, text := range []string{"abc", "5 kg", "5 cmm", "1,234", "1,5,2", "3 cm", "3 deg", "3 cm2", "3 %", "2.5"} {
			graded := plate.Grade(kind, text, 7, 0, nil)
			if graded.Verdict != plate.Unread {
				continue
			}
			said := says(graded.Error).String()
			for _, word := range []string{graded.Error, "must ", " is ", " has ", " and ", " or ", `"`} {
				if strings.Contains(said, word) {
					t.Errorf("of %q as %v the page says %q", text, kind, said)
					break
				}
			}
		}
	}
}
