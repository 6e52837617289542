package figure

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/plane"
)

// arcStep is one A command and the point it starts from.
type arcStep struct {
	from, to     plane.Vec
	radius       float64
	large, sweep bool
}

var commands = regexp.MustCompile(`([MLA])([^MLAZ]*)`)

func arcsOf(t *testing.T, d string) []arcStep {
	t.Helper()
	var steps []arcStep
	var at plane.Vec
	for _, c := range commands.FindAllStringSubmatch(d, -1) {
		f := strings.Fields(c[2])
		to := vec(num(t, f[len(f)-2]), num(t, f[len(f)-1]))
		if c[1] == "A" {
			steps = append(steps, arcStep{at, to, num(t, f[0]), f[3] == "1", f[4] == "1"})
		}
		at = to
	}
	return steps
}

// centreAndSweep converts an endpoint arc to its centre and signed turn by the formulas of SVG 2, implementation notes
// B.2.4, for equal radii; positive turns are clockwise on the sheet. They share nothing with the code under test.
func (a arcStep) centreAndSweep() (plane.Vec, float64) {
	half := a.from.Sub(a.to).Scale(0.5)
	root := math.Sqrt(math.Max(0, (a.radius*a.radius-half.Dot(half))/half.Dot(half)))
	if a.large == a.sweep {
		root = -root
	}
	c := vec(root*half.Y, -root*half.X)
	v1, v2 := half.Sub(c), half.Scale(-1).Sub(c)
	turn := math.Atan2(v1.Cross(v2), v1.Dot(v2))
	if !a.sweep && turn > 0 {
		turn -= 2 * math.Pi
	} else if a.sweep && turn < 0 {
		turn += 2 * math.Pi
	}
	return c.Add(a.from.Lerp(a.to, 0.5)), turn
}

func TestArcsTurnAsTheModelSaysInEveryQuadrant(t *testing.T) {
	const radius, tol = 5, 0.05 // px: ends are written to 0.005 px, and a flat arc's centre is less certain than its ends
	for start := -8; start <= 8; start++ {
		for _, sweep := range []float64{30, 90, 135, 180, 181, 270, 359, -30, -90, -180, -270, -359} {
			m := Arc{Role: Guide, Centre: vec(1, 2), Radius: radius, From: float64(start) * math.Pi / 4}
			m.To = m.From + sweep*math.Pi/180
			f := Figure{View: Rect{vec(-5, -4), vec(7, 8)}, Marks: []Mark{m}}
			s := newSheet(f.View, Options{})
			want, _ := s.place(m.Centre)
			total := 0.0
			for _, a := range arcsOf(t, having(Layout(f, Options{}), "line")[0].Attr("d")) {
				centre, turn := a.centreAndSweep()
				if off := centre.Sub(want).Len(); !(off <= tol) {
					t.Errorf("from %d·45° by %v°: centre off by %v px", start, sweep, off)
				}
				total -= turn // clockwise on the sheet is negative in the model
			}
			if off := math.Abs(total*180/math.Pi - sweep); !(off <= 0.02) {
				t.Errorf("from %d·45°: sweeps %v°, want %v°", start, total*180/math.Pi, sweep)
			}
		}
	}
}

func TestAWholeTurnOrMoreIsACircle(t *testing.T) {
	for _, turns := range []float64{1, -1, 2.5, 100} {
		n := Layout(Figure{Marks: []Mark{Arc{Radius: 1, To: turns * 2 * math.Pi}}}, Options{})
		if lines := having(n, "line"); len(lines) != 1 || lines[0].Tag != "circle" {
			t.Errorf("%v turns are drawn as %v", turns, lines)
		}
	}
}

func TestCurvesAreClippedToTheSheet(t *testing.T) {
	n := Layout(Figure{Marks: []Mark{Circle{Radius: 50}}}, Options{ID: "p"})
	if marks := having(n, "figure-marks"); len(marks) != 1 || marks[0].Attr("clip-path") != "url(#p-sheet)" {
		t.Error("the marks are not clipped to the sheet")
	}
}

