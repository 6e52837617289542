package plate

import (
	"slices"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/limbfold"
	"centrode/calc/vary"
)

// A share that was read instead of a length is no length, even where a length was asked for.
func TestWhatAMistakeGivesHasTheUnitOfWhatWasRead(t *testing.T) {
	c := limbfold.Calculator{}
	a, err := catalog.Run(c, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	q := vary.Question{Ask: "span_min", Mistakes: []vary.Mistake{{Output: "fold", Times: 1}, {Output: "span_max", Times: 1},
		{Output: "fold", Formula: "2 * span_min"}, {Output: "span_min", Times: -1}, {Output: "fold"}}}
	outcomes := []vary.Outcome{{Number: 0.34, Exists: true}, {Number: 5, Exists: true}, {Number: 6, Exists: true}, {Number: -3, Exists: true}, {}}
	want := []string{"0.340", "5.00\u00a0cm", "6.00\u00a0cm", "−3.00\u00a0cm", None}
	if got := Gave(a.Spec, q, outcomes); !slices.Equal(got, want) {
		t.Errorf("gives %q, want %q", got, want)
	}
}
