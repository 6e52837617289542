package plate

import (
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// charted is a calculator whose drawing has handles on the cells of a table, one for each row.
type charted struct{ twice }

func (charted) Spec() catalog.Spec {
	return catalog.Spec{ID: "charted", Tables: []catalog.Table{{ID: "points", Label: "Points", MinRows: 1, MaxRows: 9,
		Columns: []catalog.Column{
			{ID: "name", Label: "Name", Text: true},
			{ID: "x", Label: "Across", Kind: quantity.Length, Min: -9, Max: 9},
			{ID: "y", Label: "Up", Kind: quantity.Length, Min: -9, Max: 9},
			{ID: "bend", Label: "Bend", Kind: quantity.Angle, Min: 0, Max: 90, MinOpen: true},
		},
		Default: catalog.Rows{Len: 2, Texts: map[string][]string{"name": {"a", "b"}},
			Numbers: map[string][]float64{"x": {1, 2}, "y": {3, 4}, "bend": {10, 20}}}}}}
}

func (charted) Solve(catalog.Values) (catalog.Result, error) { return catalog.NewResult(), nil }

func (charted) Figure(v catalog.Values, _ catalog.Result) figure.Figure {
	f := figure.Figure{Title: "Points", View: figure.Rect{Min: plane.Vec{X: -10, Y: -10}, Max: plane.Vec{X: 10, Y: 10}}}
	rows := v.Tables["points"]
	for i := range rows.Len {
		row := "points:" + string(rune('1'+i)) + ":"
		f.Handles = append(f.Handles, figure.Handle{Name: "Point", At: plane.Vec{X: rows.Numbers["x"][i], Y: rows.Numbers["y"][i]}, Axes: []figure.Axis{
			{Field: row + "x", Dir: plane.Vec{X: 1}, PerUnit: 1}, {Field: row + "y", Dir: plane.Vec{Y: 1}, PerUnit: 1}}})
	}
	f.Handles = append(f.Handles,
		figure.Handle{Name: "Bend", Axes: []figure.Axis{{Field: "points:2:bend", Dir: plane.Vec{X: 1}, PerUnit: 1}}},
		figure.Handle{Name: "Nothing", Axes: []figure.Axis{{Field: "points:7:x", Dir: plane.Vec{X: 1}, PerUnit: 1}, {Field: "points:1:name", Dir: plane.Vec{Y: 1}, PerUnit: 1},
			{Field: "points:x", PerUnit: 1}, {Field: "points:0:x", PerUnit: 1}, {Field: "point:1:x", PerUnit: 1}}})
	return f
}

func TestAHandleEditsTheCellsOfItsRow(t *testing.T) {
	c, r := charted{}, Request{Width: 600}
	a, err := Run(c, "")
	if err != nil {
		t.Fatal(err)
	}
	x, y := sheetPoint(Drawing(a, a), r, 1)
	scale := 0.0
	{
		zero := figure.Locate(Drawing(a, a), options(r), 0, 0)
		scale = 1 / (figure.Locate(Drawing(a, a), options(r), 1, 0).X - zero.X)
	}
	for _, step := range []struct {
		name string
		do   func() (string, error)
		want string
	}{
		{"dragged, to a hundredth of a cm", func() (string, error) { return new(Desk).Drag(c, r, 1, x+1.237*scale, y+1*scale) }, "points=a,1,3,10;b,3.24,3,20"},
		{"dragged out of the range", func() (string, error) { return new(Desk).Drag(c, r, 1, 1e6, y) }, "points=a,1,3,10;b,9,4,20"},
		{"an arrow key is a tenth of a cm", func() (string, error) { return new(Desk).Nudge(c, r, 1, 1, 0) }, "points=a,1,3,10;b,2.1,4,20"},
		{"ten of them", func() (string, error) { return new(Desk).Nudge(c, r, 0, 0, -10) }, "points=a,1,2,10;b,2,4,20"},
		{"an arrow key is a degree", func() (string, error) { return new(Desk).Nudge(c, r, 2, 1, 0) }, "points=a,1,3,10;b,2,4,21"},
		{"an end that is excluded", func() (string, error) { return new(Desk).Nudge(c, r, 2, -90, 0) }, "points=a,1,3,10;b,2,4,0.1"},
		{"cells that do not exist", func() (string, error) { return new(Desk).Drag(c, r, 3, 0, 0) }, ""},
	} {
		t.Run(step.name, func(t *testing.T) {
			if got, err := step.do(); err != nil || got != step.want {
				t.Errorf("state %q, %v; want %q", got, err, step.want)
			}
		})
	}
	if again, err := Run(c, ""); err != nil || again.Values.Tables["points"].Numbers["x"][1] != 2 {
		t.Errorf("a drag wrote into the default table: %v, %v", again.Values.Tables, err)
	}
}

func TestAHandleOnCellsSaysItsRow(t *testing.T) {
	s := read(t, new(Desk).Solve(charted{}, Request{Width: 600}))
	h := s.Handles[1]
	if h.Valuetext != "row 2, Across 2.0\u00a0cm, Up 4.0\u00a0cm" {
		t.Errorf("spoken as %q", h.Valuetext)
	}
	if len(h.Axes) != 2 || h.Axes[0].Field != "points:2:x" || h.Axes[0].Now != 2 || h.Axes[0].Min != -9 || h.Axes[0].Max != 9 || h.Axes[1].Text != "4.0\u00a0cm" {
		t.Errorf("axes %+v", h.Axes)
	}
	if len(s.Handles[3].Axes) != 0 || s.Handles[3].Valuetext != "" {
		t.Errorf("a handle on no cell says %+v", s.Handles[3])
	}
	if !strings.Contains(s.Fields["points"], "b\t2\t4\t20") {
		t.Errorf("the table shows %q", s.Fields["points"])
	}
}
