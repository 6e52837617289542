// Package batch answers many questions in one run: each row of a CSV file, or each object of a JSON array, is one set
// of inputs, and each answer one line out, in order. Rows are computed on all cores in chunks, so memory does not grow
// with the file. A bad row becomes a row with its error and does not stop the rest.
//
// Start at CSV and JSON. Reading one single question is package ask.
package batch

import (
	"bufio"
	"io"
	"runtime"
	"strconv"
	"sync"

	"centrode/calc/catalog"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/ask"
)

// Job is what every row shares.
type Job struct {
	Calculator catalog.Calculator
	Spec       catalog.Spec
	Base       catalog.Values   // values from the command line, under those of the row
	Starts     []Start          // what a row may name to start from in place of Base
	Lines      bool             // JSON Lines out instead of CSV
	Measures   catalog.Measures // of what is written; nil for base units
	Keep       []string         // columns or members of the writer's own, which come back untouched
	Progress   func(rows int)   // told how many rows are written, now and then; may be nil

	most int // bytes of one question; 0 stands for MaxQuestion
}

// Start is the base of the rows that name a preset.
type Start struct {
	Preset string
	Base   catalog.Values
}

// Tally counts the rows of a run.
type Tally struct{ Rows, Refused int }

// chunkRows is how many rows travel together: enough that handing over costs nothing, few enough to stay small.
const chunkRows = 512

// answerRow appends the answer to one row to out and reports whether it was accepted.
type answerRow[R any] func(from runners, row R, number int, out []byte) ([]byte, bool)

// runners has one for each preset that a row has named, and one for rows that name none. Each worker has its own.
type runners struct {
	job  Job
	made map[string]*catalog.Runner
}

func (job Job) runners() runners {
	return runners{job, map[string]*catalog.Runner{"": catalog.NewRunner(job.Calculator, job.Base)}}
}

// at is the runner of questions that start from the preset.
func (r runners) at(preset string) (*catalog.Runner, error) {
	if runner, ok := r.made[preset]; ok {
		return runner, nil
	}
	var ids []string
	for _, s := range r.job.Starts {
		if s.Preset == preset {
			r.made[preset] = catalog.NewRunner(r.job.Calculator, s.Base)
			return r.made[preset], nil
		}
		ids = append(ids, s.Preset)
	}
	return nil, &catalog.InputError{Field: ask.PresetColumn, Given: strconv.Quote(clip(preset)),
		Allowed: "is no preset of " + r.job.Spec.ID + spell.Offer(preset, ids) + "; calc " + r.job.Spec.ID + " -presets lists them"}
}

type chunk[R any] struct {
	first int
	rows  []R
	done  chan result
}

type result struct {
	text    []byte
	refused int
}

// run reads chunks with next until it returns io.EOF, answers them on all cores, and writes the texts in order.
func run[R any](job Job, out io.Writer, next func() (R, error), answer answerRow[R]) (Tally, error) {
	workers := runtime.GOMAXPROCS(0)
	work := make(chan *chunk[R], workers)
	order := make(chan *chunk[R], 4*workers) // bounds how far reading may run ahead of writing
	quit := make(chan struct{})
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			from := job.runners()
			for c := range work {
				c.done <- answerChunk(from, c, answer)
			}
		})
	}
	var readErr error
	go func() {
		defer close(order)
		defer close(work)
		readErr = feed(next, work, order, quit)
	}()
	tally, err := drain(out, order, job.Progress)
	close(quit)
	for range order { // let the reader finish after a failed write
	}
	group.Wait()
	if err == nil {
		err = readErr
	}
	return tally, err
}

func answerChunk[R any](from runners, c *chunk[R], answer answerRow[R]) result {
	r := result{text: make([]byte, 0, 256*len(c.rows))}
	for i, row := range c.rows {
		var accepted bool
		if r.text, accepted = answer(from, row, c.first+i, r.text); !accepted {
			r.refused++
		}
	}
	return r
}

// feed cuts the input into chunks and sends each to the workers and to the writer's queue.
func feed[R any](next func() (R, error), work, order chan<- *chunk[R], quit <-chan struct{}) error {
	row := 1
	for {
		c := &chunk[R]{first: row, done: make(chan result, 1)}
		var err error
		for len(c.rows) < chunkRows && err == nil {
			var r R
			if r, err = next(); err == nil {
				c.rows = append(c.rows, r)
			}
		}
		row += len(c.rows)
		if len(c.rows) > 0 {
			select {
			case <-quit:
				return nil
			case order <- c:
				work <- c
			}
		}
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

func drain[R any](out io.Writer, order <-chan *chunk[R], progress func(rows int)) (Tally, error) {
	buffered := bufio.NewWriterSize(out, 1<<16)
	var tally Tally
	for c := range order {
		r := <-c.done
		tally.Rows += len(c.rows)
		tally.Refused += r.refused
		if _, err := buffered.Write(r.text); err != nil {
			return tally, err
		}
		if progress != nil {
			progress(tally.Rows)
		}
	}
	return tally, buffered.Flush()
}
