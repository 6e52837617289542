package fingercurl

import (
	"testing"

	"centrode/calc/catalog"
)

// The three answers, told apart at half of the last digit that a reader sees.
func TestTheVerdictFollowsTheGap(t *testing.T) {
	for _, c := range []struct {
		gap  float64
		good bool
		want string
	}{
		{1.1, false, "No. The pulp stops 1.10\u00a0cm short of the palm."},
		{0.00501, false, "No. The pulp stops 0.01\u00a0cm short of the palm."},
		{0.0049, true, "Yes. The pulp just touches the palm."},
		{-0.3, true, "Yes, with room to spare: it would go 0.30\u00a0cm into the palm."},
	} {
		r := catalog.NewResult()
		r.Numbers["pulp_gap"] = c.gap
		if got := (Calculator{}).Verdict(catalog.Values{}, r); got.Text != c.want || got.Good != c.good {
			t.Errorf("a gap of %v cm: %+v, want %v %q", c.gap, got, c.good, c.want)
		}
	}
}
