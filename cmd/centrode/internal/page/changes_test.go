package page

import (
	"encoding/xml"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"centrode/cmd/centrode/internal/history"
)

// node is an element of any XML, for looking at a feed as a reader of feeds does.
type node struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Text    string     `xml:",chardata"`
	Nodes   []node     `xml:",any"`
}

func (n node) all(name string) (list []node) {
	for _, c := range n.Nodes {
		if c.XMLName.Local == name && c.XMLName.Space == "http://www.w3.org/2005/Atom" {
			list = append(list, c)
		}
	}
	return list
}

// required lists what RFC 4287 demands of a feed (4.1.1) and an entry (4.1.2) and this one lacks.
func required(feed node) (faults []string) {
	ids := map[string]bool{}
	check := func(n node, where string) {
		for _, name := range []string{"id", "title", "updated"} {
			list := n.all(name)
			if len(list) != 1 || strings.TrimSpace(list[0].Text) == "" {
				faults = append(faults, where+" has no single "+name)
				continue
			}
			switch text := list[0].Text; name {
			case "updated": // 3.3: RFC 3339
				if _, err := time.Parse(time.RFC3339, text); err != nil {
					faults = append(faults, where+": "+err.Error())
				}
			case "id": // 4.2.6: an IRI that is not relative, its own for each
				if !regexp.MustCompile(`^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`).MatchString(text) || ids[text] {
					faults = append(faults, where+": id "+text)
				}
				ids[text] = true
			}
		}
	}
	if feed.XMLName.Local != "feed" || feed.XMLName.Space != "http://www.w3.org/2005/Atom" {
		faults = append(faults, "no feed of Atom")
	}
	check(feed, "the feed")
	if a := feed.all("author"); len(a) != 1 || len(a[0].all("name")) != 1 {
		faults = append(faults, "the feed has no author, nor have its entries")
	}
	rels := ""
	for _, l := range feed.all("link") {
		for _, a := range l.Attrs {
			if a.Name.Local == "rel" {
				rels += a.Value + " "
			}
		}
	}
	if rels != "self alternate " {
		faults = append(faults, "the feed links "+rels)
	}
	for _, e := range feed.all("entry") {
		check(e, "an entry")
		if len(e.all("link")) != 1 || len(e.all("content")) != 1 {
			faults = append(faults, "an entry lacks its link or content")
		}
	}
	return faults
}

func TestTheFeedHoldsWhatItsStandardDemands(t *testing.T) {
	in, _ := input(t, tinyBook())
	in.Changes = []history.Release{{Name: "2", Date: "2026-12-01", Body: "- A <hand> & `code`.\n", Line: 3}, {Name: "1", Date: "2026-11-27", Body: "- First.\n", Line: 7}}
	in.Changes[0].Body = "- A hand & `x < 1`.\n"
	files := Render(in)
	var feed node
	if err := xml.Unmarshal(files[FeedPath], &feed); err != nil {
		t.Fatal(err)
	}
	if faults := required(feed); len(faults) > 0 {
		t.Errorf("%q\n%s", faults, files[FeedPath])
	}
	entries := feed.all("entry")
	if len(entries) != 2 || feed.all("updated")[0].Text != "2026-12-01T00:00:00Z" || !strings.Contains(entries[0].all("content")[0].Text, "<code>x &lt; 1</code>") {
		t.Errorf("%s", files[FeedPath])
	}
	page := string(files["changes/index.html"])
	if !strings.Contains(page, `id="release-1"`) || !strings.Contains(page, `<time datetime="2026-12-01">`) {
		t.Errorf("the page of changes is\n%s", page)
	}
	broken := feed
	broken.Nodes = slices.DeleteFunc(slices.Clone(feed.Nodes), func(n node) bool { return n.XMLName.Local == "updated" })
	if faults := required(broken); len(faults) != 1 {
		t.Errorf("a feed without its moment passes: %q", faults)
	}
}
