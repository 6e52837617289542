package words

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/report"
)

func load(t *testing.T, files map[string]string) ([]Language, string) {
	t.Helper()
	tree := fstest.MapFS{}
	for name, text := range files {
		tree[name] = &fstest.MapFile{Data: []byte(text)}
	}
	log := &report.Log{}
	languages := Load(tree, log)
	if err := log.Err(); err != nil {
		return languages, err.Error()
	}
	return languages, ""
}

func TestALanguageThatDiffersFromEnglishIsReported(t *testing.T) {
	const en = `{"copy": "Copy", "rows": {"one": "{count} row", "other": "{count} rows"}}`
	for _, c := range []struct{ name, en, de, want string }{
		{"whole", en, `{"copy": "Kopieren", "rows": {"one": "{count} Zeile", "other": "{count} Zeilen"}}`, ""},
		{"a word is missing", en, `{"rows": {"one": "{count} Zeile", "other": "{count} Zeilen"}}`, `theme/words/de.json: lacks "copy", which in English says "Copy"`},
		{"a word too many", `{"copy": "Copy"}`, "{\n\"copy\": \"Kopieren\",\n\"cpy\": \"x\"}", `theme/words/de.json:3: "cpy" is not in en.json; nearest: "copy"`},
		{"another gap", `{"row": "Row {row}"}`, `{"row": "Zeile {zeile}"}`, `theme/words/de.json:1: "row" has the gaps [zeile], in English [row]`},
		{"one form where English has two", en, `{"copy": "K", "rows": "{count} Zeilen"}`, `theme/words/de.json:1: "rows" must have one and other in both languages, or in neither`},
		{"a gap of one only", en, `{"copy": "K", "rows": {"one": "{zahl} Zeile", "other": "{count} Zeilen"}}`, `theme/words/de.json:1: "rows": one has the gap zahl, which other has not`},
		{"one without the number", en, `{"copy": "K", "rows": {"one": "eine Zeile", "other": "{count} Zeilen"}}`, ""},
		{"twice", `{"copy": "Copy", "copy": "Copy"}`, `{"copy": "Kopieren"}`, `theme/words/en.json:1: key "copy" is given twice; the first is on line 1`},
		{"nothing said", `{"copy": ""}`, `{"copy": "Kopieren"}`, `theme/words/en.json:1: "copy" says nothing`},
	} {
		if _, got := load(t, map[string]string{"en.json": c.en, "de.json": c.de}); got != c.want {
			t.Errorf("%s: reported\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
	if _, got := load(t, map[string]string{"de.json": "{}"}); !strings.Contains(got, "has no en.json") {
		t.Errorf("without English: %q", got)
	}
}

func TestAWordIsSaidWithItsGapsFilledOrNotAtAll(t *testing.T) {
	languages, _ := load(t, map[string]string{"en.json": `{"copy": "Copy", "rows": {"one": "{count} row of {table}", "other": "{count} rows of {table}"}}`})
	en := languages[0]
	for _, c := range []struct {
		key   string
		pairs []any
		want  string // "" for a refusal
	}{
		{"copy", nil, "Copy"},
		{"rows", []any{"count", 1, "table", "keys"}, "1 row of keys"},
		{"rows", []any{"table", "{count}", "count", 2}, "2 rows of {count}"},
		{"rows", []any{"count", 2}, ""},
		{"copy", []any{"count", 2}, ""},
		{"cpy", nil, ""},
	} {
		got, err := en.Say(c.key, c.pairs...)
		if got != c.want || (err == nil) != (c.want != "") {
			t.Errorf("Say(%q, %v) = %q, %v; want %q", c.key, c.pairs, got, err, c.want)
		}
	}
}

// sign is a name that every language writes alike: x, +y, xyz, m12.
var sign = regexp.MustCompile(`^$|^[+-]?[u-z]{1,3}$|^q[w-z]$|^m[0-9]+$`)

// lacking are the texts of a description that the language has no words for, each once.
func lacking(l Language, spec catalog.Spec) (list []string) {
	for _, text := range texts(&spec) {
		if _, ok := l.specs[*text]; !ok && !sign.MatchString(*text) {
			list = append(list, *text)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// TestEveryCalculatorSpeaksEveryLanguage holds the texts of all Specs to the files, and the files to the Specs.
func TestEveryCalculatorSpeaksEveryLanguage(t *testing.T) {
	log := &report.Log{}
	languages := Load(os.DirFS("../../../../theme/words"), log)
	if err := log.Err(); err != nil {
		t.Fatal(err)
	}
	if len(languages) < 2 {
		t.Fatalf("%d languages; want English and another", len(languages))
	}
	for _, l := range languages[1:] {
		said := map[string]bool{}
		for _, c := range list.All() {
			for _, text := range lacking(l, c.Spec()) {
				t.Errorf("theme/words/%s%s lacks %q of %s", l.Tag, specEnding, text, c.Spec().ID)
			}
			for _, text := range lacking(Language{}, c.Spec()) {
				said[text] = true
			}
		}
		if len(said) < 400 {
			t.Errorf("the Specs hold %d texts; does the test still see them?", len(said))
		}
		for text := range l.specs {
			if !said[text] {
				t.Errorf("theme/words/%s%s translates %q, which no Spec says", l.Tag, specEnding, text)
			}
		}
	}
}

func TestATranslatedSpecLeavesTheCalculatorsOwnAlone(t *testing.T) {
	l := Language{Tag: "de", specs: map[string]string{"Offset": "Versatz", "Move": "Bewegen"}}
	spec := catalog.Spec{ID: "x", Title: "Move", Fields: []catalog.Field{{ID: "offset", Label: "Offset"}}}
	got := l.Spec(spec)
	if got.Title != "Bewegen" || got.Fields[0].Label != "Versatz" || got.Fields[0].ID != "offset" {
		t.Errorf("translated: %+v", got)
	}
	if spec.Fields[0].Label != "Offset" {
		t.Error("the calculator's own description was changed")
	}
}
