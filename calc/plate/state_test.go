package plate

import (
	"encoding/json"
	"errors"
	"net/url"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/tests/hard/bound"
)

func TestAStateIsReadAsItIsWritten(t *testing.T) {
	for _, state := range []string{"", "x=2", "x=-0.125", "kind=y", "points=1,a;2,b%20c", "points=1,%26%3D%2525"} {
		a, err := Run(twice{}, state)
		if err != nil {
			t.Fatalf("%q: %v", state, err)
		}
		if got := State(a); got != state {
			t.Errorf("state %q is written as %q", state, got)
		}
	}
	for given, want := range map[string]string{
		"x=18%20mm": "x=1.8", "x=5&x=6": "x=6", "&&x=2&": "x=2", "x=1": "", "kind=+x": "", "kind=%2bx": "",
		"x=" + url.PathEscape("−2 cm"): "x=-2", "points=": "",
	} {
		a, err := Run(twice{}, given)
		if err != nil {
			t.Errorf("%q: %v", given, err)
		} else if got := State(a); got != want {
			t.Errorf("state %q becomes %q, want %q", given, got, want)
		}
	}
}

func TestAHostileStateIsRefusedInOneLine(t *testing.T) {
	for given, want := range map[string]string{
		strings.Repeat("x", MaxState+1): "4194305 bytes of state: must be at most 4194304 bytes",
		"x":                             `"x": must be written as field=value`,
		"x=%zz":                         `x: "%zz": must have two hexadecimal digits after every %`,
		"x=1%2":                         `x: "1%2": must have two hexadecimal digits after every %`,
		"z=1":                           "z: is no field of twice",
		"kinds=1":                       `kinds: is no field of twice; nearest: "kind"`,
		"x=11":                          "x: 11 cm: must be from -10 to 10 cm",
		"x=1e999":                       `x: "1e999": must be a number between -1.8e308 and 1.8e308`,
		"points=1,a;77,b":               "points.u row 2: 77 cm: must be from -9 to 9 cm",
	} {
		_, err := Run(twice{}, given)
		if err == nil || err.Error() != want {
			t.Errorf("state %.40q: %v, want %s", given, err, want)
		}
	}
	s := read(t, new(Desk).Solve(twice{}, Request{State: "points=1,a;77,b"}))
	if s.Error == nil || s.Error.Field != "points.u" || s.Error.Row != 2 || s.Error.Text != "Row 2: 77 cm: must be from -9 to 9 cm" {
		t.Errorf("refusal = %+v", s.Error)
	}
}

func TestEveryTableInUseStandsInItsInput(t *testing.T) {
	tables := 0
	for _, c := range list.All() {
		a, err := Run(c, "")
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range Entries(a) {
			rows, ok := a.Values.Tables[e.ID]
			if !ok || rows.Len == 0 {
				continue
			}
			tables++
			if got := 1 + strings.Count(e.Text, "\n"); got != rows.Len {
				t.Errorf("%s: the input %s shows %d rows of %d: %.60q", a.Spec.ID, e.ID, got, rows.Len, e.Text)
			}
			again, err := Run(c, e.ID+"="+Encode(strings.NewReplacer("\n", ";", "\t", ",").Replace(e.Text)))
			if err != nil || State(again) != "" {
				t.Errorf("%s: %s is not read back as it is shown: %q, %v", a.Spec.ID, e.ID, State(again), err)
			}
		}
	}
	if tables < 3 {
		t.Fatalf("only %d tables were looked at", tables)
	}
}

// FuzzParseState accepts a refusal that is an *InputError with a reason, or values whose state gives the same state
// again; Solve must answer valid JSON for every text.
func FuzzParseState(f *testing.F) {
	for _, seed := range []string{"", "x=1", "x=1&x=2", "points=1,a;2,b", "x=%", "x=%4", "x=%41", "kind=+x", "=", "&&", "x=1e309", "\xff=\xff", "points=%2C%3B"} {
		f.Add(seed)
	}
	for _, c := range list.All() {
		for _, p := range c.Spec().Presets {
			f.Add(WriteState(p.Values))
		}
	}
	calculators := append(list.All(), catalog.Calculator(twice{}))
	f.Fuzz(func(t *testing.T, state string) {
		defer bound.Watch(t, len(state))()
		for _, c := range calculators {
			if text := new(Desk).Solve(c, Request{State: state, Width: 300}); !json.Valid(text) {
				t.Fatalf("state %q gives no JSON: %.200s", state, text)
			}
			a, err := Run(c, state)
			var input *catalog.InputError
			if err != nil {
				if !errors.As(err, &input) || input.Allowed == "" {
					t.Fatalf("state %q is refused without a reason: %v", state, err)
				}
				continue
			}
			again, err := Run(c, State(a))
			if err != nil || State(again) != State(a) {
				t.Fatalf("state %q becomes %q, then %q (%v)", state, State(a), State(again), err)
			}
		}
	})
}
