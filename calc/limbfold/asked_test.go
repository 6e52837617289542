package limbfold

import (
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// The example's leg spans 25.60 to 49.96 cm (derived: the outputs of its own defaults, see limbfold_test.go for the method).
func TestTheVerdictComparesWhatIsAskedWithTheExtremes(t *testing.T) {
	for _, c := range []struct {
		near, far, verdict string
		good               bool
		missing            [2]string
	}{
		{"0", "0", "It reaches from 25.6\u00a0cm to 50.0\u00a0cm. Say which spans the pose asks for.", true, [2]string{"0", "0"}},
		{"30", "48", "Yes. It reaches from 25.6\u00a0cm to 50.0\u00a0cm.", true, [2]string{"0", "0"}},
		{"30", "55", "No. Stretched, it ends 5.0\u00a0cm short.", false, [2]string{"0", "5.04"}},
		{"20", "40", "No. Folded, it is still 5.6\u00a0cm too long.", false, [2]string{"5.59", "0"}},
		{"20", "55", "No. It ends 5.0\u00a0cm short of the farthest, and folds 5.6\u00a0cm too little for the nearest.", false, [2]string{"5.59", "5.04"}},
		{"0", "20", "No. Folded, it is still 5.6\u00a0cm too long.", false, [2]string{"5.59", "0"}}, // one span alone is both
		{"55", "0", "No. Stretched, it ends 5.0\u00a0cm short.", false, [2]string{"0", "5.04"}},
	} {
		a, err := asking(t, c.near, c.far)
		if err != nil {
			t.Fatal(err)
		}
		if v, ok := a.Verdict(); !ok || v.Good != c.good || v.Text != c.verdict {
			t.Errorf("from %s to %s: %+v, want %v %q", c.near, c.far, v, c.good, c.verdict)
		}
		for i, id := range []string{"missing_near", "missing_far"} {
			if got := a.Result.Numbers[id]; !strings.HasPrefix(quantity.Shortest(got), c.missing[i]) {
				t.Errorf("from %s to %s: %s = %v, want %s…", c.near, c.far, id, got, c.missing[i])
			}
		}
	}
	if _, err := asking(t, "40", "30"); err == nil || !strings.HasPrefix(err.Error(), "near: 40 cm: must be at most the farthest") {
		t.Errorf("nearest over farthest: %v", err)
	}
}

// The sentence of the plate, of a sheet and of the command answers what is asked, as the quick check does.
func TestTheSentenceAnswersWhatIsAsked(t *testing.T) {
	for _, c := range []struct{ near, far, want string }{
		{"0", "0", "Stretched, the chain spans 50.0 cm, "},
		{"30", "48", "It reaches what is asked. Stretched, the chain spans 50.0 cm, "},
		{"30", "55", "It ends 5.0 cm short of the farthest span asked for. Stretched, "},
		{"0", "55", "It ends 5.0 cm short of the span asked for. Stretched, "},
		{"20", "0", "It folds 5.6 cm too little for the span asked for. Stretched, "},
		{"20", "55", "It ends 5.0 cm short of the farthest span asked for, and folds 5.6 cm too little for the nearest span asked for. Stretched, "},
	} {
		a, err := asking(t, c.near, c.far)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.ReplaceAll(a.Say(), "\u00a0", " "); !strings.HasPrefix(got, c.want) {
			t.Errorf("from %s to %s: %s", c.near, c.far, got)
		}
	}
}

func asking(t *testing.T, near, far string) (catalog.Answer, error) {
	t.Helper()
	v := catalog.NewValues()
	for id, text := range map[string]string{"near": near, "far": far} {
		if err := catalog.Set(Calculator{}.Spec(), &v, id, text); err != nil {
			t.Fatal(err)
		}
	}
	return catalog.Run(Calculator{}, v)
}
