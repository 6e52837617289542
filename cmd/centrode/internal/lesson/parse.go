package lesson

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"unicode/utf8"

	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/outline"
	"centrode/cmd/centrode/internal/report"
)

// MaxFile is how many bytes a file of content may have.
const MaxFile = 16 << 20

// Limits on what is read. A chapter of a printed handbook is under 100 KB; a block is a few lines.
const (
	maxFront = 64 << 10
	maxBlock = 64 << 10
)

// Parse reads one lesson. File is the name used in messages, "content/lessons/the-finger.md"; its last part without
// ".md" is the slug.
func Parse(file string, source []byte, log *report.Log) Lesson {
	return parse(file, source, log, lessonFront)
}

// ParsePage reads a page of words that is no lesson: the home page, or the words above a calculator's plate. Its front
// matter is a title, a summary and optionally terms and sources.
func ParsePage(file string, source []byte, log *report.Log) Lesson {
	return parse(file, source, log, pageFront)
}

// parser carries what is known while one file is read.
type parser struct {
	file string
	log  *report.Log
	out  *Lesson
}

func (p *parser) problem(line int, text string) { p.log.Add(p.file, line, text) }

// place is where an outline whose first line follows the line above reports.
func (p *parser) place(above int) outline.Place {
	return outline.Place{File: p.file, Shift: above, Log: p.log}
}

func parse(file string, source []byte, log *report.Log, front func(*parser, *outline.Node)) Lesson {
	out := Lesson{File: file, Slug: strings.TrimSuffix(path.Base(file), ".md"), BodyLine: 1, Sum: keep.SumFile(file, source)}
	p := &parser{file, log, &out}
	if complaint := Unfit(out.Slug); complaint != "" {
		p.problem(0, fmt.Sprintf("file name %q: %s", out.Slug, complaint))
	}
	text, ok := p.clean(source)
	if !ok {
		return out
	}
	head, body, line := p.split(text)
	if head != nil {
		front(p, outline.Parse(head, maxFront, p.place(1)))
	}
	out.Body, out.BodyLine = string(body), line
	p.body(body)
	out.blocks = out.Blocks()
	return out
}

// clean refuses what is no text and brings line ends and the byte order mark to one form.
func (p *parser) clean(source []byte) ([]byte, bool) {
	text, line, complaint := Clean(source)
	if complaint != "" {
		p.problem(line, complaint)
	}
	return text, complaint == ""
}

// Plain reads a file that a person wrote. The error says what is wrong with it, in the words of a problem with the file; one that is
// not there is an fs.ErrNotExist. It asks before it opens: a pipe would be waited for, and a film held in memory.
func Plain(root fs.FS, file string) ([]byte, error) {
	info, err := fs.Stat(root, file)
	if err == nil && !info.Mode().IsRegular() {
		return nil, errors.New("is no plain file")
	}
	if err == nil {
		if complaint := tooLong(info.Size()); complaint != "" {
			return nil, errors.New(complaint)
		}
	}
	source, err := fs.ReadFile(root, file)
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", err)
	}
	return source, nil
}

// IsLeft reports whether a file of that name lies in a folder because version control, an editor or a system left it there, and no author
// wrote it: it is passed over. An author does not even see what Windows leaves.
func IsLeft(name string) bool {
	return strings.HasPrefix(name, ".") || strings.EqualFold(name, "desktop.ini") || strings.EqualFold(name, "Thumbs.db")
}

// tooLong is the complaint about a file of so many bytes that is longer than anything a person wrote, "" about any other.
func tooLong(bytes int64) string {
	if bytes <= MaxFile {
		return ""
	}
	const mega = 1 << 20
	return fmt.Sprintf("is %d MB; at most %d MB are read", (bytes+mega-1)/mega, MaxFile/mega) // rounded up, so that it is more than may be
}

// Clean takes a byte order mark away, makes every line end "\n", and returns a complaint with its line when source is
// no UTF-8 text, holds nothing, or is too large to be anything that a person wrote.
func Clean(source []byte) (text []byte, line int, complaint string) {
	if complaint := tooLong(int64(len(source))); complaint != "" {
		return nil, 0, complaint
	}
	source = bytes.TrimPrefix(source, []byte("\ufeff"))
	if at := notText(source); at >= 0 {
		return nil, 1 + bytes.Count(source[:at], []byte("\n")), "is not UTF-8 text; save the file as UTF-8"
	}
	source = bytes.ReplaceAll(source, []byte("\r\n"), []byte("\n"))
	source = bytes.ReplaceAll(source, []byte("\r"), []byte("\n"))
	if len(bytes.TrimSpace(source)) == 0 {
		return nil, 0, "is empty"
	}
	return source, 0, ""
}

// notText returns the offset of the first byte that no text has, or -1.
func notText(source []byte) int {
	if at := bytes.IndexByte(source, 0); at >= 0 {
		return at
	}
	if utf8.Valid(source) {
		return -1
	}
	for at := 0; at < len(source); {
		r, size := utf8.DecodeRune(source[at:])
		if r == utf8.RuneError && size == 1 {
			return at
		}
		at += size
	}
	return -1
}

// split divides the text into front matter and body and returns the line on which the body begins. When the closing
// line is missing, the front matter is taken to end at the first empty line, so that the rest is still checked.
func (p *parser) split(text []byte) (head, body []byte, line int) {
	first, rest, _ := bytes.Cut(text, []byte("\n"))
	if !isRule(first) {
		p.problem(1, `must begin with a line "---", then "title:" and the other keys, then a line "---"`)
		return nil, text, 1
	}
	blank, blankLine := -1, 0
	for at, line := 0, 2; at < len(rest); line++ {
		end := bytes.IndexByte(rest[at:], '\n')
		next := at + end + 1
		if end < 0 {
			end, next = len(rest)-at, len(rest)
		}
		row := rest[at : at+end]
		if isRule(row) {
			return rest[:at], rest[next:], line + 1
		}
		if blank < 0 && len(bytes.TrimSpace(row)) == 0 {
			blank, blankLine = at, line
		}
		at = next
	}
	p.problem(1, `the front matter that opens here is not closed; put a line "---" under its last key`)
	if blank < 0 {
		return rest, nil, 2 + bytes.Count(rest, []byte("\n"))
	}
	return rest[:blank], rest[blank:], blankLine
}

func isRule(line []byte) bool { return string(bytes.TrimRight(line, " \t")) == "---" }
