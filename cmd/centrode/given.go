package main

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/ask"
	"centrode/cmd/centrode/internal/batch"
)

// input is what one -in names: a file that tells by itself what it holds, or one for a table that is named with it.
type input struct{ table, file string }

// inputs divides what -in was given. One file may ask, be it a question or a batch; each table has one file, and standard input is read once.
func (cmd calcCommand) inputs(spec catalog.Spec) (asks string, tables []input, err error) {
	read := map[string]bool{}
	for _, given := range cmd.in {
		in := input{file: given}
		if id, file, ok := strings.Cut(given, "="); ok {
			if _, known := spec.Table(id); known {
				in = input{id, file}
			}
		}
		switch {
		case in.file == "":
			return "", nil, fmt.Errorf("-in %s: names no file for the table", given)
		case in.file == "-" && read["-"]:
			return "", nil, errors.New("-in -: standard input can be read once; give a file for the other")
		case in.table == "" && asks != "":
			return "", nil, fmt.Errorf("-in %s: one file asks; say of another which table it fills, as in -in %s=%s", given, tableOf(spec), given)
		case slices.ContainsFunc(tables, func(t input) bool { return t.table == in.table }):
			return "", nil, fmt.Errorf("-in %s: the table has a file already", given)
		}
		read[in.file] = true
		if in.table == "" {
			asks = in.file
		} else {
			tables = append(tables, in)
		}
	}
	return asks, tables, nil
}

// tableOf names a table that a file may be given for: the last, which a file by itself seldom reaches.
func tableOf(spec catalog.Spec) string {
	if n := len(spec.Tables); n > 0 {
		return spec.Tables[n-1].ID
	}
	return "TABLE"
}

