package sheet

import (
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

// opinion is a sheet about the elbow of a straight arm along x, 60 cm long.
func opinion(t *testing.T, to rigid.Vec) View {
	t.Helper()
	at := rigid.Vec{X: 30}
	v, err := Prove(Sheet{Entries: []Entry{{Joint: "elbow", Measured: Measured{File: "a.glb", Current: at, Candidate: at.Add(to),
		Parent: &rigid.Vec{}, Child: &rigid.Vec{X: 60}}}}}, list.Find)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// seen is what a drawing says: its letters and words, and how far the candidate lies from the current pivot on the page, as a share of the width.
func seen(f figure.Figure) (text string, apart float64) {
	var said []string
	var ring, diamond plane.Vec
	for _, m := range f.Marks {
		switch m := m.(type) {
		case figure.Label:
			said = append(said, m.Text)
		case figure.Marker:
			switch m.Name {
			case "Current pivot":
				ring = m.At
			case "Candidate pivot":
				diamond = m.At
			}
		}
	}
	return strings.Join(said, " "), diamond.Sub(ring).Len() / (f.View.Max.X - f.View.Min.X)
}

// Two opinions are seen from the same sides, in one size and as much enlarged: what looks like twice the move is twice the move.
func TestTwoMeasuredPlacementsAreDrawnAlike(t *testing.T) {
	for _, c := range []struct {
		one, two rigid.Vec
		says     string
	}{
		{rigid.Vec{Z: 1.8}, rigid.Vec{Z: -0.45}, "x −z 2 times larger current candidate"},
		{rigid.Vec{Z: 0.2}, rigid.Vec{Z: 0.05}, "x −z 20 times larger current candidate"},
		{rigid.Vec{Y: 12}, rigid.Vec{Y: 3}, "x y current candidate"},
	} {
		a, b := opinion(t, c.one), opinion(t, c.two)
		Compare(&a, &b)
		first, wide := seen(a.Entries[0].Figure)
		second, narrow := seen(b.Entries[0].Figure)
		if first != c.says || second != c.says || a.Entries[0].Figure.View != b.Entries[0].Figure.View {
			t.Errorf("moved by %v and %v: %q on %v and %q on %v; want both %q", c.one, c.two, first, a.Entries[0].Figure.View, second, b.Entries[0].Figure.View, c.says)
		}
		if ratio := wide / narrow; ratio < 3.999 || ratio > 4.001 {
			t.Errorf("moved by %v and %v: the one looks %g times the other, and is 4 times", c.one, c.two, ratio)
		}
	}
}

// A sheet alone shows its move, be it small or out of the plane of the limb; and says so where there is none.
func TestAMeasuredMoveIsSeen(t *testing.T) {
	for _, by := range []rigid.Vec{{Z: -0.5}, {Y: 0.02}, {Z: 4}, {X: 0.3}} {
		if said, apart := seen(opinion(t, by).Entries[0].Figure); apart < 0.02 {
			t.Errorf("moved by %v: apart by %g of the width (%s)", by, apart, said)
		}
	}
	if said, _ := seen(opinion(t, rigid.Vec{}).Entries[0].Figure); !strings.Contains(said, "in one place, enlarged 20 times") {
		t.Errorf("not moved: %q", said)
	}
}

// Two files in other units are not brought to one size: one of them would be a blot.
func TestOpinionsOfOtherSizesKeepTheirOwn(t *testing.T) {
	a, b := opinion(t, rigid.Vec{Y: 5}), opinion(t, rigid.Vec{Y: 500})
	alone := a.Entries[0].Figure.View
	Compare(&a, &b)
	if got := a.Entries[0].Figure.View; got != alone {
		t.Errorf("beside one of 500 cm it is drawn on %v, alone on %v", got, alone)
	}
}
