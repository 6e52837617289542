package words

import (
	"encoding/json"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/report"
)

// telling are states in which a calculator says what it seldom says.
var telling = map[string][]string{
	"bend-section":  {"flex=150&blend=0&pivot=0", "flex=170&blend=30&pivot=0&length=15", "depth=8&length=1&pivot=0&flex=90&blend=0"},
	"finger-curl":   {"mcp_flex=180", "mcp_flex=90&mcp_pivot=1.5", "mcp_flex=90&mcp_pivot=-0.5", "mcp_flex=170&pip_flex=100", "mcp_pivot=0.10709573737855&pip_pivot=0.10709573737855&dip_pivot=0.10709573737855"},
	"hinge-arc":     {"candidate_x=0&candidate_y=0&pivot_x=0&pivot_y=0", "from_angle=20&to_angle=20", "to_angle=400", "tip_x=0&tip_y=0&pivot_x=0&pivot_y=0", "root_x=0&root_y=0&pivot_x=0&pivot_y=0", "candidate_x=3&candidate_y=1&tip_x=3&tip_y=1", "root_x=3&root_y=1&candidate_x=3&candidate_y=1", "from_angle=-90&to_angle=0"},
	"hinge-plane":   {"points=0,0,0;1,0,0;1,1,0;2,1,0", "points=0,0,0;10,0,0;10,10,0;10,10,10;10,20,10", "points=0,0,0;10,0,0;10,10,0&order=zxy&aim_axis=%2By&hinge_axis=%2Bx"},
	"key-fit":       {"keys=0,0,0,1,2,3", "keys=0,0,40,0,0,0;0,0,80,0,0,0", "keys=0,0,40,1,0,0", "keys=0,0,40,1,0,0;40,0,0,0,0,1;0,50,0,1,1,0"},
	"limb-fold":     {"near=1&far=2", "far=500", "near=0.1&far=500", "far=500&near=500", "near=30&far=31", "segments=10,0,10,20;10,0,10,20", "segments=10,0,-1,1;10,0,-5,5&near=1", "segments=10,0,-1,1;10,0,-5,5&near=1&far=1", "segments=10,0,-1,1;10,0,-5,5&near=1&far=50", "segments=10,0,-1,1;10,0,-5,5&near=1&far=19.99"},
	"pivot-offset":  {"angle=0", "offset_x=0&offset_y=0&offset_z=1", "angle=360&offset_x=2", "angle=0&offset_x=0&offset_y=0"},
	"placement-map": {"min_u=100&max_u=120", "landmarks=0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,1,0"},
	"pose-fit": {"landmarks=0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,1,0", "landmarks=0,0,0,0;0,10,0,0;0,0,10,0;0,0,0,10;1,0,0,0;1,0,10,0;1,-10,0,0;1,0,0,10",
		"landmarks=0,0,0,0;0,10,0,0;0,0,10,0;0,0,0,10;1,0,0,5;1,0,10,5;1,-10,0,5;1,0,0,15", "landmarks=0,0,0,0;0,10,0,0;0,0,20,0;0,0,0,30;1,0,0,0;1,-10,0,0;1,0,20,0;1,0,0,30", "landmarks=0,0,0,0;0,10,0,0;0,0,20,0;0,0,0,30;1,0,0,0;1,0,13,0;1,-26,0,0;1,0,0,39",
		"landmarks=0,0,0,0;0,1,0,0;0,0,1,0;0,0,0,1;1,0,0,0;1,3,0,0;1,0,3,0;1,0,0,3", "landmarks=0,0,0,0;0,10,0,0;0,0,20,0;0,0,0,30;1,5,0,0;1,5,10,0;1,-15,0,0;1,5,0,30;2,0,9,0;2,10,9,0;2,0,9,20;2,0,-21,0",
		onParent + moved(1), "kind=hinge&" + onParent + moved(1), onParent + moved(10), onParent + moved(-1), onParent + moved(-1) + "&" + "landmarks=0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,1,0;2,0,0,0;2,1,0,0;2,0,1,0;3,0,0,0;3,1,0,0;3,0,1,0"},
	"reseat": {"orient=aim", "joints=root,,0,0,0;tip,root,10,0,0&move=tip", "joints=root,,0,0,0;tip,root,10,0,0&move=tip&orient=aim&to_x=0&to_y=0&to_z=0", "joints=root,,0,0,0;tip,root,10,0,0&move=root&orient=aim&to_x=10&to_y=0&to_z=0"},
}

