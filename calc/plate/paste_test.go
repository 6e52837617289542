package plate

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/posefit"
	"centrode/calc/quantity"
	"centrode/tests/hard/bound"
)

// bones is a table with a name, two lengths, an angle that may be left out and a count.
func bones() catalog.Table {
	return catalog.Table{ID: "bones", Label: "Bones", MinRows: 1, MaxRows: 5, Columns: []catalog.Column{
		{ID: "name", Label: "Bone", Text: true},
		{ID: "long", Label: "Length", Kind: quantity.Length, Min: -900, Max: 9000},
		{ID: "wide", Label: "Width", Kind: quantity.Length, Min: -900, Max: 900},
		{ID: "bend", Label: "Bend at rest", Kind: quantity.Angle, Min: -180, Max: 180, Optional: true},
	}}
}

func TestABlockOfCellsIsReadHoweverItIsDivided(t *testing.T) {
	for _, c := range []struct {
		name, text, want string // rows divided by |, cells by ;
		headed           bool
		unused           string
	}{
		{"tabs", "a\t1.5\t2\t3\nb\t4\t5\t6\n", "a;1.5;2;3|b;4;5;6", false, ""},
		{"line ends of three systems", "a\t1\t2\r\nb\t3\t4\rc\t5\t6\n", "a;1;2|b;3;4|c;5;6", false, ""},
		{"commas", "a,1.5,2\nb,4,5", "a;1.5;2|b;4;5", false, ""},
		{"semicolons", "a;1.5;2\nb;4;5", "a;1.5;2|b;4;5", false, ""},
		{"semicolons on one line", "a;1.5;2", "a;1.5;2", false, ""},
		{"the form of a link", "a,1.5,2;b,4,5,6", "a;1.5;2|b;4;5;6", false, ""},
		{"the form of a link with a comma in a name", "up%2C left,1.5,2;b,4,5", "up, left;1.5;2|b;4;5", false, ""},
		{"decimal commas between tabs", "a\t1,5\t2\nb\t12,25 mm\t−0,5", "a;1.5;2|b;12.25 mm;−0.5", false, ""},
		{"decimal commas between semicolons", "a;1,5;2,25;3,0", "a;1.5;2.25;3.0", false, ""},
		{"a comma that could mark thousands beside one that cannot", "a\t1,234\t2\nb\t0,5\t3", "a;1.234;2|b;0.5;3", false, ""},
		{"a comma in a name is no decimal sign", "up, left\t1,5\t2", "up, left;1.5;2", false, ""},
		{"points and commas together are left to the reader of numbers", "a\t1,5\t2.5", "a;1,5;2.5", false, ""},
		{"a semicolon and a tab in quotes divide nothing", "\"a;b\tc\",1,2\n\"d;\"\"e\",3,4", `a;b c;1;2|d;"e;3;4`, false, ""},
		{"a semicolon in a name under a line of commas", "name,long,wide\na;b,1,2", "a;b;1;2;", true, ""},
		{"a line of one cell above others", "a\nb;1,5;2", "a|b;1.5;2", false, ""},
		{"quotes", "\"up, \"\"left\"\"\",1,2\n\"two\nlines\", 3 ,4", `up, "left";1;2|two lines;3;4`, false, ""},
		{"a quote that is none", "5\" bone,1,2\n\"x\"y,3,4", `5" bone;1;2|"x"y;3;4`, false, ""},
		{"empty lines and empty cells at the end", "\n\na\t1\t2\t\t\t\n\t\t\nb\t3\t4\n\n", "a;1;2|b;3;4", false, ""},
		{"an empty cell between others", "\t1\t\t3", ";1;;3", false, ""},
		{"a mark of the file's encoding", "\ufeffname\tlong\twide\na\t1\t2", "a;1;2;", true, ""},
		{"a name that a spreadsheet would take for a formula", "'-left,1,2\n'tis,3,4", "-left;1;2|'tis;3;4", false, ""},
		{"a header of ids", "name,long,wide\na,1,2", "a;1;2;", true, ""},
		{"a header of labels, in another order, in capitals", "WIDTH\tbend at rest\tBone\tLength\n2\t3\ta\t1", "a;1;2;3", true, ""},
		{"a header with units", "Bone\tlength (mm)\twide [m]\tBend at rest, rad\na\t15\t0.02\t1\nb\t3 cm\t\t", "a;15 mm;0.02 m;1 rad|b;3 cm;;", true, ""},
		{"columns that the table does not have", "name,long,note,wide,wied\na,1,hm,2,x", "a;1;2;", true, `note|wied; nearest: "wide"`},
		{"a column without a head", "name,,long,wide\na,x,1,2", "a;1;2;", true, ""},
		{"notes behind the last column that is named", "name\tlong\twide\na\t1\t2\tlook again", "a;1;2;", true, ""},
		{"a word of another unit is no unit", "name,long (deg),long,wide\na,9,1,2", "a;1;2;", true, "long (deg)"},
		{"names alone are no header", "shin\t1\t2", "shin;1;2", false, ""},
		{"a single cell", "1.5", "1.5", false, ""},
		{"nothing", " \n\t\n", "", false, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := ReadPasted(bones(), c.text)
			if err != nil {
				t.Fatal(err)
			}
			var rows []string
			for _, row := range p.Rows {
				rows = append(rows, strings.Join(row, ";"))
			}
			if got := strings.Join(rows, "|"); got != c.want || p.Headed != c.headed || strings.Join(p.Unused, "|") != c.unused {
				t.Errorf("\n got %s, headed %v, unused %q\nwant %s, headed %v, unused %q", got, p.Headed, p.Unused, c.want, c.headed, c.unused)
			}
		})
	}
}

