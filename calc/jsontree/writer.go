package jsontree

import "centrode/calc/quantity"

// Writer appends JSON to B and places the commas, by what stands last in B. It does not check that brackets match and that members have
// names.
type Writer struct{ B []byte }

// Comma appends a comma if one is due.
func (w *Writer) Comma() {
	if n := len(w.B); n > 0 && w.B[n-1] != '{' && w.B[n-1] != '[' && w.B[n-1] != ':' {
		w.B = append(w.B, ',')
	}
}

// Open begins a list or an object.
func (w *Writer) Open(bracket byte) { w.Comma(); w.B = append(w.B, bracket) }

// Close ends a list or an object.
func (w *Writer) Close(bracket byte) { w.B = append(w.B, bracket) }

// Key begins a member; its value comes next.
func (w *Writer) Key(name string) *Writer {
	w.Text(name)
	w.B = append(w.B, ':')
	return w
}

// Raw appends a value that is JSON already.
func (w *Writer) Raw(json []byte) { w.Comma(); w.B = append(w.B, json...) }

// Text appends a string.
func (w *Writer) Text(s string) { w.Comma(); w.B = AppendString(w.B, s) }

// Number appends a number in the fewest digits that read back the same; it must be finite.
func (w *Writer) Number(v float64) { w.Comma(); w.B = quantity.AppendShortest(w.B, v) }

// Flag appends true or false.
func (w *Writer) Flag(on bool) {
	if on {
		w.Raw([]byte("true"))
	} else {
		w.Raw([]byte("false"))
	}
}

// Texts appends a list of strings.
func (w *Writer) Texts(list []string) {
	w.Open('[')
	for _, text := range list {
		w.Text(text)
	}
	w.Close(']')
}
