package words

import (
	"strings"
	"testing"
)

func TestAWordHasTwoFormsAndNoThird(t *testing.T) {
	_, told := load(t, map[string]string{"en.json": `{"rows": {"one": "{count} row", "few": "{count} rows", "other": "{count} rows"}}`})
	if !strings.Contains(told, `theme/words/en.json:1: "rows" must be a text, or {"one": …, "other": …}`) {
		t.Errorf("told: %q", told)
	}
}
