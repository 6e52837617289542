package sheet

import (
	"encoding/json"
	"errors"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/figure"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/tests/hard/bound"
)

// whole is a sheet with everything that a sheet can have.
func whole(t testing.TB) Sheet {
	t.Helper()
	c, err := list.Find("finger-curl")
	if err != nil {
		t.Fatal(err)
	}
	computed, err := FromPlate(c, "mcp_pivot=0.5", "mcp_pivot=0.3&pip_pivot=0.25", "A finger closes")
	if err != nil {
		t.Fatal(err)
	}
	computed.Joint = "index knuckle"
	return Sheet{Title: "Knuckles toward the back", Character: "Pell", Reviewer: "R. <script>alert(1)</script>", Date: "2026-03-04",
		Reasons: "The hand must close on the key.\nNobody sees the back.", Entries: []Entry{computed, measuredEntry()}}
}

func measuredEntry() Entry {
	return Entry{Title: "Fitted to four poses", Joint: "LeftElbow", Measured: Measured{File: "odalys.glb", Candidate: rigid.Vec{X: 0.4, Y: -0.1},
		Parent: &rigid.Vec{X: -28}, Child: &rigid.Vec{X: 25}},
		Numbers: []Number{{ID: "residual", Label: "Left by rotation alone", Kind: quantity.Length, Digits: 3, Current: Of(0.431), Candidate: Of(0.022), Sigma: Of(0.004)},
			{ID: "determined", Label: "What the poses determine", Candidate: Word("point")}}}
}

func TestASheetComesBackAsItWas(t *testing.T) {
	first := string(whole(t).AppendJSON(nil))
	if !json.Valid([]byte(first)) {
		t.Fatalf("no JSON: %s", first)
	}
	read, err := Read([]byte(first))
	if err != nil {
		t.Fatal(err)
	}
	if again := string(read.AppendJSON(nil)); again != first {
		t.Errorf("read and written again:\n%s\nwant\n%s", again, first)
	}
	if read.Entries[0].Candidate != "mcp_pivot=0.3&pip_pivot=0.25" || read.Entries[0].Current != "" { // 0.5 is the default
		t.Errorf("states %q and %q", read.Entries[0].Current, read.Entries[0].Candidate)
	}
}

func TestEveryNumberIsComputedAgain(t *testing.T) {
	s := whole(t)
	v, err := Prove(s, list.Find)
	if err != nil || len(v.Entries[0].Doubts) > 0 {
		t.Fatalf("%v, %q", err, v.Entries[0].Doubts)
	}
	row := v.Entries[0].Rows
	if row[0].Label != "Knuckle pivot depth (MCP)" || row[0].Current != "0.50" || row[0].Candidate != "0.30" || row[0].Difference != "−0.20" {
		t.Errorf("the placement: %+v", row[0])
	}
	s.Entries[0].Numbers[0].Candidate = Of(9)
	s.Entries[0].Numbers[1].ID = "depth_to_tuch"
	s.Entries[0].Numbers[2].Current = Word("much")
	v, err = Prove(s, list.Find)
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Join(v.Entries[0].Doubts, "\n")
	for _, want := range []string{"Gap between pulp and palm, candidate: the sheet states 9.000000, the calculator gives ",
		`The sheet states "depth_to_tuch", which finger-curl does not give; nearest: "depth_to_touch".`, "Total flexion, current: the sheet states much, the calculator gives 265"} {
		if !strings.Contains(got, want) {
			t.Errorf("the doubts are\n%s\nwant %q among them", got, want)
		}
	}
	if n := len(v.Entries[0].Doubts); n != 3 {
		t.Errorf("%d doubts, want 3", n)
	}
}

