package batch

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
)

// onAndOn goes on with one sign for ever, after a beginning.
type onAndOn struct {
	begin *strings.Reader
	sign  byte
	given int
}

func (e *onAndOn) Read(p []byte) (int, error) {
	if n, err := e.begin.Read(p); err == nil {
		return n, nil
	}
	for i := range p {
		p[i] = e.sign
	}
	e.given += len(p)
	return len(p), nil
}

// A row, a header and an object without an end are refused once they are longer than any question, and not kept until memory ends.
func TestAQuestionWithoutAnEndIsRefused(t *testing.T) {
	c, err := list.Find("pivot-offset")
	if err != nil {
		t.Fatal(err)
	}
	job := Job{Calculator: c, Spec: c.Spec(), Base: catalog.NewValues(), most: 1 << 16}
	for begin, ask := range map[string]func(Job, io.Reader, io.Writer) (Tally, error){
		"": CSV, "angle\n": CSV, "angle\n30\n\"": CSV, `[{"angle":"`: JSON, `[{"angle":30},{"angle":"`: JSON, `[`: JSON,
	} {
		in := &onAndOn{begin: strings.NewReader(begin), sign: '1'}
		var out bytes.Buffer
		_, err := ask(job, in, &out)
		if err == nil || !strings.Contains(err.Error(), "is longer than the 65536 bytes that one question may have") || in.given > 4*job.most {
			t.Errorf("%q and then ones: %v after %d bytes", begin, err, in.given)
		}
		if lines := strings.Count(out.String(), "\n"); strings.Contains(begin, "30") && lines != 2 {
			t.Errorf("%q and then ones: %d lines, want the header and the answer before it", begin, lines)
		}
	}
}

// What is read between two questions counts for each alone.
func TestManyQuestionsMayBeLong(t *testing.T) {
	b := &Bounded{strings.NewReader(strings.Repeat("x", 100)), 10, 10}
	for range 10 {
		if n, err := io.ReadFull(b, make([]byte, 10)); n != 10 || err != nil {
			t.Fatal(n, err)
		}
		b.Next()
	}
}
