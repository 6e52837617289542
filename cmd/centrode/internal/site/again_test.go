package site

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/keep"
)

// bookOf plants a book of five lessons that use most of what a page can show of the rest of the book.
func bookOf(t *testing.T, root string) {
	t.Helper()
	files := map[string]string{
		"content/facts.csv": "", "content/cast/pell.yaml": "", "content/cast/odalys.yaml": "",
		"content/paths/rigger.yaml":     "title: The rigger's path\nreader: You place joints.\npromise: You can.\nlessons:\n  - lesson-1\n  - lesson-3\n",
		"content/plates/hinge-arc.md":   "---\ntitle: The sweep\nsummary: Words above it.\nsources: [craig2005]\n---\n\nA [[reach]].\n",
		"content/checks/short-reach.md": "---\ntitle: Is it short?\nsummary: A question.\n---\n\nA [[pivot]].\n",
	}
	for name := range files {
		if data, err := os.ReadFile(filepath.Join("..", "..", "..", "..", filepath.FromSlash(name))); err == nil && files[name] == "" {
			files[name] = string(data)
		}
	}
	for i := 1; i <= 5; i++ {
		n := strconv.Itoa(i)
		text := "---\ntitle: Lesson " + n + "\nsummary: About " + n + ".\npart: 1\norder: " + strconv.Itoa(i+1) + "\nminutes: 5\nneeds: [the-only-one]\naudience: [rigger]\n---\n\n" +
			"Prose about $r_" + n + "$.\n\n## A section\n\n"
		switch i {
		case 1:
			text += "A [[pivot]] [@rodrigues1840] and {=fact:hand-length-008} [@buryanov2010].\n"
		case 2:
			text += "```worked\nid: turn\ntitle: A turn\ncalculator: pivot-offset\nexpect:\n  lever: 1.118 cm\ncheck: √(1² + 0.5²)\nsource: derived\n```\n\nSo {=turn.lever}.\n"
		case 3:
			text += "```plate\nid: fist\ntitle: A fist\ncalculator: finger-curl\npreset: odalys-index\n```\n"
		}
		files["content/lessons/lesson-"+n+".md"] = text
	}
	plant(t, root, files)
}

