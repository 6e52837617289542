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
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/ask"
)

// nameColumn passes through untouched: it tells the rows of a spreadsheet apart.
const nameColumn = "name"

// CSV answers each record of a CSV text with a header line. The header holds ids of scalar inputs in any order and may
// hold a column "name", which is copied. Out come the given columns, then every output, "warnings" and "error".
func CSV(job Job, in io.Reader, out io.Writer) (Tally, error) {
	text := job.bounded(in)
	reader := NewReader(text)
	head, err := ReadHeader(reader)
	if err != nil {
		return Tally{}, err
	}
	if err := checkHeader(job.Spec, head); err != nil {
		return Tally{}, err
	}
	if !job.Lines {
		if _, err := io.WriteString(out, strings.Join(append(slices.Clone(head), catalog.OutputHeader(job.Spec)...), ",")+"\n"); err != nil {
			return Tally{}, err
		}
	}
	next := func() ([]string, error) {
		text.Next()
		record, err := reader.Read()
		return record, Explain(err)
	}
	return run(job, out, next, func(runner *catalog.Runner, cells []string, number int, text []byte) ([]byte, bool) {
		return job.row(runner, text, head, cells, number)
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
	return head, nil
}

// unknown is the first column that the calculator has neither as a field nor in a table, or else the first that is no field.
func unknown(spec catalog.Spec, head, ids []string) string {
	first := ""
	for _, id := range head {
		if id == nameColumn || slices.Contains(ids, id) {
			continue
		}
		if first == "" {
			first = id
		}
		if !slices.ContainsFunc(spec.Tables, func(t catalog.Table) bool { _, ok := t.Column(id); return ok }) {
			return id
		}
	}
	return first
}

func checkHeader(spec catalog.Spec, head []string) error {
	var ids []string
	for _, f := range spec.Fields {
		ids = append(ids, f.ID)
	}
	for i, id := range head {
		switch {
		case slices.Contains(head[:i], id):
			return errors.New("column " + strconv.Quote(id) + " stands twice in the header")
		case id != nameColumn && !slices.Contains(ids, id):
			id = unknown(spec, head, ids)
			return errors.New("column " + strconv.Quote(clip(id)) + " is no field of " + spec.ID + spell.Offer(id, ids) +
				`; a column "name" is copied, every other must be a field` + orTable(spec))
		}
	}
	return nil
}

// orTable names the columns of the tables that a file may hold instead.
func orTable(spec catalog.Spec) string {
	text := ""
	for _, t := range spec.Tables {
		text += "; a file of " + t.ID + " has the columns " + strings.Join(t.IDs(), ", ")
	}
	return text
}

func clip(s string) string { return ask.Clip(s, 60) }

// row appends the answer to one record and reports whether it was accepted.
func (job Job) row(runner *catalog.Runner, out []byte, head, cells []string, number int) ([]byte, bool) {
	answer, err := job.solve(runner, head, cells)
	if job.Lines {
		name := ""
		if at := slices.Index(head, nameColumn); at >= 0 && at < len(cells) {
			name = catalog.CellText(cells[at])
		}
		out = appendLine(out, name, job.Spec.ID, number, answer, err)
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

func (job Job) solve(runner *catalog.Runner, head, cells []string) (catalog.Answer, error) {
	if len(cells) > len(head) {
		return catalog.Answer{}, &catalog.InputError{Given: strconv.Itoa(len(cells)) + " cells", Allowed: "must have at most " + quantity.Things(len(head), "cell", "cells")}
	}
	values := runner.Question()
	for i, cell := range cells {
		if head[i] == nameColumn || strings.TrimSpace(cell) == "" {
			continue // an empty cell takes the default
		}
		if err := catalog.Set(job.Spec, values, head[i], catalog.CellText(cell)); err != nil {
			return catalog.Answer{}, err
		}
	}
	return runner.Answer()
}
