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