func TestAMeasuredPlacementStandsAsStated(t *testing.T) {
	v, err := Prove(Sheet{Entries: []Entry{measuredEntry()}}, list.Find)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, r := range v.Entries[0].Rows {
		got = append(got, r.Label+"|"+r.Current+"|"+r.Candidate+"|"+r.Difference)
	}
	want := "Pivot x|0.00 cm|0.40 cm|+0.40 cm\nPivot y|0.00 cm|−0.10 cm|−0.10 cm\nPivot z|0.00 cm|0.00 cm|0.00 cm\nMoved in all|||0.41 cm\n" + // derived: √(0.4² + 0.1²) = 0.412
		"Left by rotation alone|0.431 cm|0.022 cm ± 0.004 cm|−0.409 cm\nWhat the poses determine||point|"
	if text := strings.ReplaceAll(strings.Join(got, "\n"), "\u00a0", " "); text != want {
		t.Errorf("rows\n%s\nwant\n%s", text, want)
	}
	if !strings.Contains(v.Entries[0].Source, "odalys.glb") || len(v.Entries[0].Figure.Marks) < 6 {
		t.Errorf("source %q, %d marks", v.Entries[0].Source, len(v.Entries[0].Figure.Marks))
	}
}

func TestWhatHasNoRoomIsSaidToBeWhereItIs(t *testing.T) {
	e := measuredEntry()
	for i := range 20 {
		e.Numbers = append(e.Numbers, Number{ID: "n" + strconv.Itoa(i), Label: "N", Candidate: Of(1)})
	}
	v, err := Prove(Sheet{Entries: []Entry{e, {Calculator: "placement-map"}, {Calculator: "finger-curl"}}}, list.Find)
	if err != nil {
		t.Fatal(err)
	}
	if got := v.Entries[0].Origin(); !strings.HasSuffix(got, " more results are in the sheet's file.") {
		t.Errorf("measured: %s", got)
	}
	if got := v.Entries[2].Origin(); !strings.HasSuffix(got, " more results are in the plate.") {
		t.Errorf("computed: %s", got)
	}
	one := EntryView{Source: "S.", Left: 1}
	if got := one.Origin(); got != "S. 1 more result is in the plate." {
		t.Errorf("one: %s", got)
	}
}

// twice is a calculator that says one sentence about two outputs.
type twice struct{ catalog.Calculator }

func (c twice) Solve(v catalog.Values) (catalog.Result, error) {
	r, err := c.Calculator.Solve(v)
	r.Warn("same", "a", "Said once.")
	r.Warn("same", "b", "Said once.")
	return r, err
}

func TestASentenceAboutSeveralNumbersStandsOnceOnTheSheet(t *testing.T) {
	v, err := Prove(Sheet{Entries: []Entry{{Calculator: "hinge-arc"}}}, func(id string) (catalog.Calculator, error) {
		c, err := list.Find(id)
		return twice{c}, err
	})
	if err != nil || strings.Count(strings.Join(v.Entries[0].Warnings, "|"), "Said once.") != 1 {
		t.Errorf("%v, %+v", err, v)
	}
}

