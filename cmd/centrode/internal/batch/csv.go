package batch

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/jsontree"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/ask"
)

// beside are the columns that are no fields.
var beside = []string{ask.NameColumn, ask.PresetColumn}

// CSV answers each record of a CSV text with a header line. The header names scalar inputs in any order, with a unit where there is
// one (see ask.Columns), and may hold a column "name", which is copied, one "preset", from which a row starts, and those that the job
// keeps. Out come the given columns, then every output, "warnings" and "error".
func CSV(job Job, in io.Reader, out io.Writer) (Tally, error) {
	text := job.bounded(in)
	reader := NewReader(text)
	head, err := ReadHeader(reader)
	if err != nil {
		return Tally{}, err
	}
	columns, err := job.readColumns(head)
	if err != nil {
		return Tally{}, err
	}
	if !job.Lines {
		var line []byte
		for _, name := range head { // which may hold a comma: "angle, rad"
			line = append(catalog.AppendCell(line, name), ',')
		}
		if _, err := io.WriteString(out, string(line)+strings.Join(catalog.OutputHeader(job.Spec, job.Measures), ",")+"\n"); err != nil {
			return Tally{}, err
		}
	}
	next := func() ([]string, error) {
		text.Next()
		record, err := reader.Read()
		return record, Explain(err)
	}
	return run(job, out, next, func(from runners, cells []string, number int, text []byte) ([]byte, bool) {
		return job.row(from, text, columns, cells, number)
	})
}

// NewReader reads CSV as spreadsheets write it: any number of cells, spaces after a comma, a byte order mark; and tabs or semicolons in
// place of the commas, as in a text that is pasted into a page.
func NewReader(in io.Reader) *csv.Reader {
	text := bufio.NewReader(&lineFeeds{in: in})
	if mark, err := text.Peek(3); err == nil && string(mark) == "\ufeff" {
		text.Discard(3)
	}
	r := csv.NewReader(text)
	r.FieldsPerRecord = -1
	begin, _ := text.Peek(text.Size()) // as much as there is
	r.Comma = rune(plate.Divider(string(begin)))
	r.TrimLeadingSpace = r.Comma != '\t' // which is a space, too
	return r
}

// lineFeeds ends lines as one system does: some end them with a carriage return, alone or before the line feed.
type lineFeeds struct {
	in       io.Reader
	returned bool // the last sign was a carriage return
}

// Read implements io.Reader.
func (l *lineFeeds) Read(p []byte) (int, error) {
	for {
		n, err := l.in.Read(p)
		if !l.returned && bytes.IndexByte(p[:n], '\r') < 0 {
			return n, err
		}
		kept := 0
		for _, c := range p[:n] {
			if c == '\n' && l.returned {
				l.returned = false
				continue
			}
			if l.returned = c == '\r'; l.returned {
				c = '\n'
			}
			p[kept] = c
			kept++
		}
		if kept > 0 || n == 0 || err != nil {
			return kept, err
		}
	}
}

// Explain rewords an error of the CSV reader: where the text stops being CSV, and what to do. Others pass unchanged.
func Explain(err error) error {
	var bad *csv.ParseError
	if !errors.As(err, &bad) {
		return err
	}
	return errors.New("line " + strconv.Itoa(bad.Line) + ": " + bad.Err.Error() + "; put a cell that holds a quote into quotes, and double the quote")
}

// ReadHeader reads the first record and tidies it.
func ReadHeader(r *csv.Reader) ([]string, error) {
	head, err := r.Read()
	if err == io.EOF {
		return nil, errors.New("the file is empty; its first line must name the columns")
	}
	if err != nil {
		return nil, Explain(err)
	}
	for i := range head {
		head[i] = strings.TrimSpace(head[i])
	}
	return filled(head), nil
}

