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

func having(n Node, class string) []Node {
	var found []Node
	Each(n, func(n Node) {
		if strings.Contains(" "+n.Attr("class")+" ", " "+class+" ") {
			found = append(found, n)
		}
	})
	return found
}

func num(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSuffix(text, "em"), 64)
	if err != nil {
		t.Fatalf("%q is no number", text)
	}
	return v
}

// textBoxes reads from the finished tree where text stands: from 0.72 em above the baseline to 0.22 em below, which is
// the height of capitals and descenders, and as wide as the table of widths says.
func textBoxes(t *testing.T, n Node) map[string]Rect {
	t.Helper()
	boxes := map[string]Rect{}
	em := num(t, n.Attr("font-size"))
	move := plane.Vec{}
	var walk func(Node)
	walk = func(n Node) {
		if at := n.Attr("transform"); at != "" {
			parts := strings.Fields(strings.Trim(at, "translate()"))
			move = vec(num(t, parts[0]), num(t, parts[1]))
			defer func() { move = plane.Vec{} }()
		}
		if n.Tag == "text" {
			x, y := num(t, n.Attr("x"))+move.X, num(t, n.Attr("y"))+move.Y+num(t, n.Attr("dy"))*em
			width := (textWidth(n.Text) - textPadding) * em
			x -= map[string]float64{"": 0, "middle": 0.5, "end": 1}[n.Attr("text-anchor")] * width
			boxes[n.Text] = Rect{vec(x, y-0.72*em), vec(x+width, y+0.22*em)}
		}
		for _, child := range n.Children {
			if child.Tag != "defs" {
				walk(child)
			}
		}
	}
	walk(n)
	return boxes
}

// scattered makes a drawing with n labels, some of them on markers, and lines between them.
func scattered(r *rand.Rand, n int) Figure {
	f := Figure{Title: "Scattered", View: Rect{Max: vec(10, 8)}}
	words := []string{"tip", "pulp 1.45 cm", "candidate", "45°", "−0.3 cm", "end joint (DIP)"}
	var last plane.Vec
	for i := range n {
		at := vec(10*r.Float64(), 8*r.Float64())
		f.Marks = append(f.Marks, Polyline{Role: Bone, Points: []plane.Vec{last, at}})
		if i%2 == 0 {
			f.Marks = append(f.Marks, Marker{Role: Current, Shape: Shape(r.IntN(4)), At: at})
		}
		f.Marks = append(f.Marks, Label{At: at, Text: words[r.IntN(len(words))] + " " + strconv.Itoa(i), Rank: r.IntN(9), Away: vec(r.Float64()-0.5, r.Float64()-0.5)})
		last = at
	}
	f.Marks = append(f.Marks, Dimension{A: vec(0, 0), B: vec(10, 0), Offset: -0.5, Text: "10.00 cm"},
		Angular{Centre: vec(5, 4), Radius: 2, To: 2, Text: "115°"})
	return f
}

func TestLabelsNeverOverlapOnASheetWithRoom(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct {
		width  float64
		labels int // what such a sheet has room for
	}{{Fluid, 14}, {360, 12}, {720, 30}} {
		for run := range 300 {
			n := Layout(scattered(r, c.labels), Options{Width: c.width})
			boxes := textBoxes(t, n)
			if len(boxes) != c.labels+2 {
				t.Fatalf("width %v, run %d: %d of %d texts are drawn", c.width, run, len(boxes), c.labels+2)
			}
			height := num(t, strings.Fields(n.Attr("viewBox"))[3])
			for a, boxA := range boxes {
				if !(Rect{Max: vec(c.width, height)}).holds(boxA) {
					t.Errorf("width %v, run %d: %q leaves the sheet: %v", c.width, run, a, boxA)
				}
				for b, boxB := range boxes {
					if a < b && boxA.overlaps(boxB) {
						t.Errorf("width %v, run %d: %q overlaps %q: %v, %v", c.width, run, a, b, boxA, boxB)
					}
				}
			}
		}
	}
}

// A word space is a quarter of an em in most faces; texts that stand nearer read as one: "2: 60° front".
func TestTextsOnOneLineStandFartherApartThanWords(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	neighbours := 0
	for run := range 300 {
		n := Layout(scattered(r, 12), Options{})
		em := num(t, n.Attr("font-size"))
		boxes := textBoxes(t, n)
		for a, boxA := range boxes {
			for b, boxB := range boxes {
				gap := boxB.Min.X - boxA.Max.X
				if gap < 0 || math.Abs(boxA.Min.Y-boxB.Min.Y) > 0.6*em {
					continue
				}
				if gap < 2*em {
					neighbours++
				}
				if gap < 0.6*em {
					t.Errorf("run %d: %q and %q stand %.2f em apart", run, a, b, gap/em)
				}
			}
		}
	}
	if neighbours < 50 {
		t.Errorf("only %d pairs stood near each other", neighbours)
	}
}

