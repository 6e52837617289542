package reseat

import (
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
)

// A joint that moves along the line of sight alone has moved: the detail must not say that it stands in one place.
func TestAMoveTowardTheReaderIsNotSaidToBeNone(t *testing.T) {
	for z, want := range map[string]string{"0": "in one place, enlarged 20 times", "1": "20 times larger"} {
		spec, v := Calculator{}.Spec(), catalog.NewValues()
		for _, set := range [][2]string{{"joints", "a,,0,0,0;b,a,30,0,0;c,b,60,5,0"}, {"move", "b"}, {"to_x", "30"}, {"to_y", "0"}, {"to_z", z}} {
			if err := catalog.Set(spec, &v, set[0], set[1]); err != nil {
				t.Fatal(err)
			}
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, m := range a.Calculator.Figure(a.Values, a.Result).Marks {
			label, ok := m.(figure.Label)
			found = found || ok && label.Text == want
		}
		if !found {
			t.Errorf("moved by %s cm toward the reader, the detail does not say %q", z, want)
		}
	}
}
