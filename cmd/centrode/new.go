package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"centrode/calc/catalog/list"
	"centrode/calc/character"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/ask"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/scaffold"
	"centrode/cmd/centrode/internal/site"
)

const newHelp = `Begin a lesson or a calculator, or get one of the demo characters. What is begun builds at once, and its numbers hold;
replace it part by part.

  centrode new lesson SLUG [-title TITLE] [-part N] [-order N] [-calculator ID] [-overlay FOLDER]
  centrode new calculator ID
  centrode new character ID

SLUG and the ID of a calculator are lower-case words joined by hyphens. A character is written as ID.glb (glTF 2.0) into the
working folder. There are odalys-hand, odalys-arm, moss-hind-leg, lockmaster-jaw and gantry-crane, all invented.

  -title TITLE      of the lesson (default: made from SLUG)
  -part N           part of the handbook, 1 to 3 (default 1)
  -order N          place within the part (default: after its last lesson)
  -calculator ID    whose numbers the lesson shows (default: the first of the list)
  -overlay FOLDER   begin it in a studio's folder, which must be there, and not among ours

A file that exists is never replaced, but for calc/catalog/list/list.go, to which a calculator's line is added.

Exit status: 0 created, 1 something is in the way, 2 the command line is wrong.

examples:
  centrode new lesson the-long-neck -part 2 -calculator hinge-arc
  centrode new lesson our-neck-rule -overlay ../our-studio
  centrode new calculator wrist-roll
  centrode new character odalys-hand
`

var newKinds = []string{"lesson", "calculator", "character"}

func runNew(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("new", flag.ContinueOnError)
	l := scaffold.Lesson{}
	flags.StringVar(&l.Title, "title", "", "")
	flags.IntVar(&l.Part, "part", 1, "")
	flags.IntVar(&l.Order, "order", 0, "")
	calculator := flags.String("calculator", list.IDs()[0], "")
	over := flags.String("overlay", "", "")
	plain, status, done := parse(flags, newHelp, args, stdout, stderr)
	if done {
		return status
	}
	if len(plain) != 2 {
		return usage(stderr, "new", "new takes what to begin and its name, as in: centrode new lesson the-long-neck")
	}
	if plain[0] == "character" { // needs no project
		return newCharacter(plain[1], flags.NFlag(), stdout, stderr)
	}
	if !slices.Contains(newKinds, plain[0]) {
		return usage(stderr, "new", fmt.Sprintf("%q: can begin a lesson, a calculator or a character%s", plain[0], spell.Offer(plain[0], newKinds)))
	}
	root, err := findRoot()
	if err != nil {
		return fail(stderr, err)
	}
	if plain[0] == "lesson" {
		l.Slug = plain[1]
		return newLesson(root, l, given(flags, "order"), *calculator, *over, stdout, stderr)
	}
	if flags.NFlag() > 0 {
		return usage(stderr, "new", "new calculator takes no flags")
	}
	return newCalculator(root, plain[1], stdout, stderr)
}

// newLesson puts the lesson behind all others of its part unless it was ordered; into a studio's folder over, or among ours when that is "".
func newLesson(root string, l scaffold.Lesson, ordered bool, calculator, over string, stdout, stderr io.Writer) int {
	if l.Part < 1 || l.Part > 3 {
		return usage(stderr, "new", fmt.Sprintf("-part %d: must be from 1 to 3", l.Part))
	}
	var err error
	if l.Calculator, err = list.Find(calculator); err != nil {
		return usage(stderr, "new", "-calculator "+calculator+": "+err.Error())
	}
	if !ordered {
		if l.Order, err = site.NextOrder(root, over, l.Part); err != nil {
			return fail(stderr, err)
		}
	}
	if l.Order < 1 || l.Order > lesson.LastOrder {
		return usage(stderr, "new", fmt.Sprintf("-order %d: must be from 1 to %d", l.Order, lesson.LastOrder))
	}
	f, err := scaffold.NewLesson(l)
	if err != nil {
		return failNew(stderr, err)
	}
	laid := ""
	if over != "" {
		if _, err := os.Lstat(filepath.Join(root, filepath.FromSlash(f.Path))); err == nil {
			return fail(stderr, fmt.Errorf("%s: is a lesson of the handbook, which one of that name would replace; choose another name", f.Path))
		}
		root, f.Path, laid = over, strings.TrimPrefix(f.Path, "content/"), " -overlay "+ask.Shell(over)
	}
	return create(root, []scaffold.File{f}, "Now run centrode serve"+laid+" and edit it; centrode check"+laid+" proves its numbers.", stdout, stderr)
}

func newCalculator(root, id string, stdout, stderr io.Writer) int {
	if taken := list.IDs(); slices.Contains(taken, id) {
		return fail(stderr, fmt.Errorf("calculator %q exists already", id))
	}
	source, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(scaffold.ListFile)))
	if err != nil {
		return fail(stderr, err)
	}
	files, err := scaffold.NewCalculator(id, source)
	if err != nil {
		return failNew(stderr, err)
	}
	dir := "./calc/" + strings.ReplaceAll(id, "-", "")
	if there, err := os.ReadDir(filepath.Join(root, filepath.FromSlash(dir))); err == nil && len(there) > 0 {
		return fail(stderr, fmt.Errorf("%q: the folder %s holds another package; choose another name", id, dir[2:]))
	}
	return create(root, files, "Now run go test "+dir+" and go run ./cmd/centrode serve; the plate is at /plates/"+id+"/.", stdout, stderr)
}

// failNew tells a wrong name as what it is, a wrong command line.
func failNew(stderr io.Writer, err error) int {
	if wrong, ok := errors.AsType[scaffold.NameError](err); ok {
		return usage(stderr, "new", wrong.Error())
	}
	return fail(stderr, err)
}

func newCharacter(id string, flags int, stdout, stderr io.Writer) int {
	if flags > 0 {
		return usage(stderr, "new", "new character takes no flags")
	}
	c, ok := character.Find(id)
	if !ok {
		return usage(stderr, "new", fmt.Sprintf("%q: is none of the characters %s%s", id, strings.Join(character.IDs(), ", "), spell.Offer(id, character.IDs())))
	}
	file := scaffold.File{Path: id + ".glb", Content: c.GLB()}
	return create(".", []scaffold.File{file}, c.Purpose+" Now run centrode rig show "+file.Path+".", stdout, stderr)
}

func create(root string, files []scaffold.File, next string, stdout, stderr io.Writer) int {
	placed, err := site.Place(root, files)
	if err != nil {
		return fail(stderr, err)
	}
	fmt.Fprintf(stdout, "%s\n%s\n", strings.Join(placed, "\n"), next)
	return 0
}
