package main

import (
	"errors"
	"flag"
	"fmt"
	"io"

	"centrode/cmd/centrode/internal/report"
	"centrode/cmd/centrode/internal/site"
)

const checkHelp = `Prove the content: run every worked example, exercise and comparison through its calculator, and render every page in
memory. Prints what was expected and what was computed; every problem goes to standard error as file:line: text.

  centrode check [-overlay FOLDER]

  -overlay FOLDER   lay a studio's folder over ours, and check both

Exit status: 0 all is well, 1 there are problems, 2 the command line is wrong.

examples:
  centrode check
  centrode check > proof.txt
`

func runCheck(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("check", flag.ContinueOnError)
	over := flags.String("overlay", "", "")
	plain, status, done := parse(flags, checkHelp, args, stdout, stderr)
	if done {
		return status
	}
	if len(plain) > 0 {
		return usage(stderr, "check", fmt.Sprintf("%q: check takes no arguments; it always checks all of the content", plain[0]))
	}
	root, err := findRoot()
	if err != nil {
		return fail(stderr, err)
	}
	proved, s, err := site.Check(site.Options{Root: root, Overlay: *over, Note: notes(stderr)})
	if proved != nil {
		proved.Table(stdout)
	}
	var problems report.Problems
	if errors.As(err, &problems) {
		fmt.Fprintln(stderr, problems)
		count := "1 problem. Mend the line"
		if n := len(problems); n != 1 {
			count = fmt.Sprintf("%d problems. Mend the lines", n)
		}
		fmt.Fprintf(stderr, "%s named above, then run centrode check again.\n", count)
		return 1
	}
	if err != nil {
		return fail(stderr, err)
	}
	fmt.Fprintf(stdout, "%d lessons, %d pages rendered without a problem; %.1f s\n", s.Lessons, s.Pages, s.Took.Seconds())
	return 0
}
