package fingercurl

import (
	"regexp"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

func TestEverySlotOfTheStepsIsKnown(t *testing.T) {
	spec := Calculator{}.Spec()
	seen := map[string]bool{}
	for _, step := range spec.Steps {
		for _, m := range regexp.MustCompile(`\\slot\{([^}]*)\}`).FindAllStringSubmatch(step.TeX, -1) {
			seen[m[1]] = true
			if _, ok := spec.Shown(m[1]); !ok {
				t.Errorf("step %q shows the unknown %q", step.Say, m[1])
			}
		}
		if strings.Count(step.TeX, "{") != strings.Count(step.TeX, "}") || strings.Contains(step.TeX, "@") || strings.ContainsAny(step.Say, `$\`) {
			t.Errorf("step %q: TeX %q", step.Say, step.TeX)
		}
	}
	if len(seen) < 45 {
		t.Errorf("only %d slots", len(seen))
	}
	for _, w := range spec.Workings {
		if !seen[w.ID] {
			t.Errorf("no step shows the working %q", w.ID)
		}
	}
}

func TestEveryNumberOfAnAnswerIsDeclared(t *testing.T) {
	spec := Calculator{}.Spec()
	r := run(t, nil)
	for id := range r.Numbers {
		if _, ok := spec.Shown(id); !ok {
			t.Errorf("%q is in the answer but not in the Spec", id)
		}
	}
	for _, o := range append(spec.Outputs, spec.Workings...) {
		if !r.Has(o.ID) {
			t.Errorf("the default fist has no %q", o.ID)
		}
	}
}

func TestPresetsAreAccepted(t *testing.T) {
	spec := Calculator{}.Spec()
	for _, p := range spec.Presets {
		v := catalog.NewValues()
		for _, e := range p.Values {
			if err := catalog.Set(spec, &v, e.ID, e.Text); err != nil {
				t.Errorf("%s: %v", p.ID, err)
			}
		}
		if _, err := catalog.Run(Calculator{}, v); err != nil {
			t.Errorf("%s: %v", p.ID, err)
		}
	}
}

func TestRefusalsSayWhatIsAllowed(t *testing.T) {
	for _, c := range []struct {
		field, text, want string
	}{
		{"mcp_depth", "-2 cm", "mcp_depth: -2 cm: must be above 0 and at most 30 cm"},
		{"mcp_depth", "0", "mcp_depth: 0 cm: must be above 0 and at most 30 cm"},
		{"proximal", "2 m", "proximal: 200 cm: must be above 0 and at most 100 cm"},
		{"pip_flex", "200 deg", "pip_flex: 200 deg: must be from -45 to 180 deg"},
		{"dip_pivot", "1.6", "dip_pivot: 1.6: must be from -0.5 to 1.5"},
		{"dip_shift", "-11", "dip_shift: -11 cm: must be from -10 to 10 cm"},
	} {
		v, spec := catalog.NewValues(), Calculator{}.Spec()
		if err := catalog.Set(spec, &v, c.field, c.text); err != nil {
			t.Fatal(err)
		}
		if _, err := catalog.Run(Calculator{}, v); err == nil || err.Error() != c.want {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
}

func TestOneSentenceSaysTheResult(t *testing.T) {
	at := func(p float64) map[string]float64 {
		return map[string]float64{"mcp_pivot": p, "pip_pivot": p, "dip_pivot": p}
	}
	touching := run(t, nil).Numbers["depth_to_touch"]
	for _, c := range []struct {
		name  string
		given map[string]float64
		want  string
	}{
		{"short, can touch", nil, "The pulp stops 1.00 cm short of the palm; at a common pivot depth of 0.11 it would just touch."},
		{"short, cannot", map[string]float64{"mcp_flex": 0, "pip_flex": 0, "dip_flex": 0}, "The pulp stops 7.47 cm short of the palm; no common pivot depth from the back to the palm-side surface makes it just touch."},
		{"inside, can touch", at(0), "The pulp would end 0.27 cm inside the palm; at a common pivot depth of 0.11 it would just touch."},
		{"touching", at(touching), "The pulp just touches the palm."},
	} {
		answer, err := catalog.Run(Calculator{}, catalog.Values{Numbers: c.given})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.ReplaceAll(answer.Say(), "\u00a0", " "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestEveryFieldExplainsItselfAndStandsInAGroup(t *testing.T) {
	spec := Calculator{}.Spec()
	groups := map[string]bool{}
	for _, g := range spec.Groups {
		groups[g.ID] = true
	}
	for _, f := range spec.Fields {
		if !groups[f.Group] || len(f.Help) < 20 || f.Label == "" || f.SlideMin < f.Min || f.SlideMax > f.Max || f.Default < f.SlideMin || f.Default > f.SlideMax {
			t.Errorf("field %+v", f)
		}
		if f.Kind == quantity.Length && f.Digits() != 2 {
			t.Errorf("%s shows %d digits", f.ID, f.Digits())
		}
	}
	if len(spec.Fields) != 17 || len(spec.Outputs) != 16 {
		t.Errorf("%d fields and %d outputs, the contract has 17 and 16", len(spec.Fields), len(spec.Outputs))
	}
}
