package search

import (
	"cmp"
	"slices"
)

// pieces are the parts of an index. Those of the index before are kept where Remembers is set: a preview changes a few documents
// among thousands, and writes anew only the pieces that these are in.
type pieces struct {
	x        *Lexicon
	list     []Reading
	postings []postings // by word
	texts    [][]byte   // by document, as written; empty for one that is to be written anew, nil where nothing is kept
	heads    [][]byte
	words    [][]byte // by word
	sizes    [2]int   // of the texts and of the index, when they were last written
}

// pieces counts the words of the documents in all of them.
func (x *Lexicon) pieces(list []Reading) *pieces {
	p := x.last
	if p == nil || len(p.list) != len(list) || p.changed(list) > 16+len(list)/64 {
		p = &pieces{x: x, list: list}
		if x.Remembers {
			p.texts, p.heads = make([][]byte, len(list)), make([][]byte, len(list))
		}
		p.grow()
		for d := range list {
			p.enter(d)
		}
	} else {
		before := p.list
		p.list = list
		p.grow()
		for d := range list {
			if before[d].Document != list[d].Document { // the same document has the same words
				p.strike(d, before[d])
				p.enter(d)
				p.texts[d], p.heads[d] = p.texts[d][:0], p.heads[d][:0]
			}
		}
	}
	if x.Remembers {
		x.last = p
	}
	return p
}

// changed counts the documents that are others than before: to take many out one by one costs more than to begin anew.
func (p *pieces) changed(list []Reading) int {
	n := 0
	for d := range list {
		if p.list[d].Document != list[d].Document {
			n++
		}
	}
	return n
}

// guess says about how long the files will be: one that grows is copied again and again.
func (p *pieces) guess() {
	for _, r := range p.list {
		p.sizes[0] += len(r.Text) + len(r.Text)/64 + 4
		p.sizes[1] += len(r.Href) + len(r.Title) + len(r.Page) + 80
	}
	for w := range p.postings {
		p.sizes[1] += len(p.x.words[w]) + 16
		for _, list := range p.postings[w] {
			p.sizes[1] += 11 * len(list)
		}
	}
}

// grow makes room for words that the lexicon has learnt.
func (p *pieces) grow() {
	more := len(p.x.words) - len(p.postings)
	p.postings = append(p.postings, make([]postings, more)...)
	if p.x.Remembers {
		p.words = append(p.words, make([][]byte, more)...)
	}
}

func byDocument(p posting, d int32) int { return cmp.Compare(p.document, d) }

// enter notes the words of a document.
func (p *pieces) enter(d int) {
	for f, words := range p.list[d].words {
		for _, w := range words {
			list := &p.postings[w.word][f]
			at, _ := slices.BinarySearchFunc(*list, int32(d), byDocument)
			*list = slices.Insert(*list, at, posting{int32(d), w.times})
			p.stale(w.word)
		}
	}
}

// strike takes the words of a document away.
func (p *pieces) strike(d int, was Reading) {
	for f, words := range was.words {
		for _, w := range words {
			list := &p.postings[w.word][f]
			*list = slices.DeleteFunc(*list, func(one posting) bool { return one.document == int32(d) })
			p.stale(w.word)
		}
	}
}

func (p *pieces) stale(word int32) {
	if p.words != nil {
		p.words[word] = p.words[word][:0]
	}
}

func (p *pieces) text(b []byte, d int) []byte {
	return kept(b, p.texts, d, func(b []byte) []byte { return appendJSON(b, p.list[d].Text) })
}

func (p *pieces) head(b []byte, d int) []byte {
	return kept(b, p.heads, d, func(b []byte) []byte { return appendHead(b, p.list[d].Document) })
}

func (p *pieces) word(b []byte, w int) []byte {
	return kept(b, p.words, w, func(b []byte) []byte { return appendWord(b, p.x.words[w], &p.postings[w]) })
}

// kept appends a piece, written now if it is not there.
func kept(b []byte, list [][]byte, i int, write func([]byte) []byte) []byte {
	if list == nil {
		return write(b)
	}
	if len(list[i]) == 0 {
		list[i] = write(list[i])
	}
	return append(b, list[i]...)
}