// onParent is the beginning of a table of a parent for the three poses of pose-fit's defaults.
const onParent = "parent=0,0,0,0;0,10,0,0;0,0,10,0;0,0,0,10"

// moved is the rest of that table: it moved in each pose, and is so many times as large; −1 is its mirror image.
func moved(times int) string {
	text, size := "", strconv.Itoa(10*max(times, 1))
	for pose := 1; pose <= 3; pose++ {
		at := ";" + strconv.Itoa(pose)
		last := at + ",0,0," + strconv.Itoa(10*times)
		text += at + ",0,0,0.1" + at + "," + size + ",0,0" + at + ",0," + size + ",0" + last
	}
	return text
}

// rare are sentences that take too many poses, or numbers too large, for a test of words.
var rare = map[string][]string{
	"pose-fit": {
		"The search stopped before it settled; the pivot is the best that was tried. Check the landmarks for one that is out of order.",
		"The best pivot is at (1.00, 2.00, 3.00) cm; turning about it leaves 0.100 cm, against 0.000 cm of noise in the landmarks.",
		"The best pivot is at (1.00, 2.00, 3.00) cm; turning about it leaves 0.100 cm, against 0.000 cm of noise in the landmarks and 0.100 cm in the parent's.",
		"With so few landmarks nothing is left over to judge the error from; add landmarks or poses to learn how sure the pivot is.",
	},
	"reseat": {"Moving elbow by 2.00 cm gives new values to 2 joints; no other joint leaves its place by more than 0.000001 cm."},
}

// anyValues are values from the sliders of a calculator.
func anyValues(rng *rand.Rand, spec catalog.Spec) catalog.Values {
	v := catalog.NewValues()
	for _, f := range spec.Fields {
		lo, hi := f.SlideMin, f.SlideMax
		if lo == hi {
			lo, hi = f.Min, f.Max
		}
		switch x := lo + rng.Float64()*(hi-lo); {
		case f.Free:
		case len(f.Choices) > 0:
			v.Choices[f.ID] = f.Choices[rng.IntN(len(f.Choices))].ID
		case f.Kind == quantity.Count:
			v.Numbers[f.ID] = math.Round(x)
		default:
			v.Numbers[f.ID] = x
		}
	}
	return v
}

// answered are the texts in an answer's tables that the calculator chose; numbers and names that somebody gave are none.
func answered(a catalog.Answer) (texts []string) {
	for _, t := range a.Spec.Answers {
		for _, c := range t.Columns {
			rows := a.Result.Tables[t.ID]
			if c.Text && !c.Named {
				texts = append(texts, rows.Texts[c.ID]...)
			}
			if slices.ContainsFunc(rows.Numbers[c.ID], math.IsNaN) {
				texts = append(texts, plate.None)
			}
		}
	}
	return texts
}

