package ask

import (
	"encoding/json"
	"errors"
	"io"
	"math"
	"reflect"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/pivotoffset"
	"centrode/tests/hard/bound"
)

func spec(t testing.TB, id string) catalog.Spec {
	t.Helper()
	c, err := list.Find(id)
	if err != nil {
		t.Fatal(err)
	}
	return c.Spec()
}

// The same value in every way it can be written, as text and as JSON.
func TestAValueIsReadWithItsUnit(t *testing.T) {
	s := spec(t, "pivot-offset")
	for _, c := range []struct {
		word, object string
		id           string
		want         float64 // cm or degrees
	}{
		{"offset_x=1.2", `{"offset_x": 1.2}`, "offset_x", 1.2},
		{"offset_x=12mm", `{"offset_x": "12 mm"}`, "offset_x", 1.2},
		{"offset_x = 12 mm", `{"offset_x": " 12 mm "}`, "offset_x", 1.2},
		{"offset_x=−1e1", `{"offset_x": -1e1}`, "offset_x", -10},
		{"angle=0.25 turn", `{"angle": "0.25 turn"}`, "angle", 90},
		{"angle=90°", `{"angle": "90\u00b0"}`, "angle", 90},
	} {
		fromWord, fromJSON := catalog.NewValues(), catalog.NewValues()
		id, text, _ := strings.Cut(c.word, "=")
		if err := Word(s, &fromWord, strings.TrimSpace(id)+"="+text); err != nil {
			t.Errorf("Word(%q): %v", c.word, err)
		}
		if err := JSON(s, &fromJSON, []byte(c.object)); err != nil {
			t.Errorf("JSON(%s): %v", c.object, err)
		}
		if a, b := fromWord.Numbers[c.id], fromJSON.Numbers[c.id]; a != c.want || b != c.want {
			t.Errorf("%s is %v as a word and %v in JSON, want %v", c.word, a, b, c.want)
		}
	}
}

func TestATableInJSONEqualsTheSameTableInAWord(t *testing.T) {
	s := spec(t, "pose-fit")
	word, object := catalog.NewValues(), catalog.NewValues()
	if err := Word(s, &word, "landmarks=0,1,2,3 mm,2;1,4,5,6"); err != nil {
		t.Fatal(err)
	}
	if err := JSON(s, &object, []byte(`{"landmarks": [{"pose": 0, "x": 1, "y": 2, "z": "3 mm", "weight": 2}, {"z": 6, "y": 5, "x": "4 cm", "pose": 1}]}`)); err != nil {
		t.Fatal(err)
	}
	a, b := word.Tables["landmarks"], object.Tables["landmarks"]
	if a.Len != 2 || b.Len != 2 {
		t.Fatalf("%d and %d rows, want 2", a.Len, b.Len)
	}
	seen := 0
	for id, column := range a.Numbers {
		for i := range column {
			seen++
			if column[i] != b.Numbers[id][i] {
				t.Errorf("%s row %d is %v in the word and %v in JSON", id, i+1, column[i], b.Numbers[id][i])
			}
		}
	}
	if seen != 10 {
		t.Errorf("compared %d cells, want 10", seen)
	}
}

// Programs write null for what they do not have: a root has no parent, and most joints no turn of their own.
func TestNullIsAnAbsentCellOfAnOptionalColumn(t *testing.T) {
	reseat := spec(t, "reseat")
	read := func(text string) catalog.Rows {
		v := catalog.NewValues()
		if err := JSON(reseat, &v, []byte(text)); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		return v.Tables["joints"]
	}
	got := read(`{"joints": [{"name": "hip", "parent": null, "x": 1, "y": 2, "z": 3, "qx": null, "qw": null}]}`)
	if want := read(`{"joints": [{"name": "hip", "x": 1, "y": 2, "z": 3}]}`); !reflect.DeepEqual(got, want) || want.Numbers["qw"][0] != 1 {
		t.Errorf("nulls are read as %v, nothing as %v", got, want)
	}
}

