package asset

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/palette"

	"github.com/evanw/esbuild/pkg/api"
)

// lay writes files below a folder of their own and returns it.
func lay(t *testing.T, files map[string]string) string {
	t.Helper()
	root := t.TempDir()
	for name, text := range files {
		file := filepath.Join(root, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	return root
}

func TestOnlyWorkThatWentWellIsKept(t *testing.T) {
	kept := map[string]string{}
	o := Options{Recall: func(key string) ([]byte, bool) { data, ok := kept[key]; return []byte(data), ok }, Keep: func(key string, result []byte) { kept[key] = string(result) }}
	if _, err := o.remembered("a", func() ([]byte, error) { return []byte("half"), errors.New("cut short") }); err == nil || len(kept) != 0 {
		t.Errorf("work that failed is kept: %v (%v)", kept, err)
	}
	for range 2 {
		if got, err := o.remembered("b", func() ([]byte, error) { return []byte("whole" + kept["b"]), nil }); err != nil || string(got) != "whole" {
			t.Errorf("got %s (%v)", got, err)
		}
	}
}

func TestWhatComesLaterIsNotAskedForAtOnce(t *testing.T) {
	root := lay(t, map[string]string{
		"theme/scripts/site.js": "import { a } from './a.js';\nglobalThis.late = () => import('./late.js');\na();\n", "theme/scripts/a.js": "export const a = () => import('./late.js');\n",
		"theme/scripts/late.js": "export const late = 1;\n"})
	s, err := bundleOne(Options{Root: root}, tools{}, program{entries: []string{"scripts/site.js", "scripts/a.js"}})
	if err != nil {
		t.Fatal(err)
	}
	late := ""
	for name := range s.Files {
		if strings.HasPrefix(name, "assets/late.") {
			late = "/" + name
		}
	}
	if list := strings.Fields(s.URL("site.modules")); late == "" || len(list) < 2 || strings.Contains(s.URL("site.modules"), late) {
		t.Errorf("%q come at once, %q is imported later", list, late)
	}
}

func TestAFontThatNobodyKnowsIsNamed(t *testing.T) {
	root := lay(t, map[string]string{"theme/styles/site.css": "@font-face { font-family: x; src: url('./odd.woff2'); }\n", "theme/styles/odd.woff2": "font"})
	_, err := bundleOne(Options{Root: root}, tools{}, program{entries: []string{"styles/site.css"}})
	if err == nil || !strings.Contains(err.Error(), "odd.woff2 is not in the table of cmd/centrode/internal/asset/fonts.go") {
		t.Errorf("told: %v", err)
	}
}

func TestAComplaintOfTheBundlerOffersTheNearest(t *testing.T) {
	err := messages([]api.Message{{Text: "No such\nname.", Location: &api.Location{File: "scripts/b.js", Line: 3, Suggestion: "plate"}, Notes: []api.Note{{Text: "Defined here."}}}, {Text: "Apart."}})
	if want := "Apart.\ntheme/scripts/b.js:3: No such name.; nearest: plate (Defined here.)"; err.Error() != want {
		t.Errorf("told\n%v, want\n%s", err, want)
	}
}

func TestAListBesideALanguageIsNone(t *testing.T) {
	list, err := programs(Options{Root: lay(t, map[string]string{"theme/words/en.json": "{}", "theme/words/de.json": "{}", "theme/words/de.kept.json": "{}", "theme/package-lock.json": "{}"})})
	tags := map[string]bool{}
	for _, p := range list {
		tags[p.language] = true
	}
	if err != nil || len(tags) != 2 || !tags["de"] {
		t.Errorf("programs speak %v (%v), want the first language and German", tags, err)
	}
}

// What works in the build alone is handed to nobody, so its licence is not; what may be installed or not is, where it is.
func TestLicencesAreThoseOfWhatIsHandedOut(t *testing.T) {
	root := lay(t, map[string]string{
		"theme/package.json":           `{"dependencies": {"a": "1.0.0", "subset-font": "2.0.0"}, "optionalDependencies": {"b": "3.0.0", "c": "4.0.0"}}`,
		"theme/package-lock.json":      `{"packages": {"node_modules/a": {"version": "1.0.0"}, "node_modules/b": {"version": "3.0.0", "optional": true}, "node_modules/subset-font": {"version": "2.0.0"}}}`,
		"theme/node_modules/a/LICENSE": "Of a.", "theme/node_modules/subset-font/LICENSE": "Of the cutter.", "theme/node_modules/b/LICENCE.txt": "Of b.", "LICENSE": "Of Go.",
	})
	text, err := licences(Options{Root: root}, tools{goRoot: root})
	if err != nil {
		t.Fatal(err)
	}
	for part, want := range map[string]bool{"== a 1.0.0 ==\n\nOf a.\n": true, "== b 3.0.0 ==\n\nOf b.\n": true, "Of Go.": true, "subset-font": false, "== c": false} {
		if strings.Contains(string(text), part) != want {
			t.Errorf("the licences hold %q: %v, want %v\n%s", part, !want, want, text)
		}
	}
}

func TestEveryLetterHasItsSlantedForm(t *testing.T) {
	for plain, want := range map[rune]rune{'h': 'ℎ', 'H': '𝐻', 'a': '𝑎', 'z': '𝑧', 'A': '𝐴', 'Z': '𝑍', 'α': '𝛼', 'ω': '𝜔', 'Ω': '𝛺', '7': '7'} {
		if got := slanted(plain); got != want {
			t.Errorf("%c is shown as %c, want %c", plain, got, want)
		}
	}
}

func TestAStudiosColoursTakeTheThemesPlace(t *testing.T) {
	mine := palette.Pair{Light: palette.Colour{R: 1}, Dark: palette.Colour{G: 2}}
	all, err := Options{Root: lay(t, map[string]string{"theme/styles/tokens.css": "--ink: light-dark(#111111, #eeeeee); --paper: light-dark(#ffffff, #000000);"}), Colours: palette.Palette{"ink": mine}}.AllColours()
	if err != nil || all["ink"] != mine || all["paper"].Light != (palette.Colour{R: 255, G: 255, B: 255}) {
		t.Errorf("the colours are %v (%v)", all, err)
	}
}

func TestAllThatFailsIsToldAtOnce(t *testing.T) {
	root := lay(t, map[string]string{
		"go.mod": "module empty\n", "theme/package-lock.json": "{}", "theme/node_modules/.package-lock.json": "{}", "theme/scripts/site.js": "import './gone.js';\n"})
	_, err := Build(Options{Root: root, Cache: t.TempDir()})
	for _, part := range []string{"does not compile", "theme/styles/tokens.css", "theme/scripts/site.js"} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%v\nsays nothing of %s", err, part)
		}
	}
}

// Words that a language does not have yet are said in English; words that English does not have either are a slip of the pen.
func TestWordsOfAMisspeltNameAreTold(t *testing.T) {
	root := lay(t, map[string]string{
		"go.mod": "module empty\n", "theme/package-lock.json": "{}", "theme/node_modules/.package-lock.json": "{}",
		"theme/words/en.json": "{}", "theme/words/de.json": "{}", "theme/words/en.refusals.json": "{}",
		"theme/scripts/site.js": "import rest from '../words/en.refusals.json';\nimport none from '../words/en.refusal.json';\nconsole.log(rest, none);\n"})
	_, err := Build(Options{Root: root, Cache: t.TempDir()})
	if err == nil || !strings.Contains(err.Error(), "words/en.refusal.json: is no file") || strings.Contains(err.Error(), "refusals") {
		t.Errorf("%v\nsays nothing of the words en.refusal.json, or something of others", err)
	}
}