func TestABlockThatCannotBeReadIsRefusedWithItsPlace(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a comma that could be either", "a\t1\t2\nb\t1,234\t5", `bones.long row 2: "1,234": could mean 1.234 or 1234; write it with a point`},
		{"too many cells", "a\t1\t2\t3\t4", "bones row 1: 5 cells: must have at most 4 cells, or a first line that names the columns: name, long, wide and, where there are any, bend"},
		{"decimal commas between commas, under a header", "name,long,wide\na,1,2\nb,1,5,2,5", "bones row 2: 5 cells: must have at most the 3 of the first line; write decimals with a point"},
		{"too many rows", strings.Repeat("a,1,2\n", 6), "bones: 6 rows: must have at most 5 rows"},
		{"a missing column", "name,long\na,1", "bones.wide: is missing from the first line; the columns are name, long, wide and, where there are any, bend"},
		{"a column that stands twice", "name,long,wide,Length\na,1,2,3", "bones.long: must stand only once in the first line"},
		{"a book", strings.Repeat("x", MaxPasted+1), "bones: 16777217 bytes: must be at most 16777216 bytes"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadPasted(bones(), c.text)
			var input *catalog.InputError
			if !errors.As(err, &input) || err.Error() != c.want {
				t.Errorf("\n got %v\nwant %s", err, c.want)
			}
		})
	}
}

func TestADownloadedTableIsReadBackAsItWas(t *testing.T) {
	c := twice{}
	const state = "points=1.25,up%252C%20%22left%22;-3,%3Dsum;2,"
	text, err := Export(c, state, "input:points")
	if err != nil || !strings.HasPrefix(text, "u,name\n") {
		t.Fatalf("exported %q, %v", text, err)
	}
	table, _ := c.Spec().Table("points")
	p, err := ReadPasted(table, text)
	want := [][]string{{"1.25", `up, "left"`}, {"-3", "=sum"}, {"2", ""}}
	if err != nil || !p.Headed || !slices.EqualFunc(p.Rows, want, slices.Equal) {
		t.Errorf("%q is read back as %q (headed %v), %v; want %q", text, p.Rows, p.Headed, err, want)
	}
}

func TestAnAnswerTableIsExportedWhole(t *testing.T) {
	text, err := Export(twice{}, "", "csv:many")
	if err != nil || strings.Count(text, "\n") != 31 || !strings.HasPrefix(text, "v\n0\n\n0\n") {
		t.Errorf("csv:many = %q, %v; want a header and 30 rows, the second empty", text, err)
	}
	for _, format := range []string{"csv:few", "input:few", "csv:", "input:"} {
		var input *catalog.InputError
		if _, err := Export(twice{}, "", format); !errors.As(err, &input) || input.Field != "format" {
			t.Errorf("%s: %v", format, err)
		}
	}
}

