package history

import (
	"os"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/report"
)

func TestReleasesAreReadWithTheirDays(t *testing.T) {
	var log report.Log
	got := Parse("# Changes\n\nIntro.\n\n## Unreleased\n\n- Later.\n\n## 2 · 2026-12-01\n\n- Two.\n\n## 1 · 2026-11-27\n\n- One.\n", &log)
	if err := log.Err(); err != nil {
		t.Fatal(err)
	}
	if len(got) != 2 || got[0].Name != "2" || got[0].Date != "2026-12-01" || strings.TrimSpace(got[0].Body) != "- Two." || got[0].Line != 10 || strings.TrimSpace(got[1].Body) != "- One." {
		t.Errorf("read %+v", got)
	}
}

func TestAHeadingThatIsNoReleaseIsNamed(t *testing.T) {
	for source, want := range map[string]string{
		"## Next\n":             `CHANGELOG.md:1: heading "Next": must be the release and its day, as in "2 · 2026-11-27", or "Unreleased"`,
		"\n## 1 · 2026-02-30\n": `CHANGELOG.md:2: heading "1 · 2026-02-30": must be the release and its day, as in "2 · 2026-11-27", or "Unreleased"`,
		"## 1 · 2026-01-01\n## 2 · 2026-01-02\n":      `CHANGELOG.md:2: heading "2 · 2026-01-02": is later than 2026-01-01 of the release above; the newest stands first`,
		"## 1 · 2026-01-02\nx\n## 1 · 2026-01-01\n":   `CHANGELOG.md:3: heading "1 · 2026-01-01": the release stands above already`,
		"## a release of words · 2026-01-01\nwords\n": `CHANGELOG.md:1: heading "a release of words · 2026-01-01": must be the release and its day, as in "2 · 2026-11-27", or "Unreleased"`,
	} {
		var log report.Log
		Parse(source, &log)
		if err := log.Err(); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", source, err, want)
		}
	}
}

func TestTheProjectsOwnChangesCanBeRead(t *testing.T) {
	source, err := os.ReadFile("../../../../" + File)
	if err != nil {
		t.Fatal(err)
	}
	var log report.Log
	if list := Parse(string(source), &log); len(list) == 0 || log.Err() != nil {
		t.Errorf("%d releases, %v", len(list), log.Err())
	}
}
