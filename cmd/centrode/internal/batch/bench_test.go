package batch

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
)

const benchRows = 100_000

func benchText() []byte {
	r := rand.New(rand.NewPCG(1, 1))
	var text bytes.Buffer
	text.WriteString("offset_x,offset_y,offset_z,angle,point_x,point_y\n")
	for range benchRows {
		fmt.Fprintf(&text, "%.3f,%.3f,%.3f,%.3f,%.3f,%.3f\n", r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), 90*r.Float64(), r.NormFloat64(), r.NormFloat64())
	}
	return text.Bytes()
}

// BenchmarkCSV is the whole way from text to text, a hundred thousand rows at a time, beside its floor: the same text read
// by encoding/csv, every cell parsed, as many cells of as many digits written, and nothing computed. The floor has one
// goroutine, as a plain loop would.
func BenchmarkCSV(b *testing.B) {
	text := benchText()
	c := pivotoffset.Calculator{}
	spec := c.Spec()
	job := Job{Calculator: c, Spec: spec, Base: catalog.NewValues()}
	b.Run("answers", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		b.ReportAllocs()
		for b.Loop() {
			if tally, err := CSV(job, bytes.NewReader(text), io.Discard); err != nil || tally.Rows != benchRows {
				b.Fatal(tally, err)
			}
		}
	})
	b.Run("floor", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		b.ReportAllocs()
		for b.Loop() {
			if rows, err := copyCells(text, len(spec.Outputs)); err != nil || rows != benchRows {
				b.Fatal(rows, err)
			}
		}
	})
}

// copyCells writes each record back, followed by extra numbers of full length.
func copyCells(text []byte, extra int) (rows int, err error) {
	in, out := csv.NewReader(bytes.NewReader(text)), bufio.NewWriterSize(io.Discard, 1<<16)
	if _, err := in.Read(); err != nil {
		return 0, err
	}
	var line []byte
	for {
		record, err := in.Read()
		if err == io.EOF {
			return rows, out.Flush()
		}
		if err != nil {
			return rows, err
		}
		line = line[:0]
		last := 0.0
		for _, cell := range record {
			if last, err = strconv.ParseFloat(cell, 64); err != nil {
				return rows, err
			}
			line = append(strconv.AppendFloat(line, last, 'f', -1, 64), ',')
		}
		for k := range extra {
			line = append(strconv.AppendFloat(line, (last+float64(k))*1.0123456789123, 'f', -1, 64), ',')
		}
		if _, err := out.Write(append(line, '\n')); err != nil {
			return rows, err
		}
		rows++
	}
}
