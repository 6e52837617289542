package catalog

import "strconv"

// InputError says which input was refused and what would be accepted.
type InputError struct {
	Field   string // id from the Spec: "mcp_depth"; for a cell "landmarks.x"; "" when no field is to blame
	Row     int    // 1-based row of a table; 0 for a scalar
	Given   string // as typed, unit included; "" when nothing was given
	Allowed string // a condition in words: "must be above 0 and at most 30 cm"
}

// Error prints field, row, what was given and what is allowed: `mcp_depth: -2 cm: must be above 0 and at most 30 cm`.
func (e *InputError) Error() string {
	text := e.Field
	if e.Row > 0 {
		text += " row " + strconv.Itoa(e.Row)
	}
	if e.Given != "" {
		if text != "" {
			text += ": "
		}
		text += e.Given
	}
	if text != "" {
		text += ": "
	}
	return text + e.Allowed
}
