package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/ask"
	"centrode/cmd/centrode/internal/batch"
	"centrode/cmd/centrode/internal/site"
)

const calcHelp = `Answer a question with one of the calculators.

  centrode calc NAME [-preset ID] [field=value …] [-in FILE|-] [-in TABLE=FILE|-] [-keep COLUMNS] [-units UNITS]
                     [-format text|json|csv] [-table TABLE] [-figure FILE.svg]
  centrode calc NAME -presets
  centrode calc NAME -describe
  centrode calc -list

Lengths are in cm and angles in degrees; mm, cm, m, in, ft, deg, rad and turn may be written after a number.
A table is written rows;rows with commas between the cells, or read from a file with -in.

  -preset ID    start from a preset in place of the defaults: those that the plates offer, the invented cast's among them.
                Fields that are given, in words or in a file, outrank it
  -presets      list the calculator's presets
  -overlay DIR  with one of the two, -describe or a batch: presets of the cast in a studio's folder too
  -in FILE      read inputs from FILE, or from standard input with -. A text that starts with { is one question in
                JSON, with [ a batch of them; anything else is CSV, also with semicolons or tabs for the commas. CSV
                columns that are fields of the calculator make a batch, one question a row; CSV columns of one of its
                tables fill that table, where numbers alone may also stand apart by spaces. A head may give the unit of
                bare numbers: x (mm). In a batch a column "name" is copied, and one "preset" holds what a row starts
                from in place of -preset; in JSON they are members. Words field=value hold for every row of a batch that
                does not say otherwise, and outrank one question.
  -in TABLE=FILE
                read that table from FILE, CSV or a JSON array; may stand beside the other -in, once for each table
  -keep COLUMNS in a batch: copy these columns of your own too, as in -keep shot,note (in JSON, members; JSON answers have
                them in "kept"). Any other column must be a field, so that a misspelt one is not taken for yours
  -units UNITS  answer in mm, cm, m, in or ft, and in deg, rad or turn: -units mm,rad. The heads of CSV say it, and a member
                "units" of JSON; such an answer can be asked again with -in
  -format F     text (for people; the default), json (one object; JSON Lines in a batch), csv. A batch answers as it asks,
                CSV or JSON Lines, unless told; it prints no text, no single table and no figure.
  -table TABLE  with -format csv: print that table of the answer instead of its outputs
  -figure FILE  also draw the answer into FILE, whose name must end in .svg; a file of that name is replaced
  -describe     print what the calculator takes and gives, and its presets, as JSON
  -list         list the calculators

Exit status: 0 answered, 1 an input was refused (in a batch: some row), 2 the command line is wrong.

examples:
  centrode calc finger-curl mcp_flex=85 pip_flex=100deg pip_depth=16mm
  centrode calc finger-curl -preset odalys-loom pip_pivot=0.3
  centrode calc pivot-offset offset_y=0.4 angle="0.25 turn" -format json
  centrode calc hinge-arc candidate_y=-2 -figure elbow.svg
  centrode calc pose-fit -units mm -format csv -table poses
  printf 'name,candidate_y\nelbow,-2\nknee,1\n' | centrode calc hinge-arc -in - > answers.csv
`

// calcCommand is the parsed command line of `centrode calc`.
type calcCommand struct {
	name, format, table, figure, preset, overlay, units string
	in, keep                                            words
	words                                               []string
	list, describe, presets                             bool
	start                                               catalog.Values          // of the preset, under all that is given
	measures                                            catalog.Measures        // nil for base units
	tables                                              map[string]catalog.Rows // from files that are named with them
}

