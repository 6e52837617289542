package site

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"centrode/cmd/centrode/internal/report"
)

const exampleOverlay = "testdata/overlay"

// overlaid renders the pages of a fixture under an overlay, without the assets.
func overlaid(t *testing.T, root, over string) (map[string][]byte, error) {
	t.Helper()
	w, err := openWorkshop(root, Options{Overlay: over})
	if err != nil {
		return nil, err
	}
	defer w.close()
	text, err := readContent(w)
	if err != nil {
		return nil, err
	}
	return text.pages(w.unnamed), text.log.Err()
}

func TestAnOverlayAddsAndReplaces(t *testing.T) {
	root := fixtureWithCache(t)
	pages, err := overlaid(t, root, exampleOverlay)
	if err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		"lessons/our-knuckle-rule/index.html": `href="/glossary/#house-rule"`, // theirs, with their term
		"lessons/the-only-one/index.html":     "<h1",                          // ours, untouched
		"glossary/index.html":                 "What this studio does where the handbook leaves a choice.",
	} {
		if !strings.Contains(string(pages[path]), want) {
			t.Errorf("%s lacks %s", path, want)
		}
	}
	ours, bars := `name="theme-color" media="(prefers-color-scheme: light)" content="#fbf8f1"`, `content="#fdfdfd"`
	if plain := string(pages["index.html"]); !strings.Contains(plain, ours) || strings.Contains(plain, bars) {
		t.Errorf("the browser's bars are not told the paper of the tokens: %.700s", plain)
	}
	over := filepath.Join(t.TempDir(), "studio")
	plant(t, over, map[string]string{"home.md": "---\ntitle: Our studio\nsummary: Ours.\n---\n\nWords.\n", "colours.yaml": "paper: [\"#fdfdfd\", \"#101214\"]\n"})
	pages, err = overlaid(t, root, over)
	if err != nil || !strings.Contains(string(pages["index.html"]), "Our studio") {
		t.Errorf("a file of the same name does not replace ours: %v", err)
	}
	if studio := string(pages["index.html"]); !strings.Contains(studio, bars) || !strings.Contains(studio, `content="#101214"`) {
		t.Errorf("the browser's bars do not take the studio's paper: %.700s", studio)
	}
}

func TestWhatIsWrongInAnOverlayIsNamedByItsFile(t *testing.T) {
	root := fixtureWithCache(t)
	lesson, err := os.ReadFile(exampleOverlay + "/lessons/our-knuckle-rule.md")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		files map[string]string
		want  string
	}{
		"a number":   {map[string]string{"lessons/ours.md": strings.NewReplacer("[[house-rule]]", "rule", "2.898", "2.777").Replace(string(lesson))}, "/lessons/ours.md:23: first-example: shift_length: expected 2.777 cm"},
		"a term":     {map[string]string{"glossary.yaml": "- id: Bad Id\n  term: x\n  definition: y\n"}, `/glossary.yaml:1: term: id: "Bad Id": must be lower-case words joined by hyphens`},
		"a name":     {map[string]string{"lesons/a.md": ""}, `/lesons: is not read; an overlay may hold lessons,`},
		"a contrast": {map[string]string{"colours.yaml": "\nlink: [\"#cccccc\", \"#9fd0ff\"]\n"}, "/colours.yaml:2: link #cccccc on paper #fbf8f1 has a contrast of 1.5"},
		"a colour":   {map[string]string{"colours.yaml": "candidat: [\"#cccccc\", \"#9fd0ff\"]\n"}, `/colours.yaml:1: colour "candidat" is unknown; nearest: "candidate"`},
		"no file":    {map[string]string{"colours.yaml/a.txt": ""}, "/colours.yaml: is no plain file"},
		"no colour":  {map[string]string{"colours.yaml": "link: [\"blue\", \"#9fd0ff\"]\n"}, "/colours.yaml:1: link: must be two colours"},
	} {
		t.Run(name, func(t *testing.T) {
			over := filepath.Join(t.TempDir(), "studio")
			plant(t, over, c.files)
			_, err := overlaid(t, root, over)
			var list report.Problems
			if !errors.As(err, &list) || !strings.Contains(err.Error(), filepath.ToSlash(over)+c.want) {
				t.Errorf("told %v, want %s…%s", err, over, c.want)
			}
		})
	}
	if _, err := overlaid(t, root, filepath.Join(t.TempDir(), "gone")); err == nil || !strings.Contains(err.Error(), "must be a folder") {
		t.Errorf("a folder that is not there: %v", err)
	}
}

func TestAProblemOfOursNamesTheStudiosFileByItsName(t *testing.T) {
	root, over := fixtureWithCache(t), filepath.Join(t.TempDir(), "studio")
	ours, err := os.ReadFile(filepath.Join(root, "content/lessons/the-only-one.md"))
	if err != nil {
		t.Fatal(err)
	}
	moss := "name: Moss\nrole: r\nstory: s\npresets:\n  - {id: hock, label: l, calculator: pivot-offset, values: {angle: 60 deg}}\n"
	plant(t, root, map[string]string{"content/cast/moss.yaml": moss})
	plant(t, over, map[string]string{"lessons/a-studio.md": string(ours), "cast/a-dog.yaml": moss})
	_, err = overlaid(t, root, over)
	for _, want := range []string{"part 1 already has a lesson of order 1: %/lessons/a-studio.md",
		`content/cast/moss.yaml:5: preset "hock": pivot-offset has a preset of that id in %/cast/a-dog.yaml:5`} {
		if want = strings.Replace(want, "%", filepath.ToSlash(over), 1); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("told %v, want %s", err, want)
		}
	}
}

