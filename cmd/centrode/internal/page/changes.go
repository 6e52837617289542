package page

import (
	"bytes"
	"crypto/sha1"
	"encoding/hex"
	"encoding/xml"
	"html/template"
	"strconv"

	"centrode/cmd/centrode/internal/history"
	"centrode/cmd/centrode/internal/lesson"
)

// FeedPath is where the feed of changes stands in the site.
const FeedPath = "changes.atom"

// ChangesPage is changes.tmpl.
type ChangesPage struct {
	Frame
	Feed      string
	Releases  []ReleaseView
	Specimens string // address; "" where there are none
}

// ReleaseView is one release as the page and the feed show it.
type ReleaseView struct {
	Anchor, Name, Date string
	Body               template.HTML
}

// changes renders the page of changes.
func (s *site) changes() file {
	p := ChangesPage{Frame: s.frame("changes", s.say("changes"), s.say("changesAbout")), Feed: "/" + FeedPath, Releases: s.releases()}
	if s.Book.Specimens.File != "" {
		p.Specimens = specimensHref
	}
	return s.print("changes/index.html", "changes.tmpl", p)
}

func (s *site) releases() []ReleaseView {
	var list []ReleaseView
	for _, r := range s.Changes {
		d := s.document("changes", &lesson.Lesson{File: history.File, Body: r.Body, BodyLine: r.Line})
		list = append(list, ReleaseView{"release-" + r.Name, r.Name, r.Date, d.body()})
	}
	return list
}

// The feed is Atom (RFC 4287). Names of elements follow the standard.
type atomFeed struct {
	XMLName xml.Name    `xml:"http://www.w3.org/2005/Atom feed"`
	Lang    string      `xml:"xml:lang,attr"`
	ID      string      `xml:"id"`
	Title   string      `xml:"title"`
	Updated string      `xml:"updated"`
	Author  atomPerson  `xml:"author"`
	Links   []atomLink  `xml:"link"`
	Entries []atomEntry `xml:"entry"`
}

type atomPerson struct {
	Name string `xml:"name"`
}

// atomLink has a relative reference, which RFC 4287 allows here: a reader of feeds resolves it from where the feed came.
type atomLink struct {
	Rel  string `xml:"rel,attr"`
	Type string `xml:"type,attr,omitempty"`
	Href string `xml:"href,attr"`
}

type atomEntry struct {
	ID      string   `xml:"id"`
	Title   string   `xml:"title"`
	Updated string   `xml:"updated"`
	Link    atomLink `xml:"link"`
	Content atomText `xml:"content"`
}

type atomText struct {
	Type string `xml:"type,attr"`
	Text string `xml:",chardata"`
}

func (s *site) feed() file {
	f := atomFeed{Lang: "en", ID: lastingID("changes"), Title: siteName + ": " + s.say("changes"), Author: atomPerson{authors},
		Links: []atomLink{{"self", "application/atom+xml", "/" + FeedPath}, {"alternate", "text/html", "/changes/"}}}
	for _, r := range s.releases() {
		if f.Updated == "" {
			f.Updated = startOf(r.Date)
		}
		f.Entries = append(f.Entries, atomEntry{lastingID("changes/" + r.Name), s.say("release", "name", r.Name), startOf(r.Date),
			atomLink{"alternate", "text/html", "/changes/#" + r.Anchor}, atomText{"html", string(r.Body)}})
	}
	if f.Updated == "" { // demanded by the standard, and nothing has changed yet
		f.Updated = "1970-01-01T00:00:00Z"
	}
	b := bytes.NewBufferString(xml.Header)
	if err := xml.NewEncoder(b).Encode(f); err != nil {
		s.Log.Add("public/"+FeedPath, 0, "cannot be written: "+strconv.Quote(err.Error()))
	}
	return s.finish(FeedPath, b.Bytes())
}

// startOf is the first moment of a day, as the feed writes moments: the changes know no finer time.
func startOf(day string) string { return day + "T00:00:00Z" }

// lastingID names an entry for ever, wherever the site is served: a UUID of version 5 (RFC 9562) made from a name in the
// project's own space, so that a site needs no address of its own to have a feed.
func lastingID(name string) string {
	sum := sha1.Sum([]byte("centrode feed\x00" + name))
	u := sum[:16]
	u[6], u[8] = u[6]&0x0f|0x50, u[8]&0x3f|0x80
	h := hex.EncodeToString(u)
	return "urn:uuid:" + h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}