// runCalc runs the verb `calc` and returns the exit status.
func runCalc(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	var cmd calcCommand
	flags := cmd.flags()
	words, status, done := parse(flags, calcHelp, args, stdout, stderr)
	if done {
		return status
	}
	if cmd.list {
		if len(words) > 0 {
			return misused(stderr, fmt.Errorf("-list names every calculator, and takes no %q", words[0]))
		}
		if flags.NFlag() > 1 {
			return misused(stderr, errors.New("-list names every calculator, and takes no other flag"))
		}
		stdout.Write(listing())
		return 0
	}
	if err := cmd.take(words); err != nil {
		return misused(stderr, err)
	}
	calculator, err := list.Find(cmd.name)
	if err != nil {
		return misused(stderr, fmt.Errorf("%w; centrode calc -list names them all", err))
	}
	spec := calculator.Spec()
	if cmd.describe || cmd.presets {
		return cmd.tell(flags, spec, stdout, stderr)
	}
	cmd.start = catalog.NewValues()
	if cmd.preset != "" {
		if status := cmd.begin(spec, stderr); status != 0 {
			return status
		}
	}
	if err := cmd.measure(); err != nil {
		return misused(stderr, err)
	}
	if cmd.table != "" {
		if err := checkTable(spec, cmd.table); err != nil {
			return misused(stderr, err)
		}
	}
	return answer(cmd, calculator, spec, stdin, stdout, stderr)
}

func (cmd *calcCommand) flags() *flag.FlagSet {
	flags := flag.NewFlagSet("calc", flag.ContinueOnError)
	flags.Var(&cmd.in, "in", "")
	flags.Var(&cmd.keep, "keep", "")
	flags.StringVar(&cmd.units, "units", "", "")
	flags.StringVar(&cmd.format, "format", "", "")
	flags.StringVar(&cmd.table, "table", "", "")
	flags.StringVar(&cmd.figure, "figure", "", "")
	flags.BoolVar(&cmd.list, "list", false, "")
	flags.BoolVar(&cmd.describe, "describe", false, "")
	flags.BoolVar(&cmd.presets, "presets", false, "")
	flags.StringVar(&cmd.preset, "preset", "", "")
	flags.StringVar(&cmd.overlay, "overlay", "", "")
	return flags
}

// errIdle is what is wrong with a studio's folder of whose presets none is asked.
var errIdle = errors.New("-overlay needs -preset, -presets, -describe or a batch, whose rows may name presets")

// take checks the flags against each other and divides the words into the calculator's name and its inputs.
func (cmd *calcCommand) take(words []string) error {
	if cmd.format != "" {
		if err := oneOf("format", cmd.format, "text", "json", "csv"); err != nil {
			return err
		}
	}
	switch {
	case cmd.table != "" && cmd.format != "csv":
		return errors.New("-table needs -format csv")
	case cmd.figure != "" && !strings.HasSuffix(cmd.figure, ".svg"):
		return fmt.Errorf("-figure %q: must be a file name that ends in .svg", cmd.figure)
	case cmd.overlay != "" && cmd.preset == "" && !cmd.presets && !cmd.describe && len(cmd.in) == 0:
		return errIdle
	case len(words) == 0:
		return errors.New("name a calculator: " + strings.Join(list.IDs(), ", "))
	}
	cmd.name, cmd.words = words[0], words[1:]
	return nil
}

// tell prints what the calculator takes, or its presets alone.
func (cmd *calcCommand) tell(flags *flag.FlagSet, spec catalog.Spec, stdout, stderr io.Writer) int {
	name, others := "-describe tells what "+spec.ID+" takes", flags.NFlag()-1
	if cmd.presets && !cmd.describe {
		name = "-presets lists the presets of " + spec.ID
	}
	if cmd.overlay != "" {
		others--
	}
	if len(cmd.words) > 0 {
		return misused(stderr, fmt.Errorf("%s, and takes no %q", name, cmd.words[0]))
	}
	if others > 0 {
		return misused(stderr, errors.New(name+", and takes no other flag"))
	}
	cast, err := site.Cast(cmd.overlay)
	if err != nil {
		return fail(stderr, err)
	}
	spec.Presets = cast.Presets(spec)
	if cmd.describe {
		stdout.Write(append(spec.AppendDescription(nil), '\n'))
		return 0
	}
	for _, p := range spec.Presets {
		stdout.Write(shown(fmt.Appendf(nil, "%-24s %s\n", p.ID, p.Label)))
	}
	return 0
}

