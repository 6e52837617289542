package posefit

import (
	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// far bounds coordinates: ten kilometres on either side of the origin.
const far = 1e6

// LandmarkTable describes the landmark table; the placement map takes the same one.
func LandmarkTable() catalog.Table {
	coordinate := func(id string) catalog.Column {
		return catalog.Column{ID: id, Label: id, Help: "Coordinate of the landmark in that pose.", Kind: quantity.Length, Min: -far, Max: far}
	}
	return catalog.Table{
		ID: "landmarks", Label: "Landmarks by pose",
		Help: "One row for each landmark in each pose; pose 0 is the rest pose. Every pose lists the same landmarks in the same order, measured in the parent's frame or, with landmarks on the parent, in the world: at least three that do not lie on one line, or two when everything happens in one plane.",
		Columns: []catalog.Column{
			{ID: "pose", Label: "Pose", Help: "0 for rest, then 1, 2 and so on", Kind: quantity.Count, Max: 1e6},
			coordinate("x"), coordinate("y"), coordinate("z"),
			{ID: "weight", Label: "Weight", Help: "How much the landmark counts in that pose; 1 unless some are surer than others, 0 to leave it out.", Optional: true, Default: 1, Max: 1e6},
		},
		MinRows: 4, MaxRows: 200000, Default: example(),
	}
}

// ParentTable describes the landmarks of a parent that moved; the placement map takes the same one.
func ParentTable() catalog.Table {
	t := LandmarkTable()
	t.ID, t.Label, t.Optional, t.MinRows, t.Default = "parent", "Landmarks on the parent", true, 0, catalog.Rows{}
	t.Help = "Where the parent moved as well: at least three landmarks on it, not on one line, in the rest pose 0 and in every pose. All landmarks are then measured in the world, and each pose is first taken back to where the parent stood at rest. Left out where the parent held still."
	return t
}

// example is an invented forearm: five landmarks turned by 40°, 95° and 130° about (1, −0.5, 0), each about an axis of
// its own near z, with normal noise of 0.02 cm, rounded to 0.01.
func example() catalog.Rows {
	rows := [][4]float64{
		{0, 8, 1.5, 0.5}, {0, 8, -1.5, -0.5}, {0, 18, 1, 1.2}, {0, 18, -1, -1.2}, {0, 24, 0.2, 0.1},
		{1, 5.08, 5.53, 0.75}, {1, 7.03, 3.24, -0.31}, {1, 13.1, 11.51, 1.76}, {1, 14.38, 10.09, -0.69}, {1, 18.19, 14.76, 0.82},
		{2, -1.22, 6.26, 1.46}, {2, 1.37, 6.57, -0.26}, {2, -1.16, 16.25, 2.71}, {2, 0.14, 16.53, -0.08}, {2, -1.05, 22.33, 1.85},
		{3, -4.99, 3.52, -0.99}, {3, -2.54, 5.21, -2.08}, {3, -10.93, 11.49, -2.52}, {3, -9.13, 12.29, -4.98}, {3, -13.98, 16.24, -5},
	}
	t := catalog.Rows{Len: len(rows), Numbers: map[string][]float64{}}
	for _, row := range rows {
		for i, id := range []string{"pose", "x", "y", "z"} {
			t.Numbers[id] = append(t.Numbers[id], row[i])
		}
	}
	return t
}

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	return catalog.Spec{
		ID:      "pose-fit",
		Title:   "The pivot that fits given poses",
		Purpose: "Finds the pivot about which a segment reaches given poses by rotation alone, and says how sure that pivot is.",
		Single:  true,
		Groups:  []catalog.Group{{ID: "joint", Label: "The joint"}},
		Fields: []catalog.Field{{ID: "kind", Label: "Kind of joint", Group: "joint",
			Help:    "A ball turns about one point, in each pose about an axis of its own; a hinge turns about one line, the same in every pose.",
			Choices: []catalog.Choice{{ID: "ball", Label: "ball"}, {ID: "hinge", Label: "hinge"}}, DefaultChoice: "ball"}},
		Tables: []catalog.Table{LandmarkTable(), ParentTable()},
		Outputs: []catalog.Output{
			pivot("x"), pivot("y"), pivot("z"), axis("x"), axis("y"), axis("z"),
			{ID: "residual_rms", Label: "Left by rotation alone", Help: "Root mean square distance from the landmarks, turned about the pivot, to where the poses have them: √(Σ w·d² / Σ w).", Kind: quantity.Length, Digits: 4},
			{ID: "free_rms", Label: "Noise floor", Help: "The same when each pose may turn and slide freely: what no pivot can remove.", Kind: quantity.Length, Digits: 4},
			{ID: "determined", Label: "What the poses determine", Help: "A point, a line when all rotations share one axis, or none when nothing turns.", Text: true},
			{ID: "sigma_major", Label: "Standard deviation of the pivot", Help: "One standard deviation of the pivot in its least certain direction, from what the fit leaves; none where the pivot may slide along a line.", Kind: quantity.Length, Digits: 4},
			{ID: "sigma_across", Label: "Standard deviation across the axis", Help: "One standard deviation of the pivot across the shared axis, in its least certain direction.", Kind: quantity.Length, Digits: 4},
			{ID: "slide", Label: "Slide along the axis", Help: "For a single pose: how far it also moves along its screw axis, which no rotation can give.", Kind: quantity.Length, Digits: 4},
		},
		Answers: []catalog.Table{{ID: "poses", Label: "Pose by pose", Columns: []catalog.Column{
			{ID: "pose", Label: "Pose", Kind: quantity.Count},
			{ID: "angle", Label: "Turn", Kind: quantity.Angle, Digits: 2},
			{ID: "residual_rms", Label: "Left by rotation alone", Kind: quantity.Length, Digits: 4},
			{ID: "owed_x", Label: "Owed x", Help: "What an animator would still key after rotating about the pivot: the translation left by the best free motion.", Kind: quantity.Length, Digits: 4},
			{ID: "owed_y", Label: "Owed y", Kind: quantity.Length, Digits: 4},
			{ID: "owed_z", Label: "Owed z", Kind: quantity.Length, Digits: 4},
		}}, {ID: "parent", Label: "The parent, pose by pose", Columns: []catalog.Column{
			{ID: "pose", Label: "Pose", Kind: quantity.Count},
			{ID: "angle", Label: "Turn", Kind: quantity.Angle, Digits: 2},
			{ID: "moved", Label: "Moved", Help: "How far the middle of the parent's landmarks moved.", Kind: quantity.Length, Digits: 3},
			{ID: "residual_rms", Label: "Noise of its landmarks", Help: "Root mean square distance that the parent's best motion leaves of its landmarks.", Kind: quantity.Length, Digits: 4},
		}}},
		Workings: []catalog.Output{
			{ID: "pose_count", Label: "Number of poses", Kind: quantity.Count},
			{ID: "landmark_count", Label: "Number of landmarks", Kind: quantity.Count},
			{ID: "parent_rms", Label: "Noise of the parent's landmarks", Kind: quantity.Length, Digits: 4},
		},
		Steps: []catalog.Step{
			{Say: "Where the parent moved too, its own landmarks tell its best motion G to each pose, and the pose is first taken back by it.",
				TeX: `y_{ik} = G_i^{-1}\,y^{\text{world}}_{ik}`},
			{Say: "Every pose is matched by its own rotation about one shared pivot.",
				TeX: `\min_{p,\,R_i}\ \sum_{i=1}^{\slot{pose_count}} \sum_{k=1}^{\slot{landmark_count}} w_{ik}\,\bigl|\,p + R_i\,(x_k - p) - y_{ik}\,\bigr|^2`},
			{Say: "A first guess comes from the turn R and translation t of the best free motion of each pose, by a linear system for the pivot.",
				TeX: `\sum_i W_i\,(I - R_i)^{\mathsf T}(I - R_i)\;p = \sum_i W_i\,(I - R_i)^{\mathsf T}\,t_i`},
			{Say: "From there, steps that lessen the sum settle on the pivot.",
				TeX: `p = (\slot{pivot_x},\ \slot{pivot_y},\ \slot{pivot_z})\ \text{cm}`},
			{Say: "What is left is compared with what no pivot could remove.",
				TeX: `\sqrt{\tfrac{\sum w\,d^2}{\sum w}} = \slot{residual_rms}\ \text{cm} \quad\text{against}\quad \slot{free_rms}\ \text{cm}`},
		},
		Sources: []string{"horn1987", "ehrig2006", "spoor1980"},
		Cautions: []string{
			"For drawn and animated characters. A joint centre for an orthosis, an implant or any moving machine is a licensed practitioner's measurement, not this fit.",
		},
	}
}()

func pivot(letter string) catalog.Output {
	return catalog.Output{ID: "pivot_" + letter, Label: "Pivot " + letter, Help: "The fitted pivot in the frame of the landmarks.", Kind: quantity.Length, Digits: 3}
}

func axis(letter string) catalog.Output {
	return catalog.Output{ID: "axis_" + letter, Label: "Axis " + letter, Help: "Direction of the shared axis, of unit length; none where the rotations share none.", Digits: 4}
}
