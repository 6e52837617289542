package book

import (
	"slices"
	"strings"
	"testing"
)

// A table in a preset may stand as a list of rows or as a block of lines; both become the text that catalog.Set reads.
func TestAPresetOfTheCastMayHoldATable(t *testing.T) {
	const segments = "18 cm,-65,-30,60;19,-45,-93,27"
	for name, values := range map[string]string{
		"a list of rows":   "      segments:\n        - [18 cm, -65, -30, 60]\n        - [19, -45, -93, 27]\n",
		"a block of lines": "      segments: |\n        18 cm,-65,-30,60\n        19,-45,-93,27\n",
	} {
		files := good()
		files["cast/moss.yaml"] += "  - id: leg\n    label: Leg\n    calculator: limb-fold\n    values:\n" + values
		b, problems := load(files)
		if len(problems) > 0 || b.Cast[0].Presets[1].Values[0].Text != segments {
			t.Errorf("%s: read %+v, want %s; problems %v", name, b.Cast[0].Presets, segments, problems)
		}
	}
}

func TestAWrongCellOfAPresetIsReportedOnItsOwnLine(t *testing.T) {
	files := good()
	files["cast/moss.yaml"] += "  - id: leg\n    label: Leg\n    calculator: limb-fold\n    values:\n      segments:\n        - [18, 0, 0, 0]\n        - [-19, 0, 0, 0]\n"
	line := 1 + strings.Count(files["cast/moss.yaml"][:strings.Index(files["cast/moss.yaml"], "[-19")], "\n")
	_, problems := load(files)
	want := "cast/moss.yaml:17: leg: segments.length row 2: -19 cm: must be above 0 and at most 1000000 cm"
	if line != 17 || !slices.Equal(problems, []string{want}) {
		t.Errorf("line %d\n got %v\nwant %s", line, problems, want)
	}
}
