package browser

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
)

// perCalculator is how many random states with an answer every door is asked about.
const perCalculator = 200

// The calculators have three doors: this program's own code, the module that pages load, and the command. The same
// state must give the same text at each, to the last digit; see guess for the states.
func TestPageCommandAndLibraryGiveTheSameDigits(t *testing.T) {
	parallel(t)
	tb := open(t, "/", view{})
	tb.until(t, alive)
	starters, err := fs.Glob(os.DirFS(public), "assets/wasm_exec.*.js")
	must(t, err)
	if len(starters) != 1 {
		t.Fatalf("the site holds %q, want one file that starts modules", starters)
	}
	eval[bool](t, tb, `(`+startModule+`)('/`+starters[0]+`')`)
	for _, c := range list.All() {
		t.Run(c.Spec().ID, func(t *testing.T) {
			states, answered := guesses(t, c, perCalculator)
			inPage := askPage(t, tb, c, states)
			answers, refusals := askCommand(t, c, states)
			different := 0
			for i, state := range states {
				want, err := plate.Export(c, state, "json")
				if err != nil {
					if refusal := string(plate.Refusal(err)); inPage[i] != refusal || answers[i] != "" || refusals[i] != err.Error() {
						different++
						t.Errorf("%s\n\tis refused with %s\n\tin the page    %s\n\tcommand        %s%s", state, refusal, inPage[i], answers[i], refusals[i])
					}
				} else if inPage[i] != want || answers[i]+"\n" != want {
					different++
					t.Errorf("%s\n\tlibrary %s\tpage    %s\tcommand %s%s", state, want, inPage[i], answers[i], refusals[i])
				}
				if different > 3 {
					t.Fatal("and perhaps more")
				}
			}
			t.Logf("%d answers and %d refusals, the same at all doors", answered, len(states)-answered)
		})
	}
}

// startModule loads the page's own module of calculators once more, to be asked directly.
const startModule = `async (starter) => {
	await import(starter);
	const go = new Go();
	const module = await WebAssembly.instantiateStreaming(fetch(document.documentElement.dataset.calculators), go.importObject);
	window.doors = await new Promise((resolve) => {
		globalThis.centrodeReady = resolve;
		go.run(module.instance);
	});
	return true;
}`

// askPage returns what the module in the page exports for each state.
func askPage(t testing.TB, tb *tab, c catalog.Calculator, states []string) []string {
	t.Helper()
	id, err := json.Marshal(c.Spec().ID)
	must(t, err)
	var texts []string
	for len(states) > 0 { // in parts, so that no answer of the page takes long
		part := states[:min(25, len(states))]
		states = states[len(part):]
		given, err := json.Marshal(part)
		must(t, err)
		texts = append(texts, eval[[]string](t, tb, string(given)+`.map((state) => doors.export(`+string(id)+`, state, 'json'))`)...)
	}
	return texts
}

// askCommand returns the lines that the command prints for the states, asked in one batch; for a state that is refused
// the line is empty and the reason is in refusals.
func askCommand(t testing.TB, c catalog.Calculator, states []string) (answers, refusals []string) {
	t.Helper()
	batch := make([]map[string]any, len(states))
	for i, state := range states {
		batch[i] = members(t, c, state)
	}
	input, err := json.Marshal(batch)
	must(t, err)
	cmd := exec.Command(program, "calc", c.Spec().ID, "-in", "-", "-format", "json")
	cmd.Stdin = bytes.NewReader(input)
	out, err := cmd.Output() // a refused row is status 1
	if err != nil && cmd.ProcessState.ExitCode() != 1 {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
	if len(lines) != len(states) {
		t.Fatalf("the command answers %d of %d questions: %v", len(lines), len(states), err)
	}
	refusals = make([]string, len(states))
	for i, line := range lines {
		var refusal struct{ Error *string }
		must(t, json.Unmarshal([]byte(line), &refusal))
		if refusal.Error != nil {
			lines[i], refusals[i] = "", *refusal.Error
		}
	}
	return lines, refusals
}

// members writes a state as the JSON object that the command reads.
func members(t testing.TB, c catalog.Calculator, state string) map[string]any {
	t.Helper()
	values, err := plate.ParseState(c.Spec(), state)
	must(t, err)
	object := map[string]any{}
	for id, n := range values.Numbers {
		object[id] = n
	}
	for id, word := range values.Choices {
		object[id] = word
	}
	for id, rows := range values.Tables {
		list := make([]map[string]any, rows.Len)
		for i := range list {
			list[i] = map[string]any{}
			for column, numbers := range rows.Numbers {
				list[i][column] = numbers[i]
			}
			for column, texts := range rows.Texts {
				list[i][column] = texts[i]
			}
		}
		object[id] = list
	}
	return object
}

// entriesOf takes a state apart, as the text of each field.
func entriesOf(t testing.TB, c catalog.Calculator, state string) []catalog.Entry {
	t.Helper()
	values, err := plate.ParseState(c.Spec(), state)
	must(t, err)
	return catalog.State(c.Spec(), values)
}

// commandPrints returns what `centrode calc` prints for a state given as words.
func commandPrints(t testing.TB, c catalog.Calculator, state, format string) string {
	t.Helper()
	args := []string{"calc", c.Spec().ID, "-format", format}
	for _, e := range entriesOf(t, c, state) {
		args = append(args, e.ID+"="+e.Text)
	}
	out, err := exec.Command(program, args...).Output()
	must(t, err)
	return string(out)
}
