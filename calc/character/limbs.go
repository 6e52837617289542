package character

import "centrode/calc/rigid"

// arm lies along x at the height of the shoulder and folds toward +z, the front. Upper arm, forearm and the depth at the
// elbow are those of content/cast; the true hinge of the elbow lies 1.8 cm nearer the inside of the fold than the file's.
func arm() figure {
	front := rigid.Vec{Y: -1}
	f := figure{
		joints: []joint{
			{name: "collar", parent: -1, at: rigid.Vec{X: -8, Y: 142}, hinge: front},
			{name: "shoulder", parent: 0, at: rigid.Vec{Y: 142}, hinge: front},
			{name: "elbow", parent: 1, at: rigid.Vec{X: 30, Y: 142, Z: 1.8}, flaw: rigid.Vec{Z: -1.8}, hinge: front},
			{name: "wrist", parent: 2, at: rigid.Vec{X: 55, Y: 142}, hinge: front},
			{name: "fingertips", parent: 3, at: rigid.Vec{X: 73, Y: 142}, end: true},
		},
		targets: []target{{"target-bent", []turn{{"elbow", 90}}}, {"target-folded", []turn{{"elbow", 140}}}, {"target-reach", []turn{{"shoulder", 40}, {"elbow", 60}, {"wrist", 20}}}},
		clip:    clip{"fold", 0, 140, 2},
	}
	limb{path: []rigid.Vec{{X: -5, Y: 142}, {X: 71.8, Y: 142}}, side: front, around: 28, step: 0.9, root: 0,
		girth: []girth{{0, 5, 6.5}, {5, 5.2, 6.4}, {20, 4.4, 5}, {35, 3.9, 4.5}, {43, 3.9, 4.3}, {60, 2.9, 2.3}, {67, 4.2, 1.7}, {76.8, 3.4, 1.2}},
		bends: []bend{{5, 4, 1}, {35, 4.5, 2}, {60, 2.2, 3}}}.addTo(&f.surface)
	return f
}

// hindLeg stands on its toes, front toward +z. Joints and depths are those of content/cast; the true hinge of the hock
// lies nearer the point of the hock than the file's.
func hindLeg() figure {
	forward, back := rigid.Vec{X: -1}, rigid.Vec{X: 1}
	hip, stifle, hock, toe, claw := rigid.Vec{X: 7, Y: 52, Z: -30}, rigid.Vec{X: 7, Y: 35.7, Z: -22.4}, rigid.Vec{X: 7.3, Y: 17.8, Z: -28.9},
		rigid.Vec{X: 7, Y: 7.9, Z: -24.2}, rigid.Vec{X: 7, Y: 2.4, Z: -18.2}
	top := hip.Sub(stifle.Sub(hip).Unit().Scale(4))
	heel := rigid.Vec{X: 7.3, Y: 17.3, Z: -30}
	f := figure{
		joints: []joint{
			{name: "pelvis", parent: -1, at: top, hinge: forward},
			{name: "hip", parent: 0, at: hip, hinge: forward},
			{name: "stifle", parent: 1, at: stifle, hinge: back},
			{name: "hock", parent: 2, at: heel, flaw: hock.Sub(heel), hinge: forward},
			{name: "toe", parent: 3, at: toe, hinge: forward},
			{name: "claw", parent: 4, at: claw, end: true},
		},
		targets: []target{{"target-tuck", []turn{{"hock", 70}}}, {"target-stretch", []turn{{"hock", -28}}},
			{"target-gather", []turn{{"hip", 30}, {"stifle", 55}, {"hock", 60}, {"toe", -20}}}},
		clip: clip{"step", -28, 80, 1.5},
	}
	thigh, shank, foot := stifle.Sub(hip).Len(), hock.Sub(stifle).Len(), toe.Sub(hock).Len()
	a, b, c, d := 4.0, 4+thigh, 4+thigh+shank, 4+thigh+shank+foot
	limb{path: []rigid.Vec{top, stifle, hock, toe, claw}, side: back, around: 28, step: 0.8, root: 0,
		girth: []girth{{0, 4, 6}, {a, 4.4, 6.4}, {b, 2.8, 3.4}, {c - 10, 2, 2.4}, {c - 2, 1.5, 1.8}, {c, 1.5, 1.8}, {c + 5, 1.1, 1.2}, {d, 1.6, 1.3}, {d + 5, 2, 1.4}, {d + 8, 1.5, 0.9}},
		bends: []bend{{a, 3.5, 1}, {b, 3.2, 2}, {c, 2, 3}, {d, 1.6, 4}}}.addTo(&f.surface)
	return f
}

