package asset

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A project may lie in a folder whose name holds the signs of a pattern: what is looked for in the theme is found there all the same.
func TestAProjectInAFolderWithBracketsIsFoundWhole(t *testing.T) {
	root := filepath.Join(t.TempDir(), "studio [draft]*")
	files := map[string]string{
		"theme/package.json":           `{"dependencies": {"a": "1.0.0"}}`,
		"theme/package-lock.json":      `{"packages": {"node_modules/a": {"version": "1.0.0"}}}`,
		"theme/words/en.json":          "{}",
		"theme/words/de.json":          "{}",
		"theme/node_modules/a/LICENSE": "The licence of a.",
	}
	for name := range faces {
		files["theme/node_modules/@fontsource/b/files/"+name] = "a font"
	}
	for name, text := range files {
		file := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	o := Options{Root: root}
	list, err := programs(o)
	german := 0
	for _, p := range list {
		if p.language == "de" {
			german++
		}
	}
	if err != nil || german != len(spoken) {
		t.Errorf("%d programs speak German, want %d (%v)", german, len(spoken), err)
	}
	names, orders, _, err := o.fontOrders(Letters{})
	if err != nil || len(names) != len(faces) {
		t.Fatalf("%d fonts are found of %d (%v)", len(names), len(faces), err)
	}
	if want := "node_modules/@fontsource/b/files/" + names[0]; orders[0].File != want {
		t.Errorf("the first font is asked for as %q, want %q", orders[0].File, want)
	}
	text, err := licences(o, tools{goRoot: root})
	if err != nil || !strings.Contains(string(text), "== a 1.0.0 ==\n\nThe licence of a.\n") {
		t.Errorf("the licences lack that of a package (%v):\n%s", err, text)
	}
}
