package plate

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Export writes the answer for a state in one of the formats text, json and csv: the text that the command line prints
// for the same input, CSV with its header line. "csv:ID" is the answer table ID as CSV, "input:ID" the input table ID,
// which needs no solving. Errors are *catalog.InputError.
func Export(c catalog.Calculator, state, format string) (string, error) {
	if id, ok := strings.CutPrefix(format, "input:"); ok {
		return exportInput(c, state, id)
	}
	a, err := Run(c, state)
	if err != nil {
		return "", err
	}
	switch format {
	case "text":
		return string(a.AppendText(nil)), nil
	case "json":
		return string(append(a.AppendJSON(nil), '\n')), nil
	case "csv":
		return string(a.AppendCSV([]byte(strings.Join(catalog.Header(a.Spec, nil), ",") + "\n"))), nil
	}
	if id, ok := strings.CutPrefix(format, "csv:"); ok {
		for _, t := range a.Spec.Answers {
			if rows, has := a.Result.Tables[id]; has && t.ID == id {
				return string(catalog.AppendTableCSV(nil, t, rows, nil)), nil
			}
		}
	}
	return "", unknownFormat(format)
}

func exportInput(c catalog.Calculator, state, id string) (string, error) {
	spec := c.Spec()
	values, err := ParseState(spec, state)
	if err == nil {
		values, err = catalog.Prepare(spec, values)
	}
	t, ok := spec.Table(id)
	switch {
	case err != nil:
		return "", err
	case !ok:
		return "", unknownFormat("input:" + id)
	}
	return string(catalog.AppendTableCSV(nil, t, values.Tables[id], nil)), nil
}

func unknownFormat(format string) error {
	return &catalog.InputError{Field: "format", Given: quantity.Quoted(format),
		Allowed: "must be text, json, csv, csv: with a table of the answer, or input: with a table of the input"}
}
