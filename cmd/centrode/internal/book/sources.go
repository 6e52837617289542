package book

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/spell"
)

// statuses says how far a source or a published value was looked at.
func statuses() []string { return []string{"seen", "derived", "secondary", "memory"} }

// cslItem is the part of CSL-JSON that the handbook prints.
type cslItem struct {
	ID     string `json:"id"`
	Type   string `json:"type"`
	Author []struct {
		Family  string `json:"family"`
		Given   string `json:"given"`
		Literal string `json:"literal"`
	} `json:"author"`
	Issued struct {
		Parts   [][]text `json:"date-parts"`
		Literal string   `json:"literal"`
		Raw     string   `json:"raw"`
	} `json:"issued"`
	Title     string `json:"title"`
	In        string `json:"container-title"`
	Volume    text   `json:"volume"`
	Issue     text   `json:"issue"`
	Page      text   `json:"page"`
	Publisher string `json:"publisher"`
	DOI       string `json:"DOI"`
	URL       string `json:"URL"`
	Note      string `json:"note"`
	Custom    struct {
		Status string `json:"status"`
	} `json:"custom"`
}

// text is a JSON string or number, which CSL-JSON uses one for the other.
type text string

// UnmarshalJSON implements json.Unmarshaler.
func (t *text) UnmarshalJSON(source []byte) error {
	var s string
	if json.Unmarshal(source, &s) == nil {
		*t = text(s)
		return nil
	}
	var n json.Number
	if err := json.Unmarshal(source, &n); err != nil {
		return fmt.Errorf("must be a text or a number, not %s", source)
	}
	*t = text(n.String())
	return nil
}

// sources reads content/sources.json, an array of CSL-JSON items, one item at a time so that each keeps its line.
func (l loader) sources(file string) []Source { return parsed(l, file, l.parseSources) }

func (l loader) parseSources(file string, source []byte) []Source {
	line, counted := 1, 0 // of what the items before take: a long list is not counted from its beginning for each
	lineAt := func(offset int64) int {
		end := min(int(offset), len(source))
		if end < counted {
			return 1 + bytes.Count(source[:end], []byte("\n"))
		}
		line, counted = line+bytes.Count(source[counted:end], []byte("\n")), end
		return line
	}
	d := json.NewDecoder(bytes.NewReader(source))
	if first, err := d.Token(); err != nil || first != json.Delim('[') {
		l.log.Add(file, 1, "expected a JSON array of CSL-JSON items, which begins with [")
		return nil
	}
	var out []Source
	for d.More() {
		start := d.InputOffset()
		for start < int64(len(source)) && strings.IndexByte(", \t\n", source[start]) >= 0 {
			start++
		}
		begins := lineAt(start)
		var raw json.RawMessage
		if err := d.Decode(&raw); err != nil {
			l.log.Add(file, lineAt(jsonOffset(err, d.InputOffset())), "is not readable as JSON: "+jsonText(err))
			return out
		}
		var item cslItem
		if err := json.Unmarshal(raw, &item); err != nil {
			l.log.Add(file, lineAt(start+jsonOffset(err, 0)), "source "+strconv.Quote(item.ID)+": "+jsonText(err))
			continue
		}
		out = append(out, l.source(file, item, begins))
	}
	if _, err := d.Token(); err != nil {
		l.log.Add(file, lineAt(int64(len(source))), "is not readable as JSON: the array is not closed with ]")
	} else if _, err := d.Token(); !errors.Is(err, io.EOF) {
		l.log.Add(file, lineAt(d.InputOffset()), "holds more than one JSON array")
	}
	return out
}

func jsonOffset(err error, otherwise int64) int64 {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return max(syntax.Offset-1, 0)
	case errors.As(err, &kind):
		return max(kind.Offset-1, 0)
	}
	return otherwise
}

func jsonText(err error) string {
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		return kind.Field + ": found " + kind.Value + ", expected " + map[string]string{"string": "text", "slice": "a list", "struct": "an object"}[kind.Type.Kind().String()]
	}
	if errors.Is(err, io.ErrUnexpectedEOF) {
		return "it ends in the middle"
	}
	return err.Error()
}

func (l loader) source(file string, item cslItem, line int) Source {
	s := Source{Key: item.ID, Type: item.Type, Title: item.Title, In: item.In, Volume: string(item.Volume), Issue: string(item.Issue),
		Pages: string(item.Page), Publisher: item.Publisher, DOI: item.DOI, URL: item.URL, Note: item.Note, Status: item.Custom.Status, File: file, Line: line}
	for _, a := range item.Author {
		if a.Literal != "" {
			a.Family = a.Literal
		}
		s.Authors = append(s.Authors, Name{a.Family, a.Given})
	}
	s.Year = item.Issued.Literal + item.Issued.Raw
	if len(item.Issued.Parts) > 0 && len(item.Issued.Parts[0]) > 0 {
		s.Year = string(item.Issued.Parts[0][0])
	}
	what := "source " + strconv.Quote(s.Key)
	for _, need := range []struct{ name, given string }{{"id", s.Key}, {"type", s.Type}, {"title", s.Title}} {
		if need.given == "" {
			l.log.Add(file, line, what+`: "`+need.name+`" is missing`)
		}
	}
	l.status(file, line, what, s.Status)
	return s
}

func (l loader) status(file string, line int, what, status string) {
	if !slices.Contains(statuses(), status) {
		l.log.Add(file, line, what+": status "+strconv.Quote(status)+": must be one of "+strings.Join(statuses(), ", ")+spell.Offer(status, statuses()))
	}
}