func TestTextCoversNoMarker(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for run := range 200 {
		n := Layout(scattered(r, 10), Options{})
		boxes := textBoxes(t, n)
		for _, m := range having(n, "marker") {
			if m.Tag != "circle" {
				continue
			}
			at := vec(num(t, m.Attr("cx")), num(t, m.Attr("cy")))
			for text, box := range boxes {
				if box.Has(at) {
					t.Errorf("run %d: %q covers a marker at %v", run, text, at)
				}
			}
		}
	}
}

func TestOnACrowdedSheetOnlyRankNineIsDropped(t *testing.T) {
	f := Figure{Title: "Crowded", View: Rect{Max: vec(1, 1)}}
	for i := range 200 {
		f.Marks = append(f.Marks, Label{At: vec(0.5, 0.5), Text: "a long label, number " + strconv.Itoa(i), Rank: i / 20})
	}
	kept := 0
	for text := range textBoxes(t, Layout(f, Options{Width: 320})) {
		if i, _ := strconv.Atoi(text[strings.LastIndex(text, " ")+1:]); i >= 180 {
			t.Errorf("%q, of rank 9, is kept on a full sheet", text)
		}
		kept++
	}
	if kept != 180 {
		t.Errorf("%d labels below rank 9 are kept, want all 180", kept)
	}
}

func TestALabelThatMovesFarGetsALeader(t *testing.T) {
	f := Figure{Title: "Leader", View: Rect{Max: vec(10, 6)}}
	for i := range 9 {
		f.Marks = append(f.Marks, Label{At: vec(5, 3), Text: "label number " + strconv.Itoa(i)})
	}
	if len(having(Layout(f, Options{}), "leader")) == 0 {
		t.Error("nine labels on one point have no leader")
	}
	f.Marks = f.Marks[:1]
	if len(having(Layout(f, Options{}), "leader")) != 0 {
		t.Error("a label beside its point has a leader")
	}
}

func TestTextIsNeverSmallerThanTwelvePixels(t *testing.T) {
	for _, width := range []float64{200, 288, 320, 479, 481, 720, 1200} {
		if em := num(t, Layout(Specimen(), Options{Width: width}).Attr("font-size")); em < 12 {
			t.Errorf("at %v px the text is %v px", width, em)
		}
	}
}

var numbers = regexp.MustCompile(`-?\d+(\.\d+)?`)

// bad are coordinates that a drawing may meet at the edges of what a calculator accepts, and beyond.
var bad = []float64{0, 1, -1, 1e-12, 1e6, -1e15, 1e300, math.Inf(1), math.NaN()}

func checkWritable(t *testing.T, n Node) {
	t.Helper()
	text := string(Markup(n))
	if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
		t.Fatalf("a number is not finite: %.400s", text)
	}
	for _, digits := range numbers.FindAllString(text, -1) {
		if v, err := strconv.ParseFloat(digits, 64); err != nil || math.Abs(v) > 2*farthest {
			t.Fatalf("%s is beyond what a browser draws: %.400s", digits, text)
		}
	}
}

func TestDegenerateViewsAndPointsDrawWithoutNaN(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	pick := func() float64 { return bad[r.IntN(len(bad))] }
	for range 3000 {
		f := Figure{Title: "Bad", View: Rect{vec(pick(), pick()), vec(pick(), pick())}, Marks: []Mark{
			Polyline{Points: []plane.Vec{vec(pick(), pick()), vec(pick(), pick())}, Arrow: true},
			Polyline{Points: []plane.Vec{vec(1, 1)}},
			Region{Points: []plane.Vec{vec(pick(), pick()), vec(0, 0), vec(1, pick())}, Hatch: true, Role: Flesh},
			Arc{Centre: vec(pick(), pick()), Radius: pick(), From: pick(), To: pick(), Arrow: true},
			Circle{Centre: vec(pick(), pick()), Radius: pick()},
			Marker{At: vec(pick(), pick()), Shape: Ring},
			Label{At: vec(pick(), pick()), Text: "a", Away: vec(pick(), pick())},
			Dimension{A: vec(pick(), pick()), B: vec(pick(), pick()), Offset: pick(), Text: "b"},
			Angular{Centre: vec(pick(), pick()), Radius: pick(), From: pick(), To: pick(), Text: "c"},
			Heat{Area: Rect{vec(pick(), pick()), vec(pick(), pick())}, Cols: 2, Rows: 2, Values: []float64{pick(), pick(), pick(), pick()}, Levels: []float64{0.5}},
			Heat{Cols: 3, Rows: 3, Values: []float64{1}},
		}, Handles: []Handle{{At: vec(pick(), pick())}}}
		checkWritable(t, Layout(f, Options{Width: pick()}))
	}
}

