package figure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/plane"
)

// sampled is a grid of a function of the cell's column and row.
func sampled(cols, rows int, value func(x, y float64) float64) grid {
	g := grid{cols: cols, rows: rows, next: newLinks(cols, rows)}
	for row := range rows {
		for col := range cols {
			g.values = append(g.values, value(float64(col), float64(row)))
		}
	}
	return g
}

func chainLength(chain []plane.Vec) float64 {
	length := 0.0
	for i := 1; i < len(chain); i++ {
		length += chain[i].Sub(chain[i-1]).Len()
	}
	return length
}

func TestContoursOfAPlaneAreItsStraightLines(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		a, b := r.Float64()*2-1, r.Float64()*2-1
		level := a*8 + b*5 + r.Float64()
		g := sampled(17, 11, func(x, y float64) float64 { return a*x + b*y })
		chains := g.contours(level)
		// Witness: the line a·x + b·y = level, clipped to the rectangle of cell centres.
		n := vec(a, b)
		foot := n.Scale(level / n.Dot(n))
		along := n.Unit().Perp().Scale(100)
		from, to, ok := Rect{Max: vec(16, 10)}.clip(foot.Sub(along), foot.Add(along))
		if !ok {
			if len(chains) != 0 {
				t.Errorf("%v·x + %v·y = %v does not cross the grid, but has %d lines", a, b, level, len(chains))
			}
			continue
		}
		if len(chains) != 1 {
			t.Fatalf("%v·x + %v·y = %v: %d lines, want one", a, b, level, len(chains))
		}
		if got, want := chainLength(chains[0]), to.Sub(from).Len(); !(math.Abs(got-want) <= 1e-9) {
			t.Errorf("length %v, want %v", got, want)
		}
		for _, p := range chains[0] {
			if off := math.Abs(n.Dot(p) - level); !(off <= 1e-12*100) {
				t.Errorf("%v is off the level by %v", p, off)
			}
		}
	}
}

func TestAContourAroundAHillClosesAndHasItsLength(t *testing.T) {
	g := sampled(101, 101, func(x, y float64) float64 { return (x-50)*(x-50) + (y-50)*(y-50) })
	chains := g.contours(30 * 30)
	if len(chains) != 1 || chains[0][0] != chains[0][len(chains[0])-1] {
		t.Fatalf("%d lines, want one closed", len(chains))
	}
	// derived: chords of cells of size 1 on a radius of 30 are shorter by less than 1/(24·30²)
	if got, want := chainLength(chains[0]), 2*math.Pi*30; !(math.Abs(got/want-1) <= 1e-3) {
		t.Errorf("length %v, want %v", got, want)
	}
}

func TestSaddlesAndGapsEndCleanly(t *testing.T) {
	saddle := grid{2, 2, []float64{1, 0, 0, 1}, newLinks(2, 2)}
	if chains := saddle.contours(0.6); len(chains) != 2 {
		t.Errorf("a saddle has %d lines, want 2", len(chains))
	}
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		g := sampled(2+r.IntN(12), 2+r.IntN(12), func(x, y float64) float64 {
			if r.IntN(20) == 0 {
				return math.NaN()
			}
			return float64(r.IntN(5))
		})
		for _, chain := range g.contours(float64(r.IntN(6)) - 0.5*float64(r.IntN(2))) {
			for _, p := range chain {
				if !finite(p) || len(chain) < 2 {
					t.Fatalf("a line of %d points holds %v: %v", len(chain), p, g)
				}
			}
		}
	}
}

func TestHeatHasOnePathForEachStepAndNumbersOnItsContours(t *testing.T) {
	n := Layout(HeatSpecimen(60), Options{Width: 800})
	for _, class := range []string{"heat-0", "heat-7", "heat-15"} {
		if len(having(n, class)) != 1 {
			t.Errorf("%d paths of class %s", len(having(n, class)), class)
		}
	}
	var texts []string
	for text := range textBoxes(t, n) {
		texts = append(texts, text)
	}
	for _, want := range []string{"1\u00a0cm", "2\u00a0cm", "3\u00a0cm"} {
		if !strings.Contains(strings.Join(texts, "|")+"|", want+"|") {
			t.Errorf("no contour says %q: %q", want, texts)
		}
	}
}

