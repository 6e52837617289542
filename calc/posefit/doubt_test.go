package posefit

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// told runs a table of landmarks and returns the sentence and the codes of its cautions.
func told(t *testing.T, rows catalog.Rows) (say string, codes []string) {
	t.Helper()
	v := catalog.NewValues()
	v.Tables["landmarks"] = rows
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range a.Result.Warnings {
		if !w.Note && !slices.Contains(codes, w.Code) {
			codes = append(codes, w.Code)
		}
	}
	return a.Say(), codes
}

// changed is the example with one pose changed.
func changed(pose float64, change func(v rigid.Vec) rigid.Vec) catalog.Rows {
	rows := example()
	for i, id := range rows.Numbers["pose"] {
		if id == pose {
			v := change(rigid.Vec{X: rows.Numbers["x"][i], Y: rows.Numbers["y"][i], Z: rows.Numbers["z"][i]})
			rows.Numbers["x"][i], rows.Numbers["y"][i], rows.Numbers["z"][i] = v.X, v.Y, v.Z
		}
	}
	return rows
}

func TestAPoseOfAnotherSegmentIsTold(t *testing.T) {
	for _, c := range []struct {
		name, code string
		change     func(v rigid.Vec) rigid.Vec
	}{
		{"measured in millimetres", "other-size", func(v rigid.Vec) rigid.Vec { return v.Scale(10) }},
		{"measured in inches", "other-size", func(v rigid.Vec) rigid.Vec { return v.Scale(1 / 2.54) }},
		{"measured on the other side", "mirrored", func(v rigid.Vec) rigid.Vec { v.X = -v.X; return v }},
		{"with the other sign of z", "mirrored", func(v rigid.Vec) rigid.Vec { v.Z = -v.Z; return v }},
	} {
		for _, pose := range []float64{1, 3} {
			say, codes := told(t, changed(pose, c.change))
			if !slices.Contains(codes, c.code) || !strings.Contains(say, "another segment") {
				t.Errorf("%s, pose %v: %v\n\t%s", c.name, pose, codes, say)
			}
		}
	}
	rows := catalog.Rows{Len: 6, Numbers: map[string][]float64{"pose": {0, 0, 0, 1, 1, 1}, "x": {1, 0, 0, 100, 0, 0}, "y": {0, 1, 0, 0, 100, 0}, "z": {0, 0, 2, 0, 0, 200}}}
	if say, _ := told(t, rows); say != "No pivot can be found, since a pose shows another segment than the rest pose." {
		t.Errorf("a pose in another unit that does not turn: %s", say)
	}
}

// A segment that is nearly flat is nearly its own mirror image, and landmarks are never where they were.
func TestNoiseIsNoOtherSegment(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	for _, thick := range []float64{1, 0.3, 0.05, 0.01, 0} {
		for _, noise := range []float64{0, 0.01, 0.05, 0.2} { // of landmarks 4 cm from their middle
			for range 60 {
				c, pivot, _ := scene(r, "ball", 4+r.IntN(6), 0, 0, 0, 0)
				across := scatter.Vec(r, 1).Unit()
				c = c.each(func(x rigid.Vec) rigid.Vec { return x.Sub(across.Scale(x.Sub(pivot).Dot(across) * (1 - thick))) })
				for range 1 + r.IntN(4) {
					turn, _ := rigid.Turn(scatter.Vec(r, 1), 0.4+2*r.Float64())
					posed := c[:1].moved(rigid.TurnAbout(pivot, turn))[0]
					for k := range posed {
						posed[k] = posed[k].Add(scatter.Vec(r, noise))
					}
					c = append(c, posed)
				}
				say, codes := told(t, c.table())
				if slices.Contains(codes, "mirrored") || slices.Contains(codes, "other-size") {
					t.Errorf("thick %v, noise %v: %v\n\t%s", thick, noise, codes, say)
				}
			}
		}
	}
}
