package words

import (
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/calc/plate"
)

// TestCopiedTablesFitTheSpreadsheetsOfTheLanguage: a German spreadsheet takes "3.40" for a date. What is copied reads back as what was there.
func TestCopiedTablesFitTheSpreadsheetsOfTheLanguage(t *testing.T) {
	english, german := inLanguage(t, Base, "scripts/csv.js", "page.localCSV"), inLanguage(t, "de", "scripts/csv.js", "page.localCSV")
	for _, c := range []struct{ text, want string }{
		{"name,x,y\nelbow,1.5,-2\n", "name;x;y\nelbow;1,5;-2\n"},
		{"\"a, \"\"b\"\"\",1e-7,2.5e-7,,\n", "\"a, \"\"b\"\"\";1e-7;2,5e-7;;\n"},
		{"x;y,v1.5\n", "\"x;y\";v1.5\n"},
	} {
		if got := german(c.text).String(); got != c.want {
			t.Errorf("%q becomes %q, want %q", c.text, got, c.want)
		}
		if got := english(c.text).String(); got != c.text {
			t.Errorf("in English %q becomes %q", c.text, got)
		}
	}
	tables := 0
	for _, c := range list.All() {
		for _, table := range c.Spec().Tables {
			text, err := plate.Export(c, "", "input:"+table.ID)
			if err != nil {
				t.Fatal(err)
			}
			own := german(text).String()
			was, _ := plate.ReadPasted(table, text)
			is, err := plate.ReadPasted(table, own)
			if err != nil || !slices.EqualFunc(was.Rows, is.Rows, slices.Equal) {
				t.Errorf("%s: %q is read as %v (%v), want %v", c.Spec().ID, own, is.Rows, err, was.Rows)
			}
			if strings.Contains(own, ";") {
				tables++
			}
		}
	}
	if tables < 5 {
		t.Errorf("only %d tables looked at", tables)
	}
}
