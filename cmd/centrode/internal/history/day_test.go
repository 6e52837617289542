package history

import (
	"testing"

	"centrode/cmd/centrode/internal/report"
)

func TestTwoReleasesMayComeOnOneDay(t *testing.T) {
	var log report.Log
	list := Parse("## 2 · 2026-11-27\n\nB.\n\n## 1 · 2026-11-27\n\nA.\n", &log)
	if err := log.Err(); err != nil || len(list) != 2 {
		t.Errorf("%d releases: %v", len(list), err)
	}
}

func TestWhatIsUnreleasedBelongsToNoRelease(t *testing.T) {
	var log report.Log
	list := Parse("## 2 · 2026-11-27\n\nB.\n\n## Unreleased\n\nLater.\n", &log)
	if err := log.Err(); err != nil || len(list) != 1 || list[0].Body != "\nB.\n\n" {
		t.Errorf("read %+v: %v", list, err)
	}
}
