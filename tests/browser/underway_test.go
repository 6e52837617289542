package browser

import (
	"strings"
	"testing"
)

// A number that is still being answered when its field is left for the other language goes along.
func TestAnEditUnderWayGoesAlongIntoTheOtherLanguage(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	p.enter(t, "mcp_pivot", "0.7", "")
	p.run(t, `const link = document.querySelector('a[data-language]'); link.focus(); link.click()`)
	p.until(t, `location.pathname.startsWith('/de/') && `+alive)
	if at := eval[string](t, p.tab, `location.hash`); !strings.Contains(at+"&", "mcp_pivot=0.7&") {
		t.Errorf("the German page opens at %q", at)
	}
	p.clean(t)
}
