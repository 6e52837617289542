package pivotoffset

import (
	"testing"

	"centrode/calc/catalog"
)

func TestTheVerdictSaysHowFarAndWhatItCosts(t *testing.T) {
	for _, c := range []struct {
		set  map[string]string
		good bool
		want string
	}{
		// derived: 2·1·sin 30° = 1
		{map[string]string{"offset_x": "1", "offset_y": "0", "angle": "60"}, false, "By 1.00\u00a0cm. This turn of 60° owes 1.00\u00a0cm of keyed translation."},
		{map[string]string{"offset_x": "0", "offset_y": "0", "offset_z": "3"}, true, "Not at all. The pivot lies on the axis, and rotation alone is enough."},
		{map[string]string{"offset_x": "1", "offset_y": "0", "angle": "0"}, true, "By 1.00\u00a0cm, but this turn owes nothing for it."},
		{map[string]string{"offset_x": "1", "offset_y": "0", "angle": "360"}, true, "By 1.00\u00a0cm, but this turn owes nothing for it."},
	} {
		v := catalog.NewValues()
		for id, text := range c.set {
			if err := catalog.Set(Calculator{}.Spec(), &v, id, text); err != nil {
				t.Fatal(err)
			}
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		if got, ok := a.Verdict(); !ok || got.Good != c.good || got.Text != c.want {
			t.Errorf("%v: %+v, want %v %q", c.set, got, c.good, c.want)
		}
	}
}
