// Package three holds the surface of the fitting room against three.js, an independent library of general use, vertex by
// vertex, on the same files. Nothing is drawn: the library's skinning on the processor is asked, under node.
package three

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"centrode/calc/body"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/skin"
)

// part is one primitive as the library has it.
type part struct {
	Node, Primitive int
	Positions       []float64
}

// moment is a time of a clip; −1 is the rest.
type moment struct {
	Clip int     `json:"clip"`
	Time float64 `json:"time"`
}

// moments are the rest and, for each clip, times well before its end, where the library begins again.
func moments(b *body.Body) []moment {
	list := []moment{{Clip: -1}}
	for i, c := range b.Clips {
		for _, share := range []float64{0.03, 0.31, 0.66, 0.93} {
			list = append(list, moment{i, c.Seconds * share})
		}
	}
	return list
}

// library asks three.js for all vertices at some moments.
func library(t *testing.T, glb []byte, list []moment) [][]part {
	t.Helper()
	folder := filepath.Join("..", "..", "theme", "node_modules", "three")
	if _, err := os.Stat(folder); err != nil {
		t.Skip("three.js was not found: run npm ci --prefix theme")
	}
	if _, err := exec.LookPath("node"); err != nil {
		t.Skip("node was not found: install Node.js 20 or newer")
	}
	ask, err := json.Marshal(map[string]any{"glb": base64.StdEncoding.EncodeToString(glb), "moments": list})
	if err != nil {
		t.Fatal(err)
	}
	run := exec.Command("node", "pose.mjs", folder)
	run.Stdin = bytes.NewReader(ask)
	var said bytes.Buffer
	run.Stderr = &said
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, said.Bytes())
	}
	var answers [][]part
	if err := json.Unmarshal(out, &answers); err != nil {
		t.Fatal(err)
	}
	return answers
}

// TestTheSurfaceIsThatOfAnotherLibrary compares every vertex of every character at rest and in its clips. The bound is 1e-5
// of a metre or, for what is larger than a metre, of the character's size.
func TestTheSurfaceIsThatOfAnotherLibrary(t *testing.T) {
	for _, c := range character.All() {
		glb := c.GLB()
		doc, err := gltf.Read(glb, nil)
		if err != nil {
			t.Fatal(err)
		}
		b, err := body.New(c.ID, doc)
		if err != nil {
			t.Fatal(err)
		}
		s, err := skin.New(b.Positions, b.Triangles, b.Held, b.Normals)
		if err != nil {
			t.Fatal(err)
		}
		poser, posed := skin.NewPosing(s, b.Held, b.RestMotions(), 0, 0), make([]float32, len(b.Positions))
		worst, compared, list := 0.0, 0, moments(b)
		for i, parts := range library(t, glb, list) {
			locals := b.Locals()
			if at := list[i]; at.Clip >= 0 {
				b.Play(&b.Clips[at.Clip], at.Time, locals)
			}
			poser.Pose(posed, b.Motions(b.Worlds(locals, nil), nil))
			for _, p := range parts {
				own := find(t, b, p)
				for k, x := range p.Positions {
					worst = math.Max(worst, math.Abs(float64(posed[3*own.First+k])/gltf.CmPerUnit-x))
				}
				compared += own.Count
			}
		}
		if want := len(list) * len(b.Rest) / 3; compared != want {
			t.Errorf("%s: %d vertices were compared; want %d", c.ID, compared, want)
		}
		bound := 1e-5 * math.Max(1, b.Size()/gltf.CmPerUnit)
		if !(worst <= bound) {
			t.Errorf("%s: a coordinate differs by %g m; at most %g is allowed", c.ID, worst, bound)
		}
		t.Logf("%s: %d vertices at %d moments, the worst coordinate differs by %.2g m", c.ID, len(b.Rest)/3, len(list), worst)
	}
}

// find returns the part of the body that the library calls p.
func find(t *testing.T, b *body.Body, p part) body.Part {
	t.Helper()
	for _, own := range b.Parts {
		if own.Node == p.Node && own.Primitive == p.Primitive && 3*own.Count == len(p.Positions) {
			return own
		}
	}
	t.Fatalf("node %d, primitive %d with %d vertices is unknown here", p.Node, p.Primitive, len(p.Positions)/3)
	return body.Part{}
}
