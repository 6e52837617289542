package page

import (
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"slices"
	"strconv"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/keep"
)

// Revision names the state of a calculator that a page's numbers were proved with.
type Revision struct {
	Calculator Link
	ID, Text   string // the calculator's id, the revision itself
}

// revisionLength is how many hexadecimal digits of the hash are shown: two states of one calculator share them once in
// 2²⁸ times.
const revisionLength = 7

// revisions derives a revision for every calculator from its description, its answer to its defaults, and its answers to
// the worked examples of the book, in the order of the book. No clock is asked: the revision changes when a result, the
// description or an example does, and at no other time.
func (s *site) revisions() map[string]string {
	sums := map[string]hash.Hash{}
	for _, c := range s.Calculators {
		spec := c.Spec()
		sum := sha256.New()
		sum.Write(spec.AppendDescription(nil))
		sum.Write(keep.Of(s.Kept, "defaults "+spec.ID, func() []byte {
			a, err := catalog.Run(c, catalog.NewValues())
			return answerSum(a, err == nil) // a refusal is reported where the plate is rendered
		}))
		sums[spec.ID] = sum
	}
	for _, page := range s.Book.Pages() {
		context := s.Book.Context(page.Lesson)
		for _, w := range page.Lesson.Worked {
			if sum, known := sums[w.Calculator.Text]; known {
				sum.Write(keep.Of(s.Kept, "answer "+page.ID+" "+w.ID+" "+page.Lesson.Sum+context, func() []byte {
					return answerSum(s.Proof.Answer(page.ID, w.ID))
				}))
			}
		}
	}
	list := map[string]string{}
	for id, sum := range sums {
		list[id] = hex.EncodeToString(sum.Sum(nil))[:revisionLength]
	}
	return list
}

// answerSum is a hash of what went in and came out of a run, if there was one.
func answerSum(a catalog.Answer, ok bool) []byte {
	if !ok {
		return nil
	}
	sum := sha256.New()
	writeAnswer(sum, a)
	return sum.Sum(nil)
}

// writeAnswer writes what went in and came out. Numbers are rounded to nine digits: more than any page prints, and fewer
// than those in which two kinds of machine may differ.
func writeAnswer(w io.Writer, a catalog.Answer) {
	put := func(text string) { io.WriteString(w, text+"\x00") }
	number := func(v float64) { put(strconv.FormatFloat(v, 'g', 9, 64)) }
	table := func(t catalog.Table, rows catalog.Rows) {
		put(t.ID)
		for _, c := range t.Columns {
			for _, v := range rows.Numbers[c.ID] {
				number(v)
			}
			for _, text := range rows.Texts[c.ID] {
				put(text)
			}
		}
	}
	for _, f := range a.Spec.Fields {
		put(f.ID)
		if f.Worded() {
			put(a.Values.Choices[f.ID])
		} else {
			number(a.Values.Numbers[f.ID])
		}
	}
	for _, t := range a.Spec.Tables {
		table(t, a.Values.Tables[t.ID])
	}
	for _, o := range a.Spec.Outputs {
		put(o.ID)
		if v, ok := a.Result.Numbers[o.ID]; ok {
			number(v)
		}
		put(a.Result.Texts[o.ID])
	}
	for _, t := range a.Spec.Answers {
		table(t, a.Result.Tables[t.ID])
	}
	for _, warning := range a.Result.Warnings {
		put(warning.Code)
	}
}

// proved lists the revisions of the calculators that the document's blocks ran, in the order of the handbook.
func (d *document) proved() []Revision {
	var list []Revision
	for _, id := range d.site.described.ids {
		if slices.ContainsFunc(d.uses, func(u use) bool { return u.calculator == id }) {
			list = append(list, d.site.revision(d.site.described.specs[id]))
		}
	}
	return list
}

func (s *site) revision(spec catalog.Spec) Revision {
	return Revision{calculatorLink(spec), spec.ID, s.revised[spec.ID]}
}
