package views

import (
	"math/rand/v2"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/plane"
)

// The side view stands to the right of the front and the view from above over it, as far from it the one as the other, wherever the points
// are; the largest view is the main one. derived: the areas by hand.
func TestTheViewsStandAsFarApartBothWays(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for range 200 {
		sheet := arranged(cloud(r, 1+9*r.Float64(), 1+9*r.Float64(), 1+9*r.Float64())...)
		front, side, top := sheet.Views[0], sheet.Views[1], sheet.Views[2]
		right, over := side.Area.Min.X-front.Area.Max.X, top.Area.Min.Y-front.Area.Max.Y
		if !(right > 0.05*sheet.Size && right < 0.2*sheet.Size) || !(over > right-1e-9 && over < right+1e-9) {
			t.Fatalf("to the right %v, above %v, of a size of %v", right, over, sheet.Size)
		}
		for _, v := range sheet.Views {
			for _, w := range sheet.Views {
				if d, e := v.Area.Max.Sub(v.Area.Min), w.Area.Max.Sub(w.Area.Min); v.Main && d.X*d.Y < e.X*e.Y {
					t.Fatalf("the %s view is the main one, and the %s view larger", v.Name, w.Name)
				}
			}
		}
	}
}

// A line that passes a detail's circle by less than its radius is no part of it.
func TestALineThatPassesTheCircleIsNotShown(t *testing.T) {
	d := Detail{To: plane.Vec{X: 20}, Radius: 1, Times: 2}
	for y, want := range map[float64]bool{0: true, 0.49: true, 0.51: false, 0.6: false, 3: false} {
		line, ok := d.Line(figure.Polyline{Points: []plane.Vec{{X: -9, Y: y}, {X: 9, Y: y}}})
		if ok != want || ok && len(line.Points) != 2 {
			t.Errorf("a line at %v of a circle of 0.5: shown %v, %v", y, ok, line.Points)
		}
	}
}
