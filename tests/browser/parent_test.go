package browser

import (
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// A segment about a known pivot and the parent that carries it, both seen in the world with noise, as the two tables of pose-fit: what the
// page works out is what the command does, to the last digit, and its drawing has no handle where no row lies.
func TestAPageTakesOutAParentThatMoved(t *testing.T) {
	parallel(t)
	r := rand.New(rand.NewPCG(5, 5))
	pivot := rigid.Vec{X: 3, Y: -1, Z: 2}
	var tables [2]strings.Builder
	list := func(table, pose int, v rigid.Vec) {
		row := []string{strconv.Itoa(pose)}
		for _, x := range []float64{v.X, v.Y, v.Z} {
			row = append(row, strconv.FormatFloat(x+0.01*r.NormFloat64(), 'f', 3, 64))
		}
		tables[table].WriteString(strings.Join(row, ",") + ";")
	}
	var child, parent [5]rigid.Vec
	for k := range child {
		child[k], parent[k] = pivot.Add(scatter.Vec(r, 8)), scatter.Vec(r, 12)
	}
	for pose := range 4 {
		own, carried := rigid.Motion{R: rigid.Identity()}, rigid.Motion{R: rigid.Identity()}
		if pose > 0 {
			turn, _ := rigid.Turn(scatter.Vec(r, 1), 0.5+r.Float64())
			own.R, _ = rigid.Turn(scatter.Vec(r, 1), 0.5+r.Float64())
			own, carried = rigid.TurnAbout(pivot, own.R), rigid.Motion{R: turn, T: scatter.Vec(r, 30)}
		}
		for k := range child {
			list(0, pose, carried.Apply(own.Apply(child[k])))
			list(1, pose, carried.Apply(parent[k]))
		}
	}
	state := "#plate-pose-fit?landmarks=" + strings.TrimSuffix(tables[0].String(), ";") + "&parent=" + strings.TrimSuffix(tables[1].String(), ";")
	p := openPlate(t, "pose-fit", state)
	if say := p.say(t); !strings.HasPrefix(say, "The best pivot is at (2.99, −1.00, 2.01)") || !strings.Contains(say, " in the parent's; the pivot's standard deviation is 0.0") {
		t.Errorf("the page says %q", say)
	}
	if rows := p.shownRows(t, "parent"); len(rows) != 20 {
		t.Errorf("the table of the parent has %d rows, want 20", len(rows))
	}
	if handles := eval[int](t, p.tab, p.at(`.querySelectorAll('g[data-handle]').length`)); handles != 3*len(child) {
		t.Errorf("%d handles, want those of the rest pose in three views", handles)
	}
	p.agrees(t)
	p.clean(t)
}
