package palette

import (
	"math"
	"testing"
)

// Source: WCAG 2.2, from the definition; #595959 on white is 7.00, #0a0a0a on white 19.80, black on white 21.
func TestContrastOfGreysIsThatOfTheStandard(t *testing.T) {
	white := Colour{255, 255, 255}
	for _, c := range []struct {
		grey uint8
		want float64
	}{{0x59, 7.00}, {0x0a, 19.80}, {0, 21}} {
		if got := Contrast(Colour{c.grey, c.grey, c.grey}, white); !(math.Abs(got-c.want) <= 0.005) {
			t.Errorf("grey %#x on white has a contrast of %.3f, want %.2f", c.grey, got, c.want)
		}
	}
}

// A studio that changes the ground alone may make what stands on it unreadable.
func TestAChangedGroundIsHeldToWhatStandsOnIt(t *testing.T) {
	grey, white := Colour{0x59, 0x59, 0x59}, Colour{255, 255, 255}
	all := Palette{}
	for _, n := range Needs {
		all[n.Name], all[n.On] = Pair{grey, grey}, Pair{white, white}
	}
	if weak := all.Weak(Palette{"paper": all["paper"]}); len(weak) > 0 {
		t.Fatalf("weak already: %v", weak)
	}
	all["paper"] = Pair{grey, white}
	if weak := all.Weak(Palette{"paper": all["paper"]}); len(weak) == 0 {
		t.Error("grey words on grey paper are not reported")
	}
}
