package book

import (
	"fmt"
	"io/fs"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"centrode/cmd/centrode/internal/report"
)

// page returns a lesson of the order in part 1 with extra front matter and a body that begins on line 7 + extra lines.
func page(order int, extra, body string) string {
	return fmt.Sprintf("---\ntitle: T\nsummary: S.\npart: 1\norder: %d\nminutes: 10\n%s---\n%s", order, extra, body)
}

// good is a small book with nothing wrong; each case changes some of it.
func good() map[string]string {
	return map[string]string{
		"lessons/one.md": page(1, "", "## Depth\n\nSee [@reuleaux1876], [[owed translation]], {=grip.owed_length} and {=fact:hand-1}.\n\n"+block),
		"lessons/two.md": page(2, "needs: [one]\naudience: [rigger]\nterms: [pole]\nsources: [reuleaux1876]\nplates: pivot-offset\n",
			"[a](/lessons/one/#depth) [b](/lessons/one/#grip) [c](/glossary/#pole) [d](/sources/#reuleaux1876) [e](/cast/#moss) [f](/paths/rigger/) [g](/parts/1/) [h](/) [i](/plates/pivot-offset/#plate-pivot-offset?angle=3) [j](https://example.org/) [k](/plates/pivot-offset/#use)\n"),
		"plates/pivot-offset.md": "---\ntitle: T\nsummary: S.\n---\n## Use\n",
		"home.md":                "---\ntitle: T\nsummary: S.\n---\n[start](/lessons/one/)\n",
		"paths/rigger.yaml":      "title: T\nreader: R\npromise: P\nlessons: [one, two]\n",
		"glossary.yaml":          "- id: pole\n  term: pole\n  definition: A point.\n- id: owed-translation\n  term: owed translation\n  also: [debt]\n  definition: What is keyed about a [[pole]].\n",
		"sources.json":           "[\n {\"id\": \"reuleaux1876\", \"type\": \"book\", \"title\": \"Kinematics\", \"author\": [{\"family\": \"Reuleaux\", \"given\": \"F.\"}], \"issued\": {\"date-parts\": [[1876]]}, \"volume\": 2, \"custom\": {\"status\": \"memory\"}}\n]\n",
		"cast/moss.yaml":         "name: Moss\nrole: The hound\nstory: He runs.\nmeasures:\n  - {label: Height, value: 60 cm}\npresets:\n  - id: moss-hock\n    label: Hock\n    calculator: pivot-offset\n    values: {angle: 90 deg}\n",
		"facts.csv":              strings.Join(factColumns(), ",") + "\nhand-1,hand,length,21.67,mm,,,reuleaux1876,memory,\n",
	}
}

const block = "```worked\nid: grip\ntitle: G\ncalculator: pivot-offset\npreset: moss-hock\nexpect: {owed_length: 1.581 cm}\ncheck: c\nsource: derived\n```\n"