// broken are files of sheets with what is wrong with them; they seed the fuzz test too.
var broken = []struct{ name, text, want string }{
	{"no JSON", `{`, "the file is no JSON of a sheet"},
	{"a list", `[]`, "a list: must be an object"},
	{"another format", `{"format":"centrode-sheet-9","entries":[]}`, `format: "centrode-sheet-9": must be centrode-sheet-1`},
	{"an unknown member", `{"format":"centrode-sheet-1","entries":[],"reason":"x"}`, `reason: is unknown here; nearest: "reasons"`},
	{"a member twice", `{"format":"centrode-sheet-1","format":"centrode-sheet-1","entries":[]}`, `stands twice`},
	{"no placement", `{"format":"centrode-sheet-1","entries":[]}`, "entries: a list: must be a list of 1 to 4 placements"},
	{"five placements", `{"format":"centrode-sheet-1","entries":[1,2,3,4,5]}`, "entries: a list: must be a list of 1 to 4"},
	{"a placement that is a number", `{"format":"centrode-sheet-1","entries":[1]}`, "entries[1]: 1: must be an object"},
	{"an unknown calculator", entryOf(`"calculator":"hinge-ark","current":"","candidate":""`), `entries[1].calculator: "hinge-ark": `},
	{"a state of another", entryOf(`"calculator":"hinge-arc","current":"","candidate":"mcp_depth=1"`), `entries[1].candidate: mcp_depth: is no field of hinge-arc`},
	{"a value out of range", entryOf(`"calculator":"finger-curl","current":"mcp_depth=-5","candidate":""`), `entries[1].current: mcp_depth: -5 cm: must be`},
	{"a state that is no text", entryOf(`"calculator":"finger-curl","current":7,"candidate":""`), `entries[1].current: 7: must be a state`},
	{"too much work", entryOf(`"calculator":"placement-map","current":"","candidate":"cells=400"`), `entries[1].candidate: 400 rows of cells: must be at most 120`},
	{"a date that is none", `{"format":"centrode-sheet-1","date":"next week","entries":[{"calculator":"finger-curl","current":"","candidate":""}]}`, `date: "next week": must be a day written`},
	{"a place of two numbers", entryOf(`"measured":"a.glb","current":[0,0],"candidate":[0,0,0]`), `entries[1].current: a list: must be a place`},
	{"a place past all bounds", entryOf(`"measured":"a.glb","current":[0,0,1e300],"candidate":[0,0,0]`), `entries[1].current: a list: must be a place`},
	{"a number past all bounds", entryOf(`"measured":"a.glb","current":[0,0,0],"candidate":[0,0,0],"numbers":[{"id":"a","label":"A","candidate":1e999}]`), `entries[1].numbers[1].candidate: 1e999: must be a number`},
	{"a quantity that is none", entryOf(`"measured":"a.glb","current":[0,0,0],"candidate":[0,0,0],"numbers":[{"id":"a","label":"A","quantity":"weight"}]`), `entries[1].numbers[1].quantity: "weight": must be length, angle`},
	{"a text without end", `{"format":"centrode-sheet-1","title":"` + strings.Repeat("x", 121) + `","entries":[]}`, "title: 121 characters: must be at most 120"},
	{"a sign that steers", `{"format":"centrode-sheet-1","title":"a\u001b[2Jb","entries":[]}`, "title: "},
	{"a sign that turns text round", `{"format":"centrode-sheet-1","title":"a\u202eb","entries":[]}`, "title: "},
	{"lists without end", strings.Repeat("[", 100000), "the file is no JSON of a sheet"},
	{"over a megabyte", strings.Repeat(" ", MaxBytes+1), "a sheet has at most"},
}

func TestADateIsADayOfTheCalendar(t *testing.T) {
	for text, want := range map[string]bool{"": true, "2026-03-04": true, "2024-02-29": true, "2000-02-29": true, "2026-12-31": true, "2026-04-30": true,
		"2026-02-29": false, "1900-02-29": false, "2026-04-31": false, "2026-01-32": false, "2026-00-10": false, "2026-13-10": false, "2026-1-010": false, "26-03-04": false} {
		if isDate(text) != want {
			t.Errorf("%q is a date: %v, want %v", text, !want, want)
		}
	}
}

func entryOf(members string) string {
	return `{"format":"centrode-sheet-1","entries":[{` + members + `}]}`
}

func TestABrokenSheetIsRefusedByName(t *testing.T) {
	for _, c := range broken {
		t.Run(c.name, func(t *testing.T) {
			s, err := Read([]byte(c.text))
			if err == nil {
				_, err = Prove(s, list.Find)
			}
			var input *catalog.InputError
			if !errors.As(err, &input) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("refused with %v, want %q", err, c.want)
			}
		})
	}
}