// kept are the columns that -keep names, separated by commas as cells are.
func (cmd calcCommand) kept(spec catalog.Spec, asks string) (names []string, err error) {
	for _, given := range cmd.keep {
		list, err := csv.NewReader(strings.NewReader(given)).Read()
		if err != nil {
			return nil, fmt.Errorf("-keep %s: is no list of columns, as in shot,note", ask.Shell(given))
		}
		for _, name := range list {
			name = strings.TrimSpace(name)
			field := ask.Columns(ask.Fields(spec), []string{name})[0].ID
			if _, known := spec.Field(field); known || name == "" || field == ask.NameColumn || field == ask.PresetColumn {
				return nil, fmt.Errorf("-keep %q: names columns of your own; fields, name and preset are copied anyway", name)
			}
			if slices.Contains(catalog.OutputHeader(spec, nil), plate.Unmeasured(name)) {
				return nil, fmt.Errorf("-keep %q: is what the answers call a column of theirs; give your own another name", name)
			}
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	if len(names) > 0 && asks == "" {
		return nil, errors.New("-keep needs a batch, from -in")
	}
	return names, nil
}

// files names all that was read.
func files(asks string, tables []input) []string {
	list := []string{asks}
	for _, in := range tables {
		list = append(list, in.file)
	}
	return list
}

// readTables reads the files of tables that are named with them.
func readTables(spec catalog.Spec, tables []input, stdin io.Reader) (map[string]catalog.Rows, error) {
	v := catalog.NewValues()
	for _, in := range tables {
		text, done, err := open(in.file, "a CSV or a JSON file", stdin)
		if err != nil {
			return nil, err
		}
		err = fillTable(spec, &v, in.table, text)
		done()
		if err == nil && v.Tables[in.table].Len == 0 { // a table that may be left out would be, and nobody told
			err = fmt.Errorf("holds no row of %s; fill it, or leave it out", in.table)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", inputName(in.file), err)
		}
	}
	return v.Tables, nil
}

func fillTable(spec catalog.Spec, v *catalog.Values, id string, in *bufio.Reader) error {
	first, err := firstByte(in)
	if err != nil {
		return err
	}
	t, _ := spec.Table(id)
	if first == '[' || first == '{' {
		rows, err := io.ReadAll(batch.NewBounded(in))
		if err != nil {
			return err
		}
		return ask.JSON(catalog.Spec{ID: spec.ID, Tables: []catalog.Table{t}}, v, slices.Concat([]byte(`{"`+id+`":`), rows, []byte("}")))
	}
	head, spaced, err := header(t, in)
	if err == nil {
		err = ask.Describes(t, head)
	}
	if err != nil {
		return err
	}
	return readTable(t, head, spaced, in, v)
}

// header looks at the first line of a table: where nothing but spaces divides its names, it says so.
func header(t catalog.Table, in *bufio.Reader) (head []string, spaced bool, err error) {
	line, err := begun(in)
	if err != nil {
		return nil, false, err
	}
	if names := plate.Spaced(line); len(names) > 1 && ask.Describes(t, names) == nil {
		return names, true, nil
	}
	head, err = batch.ReadHeader(batch.NewReader(bytes.NewReader(line)))
	return head, false, err
}

// begun is the beginning of a text.
func begun(in *bufio.Reader) ([]byte, error) {
	line, err := in.Peek(4096)
	if len(line) == 0 && err != nil {
		return nil, err
	}
	if bytes.IndexByte(line, 0) >= 0 {
		return nil, errors.New("is no text; give a CSV or a JSON file, in UTF-8")
	}
	return line, nil
}

// readTable fills a table from a text with a header line.
func readTable(t catalog.Table, head []string, spaced bool, in io.Reader, v *catalog.Values) error {
	text := io.Reader(batch.NewBounded(in))
	if spaced {
		whole, err := io.ReadAll(text)
		if err != nil {
			return err
		}
		tabbed, ok := plate.Tabbed(t, string(whole))
		if !ok {
			return errors.New("where spaces alone divide the columns, each line below the first must have numbers alone, one for each column; put tabs or commas between them")
		}
		text = strings.NewReader(tabbed)
	}
	reader := batch.NewReader(text)
	if _, err := reader.Read(); err != nil {
		return batch.Explain(err)
	}
	rows, err := ask.Table(t, head, reader.Read, reader.Comma != ',')
	v.Tables[t.ID] = rows
	return batch.Explain(err)
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
			object, err := io.ReadAll(batch.NewBounded(in))
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
	line, err := begun(in)
	if err != nil {
		return source{}, err
	}
	fills := func(t catalog.Table, head []string, spaced bool) (source, error) {
		return source{fill: func(v *catalog.Values) error { return readTable(t, head, spaced, in, v) }}, nil
	}
	if names := plate.Spaced(line); len(names) > 1 {
		if t, ok, err := ask.TableFor(spec, names); ok && err == nil {
			return fills(t, names, true)
		}
	}
	if head, err := batch.ReadHeader(batch.NewReader(bytes.NewReader(line))); err == nil {
		t, ok, err := ask.TableFor(spec, head)
		if err != nil {
			return source{}, err
		}
		if ok {
			return fills(t, head, false)
		}
	}
	return source{batch: func(job batch.Job, out io.Writer) (batch.Tally, error) { return batch.CSV(job, in, out) }}, nil
}

// firstByte skips white space and a byte order mark and peeks at what follows.
func firstByte(in *bufio.Reader) (byte, error) {
	for {
		b, err := in.Peek(1)
		if err == io.EOF {
			return 0, errors.New("the input is empty")
		}
		if err != nil {
			return 0, cause(err)
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

// open opens what a command is to read; what it should be is said of a folder.
func open(name, what string, stdin io.Reader) (*bufio.Reader, func(), error) {
	if name == "-" {
		return bufio.NewReaderSize(stdin, 1<<16), func() {}, nil
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: cannot be read: %w", name, cause(err))
	}
	if info, err := file.Stat(); err == nil && info.IsDir() {
		file.Close()
		return nil, nil, fmt.Errorf("%s: is a folder; name %s", name, what)
	}
	return bufio.NewReaderSize(file, 1<<16), func() { file.Close() }, nil
}

func inputName(name string) string {
	if name == "-" {
		return "standard input"
	}
	return name
}