func tree(files map[string]string) fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range files {
		out["content/"+name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

func load(files map[string]string) (*Book, []string) {
	var log report.Log
	b := Load(tree(files), &log)
	var out []string
	for _, p := range log.Problems() {
		out = append(out, strings.TrimPrefix(p.String(), "content/"))
	}
	return b, out
}

func TestAGoodBookIsReadWhole(t *testing.T) {
	b, problems := load(good())
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if len(b.Lessons) != 2 || b.Lessons[1].Slug != "two" || len(b.Paths) != 1 || len(b.Cast) != 1 || b.Home.Title != "T" || b.Plates[0].Calculator != "pivot-offset" {
		t.Errorf("got %+v", b)
	}
	want := Source{Key: "reuleaux1876", Type: "book", Title: "Kinematics", Authors: []Name{{"Reuleaux", "F."}}, Year: "1876", Volume: "2", Status: "memory", File: "content/sources.json", Line: 2}
	if got, ok := b.Source("reuleaux1876"); !ok || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if got, ok := b.Term("Debt"); !ok || got.ID != "owed-translation" || got.Line != 4 {
		t.Errorf("Term = %+v", got)
	}
	if got := b.Facts["hand-1"]; got.Value != "21.67" || got.Line != 2 {
		t.Errorf("fact = %+v", got)
	}
	if ids := []string{b.Pages()[0].ID, b.Pages()[2].ID, b.Pages()[3].ID}; !slices.Equal(ids, []string{"one", "plates/pivot-offset", "home"}) {
		t.Errorf("pages %v", ids)
	}
}

func TestAnEmptyTreeIsAnEmptyBook(t *testing.T) {
	if b, problems := load(nil); len(problems) > 0 || len(b.Pages()) > 0 {
		t.Errorf("%v, %v", b, problems)
	}
}

func TestEveryMistakeBetweenFilesIsReportedAtItsLine(t *testing.T) {
	for _, c := range []struct {
		name   string
		change map[string]string // files to put over the good ones; "" takes a file away
		want   []string          // without "content/"
	}{
		{"an unknown prerequisite", map[string]string{"lessons/two.md": page(2, "needs: [onee]\n", "")},
			[]string{`lessons/two.md:7: needs: lesson "onee" is unknown; nearest: "one"`}},
		{"a circle of prerequisites", map[string]string{"lessons/one.md": page(1, "needs: [three]\n", ""), "lessons/two.md": page(2, "needs:\n  - one\n", ""), "lessons/three.md": page(3, "needs: [two]\n", "")},
			[]string{`lessons/two.md:8: needs form a circle: one → three → two → one`}},
		{"a lesson that needs itself", map[string]string{"lessons/two.md": page(2, "needs: [two]\n", "")},
			[]string{`lessons/two.md:7: needs form a circle: two → two`}},
		{"two lessons in one place", map[string]string{"lessons/two.md": page(1, "", "")},
			[]string{`lessons/two.md:5: part 1 already has a lesson of order 1: content/lessons/one.md`}},
		{"a title missing", map[string]string{"lessons/two.md": strings.Replace(page(2, "", ""), "title: T\n", "", 1)},
			[]string{`lessons/two.md:1: front matter: "title" is missing`}},
		{"names in the front matter that do not exist", map[string]string{"lessons/two.md": page(2, "audience: [riger]\nterms: [pol]\nsources: [reuleaux1867]\nplates: [pivot-ofset]\n", "")}, []string{
			`lessons/two.md:7: audience: path "riger" is unknown; nearest: "rigger"`,
			`lessons/two.md:8: terms: term "pol" is unknown; nearest: "pole"`,
			`lessons/two.md:9: sources: source "reuleaux1867" is unknown; nearest: "reuleaux1876"`,
			`lessons/two.md:10: calculator "pivot-ofset" is unknown; nearest: "pivot-offset"`}},
		{"names in the prose that do not exist", map[string]string{"lessons/two.md": page(2, "", "[[polle]] and\n[@reuleaux] [@a; @b]\n")}, []string{
			`lessons/two.md:8: term "polle" is unknown; nearest: "pole"`,
			`lessons/two.md:9: citation "a; @b" names more than one source; write [@one] [@two]`,
			`lessons/two.md:9: source "reuleaux" is unknown`}},
		{"values in the prose that do not exist", map[string]string{"lessons/two.md": page(2, "", "{=grip.owed_length}\n{=grap.x}\n{=fact:hand-2} {=fact:hand-1}\n{=x}\n\n"+strings.Replace(block, "grip", "grap", 1)+"\n{=grap.owed_lenght} {=grap.lever:kg} {=grap.current.lever}\n")}, []string{
			`lessons/two.md:8: {=grip.owed_length}: block "grip" is unknown on this page; nearest: "grap"`,
			`lessons/two.md:9: {=grap.x}: "x" is no output or field of pivot-offset`,
			`lessons/two.md:10: {=fact:hand-1}: fact "hand-1" comes from reuleaux1876, which this page does not cite; write [@reuleaux1876] beside it`,
			`lessons/two.md:10: {=fact:hand-2}: fact "hand-2" is unknown; nearest: "hand-1"`,
			`lessons/two.md:11: {=x}: must be "block.output", "block.field" or "fact:id"`,
			`lessons/two.md:23: {=grap.current.lever}: "grap" is one run; write "grap.lever"`,
			`lessons/two.md:23: {=grap.lever:kg}: "kg" after the colon is neither a number of decimals nor a unit of "lever"`,
			`lessons/two.md:23: {=grap.owed_lenght}: "owed_lenght" is no output or field of pivot-offset; nearest: "owed_length"`}},
		{"a comparison named without its side", map[string]string{"lessons/two.md": page(2, "", "{=both.lever} {=both.now.lever} {=both.difference.lever}\n\n```compare\nid: both\ntitle: B\ncalculator: pivot-offset\ncurrent: {offset_x: 0}\ncandidate: {offset_x: 1}\n```\n")}, []string{
			`lessons/two.md:8: {=both.lever}: "both" compares two runs; write "both.current.lever", or candidate, or difference`,
			`lessons/two.md:8: {=both.now.lever}: "now" must be current, candidate or difference`}},
		{"names in a block that do not exist", map[string]string{"lessons/one.md": page(1, "", strings.NewReplacer("pivot-offset", "pivot-offzet").Replace(block)),
			"lessons/two.md": page(2, "", strings.NewReplacer("moss-hock", "moss-hok", "owed_length", "owed_lenght", "derived", "deriven").Replace(block))}, []string{
			`lessons/one.md:11: calculator "pivot-offzet" is unknown; nearest: "pivot-offset"`,
			`lessons/two.md:12: grip: preset "moss-hok" is no preset of pivot-offset; nearest: "moss-hock"`,
			`lessons/two.md:13: grip: expect: pivot-offset output "owed_lenght" is unknown; nearest: "owed_length"`,
			`lessons/two.md:15: grip: source "deriven" is unknown; nearest: "derived"`}},
		{"inputs that are refused", map[string]string{"lessons/two.md": page(2, "", "```plate\nid: p\ntitle: P\ncalculator: pivot-offset\ngiven:\n  angel: 3\n  angle: 3 cm\n  offset_x: 1e9 cm\n  offset_y: 1,500\n  offset_z: 3 kg\ninputs: [angel]\nshow: [levr]\n```\n")}, []string{
			`lessons/two.md:13: p: angel: is no field of pivot-offset; nearest: "angle"`,
			`lessons/two.md:14: p: angle: "3 cm": is a length; must be an angle such as 90 deg (deg, rad or turn)`,
			`lessons/two.md:15: p: offset_x: 1000000000 cm: must be from -1000000 to 1000000 cm`,
			`lessons/two.md:16: p: offset_y: "1,500": must use a point for decimals, as in "1.500", and nothing between thousands, as in "1500"`,
			`lessons/two.md:17: p: offset_z: "3 kg": has the unknown unit "kg"; must be a length such as 1.2 cm (mm, cm, m, in or ft)`,
			`lessons/two.md:18: p: inputs: pivot-offset input "angel" is unknown; nearest: "angle"`,
			`lessons/two.md:19: p: show: pivot-offset output "levr" is unknown; nearest: "lever"`}},
		{"a plate that shows an answer table", map[string]string{"lessons/two.md": page(2, "", "```plate\nid: p\ntitle: P\ncalculator: finger-curl\nshow: [pulp_gap, contacts]\n```\n")}, nil},
		{"names in an exercise and a comparison that do not exist", map[string]string{"lessons/two.md": page(2, "", "```exercise\nid: e\ntitle: E\ncalculator: pivot-offset\nask: levre\nquestion: Q [[pol]]\nanswer: 1 cm\ntolerance: 1 cm\nhints:\n  - {mistake: m, say: s, output: owedx, given: {angl: 2}}\n```\n\n```compare\nid: c\ntitle: C\ncalculator: pivot-offset\ncurrent: {offset: 1}\ncandidate: {offset_x: 1 deg}\n```\n")}, []string{
			`lessons/two.md:12: e: ask: pivot-offset output "levre" is unknown; nearest: "lever"`,
			`lessons/two.md:13: term "pol" is unknown; nearest: "pole"`,
			`lessons/two.md:17: e: angl: is no field of pivot-offset; nearest: "angle"`,
			`lessons/two.md:17: e: hint: pivot-offset output "owedx" is unknown; nearest: "owed_x"`,
			`lessons/two.md:24: c: offset: is no field of pivot-offset; nearest: "offset_x"`,
			`lessons/two.md:25: c: offset_x: "1 deg": is an angle; must be a length such as 1.2 cm (mm, cm, m, in or ft)`}},
		{"links that lead nowhere", map[string]string{"lessons/two.md": page(2, "", "[a](/lessons/onne/)\n[b](/lessons/one/#deph)\n[c](one.md)\n[d](http://example.org)\n[e](#here)\n[f]()\n![g](/x.png)\n[h](/lessons/one)\n<https://example.org>\n")}, []string{
			`lessons/two.md:8: link "/lessons/onne/" leads to no page; nearest: "/lessons/one/"`,
			`lessons/two.md:9: link "/lessons/one/#deph" leads to no place on its page; nearest: "depth"`,
			`lessons/two.md:10: link "one.md" must begin at the root, as in "/lessons/the-lesson/"`,
			`lessons/two.md:11: link "http://example.org" must begin with "https://", or with "/" for a page of the handbook`,
			`lessons/two.md:12: link "#here" leads to no place on its page`,
			`lessons/two.md:13: link "" leads nowhere; write [words](/lessons/the-lesson/)`,
			`lessons/two.md:14: link "/x.png" leads to no page`,
			`lessons/two.md:15: link "/lessons/one" leads to no page; nearest: "/lessons/one/"`}},
		{"links to pages that hold no prose", map[string]string{"lessons/two.md": page(2, "", "[a](/paths/) [b](/progress/) [c](/changes/) [d](/offline/) [e](/cast/odalys-hand.glb)\n[f](/paths/rigger/check/)\n"), "paths/rigger.yaml": "title: T\nreader: R\npromise: P\nlessons: [one]\n"}, []string{
			`lessons/two.md:9: link "/paths/rigger/check/" leads to no page; nearest: "/paths/rigger/"`}},
		{"a studio's term with a name of ours on the same line", map[string]string{"added/glossary.yaml": "- id: stick\n  term: stick\n  also: [Pole]\n  definition: A stick.\n"}, []string{
			`added/glossary.yaml:1: term "stick": other name "Pole" is already that of the term on line 1 of content/glossary.yaml`}},
		{"a path with unknown and repeated lessons", map[string]string{"paths/rigger.yaml": "title: T\nreader: R\npromise: P\nlessons:\n  - onee\n  - one\n  - one\n", "paths/Bad Name.yaml": "title: T\nreadr: R\n"}, []string{
			`paths/Bad Name.yaml: file name "Bad Name": must be lower-case words joined by hyphens`,
			`paths/Bad Name.yaml:1: path: "lessons" is missing`,
			`paths/Bad Name.yaml:1: path: "promise" is missing`,
			`paths/Bad Name.yaml:1: path: "reader" is missing`,
			`paths/Bad Name.yaml:2: path: key "readr" is unknown; nearest: "reader"`,
			`paths/rigger.yaml:5: lesson "onee" is unknown; nearest: "one"`,
			`paths/rigger.yaml:7: lesson "one" is in the path twice; the first is on line 6`}},
		{"a glossary with repeated names", map[string]string{"glossary.yaml": "- id: pole\n  term: pole\n  definition: A point, see [[poole]].\n- id: owed-translation\n  term: owed translation\n  also: [Pole]\n  definition: >-\n    What\n    is [@keyed]. {=a.b}\n- id: pole\n  term: x\n- id: Bad\n  term: y\n  definition: z\n"}, []string{
			`glossary.yaml:3: term "poole" is unknown; nearest: "pole"`,
			`glossary.yaml:4: term "owed translation": other name "Pole" is already that of the term on line 1`,
			`glossary.yaml:7: source "keyed" is unknown`,
			`glossary.yaml:7: term "owed translation": a definition cannot hold {=…}; there is no block to compute it`,
			`glossary.yaml:10: term "x": id "pole" is already that of the term on line 1`,
			`glossary.yaml:10: term: "definition" is missing`,
			`glossary.yaml:12: term: id: "Bad": must be lower-case words joined by hyphens`}},
		{"a glossary that is no list", map[string]string{"glossary.yaml": "pole: a point\n", "lessons/one.md": "", "lessons/two.md": "", "home.md": "", "paths/rigger.yaml": ""},
			[]string{`glossary.yaml:1: expected a list of terms, each with "id:", "term:" and "definition:"; found a mapping`}},
		{"sources with repeated keys and wrong shapes", map[string]string{"sources.json": "[\n {\"id\": \"reuleaux1876\", \"type\": \"book\", \"title\": \"T\", \"custom\": {\"status\": \"seen\"}},\n\n {\"id\": \"reuleaux1876\", \"type\": \"book\", \"custom\": {\"status\": \"seeen\"}},\n {\"id\": \"c\",\n  \"author\": \"me\"}\n]\n"}, []string{
			`sources.json:4: source "reuleaux1876": "title" is missing`,
			`sources.json:4: source "reuleaux1876": status "seeen": must be one of seen, derived, secondary, memory; nearest: "seen"`,
			`sources.json:4: source "reuleaux1876": the key is used twice; the first is on line 2`,
			`sources.json:6: source "c": author: found string, expected a list`}},
		{"sources that are no JSON", map[string]string{"sources.json": "[\n {\"id\": \"reuleaux1876\", \"type\": \"book\", \"title\": \"T\", \"custom\": {\"status\": \"seen\"}}\n {\"id\"}\n]\n"},
			[]string{`sources.json:3: is not readable as JSON: expected comma after array element`}},
		{"sources that stop in the middle", map[string]string{"sources.json": "[\n {\"id\": \"reuleaux1876\", \"type\": \"book\", \"title\": \"T\", \"custom\": {\"status\": \"seen\"}}\n"},
			[]string{`sources.json:3: is not readable as JSON: the array is not closed with ]`}},
		{"facts with wrong rows", map[string]string{"facts.csv": strings.Join(factColumns(), ",") + "\nhand-1,hand,length,21.67,mm,,,reuleaux1867,seen,\nhand-1,a,b,c,d,e,f,g,seen,i\nx,y\n\"z\n1\",a,b,c,d,e,f,reuleaux1876,sen,i\nq,\"a\" b\n"}, []string{
			`facts.csv:2: fact "hand-1": source "reuleaux1867" is unknown; nearest: "reuleaux1876"`,
			`facts.csv:3: fact "hand-1": the id is used twice; the first is on line 2`,
			`facts.csv:4: fact "x": has 2 cells; must have 10`,
			`facts.csv:5: fact "z\n1": status "sen": must be one of seen, derived, secondary, memory; nearest: "seen"`,
			`facts.csv:7: is not readable as CSV: extraneous or missing " in quoted-field`,
			`lessons/one.md:10: {=fact:hand-1}: fact "hand-1" comes from reuleaux1867, which this page does not cite; write [@reuleaux1867] beside it`}},
		{"facts with wrong columns", map[string]string{"facts.csv": "id,topik\n", "lessons/one.md": page(1, "", "## Depth\n\n"+block)}, []string{
			`facts.csv:1: column "topik" is unknown; nearest: "topic"`,
			`facts.csv:1: the first line must name the columns ["id" "topic" "quantity" "value" "unit" "spread" "population_or_condition" "source_key" "status" "note"]`}},
		{"a character with wrong presets", map[string]string{"cast/moss.yaml": "name: Moss\nrole: R\nstory: S\nmeasures:\n  - {label: Loom, diameter, value: 3 cm}\npresets:\n  - id: moss-hock\n    label: L\n    calculator: pivot-offset\n    values:\n      angle: 3 cm\n  - id: moss-hock\n    label: L\n    calculator: pivot-offset\n    values: {anglee: 3}\n  - id: other\n    label: L\n    calculator: pivot-offst\n    values: {}\n", "lessons/one.md": "", "lessons/two.md": "", "paths/rigger.yaml": "", "home.md": ""}, []string{
			`cast/moss.yaml:5: measure: key "diameter" is unknown; a text that holds a comma needs quotes around it between brackets`,
			`cast/moss.yaml:11: moss-hock: angle: "3 cm": is a length; must be an angle such as 90 deg (deg, rad or turn)`,
			`cast/moss.yaml:12: preset "moss-hock": pivot-offset has a preset of that id in content/cast/moss.yaml:7`,
			`cast/moss.yaml:15: moss-hock: anglee: is no field of pivot-offset; nearest: "angle"`,
			`cast/moss.yaml:18: calculator "pivot-offst" is unknown; nearest: "pivot-offset"`}},
		{"a plate page without a calculator", map[string]string{"plates/pivot-offzet.md": "---\ntitle: T\nsummary: S.\n---\n"},
			[]string{`plates/pivot-offzet.md: calculator "pivot-offzet" is unknown; nearest: "pivot-offset"`}},
		{"files that are not read", map[string]string{"lessons/draft.txt": "x", "lessons/sub/x.md": "x", "lessons/.hidden": "x", "lessons/desktop.ini": "x", "paths/Thumbs.db": "x", "glossary.yaml": "\xff", "lessons/one.md": "", "lessons/two.md": "", "paths/rigger.yaml": "", "home.md": ""}, []string{
			`glossary.yaml:1: is not UTF-8 text; save the file as UTF-8`,
			`lessons/draft.txt: is not read; files of content/lessons end in .md`,
			`lessons/sub: is a folder; the files of content/lessons lie side by side`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := good()
			maps.Copy(files, c.change)
			maps.DeleteFunc(files, func(_, text string) bool { return text == "" })
			if _, got := load(files); !slices.Equal(got, c.want) {
				t.Errorf("got\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(c.want, "\n\t"))
			}
		})
	}
}

// broken refuses to open one file.
type broken struct {
	fs.FS
	name string
}

func (b broken) Open(name string) (fs.File, error) {
	if name == b.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return b.FS.Open(name)
}

func TestAFileThatCannotBeReadIsReported(t *testing.T) {
	files := good()
	delete(files, "home.md")
	var log report.Log
	Load(broken{tree(files), "content/facts.csv"}, &log)
	want := "content/facts.csv: cannot be read: open content/facts.csv: permission denied\n" +
		`content/lessons/one.md:10: {=fact:hand-1}: fact "hand-1" is unknown`
	if err := log.Err(); err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %v", err, want)
	}
}

func TestFactsArePrintedAsPublishedOrConverted(t *testing.T) {
	for _, c := range []struct {
		value, unit string
		digits      int
		to, want    string
	}{
		{"21.67", "mm", -1, "", "21.67\u00a0mm"},
		{"21.67", "mm", -1, "cm", "2.167\u00a0cm"}, // derived: the last place stays a hundredth of a millimetre
		{"21.67", "mm", 1, "cm", "2.2\u00a0cm"},
		{"-5", "deg", -1, "", "−5°"},
		{"0.108", "ratio", -1, "", "0.108"},
		{"0 to 12", "deg", -1, "", "0 to 12°"},
		{">=140", "deg", -1, "", "at least 140°"},
		{"<= 2.5 / > 4.0", "s", -1, "", "at most 2.5 and more than 4.0\u00a0s"},
		{"0.186", "fraction of stature", -1, "", "0.186\u00a0of stature"},
		{"0.491", "fraction of bone depth (8.17 mm)", 2, "", "0.49\u00a0of bone depth (8.17 mm)"},
		{"14.7 / 20.7", "mm error", -1, "", "14.7 and 20.7\u00a0mm"},
		{"0.67 / 0.80 / 0.90", "ratio", -1, "", "0.67, 0.80 and 0.90"},
		{"0.22; 65.2", "ratio; cm", -1, "", "0.22; 65.2\u00a0cm"},
		{"2/3", "ratio", -1, "", "2/3"},
		{"Y X Y", "rotation order (first to third)", -1, "", "Y X Y"},
	} {
		if got, err := (Fact{ID: "x", Value: c.value, Unit: c.unit}).Convert(c.digits, c.to); err != nil || got != c.want {
			t.Errorf("%+v: got %q, %v", c, got, err)
		}
	}
	for _, c := range []struct{ value, unit, to, want string }{
		{"0 to 12", "deg", "rad", `fact "x" is "0 to 12", which is no single number; it takes neither decimals nor a unit`},
		{"3", "deg", "mm", `"mm" is no unit that "deg" can be told in`},
		{"Infinity", "mm", "", `fact "x" is "Infinity", which is no number`},
		{"-inf", "mm", "cm", `fact "x" is "-inf", which is no number`},
		{"0 to NaN", "deg", "", `fact "x" is "0 to NaN", which is no number`},
		{"", "", "", `fact "x" has no value; it is a statement: "q"`},
	} {
		if _, err := (Fact{ID: "x", Value: c.value, Unit: c.unit, Quantity: "q"}).Convert(-1, c.to); err == nil || err.Error() != c.want {
			t.Errorf("%+v: got %v", c, err)
		}
	}
}
