package posefit

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
)

func drawn(t *testing.T, set func(catalog.Spec, *catalog.Values) error) (catalog.Answer, figure.Figure) {
	t.Helper()
	v := catalog.NewValues()
	if set != nil {
		if err := set(Calculator{}.Spec(), &v); err != nil {
			t.Fatal(err)
		}
	}
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	return a, Calculator{}.Figure(a.Values, a.Result)
}

// Derived: a quarter turn about (−12, 0), far to the left of both landmarks.
func TestAPivotBesideTheLandmarksIsInTheDrawing(t *testing.T) {
	a, f := drawn(t, func(spec catalog.Spec, v *catalog.Values) error {
		v.Choices["kind"] = "hinge"
		return catalog.Set(spec, v, "landmarks", "0,0,0,0;0,4,0,0;1,-12,12,0;1,-12,16,0")
	})
	for _, m := range f.Marks {
		if m, ok := m.(figure.Marker); ok && m.Name == "The fitted pivot" {
			if !(m.At.X > f.View.Min.X && m.At.X < -11.9 && m.At.Y > f.View.Min.Y && m.At.Y < f.View.Max.Y) {
				t.Errorf("the pivot stands at %v, the view is %v", m.At, f.View)
			}
			return
		}
	}
	t.Errorf("no pivot is drawn for %v", a.Result.Numbers)
}

// Derived: a quarter turn about (4, 4) swings the far end of a bar from (0, 0) to (8, 0) by way of (4, 4 − √32), which lies
// below all landmarks.
func TestTheWholeTravelOfALandmarkIsInTheDrawing(t *testing.T) {
	_, f := drawn(t, func(spec catalog.Spec, v *catalog.Values) error {
		v.Choices["kind"] = "hinge"
		return catalog.Set(spec, v, "landmarks", "0,0,0,0;0,4,0,0;1,8,0,0;1,8,4,0")
	})
	lowest := 0.0
	for _, m := range f.Marks {
		if m, ok := m.(figure.Polyline); ok && strings.HasPrefix(m.Name, "Travel of landmark") {
			for _, p := range m.Points {
				lowest = min(lowest, p.Y)
				if !f.View.Has(p) {
					t.Errorf("the travel leaves the view %v at %v", f.View, p)
				}
			}
		}
	}
	if want := 4 - math.Sqrt(32); !(lowest < want+0.01) {
		t.Errorf("the travel goes down to %v, want %v", lowest, want)
	}
}

func TestPosesAreNumberedAndTheFirstHandleIsTheFarEndOfTheLast(t *testing.T) {
	a, f := drawn(t, nil)
	want := []string{"rest", "1: 40°", "2: 95°", "3: 130°", "pivot"}
	for _, m := range f.Marks {
		if m, ok := m.(figure.Label); ok && len(want) > 0 && m.Text == want[0] {
			want = want[1:]
		}
	}
	if len(want) > 0 {
		t.Errorf("these labels are missing, or out of order: %q", want)
	}
	// Twenty rows, each in three views; the largest view comes first.
	if len(f.Handles) != 3*a.Values.Tables["landmarks"].Len || f.Handles[0].Name != "Landmark 5 in pose 3" || f.Handles[0].Axes[1].Field != "landmarks:20:y" {
		t.Errorf("%d handles, the first %+v", len(f.Handles), f.Handles[0])
	}
}

func TestALargeTableHasNoHandlesAndFewMarks(t *testing.T) {
	var rows strings.Builder
	for pose := range 60 {
		for i := range 20 {
			if pose+i > 0 {
				rows.WriteByte(';')
			}
			rows.WriteString(cells(pose, i))
		}
	}
	_, f := drawn(t, func(spec catalog.Spec, v *catalog.Values) error {
		return catalog.Set(spec, v, "landmarks", rows.String())
	})
	if len(f.Handles) > 0 || len(f.Marks) > 3*mostPoses*30 {
		t.Errorf("%d handles, %d marks", len(f.Handles), len(f.Marks))
	}
}

// cells is a row: a zigzag of landmarks turned about the origin by 3° for each pose.
func cells(pose, i int) string {
	turn := plane.TurnAbout(plane.Vec{}, 0.05*float64(pose))
	p := turn.Apply(plane.Vec{X: 5 + float64(i), Y: float64(i % 3)})
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	return strconv.Itoa(pose) + "," + number(p.X) + "," + number(p.Y) + "," + strconv.Itoa(i%2)
}
