package published

import (
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
)

// inputFacts are facts that only go into checks of other facts, or that trends_test.go holds as trends.
var inputFacts = []string{
	"hand-length-006", "hand-length-007", "hand-length-008", "hand-length-011", "hand-length-012", "hand-length-013",
	"hand-length-016", "hand-length-017", "hand-length-018", "hand-length-021", "hand-length-022", "hand-length-023",
	"hand-length-043", "hand-length-044", "hand-length-045", "hand-length-047", "hand-length-048", "hand-length-049",
	"hand-length-051", "hand-length-052", "hand-length-053", "hand-length-055", "hand-length-056", "hand-length-057",
	"jaw-312", "jaw-316", "body-fraction-370", "body-fraction-371", "body-fraction-376", "body-fraction-377", "body-fraction-378", "rom-229",
	"spatial-410", "spatial-412", "spatial-413", "planar-391", "planar-392", "planar-393", "joint-centre-133",
}

const halfDigit = "half of the last printed digit"

// factChecks makes the checks of values.csv.
func factChecks(t testing.TB, facts map[string]fact) []check {
	t.Helper()
	need := func(id string) fact {
		f, ok := facts[id]
		if !ok {
			t.Fatalf("values.csv: %s is missing", id)
		}
		return f
	}
	checks := printedPolygons(need)
	checks = append(checks, phalanxChecks(t, need)...)
	checks = append(checks, jawFacts(t, need)...)
	checks = append(checks, foldChecks(t, need)...)
	checks = append(checks, jawKeys(t, need)...)
	checks = append(checks, foldedLimbs(t, need)...)
	checks = append(checks, dogLimbs(t, need)...)
	return append(checks, keptThickness(need)...)
}

func printedPolygons(need func(string) fact) []check {
	six, unit := arc(6.0, 60), arc(1.0, 60)
	return []check{
		need("planar-384").expect("radius from chord and sagitta, 65 deg", "hinge-arc", arc(7.3, 65), radiusFromChord, 7.3, 1e-12, "exact formula; rounding of a division"),
		need("planar-384").expect("radius from chord and sagitta, 270 deg", "hinge-arc", arc(5.0, 270), radiusFromChord, 5, 1e-12, "exact formula; rounding of a division"),
		need("planar-386").expect("circumradius of side 6", "hinge-arc", six, of("current_chord"), 6, 1e-9, "printed as a whole number; exact"),
		need("planar-386").expect("inradius of side 6", "hinge-arc", six, apothem, 5.196, 0.0005, halfDigit),
		need("planar-386").expect("rod in six links of 6", "finger-curl", links(6, 60), of("curl_radius"), 5.196, 0.0005, halfDigit),
		need("planar-387").expect("inradius of circumradius 1", "hinge-arc", unit, apothem, 0.8660254, 5e-8, halfDigit),
		need("planar-387").expect("area of circumradius 1", "hinge-arc", unit, hexagonArea, 2.5980762, 5e-8, halfDigit),
		need("planar-388").expect("pentagon side of circumradius 1", "hinge-arc", arc(1.0, 72), of("current_chord"), 1.17557, 5e-6, halfDigit),
	}
}

// straightFinger is a finger at rest with three published lengths, in mm as they are printed.
func straightFinger(distal, middle, proximal fact) []catalog.Entry {
	return given("proximal", proximal.value+" mm", "middle", middle.value+" mm", "distal", distal.value+" mm",
		"mcp_flex", 0.0, "pip_flex", 0.0, "dip_flex", 0.0)
}

// phalanxChecks: a straight finger is as long as its three bones, and the printed sums and ratios follow from the
// printed lengths.
func phalanxChecks(t testing.TB, need func(string) fact) []check {
	t.Helper()
	length := func(n int) fact {
		return need("hand-length-" + strings.Repeat("0", 3-len(strconv.Itoa(n))) + strconv.Itoa(n))
	}
	var checks []check
	ratio := func(f fact, part int, first int, digits string) {
		distal, middle, proximal := length(first), length(first+1), length(first+2)
		along, err := strconv.ParseFloat(proximal.value, 64)
		if err != nil {
			t.Fatal(err)
		}
		checks = append(checks, f.expect(digits, "finger-curl", straightFinger(distal, middle, proximal),
			func(n map[string]float64) float64 { return of("tip_x")(n)*10/along - 1 }, f.number(t, part), 0.0005, halfDigit))
	}
	ratio(need("hand-ratio-069"), 0, 6, "index")
	for i, name := range []string{"middle", "ring", "little"} {
		ratio(need("hand-ratio-070"), i, 11+5*i, name)
	}
	for i, name := range []string{"digit 2", "digit 3", "digit 4", "digit 5"} {
		first := 43 + 4*i
		ratio(need("hand-ratio-071"), i, first, name)
		sum := length(first + 3)
		checks = append(checks, sum.expect("length of the chain", "limb-fold", given("segments", length(first+2).value+" mm,0,0,90;"+length(first+1).value+" mm,0,0,100;"+length(first).value+" mm,0,0,80"),
			millimetres("span_max"), sum.number(t, 0), 0.2, "three means and their sum, each rounded to 0.1 mm: at most 4 × 0.05 mm"))
		checks = append(checks, sum.expect("length of the straight finger", "finger-curl", straightFinger(length(first), length(first+1), length(first+2)),
			millimetres("tip_x"), sum.number(t, 0), 0.2, "three means and their sum, each rounded to 0.1 mm: at most 4 × 0.05 mm"))
	}
	return checks
}

// jawFacts: one measured centre of rotation and measured rotations of other groups imply a travel of the condyle.
func jawFacts(t testing.TB, need func(string) fact) []check {
	t.Helper()
	centre := strconv.FormatFloat(need("jaw-316").number(t, 0), 'g', -1, 64) + " mm"
	implied, measured, rotation := need("jaw-317"), need("jaw-311"), need("jaw-312")
	chord := millimetres("current_chord")
	return []check{
		implied.expect("34 deg", "hinge-arc", arc(centre, 34), chord, implied.number(t, 0), 0.05, halfDigit),
		implied.expect("32 deg", "hinge-arc", arc(centre, 32), chord, implied.number(t, 1), 0.05, halfDigit),
		measured.expect("men", "hinge-arc", arc(centre, rotation.number(t, 0)), chord, measured.number(t, 0), 4.0, "printed SD of the men; the centre is from other subjects"),
		measured.expect("women", "hinge-arc", arc(centre, rotation.number(t, 1)), chord, measured.number(t, 1), 2.5, "printed SD of the women; the centre is from other subjects"),
	}
}

func foldChecks(t testing.TB, need func(string) fact) []check {
	t.Helper()
	upper, fore, flex := need("body-fraction-370").number(t, 0), need("body-fraction-371").number(t, 0), need("rom-229").number(t, 0)
	const stature = 170.0 // cm; the ratio does not depend on it
	in := given("root_x", -upper*stature, "root_y", 0.0, "pivot_x", 0.0, "pivot_y", 0.0, "tip_x", fore*stature, "tip_y", 0.0, "from_angle", 0.0, "to_angle", flex)
	fold := need("body-fraction-382")
	return []check{fold.expect("arm", "hinge-arc", in, foldRatio, fold.number(t, 0), 0.0005, halfDigit)}
}