// measure finds the units that were asked for. What a sentence says of a length is in them, too.
func (cmd *calcCommand) measure() error {
	if cmd.units == "" {
		return nil
	}
	m, err := quantity.MeasuresNamed(cmd.units)
	if err != nil {
		return fmt.Errorf("-units %w", err)
	}
	cmd.measures, cmd.start.Units = m, quantity.UnitsNamed(m.Unit(quantity.Length))
	return nil
}

// begin takes the values of the preset; a status other than 0 says that there is none.
func (cmd *calcCommand) begin(spec catalog.Spec, stderr io.Writer) (status int) {
	cast, err := site.Cast(cmd.overlay)
	if err != nil {
		return fail(stderr, err)
	}
	var ids []string
	for _, p := range cast.Presets(spec) {
		ids = append(ids, p.ID)
	}
	if len(ids) == 0 {
		return misused(stderr, fmt.Errorf("-preset %q: %s has no preset", cmd.preset, spec.ID))
	}
	if err := oneOf("preset", cmd.preset, ids...); err != nil {
		return misused(stderr, errors.Join(err, whosePreset(cast.Presets, cmd.preset)))
	}
	if cmd.start, err = cast.Values(spec, cmd.preset); err != nil {
		return fail(stderr, err)
	}
	return 0
}

// whosePreset names the calculator that a preset belongs to; nil when there is none.
func whosePreset(presets func(catalog.Spec) []catalog.Preset, preset string) error {
	for _, c := range list.All() {
		spec := c.Spec()
		if slices.ContainsFunc(presets(spec), func(p catalog.Preset) bool { return p.ID == preset }) {
			return fmt.Errorf("%q is a preset of %s", preset, spec.ID)
		}
	}
	return nil
}

// misused tells that the command line is wrong.
func misused(stderr io.Writer, err error) int {
	fmt.Fprintln(stderr, err)
	return 2
}

func listing() []byte {
	var text []byte
	for _, c := range list.All() {
		spec := c.Spec()
		text = fmt.Appendf(text, "%-16s %s\n", spec.ID, spec.Purpose)
	}
	return text
}

func checkTable(spec catalog.Spec, id string) error {
	var ids []string
	for _, t := range spec.Answers {
		ids = append(ids, t.ID)
	}
	if len(ids) == 0 {
		return fmt.Errorf("-table %q: %s answers with no table", id, spec.ID)
	}
	return oneOf("table", id, ids...)
}

// answer reads the question from words and input, and prints the answer or the answers.
func answer(cmd calcCommand, c catalog.Calculator, spec catalog.Spec, stdin io.Reader, stdout, stderr io.Writer) int {
	asks, tables, err := cmd.inputs(spec)
	if err != nil {
		return misused(stderr, err)
	}
	keep, err := cmd.kept(spec, asks)
	if err != nil {
		return misused(stderr, err)
	}
	if cmd.tables, err = readTables(spec, tables, stdin); err != nil {
		return fail(stderr, err)
	}
	values, err := cmd.said(spec, cmd.start)
	if err != nil {
		return fail(stderr, err)
	}
	if asks != "" {
		input, done, err := open(asks, "a CSV or a JSON file", stdin)
		if err != nil {
			return fail(stderr, err)
		}
		defer done()
		source, err := recognise(spec, input)
		if err != nil {
			return fail(stderr, fmt.Errorf("%s: %w", inputName(asks), err))
		}
		if source.batch != nil {
			job := batch.Job{Calculator: c, Spec: spec, Base: values, Keep: keep, Measures: cmd.measures, Lines: cmd.format == "json" || cmd.format != "csv" && source.json}
			return runBatch(source, job, cmd, inputName(asks), stdout, stderr)
		}
		if cmd.overlay != "" && cmd.preset == "" {
			return misused(stderr, errIdle)
		}
		if len(keep) > 0 {
			return misused(stderr, errors.New("-keep is for a batch; this file is one question"))
		}
		if err := source.fill(&values); err != nil {
			return fail(stderr, fmt.Errorf("%s: %w", inputName(asks), err))
		}
		if values, err = cmd.said(spec, values); err != nil { // words outrank the file: they were typed last
			return fail(stderr, err)
		}
	}
	result, err := catalog.Run(c, values)
	if err != nil {
		return fail(stderr, err)
	}
	result.Measures = cmd.measures
	if cmd.figure != "" {
		if err := draw(cmd.figure, result, stdin, files(asks, tables)); err != nil {
			return fail(stderr, err)
		}
	}
	stdout.Write(render(cmd, result))
	return 0
}

