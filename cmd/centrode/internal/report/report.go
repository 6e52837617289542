// Package report collects what is wrong with the content, so that one run tells everything and not only the first
// thing. A Problem is written for the author who must act: place first, then what was given, then what is allowed.
package report

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Problem is one thing an author must mend.
type Problem struct {
	File string // slash-separated, relative to the content's parent: "content/lessons/the-finger.md"
	Line int    // 1-based; 0 when the whole file is meant
	Text string // "calculator "hinge-ark" is unknown; nearest: "hinge-arc""
}

// String prints `file:line: text` on one line. A file of a studio may have any name, and a text quote any file: neither moves the cursor
// of a terminal, or looks like a line of its own.
func (p Problem) String() string {
	place := p.File
	if p.Line > 0 {
		place += ":" + strconv.Itoa(p.Line)
	}
	return Harmless(place + ": " + strings.Join(strings.Fields(p.Text), " "))
}

// Harmless keeps what somebody else wrote on its line: a name in a file may hold an end of line, and what came after it would look like a
// line of ours.
func Harmless(line string) string { return strings.Map(Visible, line) }

// Visible puts a dot in the place of a character that commands a terminal, ends a line, or turns the order of those behind it about.
func Visible(r rune) rune {
	if r < 0x20 || r >= 0x7f && r < 0xa0 || r >= 0x2028 && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
		return '·'
	}
	return r
}

// Log gathers problems from many goroutines.
type Log struct {
	// Name gives the name of a file that people know; nil keeps the names of the content.
	Name func(file string) string

	mu   sync.Mutex
	list []Problem
}

// Add records one problem.
func (l *Log) Add(file string, line int, text string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.list = append(l.list, Problem{l.Called(file), line, text})
}

// Called is the name of a file that people know, for a text that names a file besides the one it is about.
func (l *Log) Called(file string) string {
	if l.Name == nil {
		return file
	}
	return l.Name(file)
}

// Problems returns what was recorded, sorted by file and line, each line once.
func (l *Log) Problems() []Problem {
	l.mu.Lock()
	defer l.mu.Unlock()
	list := slices.Clone(l.list)
	slices.SortFunc(list, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Text, b.Text))
	})
	return slices.Compact(list)
}

// Err returns nil when nothing was recorded, else an error that prints every problem on a line of its own.
func (l *Log) Err() error {
	if list := l.Problems(); len(list) > 0 {
		return Problems(list)
	}
	return nil
}

// Problems is a list of problems as one error.
type Problems []Problem

// Error prints one problem a line.
func (list Problems) Error() string {
	lines := make([]string, len(list))
	for i, p := range list {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}
