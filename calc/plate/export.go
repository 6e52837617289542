package plate

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Export writes the answer for a state in one of the formats text, json and csv: the text that the command line prints
// for the same input, CSV with its header line. Errors are *catalog.InputError.
func Export(c catalog.Calculator, state, format string) (string, error) {
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
		return string(a.AppendCSV([]byte(strings.Join(catalog.Header(a.Spec), ",") + "\n"))), nil
	}
	return "", &catalog.InputError{Field: "format", Given: quantity.Quoted(format), Allowed: "must be text, json or csv"}
}