// said puts the tables and words of the command line over what a question starts from.
func (cmd calcCommand) said(spec catalog.Spec, start catalog.Values) (catalog.Values, error) {
	values, named := start.Clone(), map[string]bool{}
	for id, rows := range cmd.tables {
		values.Tables[id] = rows
	}
	for _, word := range cmd.words {
		if err := ask.Word(spec, &values, word); err != nil {
			return values, err
		}
		id, _, _ := strings.Cut(word, "=")
		if id = strings.TrimSpace(id); named[id] {
			return values, &catalog.InputError{Field: id, Allowed: errTwice.Error()}
		}
		named[id] = true
	}
	return values, nil
}

// starts are the presets that a row of a batch may name, under the words of the command line.
func (cmd calcCommand) starts(spec catalog.Spec) (list []batch.Start, err error) {
	cast, err := site.Cast(cmd.overlay)
	if err != nil {
		return nil, err
	}
	for _, p := range cast.Presets(spec) {
		values, err := cast.Values(spec, p.ID)
		if err == nil {
			values, err = cmd.said(spec, values)
		}
		if err != nil {
			return nil, err
		}
		list = append(list, batch.Start{Preset: p.ID, Base: values})
	}
	return list, nil
}

func render(cmd calcCommand, a catalog.Answer) []byte {
	switch {
	case cmd.format == "json":
		return append(a.AppendJSON(nil), '\n')
	case cmd.table != "":
		for _, t := range a.Spec.Answers {
			if t.ID == cmd.table {
				return catalog.AppendTableCSV(nil, t, a.Result.Tables[t.ID], a.Measures)
			}
		}
		return nil
	case cmd.format == "csv":
		return a.AppendCSV([]byte(strings.Join(catalog.Header(a.Spec, a.Measures), ",") + "\n"))
	}
	return a.AppendText(nil)
}

func runBatch(s source, job batch.Job, cmd calcCommand, name string, stdout, stderr io.Writer) int {
	if cmd.format == "text" || cmd.table != "" || cmd.figure != "" {
		return misused(stderr, errors.New("a batch prints -format csv or json, and no single table or figure"))
	}
	var err error
	if job.Starts, err = cmd.starts(job.Spec); err != nil {
		return fail(stderr, err)
	}
	watched := isTerminal(stderr) && !isTerminal(stdout)
	if watched {
		job.Progress = progress(stderr)
	}
	tally, err := s.batch(job, stdout)
	if watched {
		fmt.Fprint(stderr, clearLine) // before anything else is said there
	}
	if errors.Is(err, errUnwritten) { // which run tells
		return 1
	}
	if err != nil {
		return fail(stderr, fmt.Errorf("%s: %w", name, err))
	}
	if tally.Rows == 0 {
		fmt.Fprintln(stderr, name+": asks nothing: no row follows")
	} else if tally.Refused == 1 {
		fmt.Fprintf(stderr, "1 row of %d was refused; its error says why\n", tally.Rows)
	} else if tally.Refused > 1 {
		fmt.Fprintf(stderr, "%d rows of %d were refused; the error of each says why\n", tally.Refused, tally.Rows)
	}
	if tally.Refused > 0 {
		return 1
	}
	return 0
}

// clearLine empties the terminal's line of progress and goes back to its start. The sequences that do so elsewhere are shown as they are by
// consoles of Windows.
const clearLine = "\r                         \r"

// progress rewrites one line of the terminal about four times a second. The numbers grow, so each covers the one before.
func progress(stderr io.Writer) func(rows int) {
	var last time.Time
	return func(rows int) {
		if now := time.Now(); now.Sub(last) > 250*time.Millisecond {
			last = now
			fmt.Fprint(stderr, "\r"+quantity.Things(rows, "row", "rows"))
		}
	}
}
