package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"

	"centrode/calc/catalog/list"
	"centrode/calc/sheet"
	"centrode/cmd/centrode/internal/paper"
)

const sheetHelp = `Make a page of a placement sheet, or of two opinions side by side.

  centrode sheet FILE.json|- [OTHER.json] [-format html|svg] [-out FILE]

FILE.json is what the handbook's page of the sheet saves, or rig move -sheet; - is standard input. Its numbers are computed
again, and one that its calculator does not give is marked on the page and told here; what was measured from a character
file stays as stated. Two sheets stand side by side with their differences marked. The page stands alone: style and
drawings are inside. It prints to one page, or to more where its words need them.

  -format F   html or svg; without it html
  -out FILE   write the page to FILE, all of it or nothing; a file of that name is replaced. Without it the page is printed

Exit status: 0 made, 1 a file was refused or cannot be written, 2 the command line is wrong.

examples:
  centrode sheet placement-sheet.json -out elbow.html
  centrode sheet first.json second.json -format svg -out both.svg
`

// runSheet runs the verb `sheet` and returns the exit status.
func runSheet(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("sheet", flag.ContinueOnError)
	format, out := flags.String("format", "html", ""), flags.String("out", "", "")
	names, status, done := parse(flags, sheetHelp, args, stdout, stderr)
	if done {
		return status
	}
	if err := oneOf("format", *format, "html", "svg"); err != nil {
		return usage(stderr, "sheet", err.Error())
	}
	if len(names) < 1 || len(names) > 2 {
		return usage(stderr, "sheet", "name one sheet, or two to compare")
	}
	if len(names) == 2 && names[0] == "-" && names[1] == "-" {
		return usage(stderr, "sheet", "standard input can be read once; name a file for the other sheet")
	}
	var views []sheet.View
	for _, name := range names {
		v, err := proved(name, stdin, stderr)
		if err != nil {
			return fail(stderr, err)
		}
		views = append(views, v)
	}
	if len(views) > 1 {
		sheet.Compare(&views[0], &views[1])
	}
	page := paper.HTML(views)
	if *format == "svg" {
		page = paper.SVG(views)
	}
	if *out == "" {
		stdout.Write(page)
		return 0
	}
	if err := mayReplace(*out, "page", stdin, names...); err != nil {
		return fail(stderr, err)
	}
	if err := replace(*out, page); err != nil {
		return fail(stderr, fmt.Errorf("%s: the page cannot be written: %w", *out, cause(err)))
	}
	return 0
}

// proved reads a sheet and computes its numbers again; those that differ are told.
func proved(name string, stdin io.Reader, stderr io.Writer) (sheet.View, error) {
	in, closeIt, err := open(name, "the JSON file of a sheet", stdin)
	if err != nil {
		return sheet.View{}, err // which names the file
	}
	defer closeIt()
	v, err := prove(in)
	if err != nil {
		return sheet.View{}, fmt.Errorf("%s: %w", inputName(name), err)
	}
	for _, e := range v.Entries {
		for _, d := range e.Doubts {
			fmt.Fprintf(stderr, "%s: %s\n", inputName(name), d)
		}
	}
	return v, nil
}

func prove(in io.Reader) (sheet.View, error) {
	text, err := io.ReadAll(io.LimitReader(in, sheet.MaxBytes+1))
	if err != nil {
		return sheet.View{}, cause(err)
	}
	s, err := sheet.Read(bytes.TrimPrefix(text, []byte("\ufeff"))) // as a page reads a file
	if err != nil {
		return sheet.View{}, err
	}
	return sheet.Prove(s, list.Find)
}
