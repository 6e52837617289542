package main

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/ask"
	"centrode/cmd/centrode/internal/batch"
)

const calcHelp = `Answer a question with one of the calculators.

  centrode calc NAME [field=value …] [-in FILE|-] [-format text|json|csv] [-table TABLE]
  centrode calc NAME -describe
  centrode calc -list

Lengths are in cm and angles in degrees; mm, cm, m, in, ft, deg, rad and turn may be written after a number.
A table is written rows;rows with commas between the cells, or read from a file with -in.

  -in FILE      read inputs from FILE, or from standard input with -. A text that starts with { is one question in
                JSON, with [ a batch of them; anything else is CSV. CSV columns that are fields of the calculator make
                a batch, one question a row (a column "name" is copied); CSV columns of one of its tables fill that table.
                Words field=value hold for every row that does not say otherwise.
  -format F     text (for people), json (one object; JSON Lines in a batch), csv. A batch prints csv unless told.
  -table TABLE  with -format csv: print that table of the answer instead of its outputs
  -describe     print what the calculator takes and gives, as JSON
  -list         list the calculators

Exit status: 0 answered, 1 an input was refused (in a batch: some row), 2 the command line is wrong.

examples:
  centrode calc finger-curl mcp_flex=85 pip_flex=100deg pip_depth=16mm
  centrode calc pivot-offset offset_y=0.4 angle="0.25 turn" -format json
  centrode calc hinge-arc -in joints.csv > answers.csv
`

// calcCommand is the parsed command line of `centrode calc`.
type calcCommand struct {
	name, in, format, table string
	words                   []string
	list, describe          bool
}

// runCalc runs the verb `calc` and returns the exit status.
func runCalc(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	cmd, err := parseCalc(args)
	if errors.Is(err, flag.ErrHelp) {
		fmt.Fprint(stdout, calcHelp)
		return 0
	}
	if err == nil && cmd.list {
		return printList(stdout)
	}
	if err != nil {
		fmt.Fprintln(stderr, err)
		return 2
	}
	calculator, err := list.Find(cmd.name)
	if err != nil {
		fmt.Fprintln(stderr, err)
		return 2
	}
	spec := calculator.Spec()
	if cmd.describe {
		return printed(stderr, write(stdout, append(spec.AppendDescription(nil), '\n')))
	}
	if cmd.table != "" {
		if err := checkTable(spec, cmd.table); err != nil {
			fmt.Fprintln(stderr, err)
			return 2
		}
	}
	return answer(cmd, calculator, spec, stdin, stdout, stderr)
}

func printList(stdout io.Writer) int {
	for _, c := range list.All() {
		spec := c.Spec()
		fmt.Fprintf(stdout, "%-16s %s\n", spec.ID, spec.Purpose)
	}
	return 0
}

func checkTable(spec catalog.Spec, id string) error {
	var ids []string
	for _, t := range spec.Answers {
		if t.ID == id {
			return nil
		}
		ids = append(ids, t.ID)
	}
	if len(ids) == 0 {
		return fmt.Errorf("-table %q: %s answers with no table", id, spec.ID)
	}
	return fmt.Errorf("-table %q: must be %s%s", id, strings.Join(ids, " or "), spell.Offer(id, ids))
}

// parseCalc lets options stand before, between and after the words.
func parseCalc(args []string) (calcCommand, error) {
	var cmd calcCommand
	flags := flag.NewFlagSet("calc", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.StringVar(&cmd.in, "in", "", "")
	flags.StringVar(&cmd.format, "format", "", "")
	flags.StringVar(&cmd.table, "table", "", "")
	flags.BoolVar(&cmd.list, "list", false, "")
	flags.BoolVar(&cmd.describe, "describe", false, "")
	for len(args) > 0 {
		if err := flags.Parse(args); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				return cmd, err
			}
			return cmd, fmt.Errorf("%w; run `centrode calc -h` for what there is", err)
		}
		if args = flags.Args(); len(args) > 0 {
			cmd.words, args = append(cmd.words, args[0]), args[1:]
		}
	}
	switch cmd.format {
	case "", "text", "json", "csv":
	default:
		return cmd, fmt.Errorf("-format %q: must be text, json or csv%s", cmd.format, spell.Offer(cmd.format, []string{"text", "json", "csv"}))
	}
	if cmd.table != "" && cmd.format != "csv" {
		return cmd, errors.New("-table needs -format csv")
	}
	if cmd.list {
		return cmd, nil
	}
	if len(cmd.words) == 0 {
		return cmd, errors.New("name a calculator: " + strings.Join(list.IDs(), ", "))
	}
	cmd.name, cmd.words = cmd.words[0], cmd.words[1:]
	return cmd, nil
}

