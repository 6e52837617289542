package proof

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/report"
)

// leastStated is a floor under the number of stated results in content/: a loop that finds no fixtures must not pass.
// Raise it as the book grows.
const leastStated = 60

// realBook loads the content of this module.
func realBook(t *testing.T) *book.Book {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if filepath.Dir(dir) == dir {
			t.Fatal("no go.mod above the test's folder")
		}
		dir = filepath.Dir(dir)
	}
	var log report.Log // what else is wrong with the content is told by centrode check
	return book.Load(os.DirFS(dir), &log)
}

func TestLessons(t *testing.T) {
	b := realBook(t)
	var log report.Log
	p := Run(b, &log, nil)
	if len(p.Checks) < leastStated {
		t.Errorf("%d stated results, want at least %d", len(p.Checks), leastStated)
	}
	problems := log.Problems()
	for _, page := range b.Pages() {
		blocks := page.Lesson.Blocks()
		t.Run(page.ID, func(t *testing.T) {
			for i, block := range blocks {
				end := math.MaxInt
				if i+1 < len(blocks) {
					end = blocks[i+1].Line
				}
				t.Run(block.ID, func(t *testing.T) {
					for _, problem := range problems {
						if problem.File == page.Lesson.File && problem.Line >= block.Line && problem.Line < end {
							t.Error(problem)
						}
					}
					_, answered := p.Answer(page.ID, block.ID)
					_, _, compared := p.Pair(page.ID, block.ID)
					if !answered && !compared {
						t.Errorf("%s:%d: %s: was not computed", page.Lesson.File, block.Line, block.ID)
					}
				})
			}
		})
	}
}

// TestAMovedDigitIsNoticed is the check of the check: it moves the last printed digit of every stated result, away from
// the computed number, and wants every one of them refused.
func TestAMovedDigitIsNoticed(t *testing.T) {
	b := realBook(t)
	stated := map[string]Check{}
	for _, c := range Run(b, &report.Log{}, nil).Checks {
		stated[c.Page+" "+c.Block+" "+c.Output] = c
	}
	for _, page := range b.Pages() {
		for i, w := range page.Lesson.Worked {
			for j, e := range w.Expect {
				page.Lesson.Worked[i].Expect[j].Text = moved(t, e.Text, stated[page.ID+" "+w.ID+" "+e.ID])
			}
		}
		for i, e := range page.Lesson.Exercises {
			page.Lesson.Exercises[i].Answer.Text = moved(t, e.Answer.Text, stated[page.ID+" "+e.ID+" "+e.Ask.Text])
		}
	}
	after := Run(b, &report.Log{}, nil).Checks
	if len(after) != len(stated) || len(after) < leastStated {
		t.Errorf("%d results moved, %d stated, want at least %d", len(after), len(stated), leastStated)
	}
	for _, c := range after {
		if c.OK {
			t.Errorf("%s:%d: %s: %s: %s still holds with its last digit moved; computed %s, tolerance %s", c.File, c.Line, c.Block, c.Output, c.Expected, c.Computed, c.Tolerance)
		}
	}
}

// moved returns the text with its last digit moved by one, or by two where the tolerance is wider than half of it.
func moved(t *testing.T, text string, c Check) string {
	if text == none {
		return "0"
	}
	number := stated.FindString(strings.TrimSpace(text))
	if c.Tolerance == "" || number == "" {
		return text + "x"
	}
	left, tolerance, _ := strings.Cut(text, "±")
	m := stated.FindStringSubmatch(strings.TrimSpace(left))
	var e expectation
	e.decimals = len(m[3]) + len(m[4])
	value, err := strconv.ParseFloat(strings.Replace(m[1], "−", "-", 1)+m[2], 64)
	if err != nil || m[5] != "" {
		t.Fatalf("%s:%d: %q: cannot move its last digit", c.File, c.Line, text)
	}
	steps := 1.0
	if width, err := strconv.ParseFloat(c.Tolerance, 64); err == nil && width > e.last()*0.51 {
		steps = 2
	}
	if c.computed > c.number {
		steps = -steps
	}
	out := quantity.Fixed(value+steps*e.last(), e.decimals) + " " + m[6]
	if tolerance != "" {
		out += " ±" + tolerance
	}
	return out
}
