package words

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/printer"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/report"
)

// before is a gap before a word, which may be what it counts.
var before = regexp.MustCompile(`\{([a-zA-Z]+)\}[ \x{a0}](?:new |inverse bind )?(\pL+)`)

// uncounted are gaps of the interface that count nothing, or never one, and why.
var uncounted = map[string]string{
	"min.count": "short for minute and minutes", "hours.hours": "short for hour and hours", "hoursMin.hours": "short", "hoursMin.count": "short",
	"rowCount.most": "a table that took one row would be fields", "rowsDone.total": "said of two or more",
	"blockTooWide.columns": "wider than the room for it, which is one or more", "handlesKeys.count": "said of more than eight",
	"searchMany.found": "more than are shown", "searchMany.shown": "as many as a list of what was found shows", "offlineWhole.count": "the whole handbook",
	"offlineSome.pages": "the whole handbook", "sheetFull.most": "all that a sheet holds",
}

// measured are gaps that hold a text, a measure or the number of one thing.
var measured = strings.Fields("given name table path time slack help calculator column label joint letter row number size limit moved others")

// ratio are words after the first of two numbers.
var ratio = strings.Fields("of von to bis and und right richtig MB")

// TestAWordThatCountsHasAFormForOne walks all words of the interface in every language: what counts things says it of one, and as the other form
// would not.
func TestAWordThatCountsHasAFormForOne(t *testing.T) {
	log := &report.Log{}
	met, forms := map[string]bool{}, 0
	for _, l := range Load(os.DirFS("../../../../theme/words"), log) {
		inPage := inLanguage(t, l.Tag, "scripts/say.js", "(word) => page.say(JSON.parse(word), { count: 1 })")
		for _, key := range l.Keys() {
			text := l.says[key]
			for _, m := range before.FindAllStringSubmatch(text.other, -1) {
				if at := key + "." + m[1]; slices.Contains(measured, m[1]) || slices.Contains(ratio, m[2]) {
					continue
				} else if uncounted[at] != "" {
					met[at] = true
				} else if text.one == "" || m[1] != "count" {
					t.Errorf("%s.json: %q says %q of 1", l.Tag, key, filled(text.other, map[string]string{m[1]: "1"}))
				}
			}
			if text.one == "" {
				continue
			}
			forms++
			own := inPage(fmt.Sprintf(`{"one": %q, "other": %q}`, text.one, text.other)).String()
			if one := map[string]string{"count": "1"}; own != filled(text.one, one) || own == filled(text.other, one) {
				t.Errorf("%s.json: %q says %q of 1", l.Tag, key, own)
			}
		}
	}
	if err := log.Err(); err != nil || forms < 20 || len(met) != len(uncounted) {
		t.Errorf("%v; %d words have two forms; of %v only %v are still there", err, forms, uncounted, met)
	}
}

// numbers are words before the number of one thing, as in "row 3".
var numbers = strings.Fields("item vertex node key character line byte row Pose pose landmark Landmark segment Key point joint type part")

// neverOne are texts of the engine whose count is never one, and why.
var neverOne = map[string]string{
	"{count} cells": "more than the columns of a table, of which there are two or more", "{count} bytes": "more than a text, or a file, may have",
	"at {count} moments": "more than fit", "file: {count} bytes": "more than a file may have, or its header and more",
	"a stride of {count} bytes": "four or more", "{count} items without": "more than there may be", "the {count} bytes of a number": "one is a part of any offset",
	"for {count} poses": "so many that the cells of a map are too many for them",
}

// TestWhatTheEngineCountsIsHeardOfOne walks the texts of the engine: where one counts things there is another for one of them, which is heard as
// itself and says something else.
func TestWhatTheEngineCountsIsHeardOfOne(t *testing.T) {
	log, twins, met := &report.Log{}, 0, map[string]bool{}
	for _, name := range []string{"de.sentences.json", "de.refusals.json", "de.room.json", "de.drawings.json"} {
		texts := readHeard(os.DirFS("../../../../theme/words"), name, log)
		for _, h := range texts {
			for _, m := range before.FindAllStringSubmatchIndex(h.english, -1) {
				head, held, word := h.english[:m[0]], h.english[m[2]:m[3]], h.english[m[4]:m[5]]
				said := strings.Fields(head)
				if !strings.HasSuffix(word, "s") && word != "vertices" && word != "matrices" && word != "indices" || word == "is" || word == "has" || word == "holds" ||
					len(said) > 0 && slices.Contains(numbers, said[len(said)-1]) || !strings.HasPrefix(held, countGap) || strings.HasSuffix(head, "more than ") {
					continue
				}
				if never(h.english, met) {
					continue
				}
				twins++
				oneOf(t, name, texts, h, held, head)
			}
		}
	}
	if err := log.Err(); err != nil || twins < 15 || len(met) != len(neverOne) {
		t.Errorf("%v; %d texts count; of %v only %v are still there", err, twins, neverOne, met)
	}
}

