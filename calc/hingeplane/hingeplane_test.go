package hingeplane

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/rigid"
)

func table(points []rigid.Vec) catalog.Values {
	v := catalog.NewValues()
	rows := catalog.Rows{Len: len(points), Numbers: map[string][]float64{}}
	for _, p := range points {
		rows.Numbers["x"] = append(rows.Numbers["x"], p.X)
		rows.Numbers["y"] = append(rows.Numbers["y"], p.Y)
		rows.Numbers["z"] = append(rows.Numbers["z"], p.Z)
	}
	v.Tables["points"] = rows
	return v
}

func TestAPlanarChainGivesBackItsPlaneAndBends(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		frame, _ := rigid.Turn(rigid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}, 3*r.Float64())
		var points []rigid.Vec
		at, heading := rigid.Vec{}, 0.0
		var bends []float64
		for range 3 + r.IntN(6) {
			points = append(points, frame.Apply(at))
			step := 1 + r.Float64()
			at = at.Add(rigid.Vec{X: step * math.Cos(heading), Y: step * math.Sin(heading)})
			bend := 0.05 + 0.9*r.Float64()
			bends = append(bends, bend)
			heading += bend
		}
		v := table(points)
		v.Choices["order"] = rigid.Orders()[r.IntN(6)]
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		n := a.Result.Numbers
		normal := rigid.Vec{X: n["normal_x"], Y: n["normal_y"], Z: n["normal_z"]}
		if off := normal.Sub(frame.Column(2)).Len(); !(off < 1e-10) || !(n["offplane_max"] < 1e-12) {
			t.Fatalf("normal off by %.1e, out of plane %v", off, n["offplane_max"])
		}
		joints := a.Result.Tables["joints"].Numbers
		for i := range joints["bend"] {
			if off := joints["bend"][i]*math.Pi/180 - bends[i]; !(math.Abs(off) < 1e-7) {
				t.Fatalf("bend %d = %v°, built with %v rad", i, joints["bend"][i], bends[i])
			}
			q := rigid.Quat{X: joints["qx"][i], Y: joints["qy"][i], Z: joints["qz"][i], W: joints["qw"][i]}
			out := points[i+2].Sub(points[i+1]).Unit()
			if off := q.Rot().Apply(rigid.Vec{X: 1}).Sub(out).Len() + q.Rot().Apply(rigid.Vec{Z: 1}).Sub(normal).Len(); !(off < 1e-9) {
				t.Fatalf("joint %d is off its segment and axis by %.1e", i, off)
			}
			order, _ := rigid.ParseOrder(v.Choices["order"])
			const degree = math.Pi / 180
			angles := rigid.Vec{X: joints["rx"][i] * degree, Y: joints["ry"][i] * degree, Z: joints["rz"][i] * degree}
			if off := order.Rot(angles).Apply(rigid.Vec{X: 1}).Sub(out).Len(); !(off < 1e-9) {
				t.Fatalf("the angles of joint %d miss its segment by %.1e", i, off)
			}
		}
	}
}

func TestChainsWithoutAnAxisAreRefusedOrSaid(t *testing.T) {
	straight := table([]rigid.Vec{{}, {X: 1}, {X: 2}})
	if _, err := catalog.Run(Calculator{}, straight); err == nil || err.Error() != "points: must not all lie on one line: a straight chain bends about no axis in particular; give the points of a slightly bent pose" {
		t.Errorf("straight chain: %v", err)
	}
	twice := table([]rigid.Vec{{}, {}, {X: 2}})
	if _, err := catalog.Run(Calculator{}, twice); err == nil || err.Error() != "points row 2: must not stand in the same place as the point before it: the segment between them has no direction" {
		t.Errorf("coincident points: %v", err)
	}
	zigzag, err := catalog.Run(Calculator{}, table([]rigid.Vec{{}, {X: 1}, {X: 1, Y: 1}, {X: 2, Y: 1}}))
	if err != nil || len(zigzag.Result.Warnings) == 0 || zigzag.Result.Warnings[0].Code != "bends-cancel" {
		t.Errorf("bends that cancel: %v %v", err, zigzag.Result.Warnings)
	}
	v := table([]rigid.Vec{{}, {X: 1}, {X: 1, Y: 1}})
	v.Choices["hinge_axis"] = "-x"
	if _, err := catalog.Run(Calculator{}, v); err == nil || err.Error() != `hinge_axis: "-x": must be perpendicular to aim_axis, which is +x` {
		t.Errorf("parallel axes: %v", err)
	}
}

// derived: the segment after the bend runs in the plane xy at the given angle to x; about z alone it is turned by that, and in the order xzy z is the middle.
func TestTenDegreesOfRoomAreEnough(t *testing.T) {
	for room, want := range map[float64]bool{9.5: true, 10.5: false} {
		sin, cos := math.Sincos((90 - room) * math.Pi / 180)
		v := table([]rigid.Vec{{}, {X: 10}, {X: 10 + 5*cos, Y: 5 * sin}})
		v.Choices["order"] = "xzy"
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		if told := slices.ContainsFunc(a.Result.Warnings, func(w catalog.Warning) bool { return w.Code == "near-gimbal" }); told != want {
			t.Errorf("%g° of room: told %v, want %v; %v", room, told, want, a.Result.Tables["joints"].Numbers["gimbal"])
		}
	}
}
