package batch

import (
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/jsontree"
	"centrode/cmd/centrode/internal/ask"
)

// JSON answers each object of a JSON array, read as it streams. An object may have a member "preset" to start from, and a member "name",
// which comes back with its answer: in CSV, where the header is written first, if the first object has one. Members that the job keeps come
// back as they are: in JSON in an object "kept", in CSV as columns, a text without its quotes.
func JSON(job Job, in io.Reader, out io.Writer) (Tally, error) {
	text := job.bounded(in)
	decoder := json.NewDecoder(text)
	if _, err := decoder.Token(); err != nil {
		return Tally{}, errors.New("the input is no JSON array: " + err.Error())
	}
	row := 0
	read := func() (json.RawMessage, error) {
		text.Next()
		if !decoder.More() {
			return nil, end(decoder, row)
		}
		row++
		var object json.RawMessage
		if err := decoder.Decode(&object); err != nil {
			return nil, errors.New("object " + strconv.Itoa(row) + " of the JSON array: " + plain(err))
		}
		return object, nil
	}
	first, firstErr := read()
	named := job.Lines || ask.HasName(first)
	if !job.Lines {
		head := catalog.Header(job.Spec, job.Measures)
		for _, name := range slices.Backward(job.Keep) {
			head = append([]string{string(catalog.AppendCell(nil, name))}, head...)
		}
		if named {
			head = append([]string{ask.NameColumn}, head...)
		}
		if _, err := io.WriteString(out, strings.Join(head, ",")+"\n"); err != nil {
			return Tally{}, err
		}
	}
	next := func() (object json.RawMessage, err error) {
		if object, err = first, firstErr; object == nil && err == nil {
			return read()
		}
		first = nil
		return object, err
	}
	return run(job, out, next, func(from runners, object json.RawMessage, number int, text []byte) ([]byte, bool) {
		kept, answer, err := job.solveObject(from, object, named)
		if named && !job.Lines {
			text = append(catalog.AppendCell(text, kept.name), ',')
		}
		return job.appendObject(text, kept, answer, err, number), err == nil
	})
}

// end reads the bracket that closes the array and returns io.EOF when nothing follows it. A second array would
// otherwise be lost without a word.
func end(decoder *json.Decoder, row int) error {
	if _, err := decoder.Token(); err != nil {
		return errors.New("the JSON array does not end after object " + strconv.Itoa(row) + ": " + plain(err))
	}
	if _, err := decoder.Token(); err != io.EOF {
		return errors.New("text follows the JSON array, which ends after object " + strconv.Itoa(row) + "; put all objects into one array")
	}
	return io.EOF
}

func plain(err error) string {
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return "the text ends in the middle"
	}
	return err.Error()
}

// entry is what comes back of a question beside its answer.
type entry struct {
	name  string
	cells []string // of what is kept, as CSV has it
	json  []byte   // the same as members of an object, with a comma before each
}

func (e *entry) keep(name string, json []byte) {
	e.json = append(append(jsontree.AppendString(append(e.json, ','), name), ':'), json...)
}

func (job Job) solveObject(from runners, object json.RawMessage, named bool) (kept entry, answer catalog.Answer, err error) {
	entry, err := ask.Listed(object, job.Keep...)
	kept.name = entry.Name
	for i, name := range job.Keep {
		cell, json := entry.Kept(i)
		kept.cells = append(kept.cells, cell)
		if json != nil {
			kept.keep(name, json)
		}
	}
	if entry.Name != "" && !named {
		err = &catalog.InputError{Field: ask.NameColumn, Given: strconv.Quote(clip(entry.Name)),
			Allowed: "the answers have no column for it, since the first object has no name; give that one a name too"}
	}
	var runner *catalog.Runner
	if err == nil {
		runner, err = from.at(entry.Preset)
	}
	if err == nil {
		err = entry.Fill(job.Spec, runner.Question())
	}
	if err == nil {
		answer, err = runner.Answer()
	}
	answer.Measures = job.Measures
	return kept, answer, err
}

func (job Job) appendObject(text []byte, kept entry, answer catalog.Answer, err error, number int) []byte {
	if job.Lines {
		return append(appendLine(text, kept, job.Spec.ID, number, answer, err), '\n')
	}
	for _, cell := range kept.cells {
		text = append(catalog.AppendCell(text, cell), ',')
	}
	switch {
	case err != nil:
		for range job.Spec.Fields {
			text = append(text, ',')
		}
		return append(catalog.AppendErrorCells(text, job.Spec, err), '\n')
	}
	return answer.AppendCSV(text)
}

// appendLine appends one JSON line: the answer, or the refusal with its row; before it the name of the question, if it has one, and what
// is kept of it.
func appendLine(out []byte, kept entry, id string, number int, answer catalog.Answer, err error) []byte {
	if kept.name != "" || len(kept.json) > 0 {
		begun := len(out)
		if kept.name != "" {
			out = jsontree.AppendString(append(out, `,"name":`...), kept.name)
		}
		if len(kept.json) > 0 {
			inside := len(out) + len(`,"kept":`)
			out = append(append(append(out, `,"kept":`...), kept.json...), '}')
			out[inside] = '{' // instead of the comma
		}
		out[begun] = '{'
		begun = len(out)
		out = appendLine(out, entry{}, id, number, answer, err)
		out[begun] = ',' // instead of the bracket
		return out
	}
	if err == nil {
		return answer.AppendJSON(out)
	}
	out = append(out, `{"calculator":`...)
	out = jsontree.AppendString(out, id)
	out = append(out, `,"row":`...)
	out = strconv.AppendInt(out, int64(number), 10)
	out = append(out, `,"error":`...)
	return append(jsontree.AppendString(out, err.Error()), '}')
}
