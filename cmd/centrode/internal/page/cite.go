package page

import (
	"html/template"
	"slices"
	"strings"

	"centrode/cmd/centrode/internal/book"
)

// labels gives every source its short form, "Buryanov and Kotiuk 2010"; two that would read the same get a letter.
func labels(sources []book.Source) map[string]string {
	same := map[string][]string{}
	for _, s := range sources {
		label := shortNames(s) + " " + year(s)
		same[label] = append(same[label], s.Key)
	}
	out := map[string]string{}
	for label, keys := range same {
		slices.Sort(keys)
		for i, key := range keys {
			out[key] = label
			if len(keys) > 1 {
				out[key] = label + apart(label) + letter(i)
			}
		}
	}
	return out
}

// letter is a to z, then aa to az, ba and so on.
func letter(i int) string {
	last := string(rune('a' + i%26))
	if i < 26 {
		return last
	}
	return letter(i/26-1) + last
}

// apart stands between a year and the letter after it: a digit needs nothing, a word a hyphen.
func apart(label string) string {
	if last := label[len(label)-1]; last >= '0' && last <= '9' {
		return ""
	}
	return "-"
}

// shortNames names one author, two, or the first of more; a source without authors goes by its title.
func shortNames(s book.Source) string {
	switch len(s.Authors) {
	case 0:
		return "“" + s.Title + "”"
	case 1:
		return s.Authors[0].Family
	case 2:
		return s.Authors[0].Family + " and " + s.Authors[1].Family
	}
	return s.Authors[0].Family + " et al."
}

func year(s book.Source) string {
	if s.Year == "" {
		return "undated"
	}
	return s.Year
}

// Reference is one entry of a list of references.
type Reference struct {
	ID        string        // anchor in this page
	Label     string        // the short form that citations show
	Text      template.HTML // authors, year, title, where it appeared
	Status    string        // seen, derived, secondary, memory or unknown
	Seen      string        // the status in words, with what of the source was seen
	SourceOf  string        // address of the entry in the list of all sources; "" in that list itself
	CitedBy   []Link        // only in the list of all sources, as the next
	FurtherIn []Link        // pages that name it as further reading
}

// references returns the entries for the keys, in the order of their short forms.
func (s *site) references(keys []string, prefix string) []Reference {
	var list []Reference
	for _, key := range keys {
		if source, ok := s.sources[key]; ok {
			r := Reference{ID: prefix + key, Label: s.labels[key], Text: ready(fullForm(source, s.labels[key])), SourceOf: "/sources/#" + key}
			r.Status, r.Seen = seen(source)
			list = append(list, r)
		}
	}
	slices.SortStableFunc(list, func(a, b Reference) int { return strings.Compare(sortKey(a), sortKey(b)) })
	return list
}

// sortKey orders references by their short form, whatever its case and quotation marks.
func sortKey(r Reference) string { return strings.ToLower(strings.TrimPrefix(r.Label, "“")) }

// fullForm writes a source out: names, year as in its short form, title, where it appeared, who issued it, where to
// find it.
func fullForm(s book.Source, label string) string {
	var b strings.Builder
	if names := allNames(s.Authors); names != "" {
		b.WriteString(escape(names) + " ")
	}
	b.WriteString("(" + escape(strings.TrimPrefix(label, shortNames(s)+" ")) + "). ")
	title := escape(strings.TrimSuffix(s.Title, "."))
	if s.In == "" {
		b.WriteString("<cite>" + title + "</cite>.")
	} else {
		b.WriteString(title + ". <cite>" + escape(s.In) + "</cite>" + escape(place(s)) + ".")
	}
	if s.Publisher != "" {
		b.WriteString(" " + escape(strings.TrimSuffix(s.Publisher, ".")) + ".")
	}
	switch {
	case s.DOI != "":
		b.WriteString(` <a class="reference-link" href="https://doi.org/` + escape(s.DOI) + `">doi:` + escape(s.DOI) + `</a>`)
	case strings.HasPrefix(s.URL, "https://") || strings.HasPrefix(s.URL, "http://"):
		b.WriteString(` <a class="reference-link" href="` + escape(s.URL) + `">` + escape(bareAddress(s.URL)) + `</a>`)
	}
	return b.String()
}

// place writes volume, issue and pages: " 28(3): 755–758".
func place(s book.Source) string {
	text := ""
	if s.Volume != "" {
		text = " " + s.Volume
	}
	if s.Issue != "" {
		text += "(" + s.Issue + ")"
	}
	if s.Pages != "" {
		text += ": " + strings.ReplaceAll(s.Pages, "--", "–")
	}
	return text
}

// allNames lists up to six authors, more as the first five and "and others".
func allNames(authors []book.Name) string {
	const most = 6
	var names []string
	for i, a := range authors {
		if len(authors) > most && i == most-1 {
			names = append(names, "and others")
			break
		}
		name := a.Family
		if a.Given != "" {
			name += ", " + a.Given
		}
		names = append(names, name)
	}
	return strings.Join(names, "; ")
}

func bareAddress(url string) string {
	_, rest, _ := strings.Cut(url, "://")
	return strings.TrimSuffix(rest, "/")
}

// statusWords says what stands behind a source, for the reader.
var statusWords = map[string]string{
	"seen": "Seen", "derived": "Derived", "secondary": "Through another text", "memory": "From memory", "unknown": "Not looked up",
}