// filled is a record without the empty cells at its end: a spreadsheet writes all of its lines as wide as the widest that it ever had.
func filled(cells []string) []string {
	for len(cells) > 0 && strings.TrimSpace(cells[len(cells)-1]) == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// unknown is the first column that the calculator has neither as a field nor in a table, or else the first that is no field.
func unknown(spec catalog.Spec, head []ask.Column) string {
	first := ""
	for _, c := range head {
		if _, ok := spec.Field(c.ID); ok || c.Kept || slices.Contains(beside, c.ID) {
			continue
		}
		if first == "" {
			first = c.ID
		}
		if !slices.ContainsFunc(spec.Tables, func(t catalog.Table) bool { at, _ := plate.Named(t, c.ID); return at >= 0 }) {
			return c.ID
		}
	}
	return first
}

// readColumns finds the field of each column; those beside the fields and those that are kept have none.
func (job Job) readColumns(head []string) ([]ask.Column, error) {
	spec, fields := job.Spec, ask.Fields(job.Spec)
	columns, seen := ask.Columns(fields, head), map[string]bool{}
	for _, name := range job.Keep {
		at := slices.Index(head, name)
		if at < 0 {
			return nil, errors.New("no column is called " + strconv.Quote(clip(name)) + ", which -keep names" + spell.Offer(name, head))
		}
		columns[at] = ask.Column{ID: name, Kept: true}
	}
	for _, c := range columns {
		switch _, known := spec.Field(c.ID); {
		case seen[c.ID]:
			return nil, errors.New("column " + strconv.Quote(c.ID) + " stands twice in the header")
		case c.Kept:
		case !known && !slices.Contains(beside, c.ID):
			id := unknown(spec, columns)
			for _, t := range append([]catalog.Table{fields}, spec.Tables...) {
				if err := plate.Mismeasured(t, id); err != nil {
					return nil, errors.New("column " + strconv.Quote(clip(id)) + ": " + err.Error())
				}
			}
			return nil, errors.New("column " + strconv.Quote(clip(id)) + " is no field of " + spec.ID + offer(id, fields) +
				`; a column "name" is copied, a row starts from its "preset", every other column must be a field` + orTable(spec) + orKeep(spec, id, columns, fields))
		}
		seen[c.ID] = true
	}
	return columns, nil
}

// offer is the field or the other known column that a head comes near, without the unit that may stand behind it.
func offer(head string, fields catalog.Table) string {
	known := append(fields.IDs(), beside...)
	if text := spell.Offer(head, known); text != "" {
		return text
	}
	return spell.Offer(plate.Unmeasured(head), known)
}

// orKeep says how a column comes back that is the writer's own: all of those at once that come near no field, or else the one. In a file
// that has no field nothing is.
func orKeep(spec catalog.Spec, id string, columns []ask.Column, fields catalog.Table) string {
	if id == "" {
		return "; give the column a name, or take it out"
	}
	own, asks, answers := "", false, catalog.OutputHeader(spec, nil)
	for _, c := range columns {
		_, known := fields.Column(c.ID)
		asks = asks || known
		if c.ID != "" && !c.Kept && !known && !slices.Contains(beside, c.ID) && !slices.Contains(answers, plate.Unmeasured(c.ID)) && offer(c.ID, fields) == "" {
			own += "," + keepable(c.ID)
		}
	}
	switch {
	case slices.Contains(answers, plate.Unmeasured(id)):
		return "; the answers have one of that name, so take it out"
	case !asks || own == "" && offer(id, fields) == "" || len(own) > 200 || len(id) > 60:
		return ""
	case offer(id, fields) != "":
		return "; -keep " + ask.Shell(keepable(id)) + " copies it, if it is your own"
	}
	return "; -keep " + ask.Shell(own[1:]) + " copies what is your own"
}

// keepable is a name as a list of names has it.
func keepable(name string) string {
	if strings.ContainsAny(name, ",\"") {
		return `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
	}
	return name
}

// orTable names the columns of the tables that a file may hold instead: of two with the same columns the first, which such a file fills.
func orTable(spec catalog.Spec) string {
	text, told := "", map[string]bool{}
	for _, t := range spec.Tables {
		if ids := strings.Join(t.IDs(), ", "); !told[ids] {
			told[ids] = true
			text += "; a file of " + t.ID + " has the columns " + ids
		}
	}
	return text
}

func clip(s string) string { return ask.Clip(s, 60) }

// row appends the answer to one record and reports whether it was accepted.
func (job Job) row(from runners, out []byte, head []ask.Column, cells []string, number int) ([]byte, bool) {
	answer, err := job.solve(from, head, cells)
	answer.Measures = job.Measures
	if job.Lines {
		kept := entry{name: cellOf(head, cells, ask.NameColumn)}
		for _, name := range job.Keep {
			kept.keep(name, jsontree.AppendString(nil, cellOf(head, cells, name)))
		}
		out = appendLine(out, kept, job.Spec.ID, number, answer, err)
		return append(out, '\n'), err == nil
	}
	for i := range head {
		cell := ""
		if i < len(cells) {
			cell = cells[i]
		}
		out = append(catalog.AppendCell(out, cell), ',')
	}
	if err != nil {
		out = catalog.AppendErrorCells(out, job.Spec, err)
	} else {
		out = answer.AppendOutputCells(out)
	}
	return append(out, '\n'), err == nil
}

// cellOf is what the row has in a column that is no field; "" where there is none.
func cellOf(head []ask.Column, cells []string, id string) string {
	if at := slices.IndexFunc(head, func(c ask.Column) bool { return c.ID == id && c.Unit == "" }); at >= 0 && at < len(cells) {
		return catalog.CellText(cells[at])
	}
	return ""
}

func (job Job) solve(from runners, head []ask.Column, cells []string) (catalog.Answer, error) {
	if cells = filled(cells); len(cells) == 0 {
		return catalog.Answer{}, errors.New("the row is empty; take it out, or fill it")
	}
	if len(cells) > len(head) {
		return catalog.Answer{}, &catalog.InputError{Given: strconv.Itoa(len(cells)) + " cells", Allowed: "must have at most " + quantity.Things(len(head), "cell", "cells")}
	}
	runner, err := from.at(strings.TrimSpace(cellOf(head, cells, ask.PresetColumn)))
	if err != nil {
		return catalog.Answer{}, err
	}
	values := runner.Question()
	for i, cell := range cells {
		if head[i].Kept || slices.Contains(beside, head[i].ID) || strings.TrimSpace(cell) == "" {
			continue // an empty cell takes the default
		}
		if err := catalog.Set(job.Spec, values, head[i].ID, head[i].Cell(cell)); err != nil {
			return catalog.Answer{}, err
		}
	}
	return runner.Answer()
}