func TestWhatIsNoQuestionIsRefusedWithTheWholeReason(t *testing.T) {
	const object = `the input must be a JSON object such as {"angle": "60 deg"}: `
	for _, c := range []struct{ calculator, text, want string }{
		{"pivot-offset", ``, object + "line 1, byte 0: the text ends where a value is due"},
		{"pivot-offset", `null`, object + "null is none"},
		{"pivot-offset", `3`, object + "3 is none"},
		{"pivot-offset", `[1, 2]`, object + "[1,2] is none"},
		{"pivot-offset", `{"angle": 1} {}`, object + "line 1, byte 13: something stands after the end; allowed is one value"},
		{"pivot-offset", `{"angle": true}`, `angle: true: must be a number, or a text such as "12 mm"`},
		{"pivot-offset", `{"angle": ["x` + strings.Repeat("é", 30) + `"]}`, `angle: ["x` + strings.Repeat("é", 18) + `: must be a number, or a text such as "12 mm"`},
		{"pivot-offset", `{"angle": null}`, `angle: null: must be a number, or a text such as "12 mm"`},
		{"pose-fit", `{"kind": true}`, "kind: true: must be a text"},
		{"reseat", `{"joints": [{"name": null, "x": 0, "y": 0, "z": 0}]}`, "joints.name row 1: null: must be a text"},
		{"reseat", `{"joints": [{"name": "hip", "parent": {}, "x": 0, "y": 0, "z": 0}]}`, "joints.parent row 1: {}: must be a text"},
		{"reseat", `{"joints": [{"name": "hip", "x": null, "y": 0, "z": 0}]}`, `joints.x row 1: null: must be a number, or a text such as "12 mm"`},
		{"pivot-offset", `{"angle": {"deg": 1}}`, `angle: {"deg":1}: must be a number, or a text such as "12 mm"`},
		{"pivot-offset", `{"angle": 1e999}`, `angle: "1e999": must be a number between -1.8e308 and 1.8e308`},
		{"pivot-offset", `{"zzz": 1, "aaa": 2}`, "zzz: is no field of pivot-offset"},
		{"pivot-offset", `{"a\nb": 1}`, `"a\nb": is no field of pivot-offset`},
		{"pose-fit", `{"landmarks": 3}`, "landmarks: 3: must be an array of objects, one a row"},
		{"pose-fit", `{"landmarks": [[0, 1, 2, 3]]}`, "landmarks: [[0,1,2,3]]: must be an array of objects, one a row"},
		{"pose-fit", `{"landmarks": [{"pose": 0, "x": 1, "y": 2, "z": 3}, {"pose": 0, "x": "wide", "y": 2, "z": 3}]}`,
			`landmarks.x row 2: "wide": must be a length such as 1.2 cm (mm, cm, m, in or ft)`},
		{"pose-fit", `{"landmarks": [{"pose": 0, "x": 1, "y": 2}]}`, "landmarks.z row 1: is missing; every row needs it"},
		{"pose-fit", `{"landmarks": [{"pose": 0, "x": 1, "y": 2, "z": 3, "wieght": 1}]}`, `landmarks.wieght row 1: is no column of landmarks; nearest: "weight"`},
		{"pose-fit", `{"landmarks": [{"pose": 0, "x": [], "y": 2, "z": 3}]}`, `landmarks.x row 1: []: must be a number, or a text such as "12 mm"`},
	} {
		v := catalog.NewValues()
		err := JSON(spec(t, c.calculator), &v, []byte(c.text))
		if err == nil || err.Error() != c.want {
			t.Errorf("JSON(%s)\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

// The word that a message offers as an example must itself be accepted.
func TestTheExampleInAMessageIsAccepted(t *testing.T) {
	for _, c := range list.All() {
		s, v := c.Spec(), catalog.NewValues()
		err := Word(s, &v, "nothing")
		_, example, ok := strings.Cut(err.Error(), `as in "`)
		if !ok {
			t.Errorf("%s: %v offers no example", s.ID, err)
			continue
		}
		if err := Word(s, &v, strings.TrimSuffix(example, `"`)); err != nil && len(s.Fields) > 0 {
			t.Errorf("%s: the example %q is refused: %v", s.ID, example, err)
		}
	}
}

func TestAHeaderIsThatOfATableABatchOrNearlyATable(t *testing.T) {
	s := spec(t, "pose-fit")
	for _, c := range []struct {
		head  string
		table bool
		want  string
	}{
		{"pose,x,y,z", true, ""},
		{"z,y,x,weight,pose", true, ""},
		{"Pose,X (mm),y [in],z", true, ""},
		{"name,pose,x,y,z", true, ""},
		{"kind", false, ""},
		{"name,kind", false, ""},
		{"pose,x,y", false, "landmarks.z: is missing from the header; every row needs it"},
		{"pose,x,y,zed", false, "landmarks.zed: is no column of landmarks; its columns are pose, x, y, z, weight; a column \"name\" may stand beside them"},
	} {
		table, ok, err := TableFor(s, strings.Split(c.head, ","))
		if ok != c.table || ok != (table.ID == "landmarks") || (err == nil) != (c.want == "") || err != nil && err.Error() != c.want {
			t.Errorf("TableFor(%s) = %q, %v, %v; want %v, %q", c.head, table.ID, ok, err, c.table, c.want)
		}
	}
}

func TestAReaderThatFailsFailsTheTable(t *testing.T) {
	s := spec(t, "pose-fit")
	table, _ := s.Table("landmarks")
	gone := errors.New("gone")
	if _, err := Table(table, []string{"pose"}, func() ([]string, error) { return nil, gone }, false); err != gone {
		t.Errorf("Table = %v, want the reader's own error", err)
	}
	rows, err := Table(table, []string{"pose"}, func() ([]string, error) { return nil, io.EOF }, false)
	if err != nil || rows.Len != 0 {
		t.Errorf("no rows give %d rows, %v", rows.Len, err)
	}
}

// Whatever arrives, it is refused with a reason or read as finite values.
func FuzzJSONIsReadOrRefused(f *testing.F) {
	for _, seed := range []string{
		`{"offset_x": 1.2, "angle": "90 deg"}`, `{"angle": "1e400"}`, `{"angle": NaN}`, `{}`, `[`, `{"a":{"b":[1,{"c":null}]}}`, "{\"\x00\": \"\ufeff\"}",
	} {
		f.Add([]byte(seed))
	}
	s := spec(f, "pivot-offset")
	f.Fuzz(func(t *testing.T, text []byte) {
		defer bound.Watch(t, len(text))()
		v := catalog.NewValues()
		if err := JSON(s, &v, text); err != nil {
			if err.Error() == "" || strings.Contains(err.Error(), "\n") {
				t.Errorf("the refusal %q is no line", err)
			}
			return
		}
		if !json.Valid(text) {
			t.Errorf("%q is no JSON, but is read", text)
		}
		for id, n := range v.Numbers {
			if math.IsNaN(n) || math.IsInf(n, 0) {
				t.Errorf("%s = %v", id, n)
			}
		}
	})
}

func TestAPrintedAnswerCanBeAskedAgain(t *testing.T) {
	c := pivotoffset.Calculator{}
	first := catalog.NewValues()
	first.Numbers["offset_x"], first.Numbers["angle"] = 2.5, -77
	a, err := catalog.Run(c, first)
	if err != nil {
		t.Fatal(err)
	}
	again := catalog.NewValues()
	if err := JSON(c.Spec(), &again, a.AppendJSON(nil)); err != nil {
		t.Fatal(err)
	}
	b, err := catalog.Run(c, again)
	if err != nil || string(b.AppendJSON(nil)) != string(a.AppendJSON(nil)) {
		t.Errorf("asked again it answers %v\n%s\nwant\n%s", err, b.AppendJSON(nil), a.AppendJSON(nil))
	}
	wrong := catalog.NewValues()
	want := `the input is an answer of "hinge-arc", and this is pivot-offset`
	if err := JSON(c.Spec(), &wrong, []byte(`{"calculator":"hinge-arc","inputs":{}}`)); err == nil || err.Error() != want {
		t.Errorf("another calculator's answer:\n got %v\nwant %s", err, want)
	}
}

// A table that goes on for ever is refused at its first row too many, and not kept until memory ends.
func TestATableWithoutAnEndIsRefused(t *testing.T) {
	c, err := list.Find("pose-fit")
	if err != nil {
		t.Fatal(err)
	}
	table := c.Spec().Tables[0]
	table.MaxRows = 5
	for _, decimal := range []bool{false, true} {
		read := 0
		_, err = Table(table, []string{"pose", "x", "y", "z"}, func() ([]string, error) {
			read++
			return []string{"0", "1", "2", "3"}, nil
		}, decimal)
		if want := "landmarks: must have at most 5 rows"; err == nil || err.Error() != want || read != 6 {
			t.Errorf("after %d rows: %v, want %q after 6", read, err, want)
		}
	}
}