// jaw looks toward +z and opens about x. The reach of the chin is that of content/cast; the true hinge lies 2.5 cm lower
// and half a centimetre further forward than the file's.
func jaw() figure {
	open := rigid.Vec{X: 1}
	f := figure{
		joints: []joint{
			{name: "neck", parent: -1, at: rigid.Vec{Y: 132, Z: -2}, hinge: open},
			{name: "head", parent: 0, at: rigid.Vec{Y: 142, Z: -1}, hinge: open},
			{name: "jaw", parent: 1, at: rigid.Vec{Y: 147.5, Z: 0.5}, flaw: rigid.Vec{Y: 2.5, Z: -0.5}, hinge: open},
			{name: "chin", parent: 2, at: rigid.Vec{Y: 144, Z: 12}, end: true},
		},
		targets: []target{{"target-speak", []turn{{"jaw", 14}}}, {"target-shout", []turn{{"jaw", 32}}}},
		clip:    clip{"call", 0, 32, 1},
	}
	up := func(from, to rigid.Vec, root int, cap float64, g ...girth) limb {
		return limb{path: []rigid.Vec{from, to}, side: open, around: 30, step: 0.9, root: root, cap: cap, girth: g}
	}
	up(rigid.Vec{Y: 128, Z: -3}, rigid.Vec{Y: 135, Z: -3}, 0, 1.2, girth{0, 12, 10}, girth{7, 10, 8}).addTo(&f.surface)
	neck := up(rigid.Vec{Y: 132, Z: -4}, rigid.Vec{Y: 151, Z: -2}, 0, 0, girth{0, 6.5, 6.5}, girth{19, 6, 6})
	neck.bends = []bend{{10, 4, 1}}
	neck.addTo(&f.surface)
	up(rigid.Vec{Y: 149, Z: 0.8}, rigid.Vec{Y: 163, Z: -0.5}, 1, 1.6, girth{0, 9, 10.4}, girth{3, 9.8, 11.2}, girth{9, 9.6, 10.6}, girth{14, 7.6, 8.6}).addTo(&f.surface)
	up(rigid.Vec{Y: 163, Z: -0.5}, rigid.Vec{Y: 164, Z: -0.6}, 1, 3.5, girth{0, 7.6, 8.6}).addTo(&f.surface)
	up(rigid.Vec{Y: 144.9, Z: -3}, rigid.Vec{Y: 144, Z: 9.6}, 2, 2, girth{0, 8.6, 2.4}, girth{7, 8.4, 2.6}, girth{12.6, 6.4, 2.5}).addTo(&f.surface)
	for _, x := range []float64{-9.4, 9.4} { // the rami carry the jaw, and their upper ends stay with the head
		ramus := limb{path: []rigid.Vec{{X: x, Y: 151, Z: -0.4}, {X: 0.92 * x, Y: 145, Z: -1}}, side: open, around: 20, step: 0.4, root: 1,
			girth: []girth{{0, 1.2, 2}, {6, 1.2, 2.2}}, bends: []bend{{3, 1.6, 2}}}
		ramus.addTo(&f.surface)
	}
	return f
}

// crane stands on its mast, the boom along x. Lengths and plates are those of content/cast; the pin through the plates is
// the true pivot of the boom, and the file's joint missed it. Its parts are rigid: every vertex hangs on one joint.
func crane() figure {
	lift, side := rigid.Vec{Z: 1}, rigid.Vec{Z: 1}
	pin, elbow, head, hook := rigid.Vec{X: 6, Y: 611}, rigid.Vec{X: 540, Y: 620}, rigid.Vec{X: 777, Y: 421}, rigid.Vec{X: 777, Y: 341}
	f := figure{
		joints: []joint{
			{name: "mast", parent: -1, hinge: lift},
			{name: "boom", parent: 0, at: pin, flaw: rigid.Vec{X: -6, Y: 9}, hinge: lift},
			{name: "jib", parent: 1, at: elbow, hinge: lift.Scale(-1)},
			{name: "hook", parent: 2, at: head, hinge: lift},
			{name: "hook-tip", parent: 3, at: hook, end: true},
		},
		targets: []target{{"target-raised", []turn{{"boom", 42}, {"hook", -42}}}, {"target-lowered", []turn{{"boom", -30}, {"hook", 30}}},
			{"target-reach", []turn{{"boom", 30}, {"jib", -25}, {"hook", -55}}}},
		clip: clip{"luff", -40, 65, 4},
	}
	beam := func(from, to rigid.Vec, across rigid.Vec, wide, high, end float64, joint int) {
		limb{path: []rigid.Vec{from, to}, side: across, around: 16, step: from.Sub(to).Len() / 36, root: joint, cap: end, box: true,
			girth: []girth{{0, wide, high}, {to.Sub(from).Len(), 0.8 * wide, 0.8 * high}}}.addTo(&f.surface)
	}
	disc := func(centre rigid.Vec, radius, half, end float64, joint int) {
		limb{path: []rigid.Vec{centre.Sub(side.Scale(half)), centre.Add(side.Scale(half))}, side: rigid.Vec{Y: 1}, around: 32, step: half, root: joint, cap: end,
			girth: []girth{{0, radius, radius}}}.addTo(&f.surface)
	}
	beam(rigid.Vec{}, rigid.Vec{Y: 604}, side, 26, 26, 2, 0)
	for _, z := range []float64{-30, 30} {
		disc(pin.Add(rigid.Vec{Z: z}), 32, 3, 1, 0)
	}
	disc(pin, 7, 44, 2, 0)
	disc(pin, 24, 18, 2, 1)
	beam(pin, elbow, side, 16, 18, 4, 1)
	disc(elbow, 18, 16, 2, 1)
	beam(elbow, head, side, 10, 11, 3, 2)
	disc(head, 11, 10, 2, 2)
	disc(head, 4, 16, 1, 3)
	beam(head, hook, rigid.Vec{Z: 1}, 2.5, 2.5, 2, 3)
	return f
}