// A preview keeps what a change does not touch; whatever it shows must be what a clean build makes.
func TestAPreviewShowsWhatACleanBuildMakesAfterEveryChange(t *testing.T) {
	root := fixture(t, filepath.Join(t.TempDir(), "p"))
	bookOf(t, root)
	kept := keep.New()
	o := Options{Root: root, Draft: true}
	again := func() map[string][]byte {
		made, err := makeWhole(o, kept)
		kept.Turn(err == nil)
		if err != nil {
			t.Fatal(err)
		}
		return made.Files
	}
	clean := func() map[string][]byte {
		made, err := makeWhole(o, nil)
		if err != nil {
			t.Fatal(err)
		}
		return made.Files
	}
	before := again()
	edit := func(name, from, to string) map[string]string {
		data, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(name)))
		if err != nil || !strings.Contains(string(data), from) {
			t.Fatalf("%s does not hold %q (%v)", name, from, err)
		}
		return map[string]string{name: strings.Replace(string(data), from, to, 1)}
	}
	for _, c := range []struct {
		name              string
		file, from, to    string
		changed, spared   string // a page that must be new, and one that must be the same slice
		leastNew, mostNew int    // pages made anew among those of prose
	}{
		{"a word of a lesson", "content/lessons/lesson-5.md", "Prose", "Words", "lessons/lesson-5/index.html", "lessons/lesson-4/index.html", 1, 1},
		{"a lesson's title", "content/lessons/lesson-4.md", "title: Lesson 4", "title: The fourth", "lessons/lesson-3/index.html", "lessons/lesson-1/index.html", 3, 3},
		{"a worked example", "content/lessons/lesson-2.md", "  lever: 1.118 cm", "  lever: 1.12 cm", "lessons/lesson-2/index.html", "lessons/lesson-3/index.html", 1, 3},
		{"another input of it", "content/lessons/lesson-2.md", "expect:\n  lever: 1.12 cm", "given: {offset_x: 2}\nexpect:\n  lever: 2.06 cm", "plates/pivot-offset/index.html", "lessons/lesson-3/index.html", 3, 5},
		{"a definition", "content/glossary.yaml", "definition: The point th", "definition: Here, the point th", "lessons/lesson-1/index.html", "lessons/lesson-3/index.html", 2, 6},
		{"a source", "content/sources.json", "Rodrigues", "Rodriguez", "lessons/lesson-1/index.html", "lessons/lesson-5/index.html", 2, 6},
		{"a published value", "content/facts.csv", "39.78,mm", "39.88,mm", "lessons/lesson-1/index.html", "lessons/lesson-3/index.html", 1, 1},
		{"a need", "content/lessons/lesson-5.md", "needs: [the-only-one]", "needs: [the-only-one, lesson-1]", "lessons/lesson-5/index.html", "lessons/lesson-4/index.html", 1, 1},
		{"the title of the next on a path", "content/lessons/lesson-3.md", "title: Lesson 3", "title: The third", "lessons/lesson-1/index.html", "lessons/lesson-5/index.html", 4, 8},
		{"a lesson more", "content/lessons/lesson-6.md", "", "---\ntitle: Lesson 6\nsummary: About 6.\npart: 1\norder: 7\nminutes: 5\naudience: [rigger]\n---\n\nSee [the fifth](/lessons/lesson-5/#a-section).\n", "lessons/lesson-6/index.html", "lessons/lesson-4/index.html", 2, 2},
		{"a lesson less", "content/lessons/lesson-6.md", "", "", "lessons/lesson-5/index.html", "lessons/lesson-4/index.html", 1, 1},
		{"a character", "content/cast/odalys.yaml", "role: Ferry", "role: Chief ferry", "cast/index.html", "lessons/lesson-1/index.html", 0, 12},
		{"a word from a measure's name to its value", "content/cast/odalys.yaml", "{label: Index finger segments, value: 4.6", "{label: Index finger, value: segments 4.6", "cast/index.html", "lessons/lesson-1/index.html", 0, 0},
		{"a comma between other names of a term", "content/glossary.yaml", "[radial deviation, ulnar deviation]", "[radial deviation ulnar deviation]", "glossary/index.html", "lessons/lesson-1/index.html", 0, 0},
		{"a path", "content/paths/rigger.yaml", "  - lesson-3\n", "  - lesson-3\n  - lesson-5\n", "lessons/lesson-5/index.html", "lessons/lesson-2/index.html", 3, 3}, // each lesson of a path tells its way through it
		{"words over a plate", "content/plates/hinge-arc.md", "A [[reach]]", "The [[reach]]", "plates/hinge-arc/index.html", "plates/pivot-offset/index.html", 1, 2},
		{"a quick check", "content/checks/short-reach.md", "Is it short", "Is it too short", "checks/short-reach/index.html", "lessons/lesson-1/index.html", 1, 1},
		{"a page's template", "theme/templates/lesson.tmpl", "{{define", "\n{{define", "", "plates/hinge-arc/index.html", 0, 6},
		{"a part of all templates", "theme/templates/_frame.tmpl", "<main", "<main data-x=\"1\"", "lessons/lesson-1/index.html", "", 17, 100},
		{"a word of the interface", "theme/words/de.json", "Alle Lektionen als Liste", "Alle Lektionen in einer Liste", "", "lessons/lesson-1/index.html", 0, 0},
		{"the words left out", "theme/scripts/common.json", `"your"`, `"pivot"`, "search.json", "", 0, 100},
	} {
		t.Run(c.name, func(t *testing.T) {
			switch {
			case c.from == "" && c.to == "":
				if err := os.Remove(filepath.Join(root, filepath.FromSlash(c.file))); err != nil {
					t.Fatal(err)
				}
			case c.from == "":
				plant(t, root, map[string]string{c.file: c.to})
			case c.file == "theme/templates/lesson.tmpl":
				data, _ := os.ReadFile(filepath.Join(root, filepath.FromSlash(c.file)))
				plant(t, root, map[string]string{c.file: string(data) + "\n"})
			default:
				plant(t, root, edit(c.file, c.from, c.to))
			}
			got, want := again(), clean()
			for _, name := range slices.Sorted(maps.Keys(want)) {
				if !bytes.Equal(got[name], want[name]) {
					t.Errorf("%s is not what a clean build makes", name)
				}
			}
			if len(got) != len(want) {
				t.Errorf("%d files, a clean build makes %d", len(got), len(want))
			}
			if c.changed != "" && bytes.Equal(got[c.changed], before[c.changed]) {
				t.Errorf("%s did not change", c.changed)
			}
			if c.spared != "" && &got[c.spared][0] != &before[c.spared][0] {
				t.Errorf("%s was made anew", c.spared)
			}
			if n := madeAnew(t, before, got); n < c.leastNew || n > c.mostNew {
				t.Errorf("%d pages of prose were made anew, want %d to %d", n, c.leastNew, c.mostNew)
			}
			before = got
		})
	}
}

// madeAnew counts the pages of prose that are not the very slices of the build before.
func madeAnew(t *testing.T, before, after map[string][]byte) int {
	n := 0
	for name, data := range after {
		prose := strings.HasPrefix(name, "lessons/l") || strings.HasPrefix(name, "lessons/the") || strings.HasPrefix(name, "plates/") && name != "plates/index.html" ||
			strings.HasPrefix(name, "embed/") || strings.HasPrefix(name, "checks/s")
		if old := before[name]; prose && (len(old) == 0 || &old[0] != &data[0]) {
			t.Log(name, "was made anew")
			n++
		}
	}
	return n
}

func TestAPreviewRecoversFromAMistake(t *testing.T) {
	root := fixture(t, filepath.Join(t.TempDir(), "p"))
	kept := keep.New()
	make := func() (*Made, error) {
		made, err := makeWhole(Options{Root: root, Draft: true}, kept)
		kept.Turn(err == nil)
		return made, err
	}
	first, err := make()
	if err != nil {
		t.Fatal(err)
	}
	broken, place := breakExpectation(t, root)
	restore := overwrite(t, root, map[string]string{"content/lessons/the-only-one.md": broken})
	for range 2 { // the second must tell it as the first did
		if _, err := make(); err == nil || !strings.Contains(err.Error(), place) {
			t.Fatalf("make = %v, want it to name %s", err, place)
		}
	}
	restore()
	last, err := make()
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range first.Files {
		if !bytes.Equal(data, last.Files[name]) {
			t.Errorf("%s differs after the mistake was mended", name)
		}
	}
}
