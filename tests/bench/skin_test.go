package bench

import (
	"math"
	"testing"
	"time"

	"centrode/calc/rigid"
	"centrode/calc/skin"
)

// sleeve is a tube of 50,000 vertices along x, four joints and weights a vertex, and its joints' motions at rest and bent.
func sleeve(b *testing.B) (s *skin.Surface, held skin.Influences, rest, bent []float32) {
	const rings, around, joints = 500, 100, 8
	var positions []float32
	var triangles []uint32
	held.Each = 4
	for i := range rings {
		x := 100 * float64(i) / rings
		for k := range around {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / around)
			positions = append(positions, float32(x), float32(8*cos), float32(8*sin))
			place := x / 100 * (joints - 3)
			first, share := int(place), float32(place-math.Floor(place))
			for j := range 4 {
				held.Joints = append(held.Joints, uint16(first+j))
			}
			held.Weights = append(held.Weights, 0.4*(1-share), 0.6*(1-share)+0.4*share, 0.5*share, 0.1*share)
			if next := uint32((k + 1) % around); i+1 < rings {
				a, c := uint32(i*around), uint32((i+1)*around)
				at := uint32(k)
				triangles = append(triangles, a+at, c+at, a+next, a+next, c+at, c+next)
			}
		}
	}
	s, err := skin.New(positions, triangles, held, nil)
	if err != nil {
		b.Fatal(err)
	}
	at := rigid.Motion{R: rigid.Identity()}
	for j := range joints {
		turn, _ := rigid.Turn(rigid.Vec{Z: 1}, 0.3)
		rest = motion(rest, rigid.Motion{R: rigid.Identity()})
		bent = motion(bent, at)
		at = at.Then(rigid.TurnAbout(rigid.Vec{X: 100 * float64(j+1) / joints}, turn))
	}
	return s, held, rest, bent
}

func motion(list []float32, m rigid.Motion) []float32 {
	for i, v := range []float64{m.T.X, m.T.Y, m.T.Z} {
		list = append(list, float32(m.R[i][0]), float32(m.R[i][1]), float32(m.R[i][2]), float32(v))
	}
	return list
}

// BenchmarkSkin is one frame of 50,000 vertices × 4 weights: skinned alone; with ten passes of smoothing; the normals.
func BenchmarkSkin(b *testing.B) {
	s, held, rest, bent := sleeve(b)
	out, normals := make([]float32, 3*s.Vertices()), make([]float32, 3*s.Vertices())
	frames := func(name string, prepare func() func()) {
		b.Run("work="+name, func(b *testing.B) {
			best(b, prepare())
		})
	}
	posed := func(passes int) func() func() {
		return func() func() {
			p := skin.NewPosing(s, held, rest, passes, 0.5)
			return func() { p.Pose(out, bent) }
		}
	}
	frames("skinned", posed(0))
	frames("smoothed", posed(10))
	frames("normals", func() func() {
		shader := skin.NewShader(s)
		return func() { shader.Normals(normals, out) }
	})
	frames("prepare", func() func() { return func() { skin.NewPosing(s, held, rest, 10, 0.5) } })
}

// frame is the longest that skinning and smoothing one frame may take in WASM.
const frame = 25 * time.Millisecond

func TestTheSkinInWASMKeepsUpWithADrag(t *testing.T) {
	for work, times := range map[string]float64{"skinned": 3, "smoothed": 3, "normals": math.Inf(1)} {
		inWASM(t, "BenchmarkSkin/work="+work, 200, frame, times)
	}
}
