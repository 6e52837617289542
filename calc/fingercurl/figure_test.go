package fingercurl

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
)

// pointsOf lists every point that a figure gives.
func pointsOf(f figure.Figure) []plane.Vec {
	points := []plane.Vec{f.View.Min, f.View.Max}
	for _, m := range f.Marks {
		switch m := m.(type) {
		case figure.Polyline:
			points = append(points, m.Points...)
		case figure.Region:
			points = append(points, m.Points...)
		case figure.Circle:
			points = append(points, m.Centre, plane.Vec{X: m.Radius})
		case figure.Marker:
			points = append(points, m.At)
		case figure.Dimension:
			points = append(points, m.A, m.B)
		case figure.Label:
			points = append(points, m.At)
		}
	}
	for _, h := range f.Handles {
		points = append(points, h.At)
		for _, a := range h.Axes {
			points = append(points, a.Origin, a.Dir, plane.Vec{X: a.Base, Y: a.PerUnit})
		}
	}
	return points
}

// draw answers and draws.
func draw(t *testing.T, given map[string]float64) (catalog.Answer, figure.Figure) {
	t.Helper()
	answer, err := catalog.Run(Calculator{}, catalog.Values{Numbers: given})
	if err != nil {
		t.Fatal(err)
	}
	return answer, Calculator{}.Figure(answer.Values, answer.Result)
}

// valueAt reads an axis at a point, as its definition in package figure says.
func valueAt(a figure.Axis, p plane.Vec) float64 {
	to := p.Sub(a.Origin)
	if a.Turn {
		return a.Base + a.PerUnit*math.Atan2(a.Dir.Cross(to), a.Dir.Dot(to))*180/math.Pi
	}
	return a.Base + a.PerUnit*to.Dot(a.Dir)
}

func TestEveryHandleReadsTheValueItStandsFor(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		given := randomGiven(rng)
		_, f := draw(t, given)
		if len(f.Handles) != 6 {
			t.Fatalf("%d handles, want 6", len(f.Handles))
		}
		for _, h := range f.Handles {
			for _, a := range h.Axes {
				near(t, h.Name+": "+a.Field, valueAt(a, h.At), given[a.Field], 1e-6, "definition of figure.Axis")
				near(t, h.Name+": length of Dir", a.Dir.Len(), 1, 1e-12, "definition of figure.Axis")
			}
		}
		if t.Failed() {
			t.Fatalf("seed 1,1: %v", given)
		}
	}
}

func TestADraggedHandleFollowsTheFinger(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		given := randomGiven(rng)
		_, before := draw(t, given)
		for n, h := range before.Handles {
			// Drag within the range: to a place whose values are known to be allowed.
			moved := map[string]float64{}
			for k, v := range given {
				moved[k] = v
			}
			for _, a := range h.Axes {
				field, _ := Calculator{}.Spec().Field(a.Field)
				moved[a.Field] = field.Min + rng.Float64()*(field.Max-field.Min)
			}
			_, after := draw(t, moved)
			target := after.Handles[n].At
			for _, a := range h.Axes {
				near(t, h.Name+" dragged: "+a.Field, valueAt(a, target), moved[a.Field], 1e-6, "the old axes must read the new place as the new value")
			}
		}
		if t.Failed() {
			t.Fatalf("seed 1,1: %v", given)
		}
	}
}

func TestTheViewDoesNotMoveWithThePose(t *testing.T) {
	_, a := draw(t, nil)
	_, b := draw(t, map[string]float64{"mcp_flex": 10, "pip_flex": -5, "mcp_pivot": 0.1, "dip_shift": 1})
	if a.View != b.View {
		t.Errorf("view %v, then %v", a.View, b.View)
	}
	if _, c := draw(t, map[string]float64{"proximal": 8}); c.View == a.View {
		t.Error("the view does not follow the lengths")
	}
}

func TestAFlexedFingerIsInView(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		_, f := draw(t, map[string]float64{"mcp_flex": 120 * rng.Float64(), "pip_flex": 120 * rng.Float64(), "dip_flex": 100 * rng.Float64(),
			"mcp_pivot": rng.Float64(), "pip_pivot": rng.Float64(), "dip_pivot": rng.Float64()})
		for _, h := range f.Handles {
			if p, v := h.At, f.View; p.X < v.Min.X || p.X > v.Max.X || p.Y < v.Min.Y || p.Y > v.Max.Y {
				t.Fatalf("seed 1,1: %s at %v is out of view %v", h.Name, p, v)
			}
		}
	}
}

func TestTheFigureShowsWhatTheAnswerSays(t *testing.T) {
	answer, f := draw(t, nil)
	circles, gaps, contacts, squashed := 0, 0, 0, 0
	for _, m := range f.Marks {
		switch m := m.(type) {
		case figure.Circle:
			circles++
			near(t, "radius drawn", m.Radius, answer.Result.Numbers["curl_radius"], 0, "the answer")
		case figure.Dimension:
			if strings.Contains(m.Name, "Gap") {
				gaps++
				near(t, "gap drawn", m.A.Sub(m.B).Len(), answer.Result.Numbers["pulp_gap"], 1e-12, "the answer")
			}
		case figure.Marker:
			if strings.HasPrefix(m.Name, "Contact") {
				contacts++
			}
		case figure.Region:
			if m.Role == figure.Caution {
				squashed++
			}
		}
	}
	if circles != 1 || gaps != 1 || contacts != answer.Result.Tables["contacts"].Len || squashed != 3 {
		t.Errorf("%d circles, %d gaps, %d contacts, %d squashed folds", circles, gaps, contacts, squashed)
	}
	if !strings.Contains(f.Desc, "stops") || !strings.Contains(f.Desc, "rod") {
		t.Errorf("description %q", f.Desc)
	}
}

func TestSquashedFleshIsTheKiteOfTheFold(t *testing.T) {
	// An even finger bent at the middle joint: each wedge has legs h and h·tan(flex/2), and two make a kite.
	given := map[string]float64{"mcp_depth": 1, "pip_depth": 1, "dip_depth": 1, "tip_depth": 1, "mcp_flex": 0, "pip_flex": 80, "dip_flex": 0, "pip_pivot": 0.3}
	_, f := draw(t, given)
	area := 0.0
	for _, m := range f.Marks {
		if r, ok := m.(figure.Region); ok && r.Role == figure.Caution {
			area += plane.Area(r.Points)
		}
	}
	near(t, "area of squashed flesh", area, 0.7*0.7*math.Tan(40*math.Pi/180), 1e-12, "derived: h²·tan(flex/2) with h = 0.7")
}