// Many programs print a list of places with spaces between the numbers, set under each other.
func TestNumbersMayHaveNothingButSpacesBetweenThem(t *testing.T) {
	table := posefit.LandmarkTable()
	for text, want := range map[string]string{
		"0 16.39 95.70 1.61\n1   12.35  -90.44 1e-3 0.5\n": "0;16.39;95.70;1.61|1;12.35;-90.44;1e-3;0.5",
		"  pose    x   y   z\n\n  0    1.5 −2  3\n":        "0;1.5;−2;3;",
		"0 1.5 2 3":                 "0;1.5;2;3",
		"\n\npose x y z\n0 1 2 3\n": "0;1;2;3;", // a copy may begin with empty lines
		"0\t1\t\t3\t1":              "0;1;;3;1", // an empty cell is one
		"0\t1 cm\t2\t3":             "0;1 cm;2;3",
		"0 1 cm 2 cm 3 cm":          "0 1 cm 2 cm 3 cm", // for the reader of numbers to refuse: where would a cell end?
		"0 16,39 95,70 1,61":        "0 16;39 95;70 1;61",
		"0, 1.5, 2, 3":              "0;1.5;2;3",
		"12 mm":                     "12 mm",
		"0 1 2\n0 1 2 3":            "0 1 2|0 1 2 3",
	} {
		p, err := ReadPasted(table, text)
		var rows []string
		for _, row := range p.Rows {
			rows = append(rows, strings.Join(row, ";"))
		}
		if got := strings.Join(rows, "|"); err != nil || got != want {
			t.Errorf("%q is read as %q, %v; want %q", text, got, err, want)
		}
	}
	if p, err := ReadPasted(bones(), "shin 1 2\nthigh 3 4"); err != nil || len(p.Rows) != 2 || len(p.Rows[0]) != 1 {
		t.Errorf("a name may hold a space, so %q, %v", p.Rows, err)
	}
}

// Who fills a spreadsheet on a German page writes above it what that page calls the columns.
func TestAFirstLineMayNameTheColumnsInTheLanguageOfThePage(t *testing.T) {
	german := []string{"Knochen", "Länge", "Breite", "Beugung in Ruhe"}
	for text, want := range map[string]string{
		"Knochen;Länge (mm);Breite\na;1,5;2":               "a;1.5 mm;2;",
		"BREITE\tBeugung in Ruhe\tBone\tLänge\n2\t3\ta\t1": "a;1;2;3",
	} {
		p, err := ReadPasted(bones(), text, german...)
		if err != nil || !p.Headed || len(p.Unused) > 0 || len(p.Rows) != 1 || strings.Join(p.Rows[0], ";") != want {
			t.Errorf("%q: %q, headed %v, unused %q, %v; want %q", text, p.Rows, p.Headed, p.Unused, err, want)
		}
	}
}

func TestPastedJSONTellsAPageWhatWasRead(t *testing.T) {
	var got struct {
		Headed bool
		Unused []string
		Rows   [][]string
		Error  struct{ Field, Given, Allowed string }
	}
	if err := json.Unmarshal(PastedJSON(twice{}, "points", "U\tname\tnote\n1\ta\tb", "U\nName"), &got); err != nil || !got.Headed || len(got.Unused) != 1 || len(got.Rows) != 1 || got.Rows[0][1] != "a" {
		t.Errorf("%+v, %v", got, err)
	}
	if err := json.Unmarshal(PastedJSON(twice{}, "point", "1", ""), &got); err != nil || got.Error.Field != "point" {
		t.Errorf("%+v, %v", got, err)
	}
}

// FuzzReadPasted accepts rows that fit the table and read back as they are when joined by tabs, or an *InputError that
// names the table.
func FuzzReadPasted(f *testing.F) {
	for _, seed := range []string{"", "a\t1,5\t2", "a;1,5;2\nb;2;3", "a,1,2;b,3,4", "\"a\nb\",1,2", "\"\"\"\"", "name\tlong (mm)\twide\na\t1\t2", "pose,x,y,z\n0,1,2,3", "1,234\t1", "'=a,1,2", "\xff\t1"} {
		f.Add(seed)
	}
	tables := []catalog.Table{bones(), posefit.LandmarkTable()}
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		for _, table := range tables {
			p, err := ReadPasted(table, text)
			var input *catalog.InputError
			if err != nil {
				if !errors.As(err, &input) || !strings.HasPrefix(input.Field, table.ID) || input.Allowed == "" {
					t.Fatalf("%q is refused without a place: %v", text, err)
				}
				continue
			}
			if len(p.Rows) > table.MaxRows {
				t.Fatalf("%q gives %d rows", text, len(p.Rows))
			}
			for _, row := range p.Rows {
				if len(row) > len(table.Columns) || slices.ContainsFunc(row, func(cell string) bool { return strings.ContainsAny(cell, "\t\n\r") || strings.TrimSpace(cell) != cell }) {
					t.Fatalf("%q gives the row %q", text, row)
				}
			}
		}
	})
}

func BenchmarkReadPasted(b *testing.B) {
	text := strings.Repeat("12\t1,25\t-3,5\t10,125\t1\n", 10_000)
	table := posefit.LandmarkTable()
	b.ReportAllocs()
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if p, err := ReadPasted(table, text); err != nil || len(p.Rows) != 10_000 {
			b.Fatal(len(p.Rows), err)
		}
	}
}
