package batch

import (
	"fmt"
	"io"
)

// MaxQuestion is how many bytes one question may have: a row, an object or a table. The longest table of a calculator needs a few dozen
// megabytes; a text without an end would otherwise be kept until there is no memory left.
const MaxQuestion = 1 << 26

// Bounded reads at most so many bytes between two questions.
type Bounded struct {
	in         io.Reader
	most, left int
}

// NewBounded returns a reader of questions, each of MaxQuestion bytes at most.
func NewBounded(in io.Reader) *Bounded { return Job{}.bounded(in) }

func (job Job) bounded(in io.Reader) *Bounded {
	most := job.most
	if most == 0 {
		most = MaxQuestion
	}
	return &Bounded{in, most, most}
}

// Next begins the next question.
func (b *Bounded) Next() { b.left = b.most }

// Read implements io.Reader.
func (b *Bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, fmt.Errorf("is longer than the %d bytes that one question may have", b.most)
	}
	n, err := b.in.Read(p[:min(len(p), b.left)])
	b.left -= n
	return n, err
}
