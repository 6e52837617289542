package batch

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
)

// Columns of the writer's own come back as they were, wherever they stand, in a row that is refused as well.
func TestColumnsOfOnesOwnComeBackUntouched(t *testing.T) {
	j := job(t)
	j.Keep = []string{"shot", "note, if any", "Offset_x (old)"}
	rows, tally := answers(t, j, "shot,offset_x,\"note, if any\",Offset_x (old),angle\n010,3,\"a \"\"quoted\"\" thing\nin two lines\",7 kg,90\n,x,,,\n 020 ,3,ü,,90\n")
	for i, want := range [][3]string{{"010", "a \"quoted\" thing\nin two lines", "7 kg"}, {"", "", ""}, {"020 ", "ü", ""}} {
		if got := [3]string{rows[i]["shot"], rows[i]["note, if any"], rows[i]["Offset_x (old)"]}; got != want {
			t.Errorf("row %d has %q, want %q", i+1, got, want)
		}
	}
	if tally.Refused != 1 || rows[0]["lever"] != rows[2]["lever"] || rows[0]["lever"] == "" {
		t.Errorf("%d refused, levers %q and %q; want 1, and the same", tally.Refused, rows[0]["lever"], rows[2]["lever"])
	}
	var out bytes.Buffer
	j.Keep = []string{"notes"}
	if _, err := CSV(j, strings.NewReader("offset_x,note\n1,2\n"), &out); err == nil || err.Error() != `no column is called "notes", which -keep names; nearest: "note"` {
		t.Errorf("a column that is not there: %v", err)
	}
}

// In JSON a member of one's own may be anything; what comes back is the same value.
func TestMembersOfOnesOwnComeBackUntouched(t *testing.T) {
	const in = `[{"name":"a","offset_x":1,"shot":{"sq":[1,"x",null]},"note":"=1"},{"name":"b","note":1.50},{"name":"c","shot":"010","angle":"q"}]`
	j := job(t)
	j.Lines, j.Keep = true, []string{"shot", "note"}
	var out bytes.Buffer
	if _, err := JSON(j, strings.NewReader(in), &out); err != nil {
		t.Fatal(err)
	}
	for i, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		var got struct {
			Name       string
			Kept       json.RawMessage
			Calculator string
		}
		if err := json.Unmarshal([]byte(line), &got); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if want := []string{`{"shot":{"sq":[1,"x",null]},"note":"=1"}`, `{"note":1.50}`, `{"shot":"010"}`}[i]; string(got.Kept) != want || got.Name != string("abc"[i]) || got.Calculator != "pivot-offset" {
			t.Errorf("line %d is %s, want it to keep %s", i+1, line, want)
		}
	}
	out.Reset()
	j.Lines = false
	if _, err := JSON(j, strings.NewReader(in), &out); err != nil {
		t.Fatal(err)
	}
	records, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"name|shot|note|offset_x", `a|{"sq":[1,"x",null]}|'=1|1`, "b||1.50|1", "c|010||"} {
		if got := strings.Join(records[i][:4], "|"); got != want {
			t.Errorf("record %d begins with %s, want %s", i, got, want)
		}
	}
}

// A spreadsheet writes every line as wide as its widest, and rows that were emptied: nothing is asked there.
func TestWhatASpreadsheetLeavesEmptyAsksNothing(t *testing.T) {
	rows, tally := answers(t, job(t), "name,offset_x,angle,,\nknee,3,90,,\n,,,,\nhip,3,90, ,\n")
	if rows[0]["lever"] == "" || rows[2]["lever"] != rows[0]["lever"] || tally.Refused != 1 {
		t.Errorf("levers %q and %q, %d refused; want one and the same, and 1", rows[0]["lever"], rows[2]["lever"], tally.Refused)
	}
	if want := "the row is empty; take it out, or fill it"; rows[1]["error"] != want || rows[1]["lever"] != "" {
		t.Errorf("the empty row answers %q with error %q, want %q", rows[1]["lever"], rows[1]["error"], want)
	}
}
