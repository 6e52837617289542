// Package history reads CHANGELOG.md: what changed, by release, each with the day that its heading states. Nothing else in
// the project has a date, so the feed takes its dates from here and the same input still gives the same bytes.
//
// Start at Parse. A release begins with a heading such as "## 2 · 2026-11-27", the newest first. What stands under
// "## Unreleased" waits for its release and is in no feed.
package history

import (
	"strconv"
	"strings"
	"time"

	"centrode/cmd/centrode/internal/report"
)

// File is where changes are written down.
const File = "CHANGELOG.md"

// Release is one dated section.
type Release struct {
	Name string // "2"
	Date string // "2026-11-27"
	Body string // markdown
	Line int    // of the first line of Body
}

const unreleased = "Unreleased"

// Parse returns the releases in the order of the file. What is wrong with a heading goes to the log.
func Parse(source string, log *report.Log) []Release {
	var list []Release
	open, line := false, 0
	for text := range strings.Lines(source) {
		line++
		heading, is := strings.CutPrefix(strings.TrimSpace(text), "## ")
		switch {
		case !is && open:
			list[len(list)-1].Body += text
		case !is:
		case heading == unreleased:
			open = false
		default:
			release, complaint := readHeading(heading, list)
			if complaint != "" {
				log.Add(File, line, "heading "+strconv.Quote(heading)+": "+complaint)
			}
			release.Line = line + 1
			list, open = append(list, release), true
		}
	}
	return list
}

// readHeading reads the words behind "## ". The complaint is "" when they name a release that can stand below the others.
func readHeading(heading string, above []Release) (Release, string) {
	name, date, ok := strings.Cut(heading, " · ")
	if _, err := time.Parse(time.DateOnly, date); !ok || err != nil || name == "" || strings.ContainsAny(name, " #") {
		return Release{}, `must be the release and its day, as in "2 · 2026-11-27", or "` + unreleased + `"`
	}
	r := Release{Name: name, Date: date}
	for _, other := range above {
		switch {
		case other.Name == name:
			return r, "the release stands above already"
		case other.Date < date:
			return r, "is later than " + other.Date + " of the release above; the newest stands first"
		}
	}
	return r, ""
}
