package plate

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/figure"
)

// handleAt finds where a handle is drawn, in px from the top left corner of the drawing that Solve answers.
func handleAt(tree any, handle int) (x, y float64, ok bool) {
	node, is := tree.([]any)
	if !is {
		return 0, 0, false
	}
	attributes := node[1].(map[string]any)
	inside := attributes["data-handle"] == strconv.Itoa(handle)
	for _, child := range node[2].([]any) {
		if c, is := child.([]any); is && inside {
			if a := c[1].(map[string]any); a["class"] == "handle-hit" {
				x, _ = strconv.ParseFloat(a["cx"].(string), 64)
				y, _ = strconv.ParseFloat(a["cy"].(string), 64)
				return x, y, true
			}
		}
		if x, y, ok = handleAt(child, handle); ok {
			return x, y, true
		}
	}
	return 0, 0, false
}

// A hand that drags a handle over the sheet keeps it under the pointer, wherever on the sheet it goes. Drawn on a sheet of its own,
// the handle would slip by more than its size, since what it moves is what the sheet is arranged for.
func TestWhatIsDraggedStaysUnderThePointer(t *testing.T) {
	const width, air = 700, 16 // px; a handle nearer to the edge than its size is drawn inside of it
	followed, slipped := 0, map[string]float64{}
	for _, c := range list.All() {
		d, id := new(Desk), c.Spec().ID
		r := Request{Width: width, ID: "p"}
		start := read(t, d.Solve(c, r))
		box := strings.Fields(start.Figure[1].(map[string]any)["viewBox"].(string))
		high, err := strconv.ParseFloat(box[len(box)-1], 64)
		if err != nil {
			t.Fatal(err)
		}
		a := run(t, c, "")
		for h, handle := range Drawing(a, a).Handles {
			fromX, fromY, ok := handleAt([]any(start.Figure), h)
			if !ok {
				t.Fatalf("%s: handle %d is not drawn", id, h)
			}
			for _, by := range [][2]float64{{80, 0}, {-80, 0}, {0, 80}, {0, -80}, {120, 120}, {-120, -120}} {
				x, y := fromX+by[0], fromY+by[1]
				state, err := d.Drag(c, r, h, x, y)
				if err != nil {
					t.Fatal(err)
				}
				if !isFree(t, a, handle, state) || x < air || x > width-air || y < air || y > high-air {
					continue
				}
				q := r
				q.State, q.Held = state, true
				held := read(t, d.Solve(c, q))
				heldX, heldY, _ := handleAt([]any(held.Figure), h)
				if off := math.Hypot(heldX-x, heldY-y); !(off < 1) {
					t.Errorf("%s, %s: dragged by %v it is drawn %.1f px from the pointer", id, handle.Name, by, off)
				}
				q.Held = false
				free := d.Solve(c, q)
				if !bytes.Equal(free, new(Desk).Solve(c, q)) {
					t.Errorf("%s, %s: what was held before is drawn otherwise", id, handle.Name)
				}
				freeX, freeY, _ := handleAt([]any(read(t, free).Figure), h)
				slipped[id] = max(slipped[id], math.Hypot(freeX-x, freeY-y))
				followed++
			}
		}
	}
	for _, id := range []string{"pivot-offset", "hinge-arc", "pose-fit", "reseat", "hinge-plane"} {
		if slipped[id] < 40 {
			t.Errorf("%s: on a sheet of its own a handle slips by %.1f px at most; what is tested here does not show", id, slipped[id])
		}
	}
	if followed < 200 {
		t.Errorf("%d drags were followed", followed)
	}
}

// isFree reports whether each axis of a handle can go where it was dragged: straight, and not to the end of its range.
func isFree(t *testing.T, a catalog.Answer, h figure.Handle, state string) bool {
	t.Helper()
	after := prepared(t, a.Spec, state)
	for _, axis := range h.Axes {
		now, ok := targetOf(catalog.Answer{Spec: a.Spec, Values: after}, axis.Field)
		if !ok || axis.Turn || now.now <= now.field.Min || now.now >= now.field.Max {
			return false
		}
	}
	return len(h.Axes) == 2
}

func TestNothingIsHeldOfAnotherCalculator(t *testing.T) {
	fit, err := list.Find("pose-fit")
	if err != nil {
		t.Fatal(err)
	}
	chain, err := list.Find("hinge-plane")
	if err != nil {
		t.Fatal(err)
	}
	d, r := new(Desk), Request{Width: 700, ID: "p", Held: true}
	want := d.Solve(chain, r) // nothing has been dragged
	if _, err := d.Drag(fit, Request{Width: 700, ID: "p"}, 0, 10, 10); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(d.Solve(chain, r), want) || !bytes.Equal(new(Desk).Solve(chain, Request{Width: 700, ID: "p"}), want) {
		t.Error("a chain is drawn otherwise after a landmark of a fit was dragged")
	}
}