func TestAnArrowEndsAtTheLastPointAndPointsAlongTheLine(t *testing.T) {
	f := Figure{View: Rect{Max: vec(4, 3)}, Marks: []Mark{Polyline{Points: []plane.Vec{vec(0, 0), vec(4, 3)}, Arrow: true, Heavy: true}}}
	head := having(Layout(f, Options{}), "arrow")
	if len(head) != 1 {
		t.Fatalf("%d heads", len(head))
	}
	s := newSheet(f.View, Options{})
	want, _ := s.place(vec(4, 3))
	tip := strings.Fields(strings.TrimPrefix(strings.SplitN(head[0].Attr("d"), "L", 2)[0], "M"))
	if off := vec(num(t, tip[0]), num(t, tip[1])).Sub(want).Len(); !(off <= 0.01) {
		t.Errorf("the tip is %v px off", off)
	}
}

func TestADimensionStandsToTheLeftOfItsDirection(t *testing.T) {
	for _, c := range []struct {
		name string
		a, b plane.Vec
		side plane.Vec // model direction in which the line must lie
	}{
		{"rightward is above", vec(2, 5), vec(8, 5), vec(0, 1)},
		{"leftward is below", vec(8, 5), vec(2, 5), vec(0, -1)},
		{"upward is left", vec(5, 2), vec(5, 8), vec(-1, 0)},
		{"downward is right", vec(5, 8), vec(5, 2), vec(1, 0)},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := Figure{View: Rect{Max: vec(10, 10)}, Marks: []Mark{Dimension{Role: Guide, A: c.a, B: c.b, Offset: 1, Text: "6.00 cm"}}}
			n, s := Layout(f, Options{}), newSheet(f.View, Options{})
			want, _ := s.place(c.a.Lerp(c.b, 0.5).Add(c.side))
			box := textBoxes(t, n)["6.00 cm"]
			if off := box.Min.Lerp(box.Max, 0.5).Sub(want).Len(); !(off <= 0.2*s.text) {
				t.Errorf("the number is %v px from the middle of its line", off)
			}
			if len(gaps(n)) != 1 || len(having(n, "tick")) != 1 || len(having(n, "extension")) != 1 {
				t.Error("gap, ticks or extension lines are missing")
			}
		})
	}
}

// gaps lists how wide the gaps in dimension lines are.
func gaps(n Node) []float64 {
	var wide []float64
	for _, line := range having(n, "hair") {
		parts := strings.Split(line.Attr("d"), "M")
		if len(parts) != 3 {
			continue
		}
		before, after := numbers.FindAllString(parts[1], -1), numbers.FindAllString(parts[2], -1)
		at := func(list []string, i int) float64 { x, _ := strconv.ParseFloat(list[i], 64); return x }
		wide = append(wide, vec(at(before, 2), at(before, 3)).Sub(vec(at(after, 0), at(after, 1))).Len())
	}
	return wide
}

// What lies behind a measure, such as flesh, is covered by its letters alone.
func TestNoPaperIsLaidBehindANumberOnItsLine(t *testing.T) {
	f := Figure{View: Rect{Max: vec(10, 10)}, Marks: []Mark{Region{Role: Flesh, Points: []plane.Vec{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}}},
		Dimension{Name: "Reach", A: vec(1, 5), B: vec(9, 5), Text: "8.00 cm"}}}
	n := Layout(f, Options{Width: 600})
	Each(n, func(n Node) {
		if n.Tag == "rect" && n.Attr("width") != "600" { // the clip to the sheet
			t.Errorf("a box lies on the flesh: %s", Markup(n))
		}
	})
	if len(gaps(n)) != 1 {
		t.Errorf("the line has %d gaps for its number", len(gaps(n)))
	}
}

