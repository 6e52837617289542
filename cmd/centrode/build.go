package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"

	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/site"
)

const buildHelp = `Make the whole site: prove the content, render the pages, compile the calculators, and replace the output folder in one
step. When anything is wrong, every problem is printed as file:line: text and the folder keeps the site that it had.

  centrode build [-out FOLDER] [-overlay FOLDER]

  -out FOLDER       where the site goes (default: public in the project). Files in it that centrode did not write are
                    kept; a folder that holds only such files is refused
  -overlay FOLDER   a studio's lessons, terms, cast and colours over ours, checked by the same proofs (README.md tells
                    what it may hold)

Needs Go and Node.js, with npm the first time (it runs npm ci in theme and says so).

Exit status: 0 the site is in place, 1 it is not, 2 the command line is wrong.

examples:
  centrode build
  centrode build -out ../handbook-site
  centrode build -overlay ../our-studio
`

func runBuild(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("build", flag.ContinueOnError)
	out := flags.String("out", "", "")
	over := flags.String("overlay", "", "")
	plain, status, done := parse(flags, buildHelp, args, stdout, stderr)
	if done {
		return status
	}
	if len(plain) > 0 {
		return usage(stderr, "build", fmt.Sprintf("%q: build takes no arguments besides its flags", plain[0]))
	}
	root, err := findRoot()
	if err != nil {
		return fail(stderr, err)
	}
	if *out == "" {
		*out = filepath.Join(root, "public")
	}
	if isTerminal(stderr) {
		fmt.Fprintln(stderr, "Building; the first time takes a minute.")
	}
	collectSeldom()
	s, err := site.Build(site.Options{Root: root, Out: *out, Overlay: *over, Note: notes(stderr)})
	if err != nil {
		return fail(stderr, err)
	}
	things := quantity.Things
	fmt.Fprintf(stdout, "%s: %s, %s, %s, %s, %s, %d calculators\n", *out, things(s.Pages, "page", "pages"), things(s.Lessons, "lesson", "lessons"),
		things(s.Worked, "worked example", "worked examples"), things(s.Exercises, "exercise", "exercises"), things(s.Plates, "plate", "plates"), s.Calculators)
	fmt.Fprintf(stdout, "%d files, %s before compression; calculators %s, %s with brotli; %.1f s\n",
		s.Files, bytesText(s.Bytes), bytesText(s.WASM), bytesText(s.WASMBrotli), s.Took.Seconds())
	return 0
}

// collectSeldom spares a build a third of its garbage collections: it makes far more than it keeps. More would cost more for new memory. The limit keeps a long book
// under a gigabyte. Whoever set the runtime's own variables knows better.
func collectSeldom() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(200)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(900 << 20)
	}
}

// bytesText prints a size in the decimal units of data transfer.
func bytesText(n int) string {
	if n < 1_000_000 {
		return fmt.Sprintf("%.0f kB", float64(n)/1e3)
	}
	return fmt.Sprintf("%.2f MB", float64(n)/1e6)
}
