package list

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/tests/hard/bound"
)

// Each calculator is asked by a target of its own, so that none has its share of executions from another.

func FuzzSolvePivotOffset(f *testing.F)  { fuzzSolve(f, "pivot-offset") }
func FuzzSolveFingerCurl(f *testing.F)   { fuzzSolve(f, "finger-curl") }
func FuzzSolveHingeArc(f *testing.F)     { fuzzSolve(f, "hinge-arc") }
func FuzzSolveLimbFold(f *testing.F)     { fuzzSolve(f, "limb-fold") }
func FuzzSolvePoseFit(f *testing.F)      { fuzzSolve(f, "pose-fit") }
func FuzzSolveKeyFit(f *testing.F)       { fuzzSolve(f, "key-fit") }
func FuzzSolvePlacementMap(f *testing.F) { fuzzSolve(f, "placement-map") }
func FuzzSolveReseat(f *testing.F)       { fuzzSolve(f, "reseat") }
func FuzzSolveHingePlane(f *testing.F)   { fuzzSolve(f, "hinge-plane") }
func FuzzSolveBendSection(f *testing.F)  { fuzzSolve(f, "bend-section") }

// fuzzSolve turns bytes into values within the ranges, so that no execution is lost on a text that is refused: four choose a
// number, one a word or how many rows. What is left out of the bytes keeps its default.
func fuzzSolve(f *testing.F, id string) {
	c, err := Find(id)
	if err != nil {
		f.Fatal(err)
	}
	spec := c.Spec()
	for _, seed := range []string{"", "\x01", strings.Repeat("\x00", 600), strings.Repeat("\xff", 600), strings.Repeat("\x80\x00\x01", 200), strings.Repeat("\x03\xf0\x9a\x22\x05", 120)} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bound.Watch(t, len(data))()
		v := valuesFrom(spec, data)
		a, err := catalog.Run(c, v)
		if err != nil {
			var refusal *catalog.InputError
			if !errors.As(err, &refusal) || refusal.Field == "" || refusal.Allowed == "" {
				t.Fatalf("%v is refused with %v", v, err)
			}
			if strings.HasPrefix(refusal.Allowed, "cannot be computed") {
				t.Fatalf("%v gives a number that is not finite: %v", v, err)
			}
			return
		}
		checkAnswer(t, a)
		c.Figure(a.Values, a.Result)
	})
}

// feed hands out the bytes of a case.
type feed []byte

func (d *feed) byte() (byte, bool) {
	if len(*d) == 0 {
		return 0, false
	}
	b := (*d)[0]
	*d = (*d)[1:]
	return b, true
}

// number is within the range: its ends, near them, simple fractions of it, or anything.
func (d *feed) number(lo, hi, usual float64, open bool) float64 {
	how, ok := d.byte()
	if !ok || len(*d) < 4 {
		return usual
	}
	at := float64(binary.LittleEndian.Uint32(*d)) / math.MaxUint32
	*d = (*d)[4:]
	x := lo + at*(hi-lo)
	switch how % 8 {
	case 0:
		x = lo
	case 1:
		x = hi
	case 2:
		x = math.Max(lo, math.Min(hi, 0))
	case 3:
		x = lo + math.Round(at*16)/16*(hi-lo)
	case 4:
		x = usual * (1 + 1e-9*at)
	case 5:
		x = math.Copysign(at*1e-12, at-0.5)
	}
	if x < lo || x > hi || open && x == lo {
		return usual
	}
	return x
}

func valuesFrom(spec catalog.Spec, data feed) catalog.Values {
	v := catalog.NewValues()
	for _, f := range spec.Fields {
		switch {
		case f.Free: // the default names something in the default table
		case len(f.Choices) > 0:
			n, _ := data.byte()
			v.Choices[f.ID] = f.Choices[int(n)%len(f.Choices)].ID
		case f.Kind == quantity.Count:
			v.Numbers[f.ID] = math.Round(data.number(f.Min, f.Max, f.Default, f.MinOpen))
		default:
			v.Numbers[f.ID] = data.number(f.Min, f.Max, f.Default, f.MinOpen)
		}
	}
	for _, t := range spec.Tables {
		n, ok := data.byte()
		if !ok || n%4 == 0 {
			continue // the default
		}
		v.Tables[t.ID] = rowsFrom(t, int(n)/4, &data)
	}
	return v
}

func rowsFrom(t catalog.Table, many int, data *feed) catalog.Rows {
	rows := catalog.Rows{Len: t.MinRows + many%max(1, min(t.MaxRows-t.MinRows+1, 40)), Numbers: map[string][]float64{}, Texts: map[string][]string{}}
	for _, c := range t.Columns {
		for i := range rows.Len {
			switch n, _ := data.byte(); {
			case c.Text:
				rows.Texts[c.ID] = append(rows.Texts[c.ID], fmt.Sprint("r", int(n)%max(1, i+1)))
			case c.Kind == quantity.Count:
				rows.Numbers[c.ID] = append(rows.Numbers[c.ID], math.Max(c.Min, math.Min(c.Max, float64(n%4))))
			default:
				rows.Numbers[c.ID] = append(rows.Numbers[c.ID], data.number(c.Min, c.Max, math.Max(c.Min, math.Min(c.Max, float64(n%8))), c.MinOpen))
			}
		}
	}
	return rows
}

// A random case seldom gives many places the same value, so these do: every x, y and z is one end of its range, nearly 0 or as
// usual, and every other number is as usual, its least or nearly 0.
func TestPlacesThatCoincideHaveADrawing(t *testing.T) {
	kinds := []string{"lo", "hi", "tiny", "usual"}
	for _, c := range All() {
		spec := c.Spec()
		for i := range len(kinds) * len(kinds) * len(kinds) * 3 {
			axes := map[string]string{"x": kinds[i%4], "y": kinds[i/4%4], "z": kinds[i/16%4]}
			number := func(id string, lo, hi, usual float64, open bool) float64 {
				kind, isPlace := axes[id[len(id)-1:]]
				if !isPlace {
					kind = [...]string{"usual", "lo", "tiny"}[i/64]
				}
				x := map[string]float64{"lo": lo, "hi": hi, "tiny": 7e-13, "usual": usual}[kind]
				if x < lo || x > hi || open && x == lo {
					return usual
				}
				return x
			}
			v := catalog.NewValues()
			for _, f := range spec.Fields {
				if len(f.Choices) == 0 && !f.Free {
					v.Numbers[f.ID] = number(f.ID, f.Min, f.Max, f.Default, f.MinOpen)
				}
			}
			for _, table := range spec.Tables {
				rows := catalog.Rows{Len: table.Default.Len, Numbers: map[string][]float64{}, Texts: table.Default.Texts}
				for _, col := range table.Columns {
					for _, usual := range table.Default.Numbers[col.ID] {
						rows.Numbers[col.ID] = append(rows.Numbers[col.ID], number(col.ID, col.Min, col.Max, usual, col.MinOpen))
					}
				}
				v.Tables[table.ID] = rows
			}
			a, err := catalog.Run(c, v)
			if err == nil {
				checkAnswer(t, a)
			} else if strings.Contains(err.Error(), "cannot be computed") {
				t.Errorf("%s with %v gives a number that is not finite: %v", spec.ID, axes, err)
			}
			if t.Failed() {
				t.Fatalf("%s with %v", spec.ID, axes)
			}
		}
	}
}