func TestHeightFollowsTheViewWithinItsBounds(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, height float64 // of the view
		low, high     float64 // of the aspect
	}{
		{"a square view is nearly square", 1, 1, 0.95, 1.05},
		{"a tall view stops at 1.1", 1, 50, 1.1, 1.1},
		{"a flat view stops at 0.3", 50, 1, 0.3, 0.3},
	} {
		t.Run(c.name, func(t *testing.T) {
			box := strings.Fields(Layout(Figure{View: Rect{Max: vec(c.width, c.height)}}, Options{Width: 600}).Attr("viewBox"))
			if aspect := num(t, box[3]) / num(t, box[2]); !(aspect >= c.low-1e-9 && aspect <= c.high+1e-9) {
				t.Errorf("aspect %v, want %v to %v", aspect, c.low, c.high)
			}
		})
	}
}

func TestIdsCarryThePrefixAndAreUnique(t *testing.T) {
	seen := map[string]bool{}
	n := Layout(Specimen(), Options{ID: "plate-7"})
	Each(n, func(n Node) {
		id := n.Attr("id")
		if id == "" {
			return
		}
		if seen[id] || !strings.HasPrefix(id, "plate-7-") {
			t.Errorf("id %q is repeated or lacks the prefix", id)
		}
		seen[id] = true
	})
	for _, ref := range strings.Fields(n.Attr("aria-labelledby")) {
		if !seen[ref] {
			t.Errorf("aria-labelledby names %q, which is not there", ref)
		}
	}
	Each(n, func(n Node) {
		for _, a := range n.Attrs {
			if rest, ok := strings.CutPrefix(a.Value, "url(#"); ok && !seen[strings.TrimSuffix(rest, ")")] {
				t.Errorf("%s=%q names nothing", a.Name, a.Value)
			}
			if a.Name == "style" || a.Name == "stroke" || a.Name == "stroke-width" {
				t.Errorf("%s has %s=%q; looks belong to the style sheet", n.Tag, a.Name, a.Value)
			}
		}
	})
}

func TestNamedMarksSpeakAndConstructionLinesAreSilent(t *testing.T) {
	n := Layout(Specimen(), Options{})
	if n.Attr("role") != "group" {
		t.Errorf("a drawing with named parts has role %q, which would hide them", n.Attr("role"))
	}
	titles := map[string]bool{}
	Each(n, func(n Node) {
		if n.Tag == "title" {
			titles[n.Text] = true
		}
	})
	for _, want := range []string{"Rail", "Segment length: 4.40 cm", "Flexion: 45°", "Candidate pivot", "Owed translation"} {
		if !titles[want] {
			t.Errorf("nothing is named %q: %v", want, titles)
		}
	}
	if len(titles) != 18 {
		t.Errorf("%d titles, want 18: one for the drawing, 16 named marks, one handle", len(titles))
	}
	if plain := Layout(Figure{Title: "Plain", Marks: []Mark{Circle{Radius: 1}}}, Options{}); plain.Attr("role") != "img" {
		t.Errorf("a drawing without named parts has role %q, want img", plain.Attr("role"))
	}
}

func TestHandlesAreDrawnLastWithTheirHitCircles(t *testing.T) {
	n := Layout(Specimen(), Options{Width: 600})
	last := n.Children[len(n.Children)-1]
	if last.Attr("class") != "figure-handles" || len(last.Children) != 1 {
		t.Fatalf("the last child is %q with %d handles", last.Attr("class"), len(last.Children))
	}
	h := last.Children[0]
	if h.Attr("data-handle") != "0" || h.Children[1].Attr("class") != "handle-hit" || h.Children[1].Attr("r") != "22" {
		t.Errorf("handle is %s", Markup(h))
	}
	f := Specimen()
	f.Handles[0].At = vec(1000, 0)
	beyond := having(Layout(f, Options{Width: 600}), "handle-beyond")
	if len(beyond) != 1 || num(t, beyond[0].Children[1].Attr("cx")) > 600 {
		t.Errorf("a handle beyond the sheet cannot be reached: %v", beyond)
	}
}

func BenchmarkLayout(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	crowd := Figure{View: Rect{Max: vec(10, 8)}, Marks: append(scattered(r, 22).Marks, Specimen().Marks...)}
	for name, f := range map[string]Figure{"marks=" + strconv.Itoa(len(Specimen().Marks)): Specimen(), "marks=" + strconv.Itoa(len(crowd.Marks)): crowd, "heat=400x400": HeatSpecimen(400)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if n := Layout(f, Options{Width: 720}); len(n.Children) == 0 {
					b.Fatal("empty")
				}
			}
		})
	}
	b.Run("json", func(b *testing.B) {
		n := Layout(Specimen(), Options{Width: 720})
		b.SetBytes(int64(len(AppendJSON(nil, n))))
		for b.Loop() {
			AppendJSON(nil, n)
		}
	})
}
