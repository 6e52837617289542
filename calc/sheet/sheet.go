// Package sheet is the placement sheet: one page that records where a pivot stood, where it should stand, the numbers
// behind it and why.
//
// Start at Read and AppendJSON for the file, and at Prove, which runs every entry again and says where a stated number is
// no longer what its calculator gives. Compare marks what two opinions see differently. Page makes the sheet a tree of
// elements, for the page and for a file that stands alone. An entry is either a calculator with two states, or was
// measured from a character file; the numbers of the second kind are shown as they are stated.
//
// The package imports no calculator: Prove is told how to find one. It reads no file and keeps nothing between calls.
package sheet

import (
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Format names the shape of the file.
const Format = "centrode-sheet-1"

// Bounds of a sheet: it is one page of paper, or a few when it is filled to the brim, and may come from anybody.
const (
	MaxBytes   = 1 << 20   // of the file
	MaxEntries = 4         // placements on one page
	MaxLine    = 120       // characters of a text of one line
	MaxReasons = 1200      // characters of the reasons
	MaxState   = 256 << 10 // bytes of one state
	MaxNumbers = 32        // stated with one entry
)

// Sheet is one recorded decision.
type Sheet struct {
	Title, Character, Reviewer string
	Date                       string // "2026-03-04", or empty
	Reasons                    string
	Entries                    []Entry
}

// Entry is one placement: Calculator with its two states, or Measured.
type Entry struct {
	Title, Joint       string
	Calculator         string // id; empty when the entry was measured
	Current, Candidate string // states, as in a plate's link
	Measured           Measured
	Numbers            []Number
}

// Measured is a placement taken from a character file, in cm, in the frame of that file's rest pose.
type Measured struct {
	File               string // name of the file; empty when the entry was computed
	Current, Candidate rigid.Vec
	Parent, Child      *rigid.Vec // neighbouring joints, for the drawing alone; may be nil
}

// Number is one stated result. Of a computed entry ID is the row of the plate's table, and its calculator knows the rest.
type Number struct {
	ID, Label                 string
	Kind                      quantity.Kind
	Digits                    int
	Current, Candidate, Sigma Value // Sigma is one standard deviation
}

// Value is a number, a word, or nothing.
type Value struct {
	Number float64
	Text   string // a word instead of a number
	Known  bool
}

// Of returns a known number.
func Of(number float64) Value { return Value{Number: number, Known: true} }

// Word returns a known word.
func Word(text string) Value { return Value{Text: text, Known: true} }