func TestTwoOpinionsAreMarkedWhereTheyDiffer(t *testing.T) {
	first, second := whole(t), whole(t)
	second.Reviewer = "Another"
	second.Entries[0].Candidate = "mcp_pivot=0.3&pip_pivot=0.2"
	second.Entries[0].Joint = "INDEX KNUCKLE"
	second.Entries = second.Entries[:1]
	a, err := Prove(first, list.Find)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Prove(second, list.Find)
	if err != nil {
		t.Fatal(err)
	}
	Compare(&a, &b)
	if a.Facts[0].Differs || !a.Facts[1].Differs || !b.Facts[1].Differs {
		t.Errorf("facts: %+v and %+v", a.Facts, b.Facts)
	}
	differs := map[string]bool{}
	for _, r := range a.Entries[0].Rows {
		differs[r.Key] = r.Differs
	}
	if differs["mcp_pivot"] || !differs["pip_pivot"] || !differs["pulp_gap"] || differs["total_flex"] {
		t.Errorf("rows that differ: %v", differs)
	}
	if a.Entries[0].Alone || !a.Entries[1].Alone || b.Entries[0].Alone {
		t.Error("the second placement is in the first sheet alone")
	}
}

// Two results of two questions say nothing of which placement is better, and nothing else tells a lead why they differ.
func TestTwoSheetsThatAskOtherwiseSaySo(t *testing.T) {
	hinge := "candidate_x=1&candidate_y=-1&tip_x=20&tip_y=1&root_x=-24&root_y=1&parent_radius=4&to_angle="
	for _, c := range []struct{ name, calculator, one, other, want, origin string }{
		{"an input that both placements share", "finger-curl", "mcp_flex=60|mcp_flex=60&mcp_pivot=0.3", "mcp_flex=85|mcp_flex=85&mcp_pivot=0.3",
			"Asked otherwise than on the other sheet: Knuckle flexion (MCP) 60° (there 85°).", "more result"},
		{"an input for which the sheet has no room", "hinge-arc", hinge + "90|" + hinge + "90", hinge + "130|" + hinge + "130",
			"Asked otherwise than on the other sheet: Sweep to 90° (there 130°).", "more results"},
		{"a table", "limb-fold", "|", "|segments=10,0,0,90;12,0,0,90", "Asked otherwise than on the other sheet: other rows of ", ""},
		{"the same question", "finger-curl", "mcp_flex=60|mcp_flex=60&mcp_pivot=0.3", "mcp_flex=60|mcp_flex=60&mcp_pivot=0.2", "", ""},
		{"what a row shows", "pivot-offset", "|offset_y=0.3", "|offset_y=0.4", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			view := func(states string) View {
				current, candidate, _ := strings.Cut(states, "|")
				v, err := Prove(Sheet{Entries: []Entry{{Title: "a", Calculator: c.calculator, Current: current, Candidate: candidate}}}, list.Find)
				if err != nil {
					t.Fatal(err)
				}
				return v
			}
			a, b := view(c.one), view(c.other)
			Compare(&a, &b)
			said, back := a.Entries[0].Otherwise, b.Entries[0].Otherwise
			if (c.want == "") != (said == "") || !strings.HasPrefix(said, c.want) || (back == "") != (said == "") {
				t.Errorf("says %q, and the other %q; want %q", said, back, c.want)
			}
			if origin := a.Entries[0].Origin(); !strings.Contains(origin, c.origin) {
				t.Errorf("%q, want %q in it", origin, c.origin)
			}
			if page := string(figure.AppendJSON(nil, Pair(a, b, "pair"))); said != "" && !strings.Contains(page, "≠ "+said) {
				t.Error("the page does not say so")
			}
		})
	}
}

// No element of the page is empty, since HTML reads an empty one otherwise than XML, and no text of a file is markup.
func TestThePageIsTheSameInHTMLAndXML(t *testing.T) {
	v, err := Prove(whole(t), list.Find)
	if err != nil {
		t.Fatal(err)
	}
	page := Page(v, "s")
	seen := 0
	var walk func(n figure.Node)
	walk = func(n figure.Node) {
		seen++
		if n.Tag == "svg" {
			return
		}
		if n.Text == "" && len(n.Children) == 0 {
			t.Errorf("an empty %s", n.Tag)
		}
		for _, child := range n.Children {
			walk(child)
		}
	}
	walk(page)
	text := string(figure.Markup(page))
	if seen < 60 || strings.Contains(text, "<script") || !strings.Contains(text, "&lt;script&gt;") {
		t.Errorf("%d elements; %.300s", seen, text)
	}
	if answer := Shown(string(whole(t).AppendJSON(nil)), list.Find); !json.Valid(answer) || strings.Contains(string(answer), "<script") {
		t.Errorf("%.300s", answer)
	}
}