func TestAnOverlayReadsNothingOutsideOfItself(t *testing.T) {
	root := fixtureWithCache(t)
	over := filepath.Join(t.TempDir(), "studio")
	plant(t, over, map[string]string{"lessons/.keep": ""})
	secret := filepath.Join(t.TempDir(), "secret.md")
	plant(t, filepath.Dir(secret), map[string]string{"secret.md": "---\ntitle: Secret\nsummary: s\n---\nkept from readers\n"})
	for name, target := range map[string]string{"leak.md": secret, "climb.md": "../../" + filepath.Base(filepath.Dir(secret)) + "/secret.md"} {
		if err := os.Symlink(target, filepath.Join(over, "lessons", name)); err != nil {
			t.Fatal(err)
		}
	}
	pages, err := overlaid(t, root, over)
	if err == nil || !strings.Contains(err.Error(), "leak.md") || !strings.Contains(err.Error(), "climb.md") {
		t.Errorf("links out of the overlay: %v; want both named", err)
	}
	for path, page := range pages {
		if strings.Contains(string(page), "kept from readers") {
			t.Errorf("%s shows a file from outside", path)
		}
	}
}

func TestTheStudiosColoursReachTheStyles(t *testing.T) {
	root := fixtureWithCache(t)
	made, err := makeWhole(Options{Root: root, Overlay: exampleOverlay, Draft: true}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range made.Files {
		if strings.HasPrefix(name, "assets/site.") && strings.HasSuffix(name, ".css") {
			if !strings.Contains(string(data), "--link: light-dark(#12496b, #9fd0ff)") && !strings.Contains(string(data), "--link:light-dark(#12496b,#9fd0ff)") {
				t.Errorf("%s has not the studio's colour", name)
			}
			return
		}
	}
	t.Error("no style sheet")
}

// What Windows leaves in a folder that somebody looked at, its author does not see.
func TestWhatASystemLeavesInAnOverlayIsPassedOver(t *testing.T) {
	var log report.Log
	tree := fstest.MapFS{"Desktop.ini": {}, "Thumbs.db": {}, ".DS_Store": {}, "thumbs.md": {}}
	(&overlay{"studio", tree}).check(&log)
	if err := log.Err(); err == nil || !strings.HasPrefix(err.Error(), "studio/thumbs.md: is not read") || strings.Contains(err.Error(), "\n") {
		t.Errorf("told %v, want one line about thumbs.md", err)
	}
}

// A file of changes means the same with the line ends and the byte order mark of another system's editor.
func TestChangesAreReadWithAnyLineEnds(t *testing.T) {
	read := func(text string) (any, error) {
		root := t.TempDir()
		plant(t, root, map[string]string{"CHANGELOG.md": text})
		c := content{log: &report.Log{}}
		err := c.readChanges(&workshop{root: root})
		return c.changes, errors.Join(err, c.log.Err())
	}
	const text = "## 2 · 2026-11-27\n\n- One\n  line.\n\n## 1 · 2026-11-26\n\nA.\n"
	want, err := read(text)
	got, err2 := read("\ufeff" + strings.ReplaceAll(text, "\n", "\r\n"))
	if err = errors.Join(err, err2); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("read %q, want %q: %v", got, want, err)
	}
	if none, err := read("\n"); err != nil || !reflect.DeepEqual(none, content{}.changes) {
		t.Errorf("an empty file: %v, %v", none, err)
	}
	if _, err := read("## 1 · 2026-11-26\n\n\xff\n"); err == nil || err.Error() != "CHANGELOG.md:3: is not UTF-8 text; save the file as UTF-8" {
		t.Errorf("bytes that are no text: %v", err)
	}
}

// Whoever writes on Windows, or fetches the folder there with version control, has other line ends and byte order marks: the pages are the same.
func TestAnOverlayWithTheLineEndsOfWindowsMakesTheSamePages(t *testing.T) {
	root, over := fixtureWithCache(t), filepath.Join(t.TempDir(), "studio")
	files := map[string]string{}
	err := fs.WalkDir(os.DirFS(exampleOverlay), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(filepath.Join(exampleOverlay, filepath.FromSlash(name)))
		files[name] = "\ufeff" + strings.ReplaceAll(string(text), "\n", "\r\n")
		return err
	})
	plant(t, over, files)
	want, err2 := overlaid(t, root, exampleOverlay)
	got, err3 := overlaid(t, root, over)
	if err = errors.Join(err, err2, err3); err != nil {
		t.Fatal(err)
	}
	for name, page := range want {
		if string(got[name]) != string(page) {
			t.Errorf("%s is another page", name)
		}
	}
}
