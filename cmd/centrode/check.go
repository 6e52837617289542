package main

import (
	"errors"
	"flag"
	"fmt"
	"io"

	"centrode/calc/quantity"
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
		fmt.Fprintf(stderr, "%s named above, then run centrode check again.\n", quantity.Things(len(problems), "problem. Mend the line", "problems. Mend the lines"))
		return 1
	}
	if err != nil {
		return fail(stderr, err)
	}
	fmt.Fprintf(stdout, "%s, %s rendered without a problem; %.1f s\n", quantity.Things(s.Lessons, "lesson", "lessons"), quantity.Things(s.Pages, "page", "pages"), s.Took.Seconds())
	return 0
}
