package list

import (
	"errors"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/tests/hard/bound"
)

// hardTables are tables at the edge of what can be answered, by calculator: points in one place, on one line or in one plane,
// no turn, half a turn, turns too small to see, sizes far apart, loops, quaternions without length.
var hardTables = map[string][]string{
	"pose-fit": {
		"0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,1,0",
		"0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,-1,0,0;1,0,-1,0",
		"0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,0,1;2,0,0,0;2,0,1,0;2,0,0,1",
		"0,1e6,0,0;0,1e6,1e-6,0;0,1e6,0,1e-6;1,-1e6,0,0;1,-1e6,1e-6,0;1,-1e6,0,-1e-6",
		"0,1,0,0;0,2,0,0;0,3,0,0;1,0,1,0;1,0,2,0;1,0,3,0",
		"0,0,0,0;0,1,0,0;0,0,1,0;0,0,0,1;1,1e-9,0,0;1,1,1e-9,0;1,0,1,1e-9;1,0,0,1",
		"0,0,0,0;0,1,0,0;0,0,1,0;0,0,0,1;1,0,0,0;1,-1,0,0;1,0,1,0;1,0,0,1",
		"0,5,0,0,1;0,6,0,0,1;0,5,1,0,0;1,0,5,0,1e6;1,0,6,0,1e-9;1,-1,5,0,0",
		"0,0,0,0;0,0,0,0;0,0,0,0;1,0,0,0;1,0,0,0;1,0,0,0",
		"0,0,0,0;0,1,0,0;0,2,1,0;1,0,0,0,5e-324;1,0,1,0,0;1,0,2,0,0",
	},
	"key-fit": {
		"0,0,0,0,0,0", "0,0,0,1,2,3", "360,0,0,1,0,0;0,720,0,0,1,0", "180,0,0,1,1,0;0,180,0,1,0,1;0,0,180,0,1,1",
		"1e-7,0,0,1e6,0,0;0,1e-7,0,0,1e6,0", "90,90,90,1,2,3,0;0,0,45,1,0,0,1e6", "0,0,1e-13,1,0,0", "36000,-36000,36000,1e6,-1e6,1e6",
		"0,90,0,1,0,0;0,-90,0,0,0,1", "30,0,0,0,0,5;60,0,0,0,0,5",
	},
	"limb-fold": {
		"1,0,0,0;1,0,0,0", "1,0,-720,720;1e-9,360,-720,720", "1e6,0,0,0;1e-6,0,-180,180", "1,0,0,0;1,180,0,0", "1,0,0,0;1,0,-360,360;1,0,-360,360;1,0,-360,360;1,0,-360,360;1,0,-360,360;1,0,-360,360;1,0,-360,360",
		"1,0,0,0;2,0,10,20;1,0,-20,-10;3,0,0,0", "3,0,0,0;1,0,-180,180;1,0,-180,180", "1,0,0,0;1,0,30,20",
	},
	"reseat": {
		"a,,0,0,0", "shoulder,,0,0,0;elbow,shoulder,0,0,0", "elbow,,1,2,3,0,0,0,0", "elbow,elbow,0,0,0", "elbow,wrist,0,0,0;wrist,elbow,0,0,0",
		"elbow,,1e6,-1e6,1e6,1e-6,0,0,0;b,elbow,27.4,141.2,-1.6", "elbow,,27.4,141.2,-1.6,0,0,1,0;x,elbow,27.4,141.2,-1.6,1,0,0,0", "elbow,nobody,0,0,0", "elbow,,0,0,0;elbow,,0,0,0",
		"elbow,,0,0,0,0,0.7071,0,0.7071;b,elbow,0,0,0",
	},
	"hinge-plane": {
		"0,0,0;1,0,0;2,0,0", "0,0,0;0,0,0;1,0,0", "0,0,0;1,0,0;0,0,0", "0,0,0;1e-6,0,0;1e6,1e6,0", "0,0,0;1,0,0;1,1,0;1,1,1", "0,0,0;1,0,0;1,1,0;2,1,0", "0,0,0;0,0,1;0,1,1;1e-12,1,2",
		"0,0,0;1,0,0;2,1e-8,0", "1e6,1e6,1e6;1e6,1e6,999999;1e6,999999,999999",
	},
}

// FuzzTables asks every calculator that reads a table anything in that table, with every choice of its first field, and
// accepts a finite answer or a refusal that names the place. The catalogue's own guard against numbers that are not finite
// counts as a failure here: a calculator must see such tables coming.
func FuzzTables(f *testing.F) {
	for i, c := range All() {
		for k, text := range hardTables[c.Spec().ID] {
			f.Add(uint8(i), uint8(k), text)
			f.Add(uint8(i), uint8(k+1), text)
		}
		if c.Spec().ID == "placement-map" {
			for k, text := range hardTables["pose-fit"] {
				f.Add(uint8(i), uint8(k), text)
				f.Add(uint8(i), uint8(k+1), text)
			}
		}
	}
	f.Fuzz(func(t *testing.T, which, choice uint8, text string) {
		defer bound.Watch(t, len(text))()
		c := All()[int(which)%len(All())]
		spec := c.Spec()
		if len(spec.Tables) == 0 || len(text) > 4000 {
			return
		}
		v := catalog.NewValues()
		if err := catalog.Set(spec, &v, spec.Tables[0].ID, text); err != nil {
			return // FuzzSet of the catalogue looks at these
		}
		for _, field := range spec.Fields {
			if n := len(field.Choices); n > 0 {
				v.Choices[field.ID] = field.Choices[int(choice)%n].ID
			}
		}
		a, err := catalog.Run(c, v)
		var refusal *catalog.InputError
		switch {
		case err == nil:
			c.Figure(a.Values, a.Result)
		case !errors.As(err, &refusal) || refusal.Field == "" || refusal.Allowed == "":
			t.Fatalf("%s refuses %q with %v", spec.ID, text, err)
		case strings.HasPrefix(refusal.Allowed, "cannot be computed"):
			t.Fatalf("%s finds a number that is not finite in %q: %v", spec.ID, text, err)
		}
	})
}