func TestAContourIsOpenWhereItsNumberStands(t *testing.T) {
	boxes := 0
	n := Layout(HeatSpecimen(60), Options{Width: 800})
	inner := textBoxes(t, n)
	for _, c := range having(n, "contour") {
		for _, point := range strings.FieldsFunc(c.Attr("d"), func(r rune) bool { return r == 'M' || r == 'L' }) {
			f := strings.Fields(point)
			for text, box := range inner {
				if strings.HasSuffix(text, "cm") && box.Has(vec(num(t, f[0]), num(t, f[1]))) {
					t.Errorf("a contour runs through %q at %s", text, point)
				}
				boxes++
			}
		}
	}
	if boxes < 100 {
		t.Errorf("only %d pairs were compared", boxes)
	}
}

func TestTheStepsOfTheRampFollowTheValues(t *testing.T) {
	steps := sampled(33, 1, func(x, _ float64) float64 { return x }).steps()
	for i, step := range steps {
		if want := int8(min(i/2, 15)); step != want {
			t.Errorf("value %d of 0…32 has step %d, want %d", i, step, want)
		}
	}
	if flat := (grid{cols: 2, rows: 1, values: []float64{3, 3}}).steps(); flat[0] != 0 || flat[1] != 0 {
		t.Errorf("a level map has steps %v, want 0", flat)
	}
	if gap := (grid{cols: 2, rows: 1, values: []float64{3, math.NaN()}}).steps(); gap[1] != -1 {
		t.Errorf("a value that is no number has step %d", gap[1])
	}
}

func TestAFineGridIsResampledAndKeepsAPlane(t *testing.T) {
	fine := sampled(400, 300, func(x, y float64) float64 { return 2*x - 3*y })
	g := resample(Heat{Cols: 400, Rows: 300, Values: fine.values}, Rect{Max: vec(300, 225)})
	if g.cols != 100 || g.rows != 75 {
		t.Fatalf("%d × %d cells, want 100 × 75 of 3 px", g.cols, g.rows)
	}
	for row := range g.rows {
		for col := range g.cols {
			want := 2*((float64(col)+0.5)*4-0.5) - 3*((float64(row)+0.5)*4-0.5)
			if off := math.Abs(g.at(col, row) - want); !(off <= 1e-9) {
				t.Fatalf("cell %d, %d is %v, want %v", col, row, g.at(col, row), want)
			}
		}
	}
}

// derived: a plane has straight lines, and one that reaches the map's edge is where the plane has the level there.
func TestContourLinesEndOnTheFrame(t *testing.T) {
	for _, side := range []int{1, 2, 7, 400} {
		plain := sampled(side, side, func(x, y float64) float64 { return (2*x + y) / float64(side) })
		f := Figure{View: Rect{Max: vec(1, 1)}, Marks: []Mark{Heat{Area: Rect{Max: vec(1, 1)}, Cols: side, Rows: side, Values: plain.values, Levels: []float64{1}}}}
		n := Layout(f, Options{Width: 500})
		if side == 1 {
			if lines := having(n, "contour"); len(lines) != 0 {
				t.Errorf("one cell has no slope, and %d lines", len(lines))
			}
			continue
		}
		frame := having(n, "heat-frame")[0]
		left, top := num(t, frame.Attr("x")), num(t, frame.Attr("y"))
		size := num(t, frame.Attr("width"))
		lines := having(n, "contour") // and perhaps its number
		found := numbers.FindAllString(lines[0].Attr("d"), -1)
		at := func(i int) float64 { return num(t, found[(i+len(found))%len(found)]) }
		ends := [2]plane.Vec{vec(at(0), at(1)), vec(at(-2), at(-1))}
		// cells are read at their middles: 2·x + y is (2·i + j)/side there, so the edges have it half a cell farther
		half := 1.5 / float64(side)
		for _, p := range ends {
			x, y := (p.X-left)/size, 1-(p.Y-top)/size
			if edge := min(x, y, 1-x, 1-y); !(math.Abs(edge) < 1e-4) {
				t.Errorf("%d cells a side: a line ends at %v, %v of the frame", side, x, y)
			}
			if off := 2*x + y - half - 1; !(math.Abs(off) < 1e-3) {
				t.Errorf("%d cells a side: at its end the line is off by %v", side, off)
			}
		}
	}
}