func TestEveryCalculatorFillsASheet(t *testing.T) {
	for _, c := range list.All() {
		id := c.Spec().ID
		e, err := FromPlate(c, "", "", id)
		if err != nil {
			t.Fatal(err)
		}
		v, err := Prove(Sheet{Entries: []Entry{e}}, list.Find)
		if err != nil || len(v.Entries[0].Doubts) > 0 || len(v.Entries[0].Rows) == 0 {
			t.Errorf("%s: %v, doubts %q, %d rows", id, err, v.Entries[0].Doubts, len(v.Entries[0].Rows))
		}
		if rows := len(v.Entries[0].Rows); rows > roomy(1) {
			t.Errorf("%s: %d rows", id, rows)
		}
	}
}

func FuzzSheet(f *testing.F) {
	f.Add(string(whole(f).AppendJSON(nil)))
	for _, c := range broken {
		if len(c.text) < 4096 {
			f.Add(c.text)
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		s, err := Read([]byte(text))
		var input *catalog.InputError
		if err != nil {
			if !errors.As(err, &input) {
				t.Fatalf("refused without a place: %v", err)
			}
			return
		}
		once := string(s.AppendJSON(nil))
		again, err := Read([]byte(once))
		if err != nil || string(again.AppendJSON(nil)) != once {
			t.Fatalf("%q is not read back: %v", once, err)
		}
		v, err := Prove(s, list.Find)
		if err != nil && !errors.As(err, &input) {
			t.Fatalf("refused without a place: %v", err)
		}
		for _, e := range v.Entries {
			for _, r := range e.Rows {
				if strings.Contains(r.Current+r.Candidate+r.Difference, "NaN") && e.Verdict != "" {
					t.Fatalf("%+v", r)
				}
			}
		}
	})
}

func TestALongNameFitsALine(t *testing.T) {
	text := Line(strings.Repeat("ü\n", 200))
	if n := utf8.RuneCountInString(text); n != 120 || strings.ContainsRune(text, '\n') || !strings.HasSuffix(text, "…") {
		t.Errorf("%d characters: %q", n, text)
	}
}

// What a measured placement moved by stands as a difference alone, and two that moved otherwise differ in it.
func TestMeasuredPlacementsThatMovedOtherwiseDiffer(t *testing.T) {
	moved := func(y float64) View {
		v, err := Prove(Sheet{Entries: []Entry{{Joint: "elbow", Measured: Measured{File: "a.glb", Current: rigid.Vec{X: 1}, Candidate: rigid.Vec{X: 1, Y: y}}}}}, list.Find)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for other, want := range map[float64]bool{1: false, 2: true} {
		a, b := moved(1), moved(other)
		Compare(&a, &b)
		found := false
		for _, r := range a.Entries[0].Rows {
			if r.Current == "" && r.Candidate == "" && r.Difference != "" {
				found = true
				if r.Differs != want {
					t.Errorf("moved by 1 and %g cm: %s differs: %v, want %v", other, r.Label, r.Differs, want)
				}
			}
		}
		if !found {
			t.Error("no row has a difference alone")
		}
	}
}

func TestANumberThatIsAMillionthOffIsDoubted(t *testing.T) {
	for off, want := range map[float64]int{1e-12: 0, 1e-8: 1, 1e-6: 1} {
		s := whole(t)
		n := &s.Entries[0].Numbers[0]
		n.Candidate = Of(n.Candidate.Number + off)
		v, err := Prove(s, list.Find)
		if err != nil {
			t.Fatal(err)
		}
		if got := len(v.Entries[0].Doubts); got != want {
			t.Errorf("off by %g: %d doubts %q, want %d", off, got, v.Entries[0].Doubts, want)
		}
	}
}
