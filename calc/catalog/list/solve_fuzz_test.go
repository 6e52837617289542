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

// fuzzSolve turns bytes into values within the ranges, so that no execution is lost on a text that is refused: five choose a
// number, one a word, how many rows or how they lie. What is left out of the bytes keeps its default.
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
	})
}

// feed hands out the bytes of a case, and keeps the last number made of them.
type feed struct {
	bytes []byte
	last  float64
}

func (d *feed) byte() (byte, bool) {
	if len(d.bytes) == 0 {
		return 0, false
	}
	b := d.bytes[0]
	d.bytes = d.bytes[1:]
	return b, true
}

// number is within the range: its ends, near them, simple fractions of it, what ties it to the number before, or anything.
func (d *feed) number(lo, hi, usual float64, open bool) float64 {
	how, ok := d.byte()
	if !ok || len(d.bytes) < 4 {
		return usual
	}
	bits := binary.LittleEndian.Uint32(d.bytes)
	at := float64(bits) / math.MaxUint32
	d.bytes = d.bytes[4:]
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
	case 6:
		x = [...]float64{d.last, -d.last, d.last * (1 + 0x1p-52), d.last + at}[bits%4]
	}
	if x < lo || x > hi || open && x == lo {
		x = usual
	}
	d.last = x
	return x
}

func valuesFrom(spec catalog.Spec, data []byte) catalog.Values {
	v, d := catalog.NewValues(), &feed{bytes: data}
	for _, f := range spec.Fields {
		switch {
		case f.Free: // the default names something in the default table
		case len(f.Choices) > 0:
			n, _ := d.byte()
			v.Choices[f.ID] = f.Choices[int(n)%len(f.Choices)].ID
		case f.Kind == quantity.Count: // to the end of its slider: more of the same takes longer than an execution may, as a map says itself
			v.Numbers[f.ID] = math.Round(d.number(f.Min, f.SlideMax, f.Default, f.MinOpen))
		default:
			v.Numbers[f.ID] = d.number(f.Min, f.Max, f.Default, f.MinOpen)
		}
	}
	for _, t := range spec.Tables {
		n, ok := d.byte()
		if !ok || n%4 == 0 {
			continue // the default
		}
		v.Tables[t.ID] = rowsFrom(t, int(n)/4, d)
		for _, f := range spec.Fields {
			if f.Free && len(v.Tables[t.ID].Texts) > 0 {
				v.Choices[f.ID] = "r0"
			}
		}
	}
	return v
}

// rowsFrom makes a table of rows that are all their own, that lie on one line, or that repeat: random ones hardly ever do.
// Names differ and a parent stands above its child, most times; counts rise from 0 in stretches of one length.
func rowsFrom(t catalog.Table, many int, d *feed) catalog.Rows {
	rows := catalog.Rows{Len: t.MinRows + many%max(1, min(t.MaxRows-t.MinRows+1, 40)), Numbers: map[string][]float64{}, Texts: map[string][]string{}}
	shape, _ := d.byte()
	period := 1 + int(shape/4)%8
	if whole := rows.Len / period * period; whole > 0 && whole >= t.MinRows {
		rows.Len = whole
	}
	for k, c := range t.Columns {
		for i := range rows.Len {
			usual, own := math.Max(c.Min, math.Min(c.Max, float64((i*i*k+i+k)%8))), rows.Numbers[c.ID]
			if c.MinOpen && usual == c.Min {
				usual = math.Min(c.Max, c.Min+1)
			}
			switch {
			case c.Text:
				n, _ := d.byte()
				name := fmt.Sprint("r", i)
				if c.Optional && (n%4 == 0 || i == 0) {
					name = ""
				} else if c.Optional || n == 255 {
					name = fmt.Sprint("r", int(n)%max(1, i))
				}
				rows.Texts[c.ID] = append(rows.Texts[c.ID], name)
			case c.Kind == quantity.Count:
				rows.Numbers[c.ID] = append(own, math.Max(c.Min, math.Min(c.Max, float64(i*period/rows.Len))))
			case shape%4 == 2 && i >= period:
				rows.Numbers[c.ID] = append(own, own[i%period])
			case shape%4 == 3 && i >= 2:
				rows.Numbers[c.ID] = append(own, math.Max(c.Min, math.Min(c.Max, own[0]+float64(i)*(own[1]-own[0]))))
			default:
				rows.Numbers[c.ID] = append(own, d.number(c.Min, c.Max, usual, c.MinOpen))
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
