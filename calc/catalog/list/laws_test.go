package list

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/tests/hard/bound"
)

// random fills every scalar field from its slider's range; tables keep their defaults.
func random(rng *rand.Rand, spec catalog.Spec) catalog.Values {
	v := catalog.NewValues()
	for _, f := range spec.Fields {
		if f.Free {
			continue // a name of a row; the default table has the default name
		}
		if len(f.Choices) > 0 {
			v.Choices[f.ID] = f.Choices[rng.IntN(len(f.Choices))].ID
			continue
		}
		if f.Free {
			continue // the default names something in the default table
		}
		lo, hi := f.SlideMin, f.SlideMax
		if lo == hi {
			lo, hi = f.Min, f.Max
		}
		v.Numbers[f.ID] = lo + rng.Float64()*(hi-lo)
		if f.Kind == quantity.Count {
			v.Numbers[f.ID] = math.Round(v.Numbers[f.ID])
		}
		if f.MinOpen && v.Numbers[f.ID] == f.Min {
			v.Numbers[f.ID] = f.Default
		}
	}
	return v
}

// power is the k by which a quantity grows when the unit of length shrinks by k.
func power(kind quantity.Kind, k float64) float64 {
	switch kind {
	case quantity.Length:
		return k
	case quantity.Area:
		return k * k
	}
	return 1
}

// scaled is the same question asked in a unit k times smaller.
func scaled(spec catalog.Spec, v catalog.Values, k float64) catalog.Values {
	out := v.Clone()
	for _, f := range spec.Fields {
		if !f.Worded() {
			out.Numbers[f.ID] = v.Numbers[f.ID] * power(f.Kind, k)
		}
	}
	for _, t := range spec.Tables {
		rows := t.Default
		grown := catalog.Rows{Len: rows.Len, Numbers: map[string][]float64{}, Texts: rows.Texts}
		for _, c := range t.Columns {
			for _, n := range rows.Numbers[c.ID] {
				grown.Numbers[c.ID] = append(grown.Numbers[c.ID], n*power(c.Kind, k))
			}
		}
		if rows.Len > 0 {
			out.Tables[t.ID] = grown
		}
	}
	return out
}

// No calculator may know how long a centimetre is: a threshold in absolute length would show here. Powers of two change
// no digit of a float, so the answers agree to rounding even where a branch is near.
func TestNoAnswerDependsOnTheUnitOfLength(t *testing.T) {
	for _, c := range All() {
		spec := c.Spec()
		t.Run(spec.ID, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(1, 1))
			answered := 0
			for i := range 60 {
				given := random(rng, spec)
				k := []float64{0.5, 2, 0.25}[i%3]
				a, errA := catalog.Run(c, given)
				b, errB := catalog.Run(c, scaled(spec, given, k))
				if errA != nil || errB != nil {
					continue // a scaled value may leave its range
				}
				answered++
				for _, o := range spec.Outputs {
					was, had := a.Result.Numbers[o.ID]
					is, has := b.Result.Numbers[o.ID]
					want := was * power(o.Kind, k)
					if had != has || !(math.Abs(is-want) <= 1e-9*math.Max(power(o.Kind, k), math.Abs(want))) {
						t.Fatalf("seed 1,1 case %d, lengths times %v: %s = %v (%v), want %v (%v)\n%v", i, k, o.ID, is, has, want, had, given.Numbers)
					}
				}
			}
			if answered < 15 {
				t.Errorf("only %d of 60 questions could be asked in both units", answered)
			}
		})
	}
}

func TestEveryAnswerIsCompleteAndTheSameTwice(t *testing.T) {
	for _, c := range All() {
		spec := c.Spec()
		t.Run(spec.ID, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(1, 1))
			answered := 0
			for range 60 {
				given := random(rng, spec)
				a, err := catalog.Run(c, given)
				if err != nil {
					var refusal *catalog.InputError
					if !errors.As(err, &refusal) {
						t.Fatalf("%v: %T, want an *InputError", err, err)
					}
					continue
				}
				answered++
				checkAnswer(t, a)
				again, err := catalog.Run(c, given)
				if err != nil || string(again.AppendJSON(nil)) != string(a.AppendJSON(nil)) {
					t.Fatalf("the same question is answered in two ways: %v\n%s\n%s", err, a.AppendJSON(nil), again.AppendJSON(nil))
				}
			}
			if answered < 20 {
				t.Errorf("only %d of 60 random questions within the sliders were answered", answered)
			}
		})
	}
}

// FuzzRun asks any calculator anything: "field=value" parts divided by "&".
func FuzzRun(f *testing.F) {
	for i, c := range All() {
		f.Add(uint8(i), "")
		for _, p := range c.Spec().Presets {
			var parts []string
			for _, e := range p.Values {
				parts = append(parts, e.ID+"="+e.Text)
			}
			f.Add(uint8(i), strings.Join(parts, "&"))
		}
	}
	f.Fuzz(func(t *testing.T, which uint8, state string) {
		defer bound.Watch(t, len(state))()
		c := All()[int(which)%len(All())]
		v := catalog.NewValues()
		for part := range strings.SplitSeq(state, "&") {
			id, text, _ := strings.Cut(part, "=")
			if err := catalog.Set(c.Spec(), &v, id, text); err != nil {
				return // FuzzSet of the catalogue looks at these
			}
		}
		a, err := catalog.Run(c, v)
		if err != nil {
			var refusal *catalog.InputError
			if !errors.As(err, &refusal) || refusal.Allowed == "" {
				t.Fatalf("%s refuses %q with %v", c.Spec().ID, state, err)
			}
			return
		}
		if text := a.Say(); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Fatalf("%s says of %q: %s", c.Spec().ID, state, text)
		}
		c.Figure(a.Values, a.Result)
	})
}

func BenchmarkRun(b *testing.B) {
	for _, c := range All() {
		b.Run("calculator="+c.Spec().ID, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := catalog.Run(c, catalog.NewValues()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