// answer reads the question from words and input, and prints the answer or the answers.
func answer(cmd calcCommand, c catalog.Calculator, spec catalog.Spec, stdin io.Reader, stdout, stderr io.Writer) int {
	values := catalog.NewValues()
	for _, word := range cmd.words {
		if err := ask.Word(spec, &values, word); err != nil {
			return refused(stderr, err)
		}
	}
	if cmd.in != "" {
		input, done, err := open(cmd.in, stdin)
		if err != nil {
			return refused(stderr, err)
		}
		defer done()
		source, err := recognise(spec, input)
		if err != nil {
			return refused(stderr, fmt.Errorf("%s: %w", inputName(cmd.in), err))
		}
		if source.batch != nil {
			job := batch.Job{Calculator: c, Spec: spec, Base: values, Lines: cmd.format == "json" || cmd.format != "csv" && source.json}
			return runBatch(source, job, cmd, stdout, stderr)
		}
		if err := source.fill(&values); err != nil {
			return refused(stderr, fmt.Errorf("%s: %w", inputName(cmd.in), err))
		}
		// Words on the command line outrank the file: they were typed last.
		for _, word := range cmd.words {
			if err := ask.Word(spec, &values, word); err != nil {
				return refused(stderr, err)
			}
		}
	}
	result, err := catalog.RunSpec(c, spec, values)
	if err != nil {
		return refused(stderr, err)
	}
	return printed(stderr, write(stdout, render(cmd, result)))
}

func render(cmd calcCommand, a catalog.Answer) []byte {
	switch {
	case cmd.format == "json":
		return append(a.AppendJSON(nil), '\n')
	case cmd.table != "":
		for _, t := range a.Spec.Answers {
			if t.ID == cmd.table {
				return catalog.AppendTableCSV(nil, t, a.Result.Tables[t.ID])
			}
		}
		return nil
	case cmd.format == "csv":
		return a.AppendCSV([]byte(strings.Join(catalog.Header(a.Spec), ",") + "\n"))
	}
	return a.AppendText(nil)
}

func runBatch(s source, job batch.Job, cmd calcCommand, stdout, stderr io.Writer) int {
	if cmd.format == "text" || cmd.table != "" {
		fmt.Fprintln(stderr, "a batch prints -format csv or json, and no single table")
		return 2
	}
	tally, err := s.batch(job, stdout)
	if err != nil {
		return refused(stderr, fmt.Errorf("%s: %w", inputName(cmd.in), err))
	}
	if tally.Refused > 0 {
		fmt.Fprintf(stderr, "%d of %d rows were refused; their error column says why\n", tally.Refused, tally.Rows)
		return 1
	}
	return 0
}

// source is an input that has been recognised: either one question (fill) or a batch.
type source struct {
	fill  func(*catalog.Values) error
	batch func(batch.Job, io.Writer) (batch.Tally, error)
	json  bool
}

func recognise(spec catalog.Spec, in *bufio.Reader) (source, error) {
	switch first, err := firstByte(in); {
	case err != nil:
		return source{}, err
	case first == '{':
		return source{json: true, fill: func(v *catalog.Values) error {
			object, err := io.ReadAll(in)
			if err != nil {
				return err
			}
			return ask.JSON(spec, v, object)
		}}, nil
	case first == '[':
		return source{json: true, batch: func(job batch.Job, out io.Writer) (batch.Tally, error) { return batch.JSON(job, in, out) }}, nil
	}
	return recogniseCSV(spec, in)
}

// recogniseCSV looks at the header alone: columns of one of the calculator's tables fill that table, all else is a batch.
func recogniseCSV(spec catalog.Spec, in *bufio.Reader) (source, error) {
	line, err := in.Peek(4096)
	if len(line) == 0 && err != nil {
		return source{}, err
	}
	if head, err := batch.ReadHeader(batch.NewReader(strings.NewReader(firstLine(line)))); err == nil {
		if table, ok := ask.TableFor(spec, head); ok {
			return source{fill: func(v *catalog.Values) error {
				reader := batch.NewReader(in)
				if _, err := reader.Read(); err != nil {
					return err
				}
				rows, err := ask.Table(table, head, reader.Read)
				v.Tables[table.ID] = rows
				return err
			}}, nil
		}
	}
	return source{batch: func(job batch.Job, out io.Writer) (batch.Tally, error) { return batch.CSV(job, in, out) }}, nil
}

func firstLine(b []byte) string {
	line, _, _ := strings.Cut(string(b), "\n")
	return line + "\n"
}

// firstByte skips white space and a byte order mark and peeks at what follows.
func firstByte(in *bufio.Reader) (byte, error) {
	for {
		b, err := in.Peek(1)
		if err == io.EOF {
			return 0, errors.New("the input is empty")
		}
		if err != nil {
			return 0, err
		}
		switch b[0] {
		case ' ', '\t', '\r', '\n', 0xef, 0xbb, 0xbf:
			if _, err := in.Discard(1); err != nil {
				return 0, err
			}
		default:
			return b[0], nil
		}
	}
}

func open(name string, stdin io.Reader) (*bufio.Reader, func(), error) {
	if name == "-" {
		return bufio.NewReaderSize(stdin, 1<<16), func() {}, nil
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, nil, err
	}
	return bufio.NewReaderSize(file, 1<<16), func() { file.Close() }, nil
}

func inputName(name string) string {
	if name == "-" {
		return "standard input"
	}
	return name
}

func refused(stderr io.Writer, err error) int {
	fmt.Fprintln(stderr, err)
	return 1
}

func write(w io.Writer, text []byte) error {
	_, err := w.Write(text)
	return err
}

func printed(stderr io.Writer, err error) int {
	if err != nil {
		fmt.Fprintln(stderr, err)
		return 1
	}
	return 0
}