// sentences are all that a calculator says of its defaults, presets, telling states and of others by chance, each once.
func sentences(c catalog.Calculator) []string {
	found := map[string]bool{}
	base, _ := plate.Run(c, "")
	hear := func(a catalog.Answer, err error) {
		if err != nil {
			return
		}
		found[a.Say()] = true
		found[plate.Drawing(base, a).Desc] = true
		if p, ok := c.(catalog.Probed); ok {
			at := p.View(a.Values)
			found[p.Probe(a.Values, at.Min.X, at.Min.Y)] = true
			found[p.Probe(a.Values, (at.Min.X+at.Max.X)/2, (at.Min.Y+at.Max.Y)/2)] = true
		}
		for _, row := range plate.Cells(a, a) {
			for _, cell := range []string{row.Current, row.Candidate, row.Difference} {
				if strings.IndexFunc(cell, unicode.IsLetter) == 0 {
					found[cell] = true
				}
			}
		}
		for _, cell := range answered(a) {
			found[cell] = true
		}
		if v, ok := a.Verdict(); ok {
			found[v.Text] = true
		}
		for _, w := range a.Result.Told() {
			found[w.Text] = true
		}
	}
	spec := c.Spec()
	hear(plate.Run(c, ""))
	for _, p := range spec.Presets {
		hear(plate.Run(c, plate.WriteState(p.Values)))
	}
	for _, state := range telling[spec.ID] {
		hear(plate.Run(c, state))
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for range 150 {
		if v := anyValues(rng, spec); spec.ID != "placement-map" || v.Numbers["cells"] < 12 {
			hear(catalog.Run(c, v))
		}
	}
	for _, sentence := range rare[spec.ID] {
		found[sentence] = true
	}
	delete(found, "") // beside what can be read
	return slices.Sorted(maps.Keys(found))
}

// english are words that a sentence in German has not.
var english = []string{" the ", "The ", " of ", " and ", " is ", " are ", " not ", " no ", "No ", " to ", " with ", " it ", " which "}

func spokenGerman(t *testing.T) Language {
	t.Helper()
	log := &report.Log{}
	for _, l := range Load(os.DirFS("../../../../theme/words"), log) {
		if l.Tag == "de" {
			return l
		}
	}
	t.Fatal(log.Err())
	return Language{}
}

// TestWhatCalculatorsSayIsSaidInTheLanguageOfThePage holds theme/words/de.sentences.json to the calculators, both ways: each sentence has its
// German, and each German one is said. What the build prints and what a page shows afterwards is the same.
func TestWhatCalculatorsSayIsSaidInTheLanguageOfThePage(t *testing.T) {
	german, inPage := spokenGerman(t), hearer(t, "scripts/sentences.js", "own")
	met := map[string]bool{}
	for _, c := range list.All() {
		for _, sentence := range sentences(c) {
			own, ok := german.Hear(sentence)
			if page := inPage(sentence); page != own {
				t.Errorf("%s: the build says %q, the page %q", c.Spec().ID, own, page)
			}
			for _, word := range english {
				if !ok || strings.Contains(own, word) {
					t.Errorf("%s: in German %q is %q", c.Spec().ID, sentence, own)
					break
				}
			}
			meet(german.heard, sentence, met)
		}
	}
	allMet(t, german.heard, met, "theme/words/de"+heardEnding)
	if len(met) < 80 {
		t.Errorf("only %d sentences heard", len(met))
	}
}

// allMet wants each of the list, which a file holds, to have been said.
func allMet(t *testing.T, list []heard, met map[string]bool, file string) {
	t.Helper()
	for _, h := range list {
		if !met[h.own] {
			t.Errorf("%s says %q, which nothing was met to say", file, h.own)
		}
	}
}

// meet notes which of a list a text, and each clause of it, is said by.
func meet(list []heard, text string, met map[string]bool) {
	i := slices.IndexFunc(list, func(h heard) bool { return h.english == text })
	if i < 0 {
		i = slices.IndexFunc(list, func(h heard) bool { _, ok := h.meet(text); return ok })
	}
	if i < 0 {
		return
	}
	met[list[i].own] = true
	values, _ := list[i].meet(text)
	for name, part := range values {
		if strings.HasPrefix(name, partGap) {
			meet(list, part, met)
		}
	}
}

func TestAClauseIsHeardInsideASentence(t *testing.T) {
	languages, told := load(t, map[string]string{"en.json": `{"a": "b"}`, "de.json": `{"a": "b"}`,
		"de.sentences.json": `{"No. It ends {far} (or {part}).": "Nein: {far} ({part}).", "{part}, too": "auch {part}", "far": "weit"}`})
	if told != "" {
		t.Fatal(told)
	}
	for _, c := range []struct{ text, want string }{
		{"No. It ends 1.5 cm (or far, too).", "Nein: 1.5 cm (auch weit)."},
		{"No. It ends far (or {far}).", "Nein: far ({far})."},
		{"Nox It ends far (or far).", ""},
	} {
		own, ok := languages[1].Hear(c.text)
		if ok != (c.want != "") || ok && own != c.want || !ok && own != c.text {
			t.Errorf("%q is heard as %q, %v; want %q", c.text, own, ok, c.want)
		}
	}
	if own, ok := languages[0].Hear("far"); ok || own != "far" {
		t.Errorf("English hears %q", own)
	}
}

// TestANameMayLookLikeAnything: joints, clips and files are called as somebody pleased, and what a page hears of them is what the build hears.
func TestANameMayLookLikeAnything(t *testing.T) {
	inPage := hearer(t, "scripts/roomsaid.js", "said")
	german := Language{heard: readHeard(os.DirFS("../../../../theme/words"), "de.room.json", &report.Log{})}
	for _, c := range []struct{ text, want string }{
		{"top of head", "top of head"},
		{"x.glb: 3 of its parts are out of place", "x.glb: 3 of its parts are out of place"},
		{"12 of 200", "12 von 200"},
		{"piano keys", "piano keys"},
		{"a moves by , from b moves by 1 cm, from (1, 2, 3) cm to (3, 4, 5) cm.", "a moves by , from b wird um 1 cm versetzt, von (1, 2, 3) cm nach (3, 4, 5) cm."},
		{"a\u2028b\rc turns about its current pivot; nothing else is keyed.", "a\u2028b\rc dreht sich um den jetzigen Drehpunkt; sonst ist nichts gekeyt."},
		{" moves by , from  to .", " moves by , from  to ."},
		{"Clip c, scale of {joint}: 1 key gets a new value, exactly.", "Clip c, Skalierung von {joint}: 1 Key bekommt einen neuen Wert, genau."},
	} {
		if own, _ := german.Hear(c.text); own != c.want {
			t.Errorf("the build hears %q as %q, want %q", c.text, own, c.want)
		}
		if own := inPage(c.text); own != c.want {
			t.Errorf("a page hears %q as %q, want %q", c.text, own, c.want)
		}
	}
}

// TestALongNameIsHeardInTimeThatGrowsLikeIt: looked for from every place again, such a name of two thousand letters took the page a minute.
func TestALongNameIsHeardInTimeThatGrowsLikeIt(t *testing.T) {
	inPage := hearer(t, "scripts/roomsaid.js", "said")
	for _, part := range []string{", of : ", "a, b of c: 1 key, x ", "a: b cannot be opened (c: is not among ", "x has parts, and has ; "} {
		text := "Clip " + strings.Repeat(part, 20000)
		heard := make(chan string, 1)
		go func() { heard <- inPage(text) }()
		select {
		case own := <-heard:
			if own != text {
				t.Errorf("%q again and again is heard as something", part)
			}
		case <-time.After(time.Minute):
			t.Fatalf("%q again and again is not heard within a minute", part)
		}
	}
}

// TestTheWordsOfTheEngineHaveItsGaps: what is filled in is in the words of a language as well, or a reader would miss it. A gap whose name
// begins with again repeats another.
func TestTheWordsOfTheEngineHaveItsGaps(t *testing.T) {
	for name, least := range map[string]int{"refusals": 40, "sentences": 80, "room": 90, "drawings": 100} {
		text, err := os.ReadFile("../../../../theme/words/de." + name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var list map[string]string
		if err := json.Unmarshal(text, &list); err != nil {
			t.Fatal(err)
		}
		for english, own := range list {
			wanted := slices.DeleteFunc(gaps(english), func(name string) bool { return strings.HasPrefix(name, "again") })
			if !slices.Equal(wanted, gaps(own)) {
				t.Errorf("%q has the gaps %v, and %q has %v", english, gaps(english), own, gaps(own))
			}
		}
		if len(list) < least {
			t.Errorf("only %d %s have German words", len(list), name)
		}
	}
}
