// Package scripts runs the page's readers of what comes from outside, a saved record and a link, in an engine of their own
// and gives them anything.
package scripts

import (
	"encoding/json"
	"math"
	"path/filepath"
	"strconv"
	"testing"

	"centrode/calc/quantity"
	"centrode/tests/hard/bound"
	"github.com/dop251/goja"
	"github.com/evanw/esbuild/pkg/api"
)

// reader is a page's module, bundled, with one function of it that takes and returns a text.
func reader(t testing.TB, module, body string) func(text string) string {
	t.Helper()
	theme, err := filepath.Abs(filepath.Join("..", "..", "..", "theme"))
	if err != nil {
		t.Fatal(err)
	}
	made := api.Build(api.BuildOptions{AbsWorkingDir: theme, Bundle: true, Format: api.FormatIIFE, GlobalName: "page", Target: api.ES2018, TsconfigRaw: "{}",
		Stdin: &api.StdinOptions{Contents: "export * from './scripts/" + module + "';", ResolveDir: theme}, LogLevel: api.LogLevelSilent})
	if len(made.Errors) > 0 {
		t.Fatalf("%s: %v", module, made.Errors)
	}
	engine := goja.New()
	if _, err := engine.RunString(string(made.OutputFiles[0].Contents) + ";globalThis.ask=" + body); err != nil {
		t.Fatal(err)
	}
	ask, _ := goja.AssertFunction(engine.Get("ask"))
	return func(text string) string {
		out, err := ask(goja.Undefined(), engine.ToValue(text))
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		return out.String()
	}
}

// readsProgress reads a record, writes it, reads that again, and looks whether anything leaked into all objects.
const readsProgress = `(text) => {
	const once = page.readProgress(text);
	if (Object.keys(Object.prototype).length > 0 || ({}).read !== undefined) return 'leaked';
	if (once === null) return 'refused';
	const written = page.writeProgress(once);
	const again = page.readProgress(written);
	return again !== null && page.writeProgress(again) === written ? 'read' : 'lost: ' + written;
}`

const record = `{"format":"centrode-progress-1","lessons":{"the-finger":{"read":true}},"exercises":{"the-finger/a":{"tries":3,"own":true,"fresh":1,"shown":false}}}`

func TestARecordIsReadWholeOrRefused(t *testing.T) {
	ask := reader(t, "record.js", readsProgress)
	for text, want := range map[string]string{
		record: "read", `{"format":"centrode-progress-1","lessons":{},"exercises":{}}`: "read",
		`{"format":"centrode-progress-1","lessons":{"__proto__":{"read":true}},"exercises":{}}`:      "refused",
		`{"format":"centrode-progress-1","lessons":{},"exercises":{},"__proto__":{"read":1}}`:        "refused",
		`{"format":"centrode-progress-1","lessons":{"<b>":{"read":true}},"exercises":{}}`:            "refused",
		`{"format":"centrode-progress-1","lessons":{"a":{"read":"yes"}},"exercises":{}}`:             "refused",
		`{"format":"centrode-progress-1","lessons":{},"exercises":{"a/b":{"tries":1e9,"own":true}}}`: "refused",
		`[]`: "refused", `null`: "refused", ``: "refused", `{"format":"centrode-progress-2"}`: "refused",
	} {
		if got := ask(text); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}

// FuzzProgress reads any text as a saved record.
func FuzzProgress(f *testing.F) {
	for _, s := range []string{record, "", "[]", `{"format":"centrode-progress-1","lessons":{"__proto__":{}},"exercises":{"a/b/c":{}}}`, `{"format":"centrode-progress-1","lessons":{"constructor":{"read":true}},"exercises":{"to-string/value-of":{"tries":0,"own":false,"fresh":0,"shown":false}}}`} {
		f.Add(s)
	}
	ask := reader(f, "record.js", readsProgress)
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		if got := ask(text); got != "read" && got != "refused" {
			t.Errorf("%q: %s", text, got)
		}
	})
}

const readsLink = `(hash) => {
	const plain = (it) => it === null || it === 'refused' || (typeof it.state === 'string' && (it.base === null || typeof it.base === 'string'));
	return ['finger', 'constructor', ''].every((id) => plain(page.readLink(hash, id, true)) && plain(page.readLink(hash, id, false))) ? JSON.stringify(page.readLink(hash, 'finger', true)) : 'strange';
}`

func TestALinkHoldsAStateOrIsRefused(t *testing.T) {
	ask := reader(t, "link.js", readsLink)
	for hash, want := range map[string]string{
		"#finger?a=1": `{"state":"a=1","base":null}`, "#finger?a=1?a=2": `{"state":"a=1","base":"a=2"}`, "#s=a=1": `{"state":"a=1","base":null}`,
		"#finger?a?b?c": `"refused"`, "#other?a=1": "null", "": "null", "#finger": "null",
	} {
		if got := ask(hash); got != want {
			t.Errorf("%s: %s, want %s", hash, got, want)
		}
	}
}

// FuzzLink reads any fragment of an address.
func FuzzLink(f *testing.F) {
	for _, s := range []string{"#finger?a=1", "#finger?a=1?b=2", "#s=", "#?", "#constructor?x", "#finger?%", "#finger?<script>"} {
		f.Add(s)
	}
	ask := reader(f, "link.js", readsLink)
	f.Fuzz(func(t *testing.T, hash string) {
		defer bound.Watch(t, len(hash))()
		if got := ask(hash); got == "strange" || !json.Valid([]byte(got)) {
			t.Errorf("%q: %s", hash, got)
		}
	})
}

// The fitting room reads numbers in a script, and as the forms of the calculators do.
func TestTheFittingRoomReadsNumbersAsTheCalculatorsDo(t *testing.T) {
	for kind, read := range map[quantity.Kind]func(string) string{
		quantity.Length: reader(t, "units.js", `(text) => String(page.readLength(text, 'cm'))`),
		quantity.Angle:  reader(t, "units.js", `(text) => String(page.readNumber(text, '°'))`),
	} {
		for _, number := range []string{"1", "-2.5", "−0,5", "1,234", "0,234", "1e1", ".5", "abc", "1,5,2"} {
			for _, unit := range []string{"", "mm", "cm", "m", "in", "ft", "millimetres", "centimeter", "metres", "inch", "inches", "\"", "″", "foot", "feet",
				"deg", "°", "degree", "degrees", "rad", "radians", "turn", "turns", "kg", "cm2"} {
				for _, space := range []string{"", " "} {
					text := number + space + unit
					want, err := quantity.Parse(text, kind)
					got, unread := strconv.ParseFloat(read(text), 64)
					if unread != nil {
						t.Fatalf("%q: %v", text, unread)
					}
					if (err == nil) == math.IsNaN(got) || err == nil && math.Abs(got-want) > 1e-12*math.Abs(want) {
						t.Errorf("%q as %s: the script reads %v, the calculators %v (%v)", text, kind.Name(), got, want, err)
					}
				}
			}
		}
	}
}
