package batch

import (
	"encoding/json"
	"errors"
	"io"
	"strconv"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/ask"
)

// JSON answers each object of a JSON array, read as it streams.
func JSON(job Job, in io.Reader, out io.Writer) (Tally, error) {
	decoder := json.NewDecoder(in)
	if _, err := decoder.Token(); err != nil {
		return Tally{}, errors.New("the input is no JSON array: " + err.Error())
	}
	if !job.Lines {
		text := append(joinHeader(catalog.Header(job.Spec)), '\n')
		if _, err := out.Write(text); err != nil {
			return Tally{}, err
		}
	}
	row := 0
	next := func() (json.RawMessage, error) {
		if !decoder.More() {
			_, err := decoder.Token()
			if err == nil {
				err = io.EOF
			} else {
				err = errors.New("the JSON array does not end after object " + strconv.Itoa(row) + ": " + err.Error())
			}
			return nil, err
		}
		row++
		var object json.RawMessage
		if err := decoder.Decode(&object); err != nil {
			return nil, errors.New("object " + strconv.Itoa(row) + " of the JSON array: " + err.Error())
		}
		return object, nil
	}
	return run(out, next, func(rows []json.RawMessage, first int, text []byte) ([]byte, int) {
		refused := 0
		for i, object := range rows {
			answer, err := job.solveObject(object)
			if err != nil {
				refused++
			}
			text = job.appendObject(text, answer, err, first+i)
		}
		return text, refused
	})
}

func (job Job) solveObject(object json.RawMessage) (catalog.Answer, error) {
	values := job.Base.Clone()
	if err := ask.JSON(job.Spec, &values, object); err != nil {
		return catalog.Answer{}, err
	}
	return catalog.RunSpec(job.Calculator, job.Spec, values)
}

func (job Job) appendObject(text []byte, answer catalog.Answer, err error, number int) []byte {
	switch {
	case job.Lines:
		return append(appendLine(text, job.Spec.ID, number, answer, err), '\n')
	case err != nil:
		for range job.Spec.Fields {
			text = append(text, ',')
		}
		return append(catalog.AppendErrorCells(text, job.Spec, err), '\n')
	}
	return answer.AppendCSV(text)
}

func joinHeader(ids []string) []byte {
	var b []byte
	for i, id := range ids {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, id...)
	}
	return b
}

// appendLine appends one JSON line: the answer, or the refusal with its row.
func appendLine(out []byte, id string, number int, answer catalog.Answer, err error) []byte {
	if err == nil {
		return answer.AppendJSON(out)
	}
	out = append(out, `{"calculator":`...)
	out = catalog.AppendString(out, id)
	out = append(out, `,"row":`...)
	out = strconv.AppendInt(out, int64(number), 10)
	out = append(out, `,"error":`...)
	return append(catalog.AppendString(out, err.Error()), '}')
}
