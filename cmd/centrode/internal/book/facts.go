package book

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"centrode/calc/quantity"
	"centrode/calc/spell"
)

// factColumns are the columns of content/facts.csv.
func factColumns() []string {
	return []string{"id", "topic", "quantity", "value", "unit", "spread", "population_or_condition", "source_key", "status", "note"}
}

func (l loader) facts(file string) map[string]Fact { return parsed(l, file, l.parseFacts) }

func (l loader) parseFacts(file string, source []byte) map[string]Fact {
	r := csv.NewReader(bytes.NewReader(source))
	r.FieldsPerRecord = -1
	head, err := r.Read()
	if err != nil || !slices.Equal(head, factColumns()) {
		l.factHead(file, head)
		return nil
	}
	out := map[string]Fact{}
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			var broken *csv.ParseError
			if errors.As(err, &broken) {
				l.log.Add(file, broken.StartLine, "is not readable as CSV: "+broken.Err.Error())
			}
			return out // what follows a broken quotation cannot be told apart
		}
		line, _ := r.FieldPos(0)
		l.fact(file, row, line, out)
	}
}

func (l loader) factHead(file string, head []string) {
	for _, name := range head {
		if !slices.Contains(factColumns(), name) {
			l.log.Add(file, 1, "column "+strconv.Quote(name)+" is unknown"+spell.Offer(name, factColumns()))
		}
	}
	l.log.Add(file, 1, fmt.Sprintf("the first line must name the columns %q", factColumns()))
}

func (l loader) fact(file string, row []string, line int, out map[string]Fact) {
	what := "fact " + strconv.Quote(row[0])
	if len(row) != len(factColumns()) {
		l.log.Add(file, line, fmt.Sprintf("%s: has %s; must have %d", what, quantity.Things(len(row), "cell", "cells"), len(factColumns())))
		return
	}
	f := Fact{row[0], row[1], row[2], row[3], row[4], row[5], row[6], row[7], row[8], row[9], line, file}
	if first, ok := out[f.ID]; ok {
		l.log.Add(file, line, fmt.Sprintf("%s: the id is used twice; the first is on line %d", what, first.Line))
		return
	}
	if f.ID == "" {
		l.log.Add(file, line, what+": id must not be empty")
	}
	l.status(file, line, what, f.Status)
	out[f.ID] = f
}
