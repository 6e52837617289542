package batch

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/pivotoffset"
)

// BenchmarkCSV is the whole way from text to text, a hundred thousand rows at a time.
func BenchmarkCSV(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	var text bytes.Buffer
	text.WriteString("offset_x,offset_y,offset_z,angle,point_x,point_y\n")
	const rows = 100_000
	for range rows {
		fmt.Fprintf(&text, "%.3f,%.3f,%.3f,%.3f,%.3f,%.3f\n", r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), 90*r.Float64(), r.NormFloat64(), r.NormFloat64())
	}
	c := pivotoffset.Calculator{}
	job := Job{Calculator: c, Spec: c.Spec(), Base: catalog.NewValues()}
	b.SetBytes(int64(text.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if tally, err := CSV(job, bytes.NewReader(text.Bytes()), io.Discard); err != nil || tally.Rows != rows {
			b.Fatal(tally, err)
		}
	}
}
