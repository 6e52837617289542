package browser

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/calc/quantity"
)

// guess draws an input at random: numbers mostly inside the comfortable range with few decimals or with all of them,
// now and then at an end of what is accepted; tables near the default rows; words and the rest as they are.
func guess(random *rand.Rand, c catalog.Calculator) catalog.Values {
	spec, v := c.Spec(), catalog.NewValues()
	for _, f := range spec.Fields {
		switch {
		case f.Free || random.IntN(3) == 0: // stays at its default
		case f.Worded():
			v.Choices[f.ID] = f.Choices[random.IntN(len(f.Choices))].ID
		default:
			v.Numbers[f.ID] = guessNumber(random, f)
		}
	}
	for _, t := range spec.Tables {
		if t.Default.Len > 0 && random.IntN(3) > 0 {
			v.Tables[t.ID] = guessRows(random, t)
		}
	}
	return v
}

func guessNumber(random *rand.Rand, f catalog.Field) float64 {
	low, high := f.SlideMin, f.SlideMax
	if low == 0 && high == 0 {
		low, high = f.Min, f.Max
	}
	n := low + (high-low)*random.Float64()
	switch random.IntN(8) {
	case 0:
		n = f.Min
	case 1:
		n = f.Max
	case 2, 3, 4:
		n = math.Round(n*100) / 100
	}
	if f.Kind == quantity.Count { // the most that is accepted may take long
		n = math.Round(min(high, max(low, n)))
	}
	return n
}

func guessRows(random *rand.Rand, t catalog.Table) catalog.Rows {
	rows := catalog.Rows{Len: t.Default.Len, Texts: t.Default.Texts, Numbers: map[string][]float64{}}
	for _, c := range t.Columns {
		numbers := slices.Clone(t.Default.Numbers[c.ID])
		for i, n := range numbers {
			if c.Kind != quantity.Count {
				numbers[i] = min(c.Max, max(c.Min, n*(1+0.02*random.NormFloat64())))
			}
		}
		if numbers != nil {
			rows.Numbers[c.ID] = numbers
		}
	}
	return rows
}

// guesses draws states of the calculator until count of them have an answer; those that are refused come with them, as
// doors must agree about refusals too.
func guesses(t testing.TB, c catalog.Calculator, count int) (states []string, answered int) {
	t.Helper()
	random := rand.New(rand.NewPCG(1, 1))
	for answered < count && len(states) < 20*count {
		state := plate.WriteState(catalog.State(c.Spec(), guess(random, c)))
		states = append(states, state)
		if _, err := plate.Run(c, state); err == nil {
			answered++
		}
	}
	if answered < count {
		t.Fatalf("only %d of %d random states of %s have an answer, want %d", answered, len(states), c.Spec().ID, count)
	}
	return states, answered
}

// find returns the calculator with the id.
func find(t testing.TB, id string) catalog.Calculator {
	t.Helper()
	c, err := list.Find(id)
	must(t, err)
	return c
}
