package batch

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
)

// job is a batch of pivot-offset with its defaults.
func job(t testing.TB) Job {
	t.Helper()
	c, err := list.Find("pivot-offset")
	if err != nil {
		t.Fatal(err)
	}
	return Job{Calculator: c, Spec: c.Spec(), Base: catalog.NewValues()}
}

// answers runs the CSV through the batch and returns the cells that came out, by column, one map a row.
func answers(t *testing.T, j Job, in string) ([]map[string]string, Tally) {
	t.Helper()
	var out bytes.Buffer
	tally, err := CSV(j, strings.NewReader(in), &out)
	if err != nil {
		t.Fatalf("%q: %v", in, err)
	}
	records, err := csv.NewReader(&out).ReadAll() // which insists on equal lengths
	if err != nil {
		t.Fatalf("%q gives no CSV: %v", in, err)
	}
	var rows []map[string]string
	for _, r := range records[1:] {
		row := map[string]string{}
		for i, cell := range r {
			row[records[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows, tally
}

func TestSpreadsheetsAreReadAsTheyAreWritten(t *testing.T) {
	const owed = "4.242640687119285" // √18: a quarter turn with the pivot 3 cm away
	for _, c := range []struct{ name, in string }{
		{"plain", "offset_x,offset_y,angle\n3,0,90\n"},
		{"a byte order mark", "\ufeffoffset_x,offset_y,angle\n3,0,90\n"},
		{"carriage returns", "offset_x,offset_y,angle\r\n3,0,90\r\n"},
		{"carriage returns alone", "offset_x,offset_y,angle\r3,0,90\r"},
		{"no line feed at the end", "offset_x,offset_y,angle\n3,0,90"},
		{"quoted cells", "\"offset_x\",\"offset_y\",\"angle\"\n\"3\",\"0\",\"90 deg\"\n"},
		{"a byte order mark and quotes", "\ufeff\"offset_x\",offset_y,angle\n3,0,90\n"},
		{"spaces", " offset_x , offset_y , angle\n 3 , 0 , 90 \n"},
		{"tabs behind commas", "offset_x,\toffset_y,\tangle\n3,\t0,\t90\n"},
		{"semicolons", "offset_x;offset_y;angle\n3;0;90\n"},
		{"semicolons and decimal commas", "\ufeffoffset_x;offset_y;angle\r\n3,0;0,00 mm;90,0\r\n"},
		{"semicolons and quotes", "\"offset_x\";\"offset_y\";\"angle\"\n\"3,0\";\"0\";\"90 deg\"\n"},
		{"tabs", "offset_x\toffset_y\tangle\n3\t0\t90\n"},
		{"tabs, decimal commas and an empty cell", "offset_x\tpoint_x\toffset_y\tangle\n3,0\t\t 0 \t0,25 turn\n"},
		{"a semicolon in a name", "name,offset_x,offset_y,angle\n\"a;b\",3,0,90\n"},
		{"a name with semicolons under one with tabs", "name\toffset_x\toffset_y\tangle\na;b,c\t3\t0\t90\n"},
		{"another order", "angle,offset_y,offset_x\n90,0,3\n"},
		{"empty lines", "offset_x,offset_y,angle\n\n3,0,90\n\n"},
		{"units", "offset_x,offset_y,angle\n30 mm,0 in,0.25 turn\n"},
		{"units in the header", "offset_x (mm),offset_y [in],angle / turn\n 30 ,0,0.25\n"},
		{"units in the header, decimal commas, and one of its own in a cell", "offset_x (m)\toffset_y\tangle (deg)\n0,03\t0\t0.25 turn\n"},
		{"labels", "Offset X (mm),offset y,Turn\n30,0,90\n"},
		{"an empty cell takes the default", "offset_x,offset_y,angle,point_x\n3,0,90,\n"},
		{"a short row takes the defaults", "offset_x,offset_y,angle,point_x\n3,0,90\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			rows, tally := answers(t, job(t), c.in)
			if len(rows) != 1 || tally != (Tally{Rows: 1}) || rows[0]["owed_length"] != owed || rows[0]["error"] != "" {
				t.Errorf("%q gives %v, %+v; want one row that owes %s", c.in, rows, tally, owed)
			}
		})
	}
}

// A head with a unit may hold what divides cells, and comes back as one cell all the same.
func TestAHeadComesBackAsOneCell(t *testing.T) {
	rows, tally := answers(t, job(t), "offset_x,offset_y,\"angle, turn\"\n3,0,0.25\n")
	if tally != (Tally{Rows: 1}) || rows[0]["angle, turn"] != "0.25" || rows[0]["owed_length"] != "4.242640687119285" {
		t.Errorf("%+v: %q", tally, rows)
	}
}

func TestABadCellIsTheMatterOfItsRowOnly(t *testing.T) {
	huge := strings.Repeat("9", 1<<20)
	in := "name,offset_x,angle\n" +
		"good,3,90\n" +
		"word,three,90\n" +
		"unit,3 deg,90\n" +
		"range,3,1e9\n" +
		"long,3,90,7\n" +
		"huge," + huge + ",90\n" +
		"good,3,90\n"
	rows, tally := answers(t, job(t), in)
	want := []string{
		"",
		`offset_x: "three": must be a length such as 1.2 cm (mm, cm, m, in or ft)`,
		`offset_x: "3 deg": is an angle; must be a length such as 1.2 cm (mm, cm, m, in or ft)`,
		"angle: 1000000000 deg: must be from -36000 to 36000 deg",
		"4 cells: must have at most 3 cells",
		`offset_x: "999999999999999999999999999999999999999999999999999999999…": must be a number between -1.8e308 and 1.8e308`,
		"",
	}
	if len(rows) != len(want) || tally != (Tally{Rows: 7, Refused: 5}) {
		t.Fatalf("%d rows, %+v", len(rows), tally)
	}
	for i, text := range want {
		if rows[i]["error"] != text {
			t.Errorf("row %d: error %q\nwant %q", i+1, rows[i]["error"], text)
		}
		if (rows[i]["owed_length"] == "") != (text != "") {
			t.Errorf("row %d: owed_length %q beside error %q", i+1, rows[i]["owed_length"], text)
		}
	}
	if rows[0]["owed_length"] != rows[6]["owed_length"] {
		t.Error("equal rows before and after the bad ones differ")
	}
}

// A name that a spreadsheet would take for a formula comes out as text; numbers, also negative ones, stay numbers.
func TestACellThatLooksLikeAFormulaComesOutAsText(t *testing.T) {
	in := "name,offset_x\n=1+1,-3\n\"=HYPERLINK(\"\"x\"\")\",+3\n@sum,−3\n-2,1\n\"a,b\n\"\"c\"\"\",1\n"
	rows, _ := answers(t, job(t), in)
	for i, want := range []struct{ name, offset string }{
		{"'=1+1", "-3"}, {`'=HYPERLINK("x")`, "+3"}, {"'@sum", "−3"}, {"-2", "1"}, {"a,b\n\"c\"", "1"},
	} {
		if rows[i]["name"] != want.name || rows[i]["offset_x"] != want.offset || rows[i]["error"] != "" {
			t.Errorf("row %d is %q, %q with error %q; want %q, %q", i+1, rows[i]["name"], rows[i]["offset_x"], rows[i]["error"], want.name, want.offset)
		}
	}
}

func TestWordsHoldForEveryRowThatDoesNotSayOtherwise(t *testing.T) {
	j := job(t)
	for id, text := range map[string]string{"angle": "90", "offset_y": "0"} {
		if err := catalog.Set(j.Spec, &j.Base, id, text); err != nil {
			t.Fatal(err)
		}
	}
	rows, _ := answers(t, j, "offset_x,angle\n3,\n3,180\n3,\n")
	for i, want := range []string{"4.242640687119285", "6", "4.242640687119285"} {
		if rows[i]["owed_length"] != want {
			t.Errorf("row %d owes %s, want %s", i+1, rows[i]["owed_length"], want)
		}
	}
}

func TestAHeaderIsRefusedBeforeAnythingIsWritten(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"", "the file is empty; its first line must name the columns"},
		{"\n\n", "the file is empty; its first line must name the columns"},
		{"offset_x,offset_x\n", `column "offset_x" stands twice in the header`},
		{"ofset_x\n", `column "ofset_x" is no field of pivot-offset; nearest: "offset_x"; a column "name" is copied, a row starts from its "preset", every other column must be a field`},
		{"x" + strings.Repeat("é", 40) + "\n", `column "x` + strings.Repeat("é", 29) + `" is no field of pivot-offset; a column "name" is copied, a row starts from its "preset", every other column must be a field`},
		{"offset_x,angle (mm)\n", `column "angle (mm)": "1 mm": is a length; must be an angle such as 90 deg (deg, rad or turn)`},
		{"offset_x (kg)\n", `column "offset_x (kg)": "1 kg": has the unknown unit "kg"; must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"offset_x,,angle\n", `column "" is no field of pivot-offset; a column "name" is copied, a row starts from its "preset", every other column must be a field; give the column a name, or take it out`},
		{"offset_x,angel (deg)\n", `column "angel (deg)" is no field of pivot-offset; nearest: "angle"; a column "name" is copied, a row starts from its "preset", every other column must be a field; -keep "angel (deg)" copies it, if it is your own`},
		{"shot,name,offset_x,angel,lot no\n", `column "shot" is no field of pivot-offset; a column "name" is copied, a row starts from its "preset", every other column must be a field; -keep "shot,lot no" copies what is your own`},
		{"offset_x,shot,lever (mm),error\n", `column "shot" is no field of pivot-offset; a column "name" is copied, a row starts from its "preset", every other column must be a field; -keep shot copies what is your own`},
		{"offset_x,lever (mm),error\n", `column "lever (mm)" is no field of pivot-offset; a column "name" is copied, a row starts from its "preset", every other column must be a field; the answers have one of that name, so take it out`},
		{"offset_x;ofset_y,angle\n", `column "ofset_y,angle" is no field of pivot-offset; nearest: "offset_y"; a column "name" is copied, a row starts from its "preset", every other column must be a field; -keep "\"ofset_y,angle\"" copies it, if it is your own`},
		{"\"offset_x\n", `line 1: extraneous or missing " in quoted-field; put a cell that holds a quote into quotes, and double the quote`},
	} {
		var out bytes.Buffer
		if _, err := CSV(job(t), strings.NewReader(c.in), &out); err == nil || err.Error() != c.want || out.Len() > 0 {
			t.Errorf("%q: %v, wrote %q\nwant %s", c.in, err, out.String(), c.want)
		}
	}
}

// What stands before the place where the text breaks is answered; then the place is told.
func TestWhatStandsBeforeABreakIsAnswered(t *testing.T) {
	var out bytes.Buffer
	tally, err := CSV(job(t), strings.NewReader("angle\n90\n45\n3\"0\n"), &out)
	want := `line 4: bare " in non-quoted-field; put a cell that holds a quote into quotes, and double the quote`
	if err == nil || err.Error() != want || tally.Rows != 2 || strings.Count(out.String(), "\n") != 3 {
		t.Errorf("= %+v %v\n%s", tally, err, out.String())
	}
	for _, c := range []struct {
		in, want string
		rows     int
	}{
		{`[`, "the JSON array does not end after object 0: the text ends in the middle", 0},
		{`[{"angle": 1}, `, "object 2 of the JSON array: the text ends in the middle", 1},
		{`[{"angle": 1}`, "the JSON array does not end after object 1: the text ends in the middle", 1},
		{`[{"angle": 1}, {"angle"`, "object 2 of the JSON array: the text ends in the middle", 1},
		{`[{"angle": 1} {"angle": 2}]`, "object 2 of the JSON array: expected comma after array element", 1},
		{`[{"angle": 1}] [{"angle": 2}]`, "text follows the JSON array, which ends after object 1; put all objects into one array", 1},
		{`[{"angle": 1}]x`, "text follows the JSON array, which ends after object 1; put all objects into one array", 1},
	} {
		var out bytes.Buffer
		j := job(t)
		j.Lines = true
		tally, err := JSON(j, strings.NewReader(c.in), &out)
		if err == nil || err.Error() != c.want || tally.Rows != c.rows || strings.Count(out.String(), "\n") != c.rows {
			t.Errorf("%s = %+v %v\n%s\nwant %d rows and %s", c.in, tally, err, out.String(), c.rows, c.want)
		}
	}
}

func TestAnObjectThatIsNoneIsTheMatterOfItsRowOnly(t *testing.T) {
	var out bytes.Buffer
	tally, err := JSON(job(t), strings.NewReader(`[{"angle": 90}, 3, {"angel": 1}, {"angle": "x"}, {"angle": 90}]`), &out)
	if err != nil || tally != (Tally{Rows: 5, Refused: 3}) {
		t.Fatalf("= %+v %v", tally, err)
	}
	records, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(records) != 6 {
		t.Fatalf("%d records, %v", len(records), err)
	}
	last := len(records[0]) - 1
	for i, want := range []string{"", `the input must be a JSON object such as {"angle": "60 deg"}: 3 is none`, `angel: is no field of pivot-offset; nearest: "angle"`,
		`angle: "x": must be an angle such as 90 deg (deg, rad or turn)`, ""} {
		if records[i+1][last] != want {
			t.Errorf("object %d: error %q, want %q", i+1, records[i+1][last], want)
		}
	}
}

// failingWriter refuses its n-th write.
type failingWriter struct{ n int }

var errFull = errors.New("the disk is full")

func (w *failingWriter) Write(b []byte) (int, error) {
	if w.n--; w.n < 0 {
		return 0, errFull
	}
	return len(b), nil
}

// The n-th write fails, for every n until none does: each time the error comes out, and no worker stays behind.
func TestAFailingWriterEndsTheRunAndItsWorkers(t *testing.T) {
	in := "name,angle\n" + strings.Repeat("a rather long name for a joint of a character,90\n", 3_000)
	before := runtime.NumGoroutine()
	failures := 0
	for n := 0; ; n++ {
		_, err := CSV(job(t), strings.NewReader(in), &failingWriter{n})
		if err == nil {
			break
		}
		if failures++; !errors.Is(err, errFull) {
			t.Fatalf("write %d: %v, want the writer's own error", n, err)
		}
		if n > 1_000 {
			t.Fatal("the run never ends well")
		}
	}
	if failures < 5 {
		t.Errorf("only %d writes could fail; the input is too short to show anything", failures)
	}
	for range 1_000 { // a worker that has answered may still be on its way out
		if runtime.NumGoroutine() <= before {
			return
		}
		runtime.Gosched()
	}
	t.Errorf("%d goroutines stay behind", runtime.NumGoroutine()-before)
}

// Rows keep their order whatever the cores do, and every row counts once.
func TestRowsKeepTheirOrderOnAllCores(t *testing.T) {
	const rows = 20_000
	var in strings.Builder
	in.WriteString("name,angle\n")
	for i := range rows {
		if i%7 == 0 {
			fmt.Fprintf(&in, "%d,?\n", i)
		} else {
			fmt.Fprintf(&in, "%d,%d\n", i, i%181)
		}
	}
	got, tally := answers(t, job(t), in.String())
	if tally != (Tally{Rows: rows, Refused: (rows + 6) / 7}) || len(got) != rows {
		t.Fatalf("%+v, %d rows", tally, len(got))
	}
	for i, row := range got {
		if row["name"] != fmt.Sprint(i) || (row["error"] != "") != (i%7 == 0) {
			t.Fatalf("row %d is %v", i, row)
		}
	}
}

// endless gives the same line for ever, as a pipe does whose other end has no end.
type endless struct{ line string }

func (e endless) Read(b []byte) (int, error) { return copy(b, e.line), nil }

func TestAFailingWriterEndsARunThatHasNoEnd(t *testing.T) {
	done := make(chan error, 1)
	go func() {
		_, err := CSV(job(t), io.MultiReader(strings.NewReader("name,angle\n"), endless{"a,90\n"}), &failingWriter{3})
		done <- err
	}()
	select {
	case err := <-done:
		if !errors.Is(err, errFull) {
			t.Errorf("%v, want the writer's own error", err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("the run reads on after its writer has failed")
	}
}

// Lines end alike wherever a read ends.
func TestEndsOfLinesAreAlikeHoweverTheyAreRead(t *testing.T) {
	const text, want = "\r\na\r\n\r\nb\rc\r\r\nd\n\ne\n\r", "\na\n\nb\nc\n\nd\n\ne\n\n"
	for name, in := range map[string]io.Reader{"whole": strings.NewReader(text), "byte by byte": iotest.OneByteReader(strings.NewReader(text)), "with its end": iotest.DataErrReader(strings.NewReader(text))} {
		if got, err := io.ReadAll(&lineFeeds{in: in}); err != nil || string(got) != want {
			t.Errorf("%s: %q, %v; want %q", name, got, err, want)
		}
	}
}
