package page

import (
	"strings"

	"centrode/cmd/centrode/internal/book"
)

// seen tells how much of a source was looked at: the status and a sentence. The note of a source opens with that
// ("Seen: abstract."); the status then is not said twice.
func seen(s book.Source) (status, words string) {
	status = statusOf(s)
	head, note := statusWords[status], strings.TrimSpace(s.Note)
	if before, after, ok := strings.Cut(note, ":"); ok && (strings.EqualFold(before, head) || strings.EqualFold(before, status)) {
		note = strings.TrimSpace(after)
	}
	if note == "" {
		return status, head + "."
	}
	return status, head + ": " + sentence(note)
}

// statusOf is the recorded status, or what the first word of the note says when none is recorded.
func statusOf(s book.Source) string {
	if _, known := statusWords[s.Status]; known {
		return s.Status
	}
	first, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(s.Note)), ":")
	for status := range statusWords {
		if strings.HasPrefix(first, status) {
			return status
		}
	}
	return "unknown"
}