func never(english string, met map[string]bool) bool {
	for part := range neverOne {
		if strings.Contains(english, part) && (part != "{count} bytes" || english == part) {
			met[part] = true
			return true
		}
	}
	return false
}

// oneOf wants the list to hold the same as h of one thing.
func oneOf(t *testing.T, name string, texts []heard, h heard, held, head string) {
	t.Helper()
	for _, twin := range texts {
		if !strings.HasPrefix(twin.english, head+"1 ") && !strings.HasPrefix(twin.english, head+"an ") {
			continue
		}
		one := map[string]string{held: "1"}
		for _, gap := range h.gaps {
			if gap != held {
				one[gap] = "7"
			}
		}
		own, _ := hear(texts, filled(twin.english, one))
		if want := filled(twin.own, one); own != want || want == filled(h.own, one) || filled(twin.english, one) == filled(h.english, one) {
			continue // of another text, or as the one for many
		}
		return
	}
	t.Errorf("%s: has %q, and nothing of one", name, h.english)
}

// most is a limit, which is more than one.
var most = regexp.MustCompile(`(?i)max|most|longest|limits|fits|each|Columns`)

// unlikely are numbers of the engine's source that are written before the name of many things, are no limits, and yet are never one; see neverOne.
var unlikely = map[string]int{
	"carry/say.go kinds": 1, "catalog/prepare.go bytes": 1, "catalog/read.go cells": 1, "gltf/accessors.go bytes": 2, "gltf/accessors.go items": 1, "gltf/buffers.go bytes": 1,
	"gltf/container.go bytes": 3, "placementmap/rows.go poses": 1, "plate/paste.go bytes": 1, "plate/paste.go rows": 1, "plate/paste.go cells": 2, "plate/state.go bytes": 1,
	"propose/thin.go moments": 1, "sheet/prove.go rows": 1, "sheet/read.go bytes": 2, "sheet/read.go characters": 1,
}

// TestTheEngineCountsWithThings reads its source: a number before the name of things is written by quantity.Things, or is never one.
func TestTheEngineCountsWithThings(t *testing.T) {
	named := regexp.MustCompile(`^ (?:more |new )?([a-z]+(?:s|ices))\b`)
	found, root := map[string]int{}, "../../../../calc/"
	err := filepath.WalkDir(root, func(name string, _ fs.DirEntry, err error) error {
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			number, text := joined(n)
			if m := named.FindStringSubmatch(text); m != nil && !slices.Contains(strings.Fields("is has holds does names its runs carries flattens times"), m[1]) {
				var written bytes.Buffer
				if printer.Fprint(&written, set, number); !most.Match(written.Bytes()) {
					found[strings.TrimPrefix(filepath.ToSlash(name), root)+" "+m[1]]++
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for at, times := range found {
		if times != unlikely[at] {
			t.Errorf("%s: %d numbers are written before it, and %d of them are known to be never one", at, times, unlikely[at])
		}
	}
	if len(found) != len(unlikely) {
		t.Errorf("found %v, want %v", found, unlikely)
	}
	for _, c := range list.All() { // what a table may hold is a limit
		for _, table := range slices.Concat(c.Spec().Tables, c.Spec().Answers) {
			if len(table.Columns) < 2 || table.MaxRows == 1 {
				t.Errorf("%s: the table %s has %d columns and at most %d rows", c.Spec().ID, table.ID, len(table.Columns), table.MaxRows)
			}
		}
	}
}

// joined is a number written as a text, and the text that is joined to it.
func joined(n ast.Node) (number ast.Expr, text string) {
	sum, ok := n.(*ast.BinaryExpr)
	if !ok || sum.Op != token.ADD {
		return nil, ""
	}
	end, ok := sum.Y.(*ast.BasicLit)
	number = sum.X
	if left, is := number.(*ast.BinaryExpr); is {
		number = left.Y
	}
	call, is := number.(*ast.CallExpr)
	if !ok || !is {
		return nil, ""
	}
	if f, is := call.Fun.(*ast.SelectorExpr); !is || !slices.Contains(strings.Fields("Itoa FormatInt FormatUint Shortest Number Sprint"), f.Sel.Name) {
		return nil, ""
	}
	text, _ = strconv.Unquote(end.Value)
	return number, text
}

// TestATableOfOneRowIsCounted in what a calculator prints.
func TestATableOfOneRowIsCounted(t *testing.T) {
	for _, c := range list.All() {
		if c.Spec().ID != "reseat" {
			continue
		}
		a, err := plate.Run(c, "joints=root,,0,0,0&move=root")
		if err != nil {
			t.Fatal(err)
		}
		if text := string(a.AppendText(nil)); !strings.Contains(text, " 1 row ") || strings.Contains(text, "1 rows") {
			t.Errorf("of a table of one row it prints\n%s", text)
		}
	}
}