// derived: the number is 3.6 em wide at least and the bone 0.7 em from its line, so that on the line it would cover the bone.
func TestANumberLeavesItsLineWhereItWouldHideABone(t *testing.T) {
	for _, apart := range []float64{0.4, 4} {
		bone := Polyline{Role: Bone, Points: []plane.Vec{vec(5, 1), vec(5, 9)}}
		f := Figure{View: Rect{Max: vec(10, 10)}, Marks: []Mark{bone, Dimension{A: vec(5, 9), B: vec(5, 1), Offset: apart, Text: "81.0 cm"}}}
		n, s := Layout(f, Options{}), newSheet(Rect{Max: vec(10, 10)}, Options{})
		at, _ := s.place(vec(5, 5))
		line, _ := s.place(vec(5+apart, 5))
		box := textBoxes(t, n)["81.0 cm"]
		if box.Min.X <= at.X && at.X <= box.Max.X {
			t.Errorf("%v from the bone, the number stands on it, at %v", apart, box)
		}
		if on := box.Min.X < line.X && line.X < box.Max.X; on != (apart > 1) || on != (len(gaps(n)) == 1) {
			t.Errorf("%v from the bone, the number is on its line: %v (at %v)", apart, on, box)
		}
		if off := max(box.Min.X-line.X, line.X-box.Max.X); off > s.text {
			t.Errorf("%v from the bone, the number stands %v px from its line", apart, off)
		}
	}
}

// Widths in em as Chromium measures them in Liberation Sans, which runs as wide as Arial: what a drawing that stands alone is set in.
func TestALineIsBrokenAsWideAsItsNumberInTheFaceThatStandsIn(t *testing.T) {
	for text, wide := range map[string]float64{"chord 31.15 cm": 6.89, "Sehne 31,15 cm": 7.28, "Reichweite 26,68 cm": 9.28} {
		n := Layout(Figure{View: Rect{Max: vec(10, 10)}, Marks: []Mark{Dimension{A: vec(1, 5), B: vec(9, 5), Text: text}}}, Options{})
		found := gaps(n)
		if len(found) != 1 {
			t.Fatalf("%q: %d gaps", text, len(found))
		}
		if gap := found[0] / num(t, n.Attr("font-size")); !(gap >= wide+0.1) {
			t.Errorf("%q is %v em wide, and its gap %v", text, wide, gap)
		}
	}
}

func TestADimensionTooShortForItsNumberHasItOutside(t *testing.T) {
	f := Figure{View: Rect{Max: vec(10, 10)}, Marks: []Mark{Dimension{A: vec(5, 5), B: vec(5.3, 5), Text: "0.30 cm"}}}
	n := Layout(f, Options{})
	s := newSheet(f.View, Options{})
	b, _ := s.place(vec(5.3, 5))
	if box := textBoxes(t, n)["0.30 cm"]; !(box.Min.X > b.X) || len(gaps(n)) != 0 {
		t.Errorf("the number stands at %v, the line ends at %v", box, b.X)
	}
}

func TestASpareNumberIsLeftOutWhereItsLineHasNoRoom(t *testing.T) {
	for _, c := range []struct {
		to    plane.Vec
		shown bool
	}{{vec(5.3, 5), false}, {vec(9, 5), true}} {
		f := Figure{View: Rect{Max: vec(10, 10)}, Marks: []Mark{Dimension{A: vec(5, 5), B: c.to, Text: "0.30 cm", Spare: true}}}
		n := Layout(f, Options{})
		if _, shown := textBoxes(t, n)["0.30 cm"]; shown != c.shown {
			t.Errorf("a line to %v shows its spare number: %v, want %v", c.to, shown, c.shown)
		}
		if len(having(n, "tick")) != 1 {
			t.Errorf("a line to %v is drawn without its ticks", c.to)
		}
	}
}

func TestLocateIsTheInverseOfPlacement(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		corner, size := vec(20*r.Float64()-10, 20*r.Float64()-10), vec(30*r.Float64(), 30*r.Float64())
		f := Figure{View: Rect{corner, corner.Add(size)}}
		o := Options{Width: 1000 * r.Float64()}
		p := corner.Add(vec(size.X*r.Float64(), size.Y*r.Float64()))
		at, ok := newSheet(f.View, o).place(p)
		back := Locate(f, o, at.X, at.Y)
		if off := back.Sub(p).Len(); !ok || !(off <= 1e-12*(1+p.Len()+size.Len())) {
			t.Errorf("%v comes back as %v (view %v, width %v)", p, back, f.View, o.Width)
		}
		if box := newSheet(f.View, o).bounds(); !box.Has(at) {
			t.Errorf("%v of the view %v lies off the sheet, at %v", p, f.View, at)
		}
	}
}
