package browser

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"centrode/calc/catalog"
	"centrode/calc/jsontree"
	"centrode/calc/plate"
)

// table is a script expression about an input table of the plate.
func (p livePlate) table(id, rest string) string {
	return p.at(`.querySelector('[data-table="` + id + `"]')` + rest)
}

// cell is a script expression about the input of one cell; rows and columns count from 0.
func cell(row, column int) string {
	return `.querySelectorAll('tbody tr:not(.entry-complaint)')[` + strconv.Itoa(row) + `].querySelectorAll('input')[` + strconv.Itoa(column) + `]`
}

// shownRows are the texts in the cells of the rows that are shown.
func (p livePlate) shownRows(t testing.TB, id string) [][]string {
	t.Helper()
	return eval[[][]string](t, p.tab, `[...`+p.table(id, `.querySelectorAll('tbody tr:not(.entry-complaint)')`)+`].map((row) => [...row.querySelectorAll('input')].map((input) => input.value))`)
}

// paste puts a text on the clipboard of one event, as a spreadsheet would, and lets it go into a cell.
func (p livePlate) paste(t testing.TB, id string, row, column int, text string) {
	t.Helper()
	quoted := string(jsontree.AppendString(nil, text))
	eval[bool](t, p.tab, `((input) => {
		const clipboardData = new DataTransfer();
		clipboardData.setData('text/plain', `+quoted+`);
		input.focus();
		input.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }));
		return true;
	})(`+p.table(id, cell(row, column))+`)`)
	p.drawn(t)
}

// typeInto types into a cell over what it holds; then end is pressed.
func (p livePlate) typeInto(t testing.TB, id string, row, column int, text, end string) {
	t.Helper()
	eval[bool](t, p.tab, `(`+p.table(id, cell(row, column)+`.focus()`)+`, `+p.table(id, cell(row, column)+`.select()`)+`, true)`)
	p.keys(t, text+end, false)
	p.drawn(t)
}

func (p livePlate) do(t testing.TB, id, what string) {
	t.Helper()
	eval[bool](t, p.tab, `(`+p.table(id, `.querySelector('[data-do="`+what+`"]').click()`)+`, true)`)
	p.drawn(t)
}

// rowError is what stands under a row that is refused, and the label of the cell that is marked.
func (p livePlate) rowError(t testing.TB, id string) (text, marked string) {
	t.Helper()
	seen := eval[[2]string](t, p.tab, `((box) => {
		const line = box.querySelector('.entry-complaint td');
		const inputs = [...box.querySelectorAll('[aria-invalid="true"]')];
		const named = inputs.every((input) => document.getElementById(input.getAttribute('aria-describedby')) === line);
		return [line && line.getBoundingClientRect().height > 0 && named ? line.textContent : '', inputs.map((input) => input.getAttribute('aria-label')).join('; ')];
	})(`+p.table(id, ``)+`)`)
	return seen[0], seen[1]
}

// say is the sentence of the plate.
func (p livePlate) say(t testing.TB) string {
	t.Helper()
	return eval[string](t, p.tab, p.at(`.querySelector('[data-say]').textContent`))
}

const copiedSheet = "Pose\tx (mm)\ty (mm)\tz (mm)\tnote\n" +
	"0\t80\t15\t5\ta\n0\t80\t-15\t-5\tb\n0\t180\t10\t12\tc\n" +
	"1\t50,8\t55,5\t7,5\td\n1\t70,5\t32,5\t-3,5\te\n1\t131\t115\t17,5\tf\n"

func TestABlockFromASpreadsheetBecomesTheTable(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pose-fit", "")
	p.paste(t, "landmarks", 0, 0, copiedSheet)
	want := "landmarks=0,8,1.5,0.5,1;0,8,-1.5,-0.5,1;0,18,1,1.2,1;1,5.08,5.55,0.75,1;1,7.05,3.25,-0.35,1;1,13.1,11.5,1.75,1"
	p.stateIs(t, want)
	if rows := p.shownRows(t, "landmarks"); len(rows) != 6 || strings.Join(rows[3], " ") != "1 5.08 5.55 0.75 1" {
		t.Errorf("the table shows %q", rows)
	}
	if status := eval[string](t, p.tab, p.table("landmarks", `.querySelector('[data-table-status]').textContent`)); status != "6 rows were read. “Undo” brings back what was there. Not used: note." {
		t.Errorf("the page says %q", status)
	}
	p.agrees(t)
	p.do(t, "landmarks", "undo")
	p.stateIs(t, "")
	if rows := p.shownRows(t, "landmarks"); len(rows) != 20 {
		t.Errorf("undone to %d rows, want the 20 that are printed", len(rows))
	}
	p.paste(t, "landmarks", 1, 1, "9\t1\n10\t2")
	if rows := p.shownRows(t, "landmarks"); len(rows) != 20 || strings.Join(rows[1], " ") != "0 9 1 -0.5 1" || strings.Join(rows[2], " ") != "0 10 2 1.2 1" {
		t.Errorf("a block laid over cells gives %q", rows[:3])
	}
	p.clean(t)
}

func TestARefusedCellIsMarkedAtItsRowAndTheRestStands(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pose-fit", "")
	before := p.say(t)
	p.typeInto(t, "landmarks", 3, 1, "abc", kb.Enter)
	text, marked := p.rowError(t, "landmarks")
	if text != `Row 4, x: "abc" must be a length such as 1.2 cm (mm, cm, m, in or ft).` || marked != "Row 4, x, cm" {
		t.Errorf("row 4 says %q at %q", text, marked)
	}
	if got := p.say(t); got != before {
		t.Errorf("a refused cell changes the sentence to %q", got)
	}
	p.stateIs(t, "")
	if focus := eval[string](t, p.tab, `document.activeElement.getAttribute('aria-label')`); focus != "Row 5, x, cm" {
		t.Errorf("Enter leads to %q, want the cell below", focus)
	}
	p.typeInto(t, "landmarks", 3, 1, "20 m", kb.Tab)
	if text, _ := p.rowError(t, "landmarks"); text != "" {
		t.Errorf("2000 cm is within ten kilometres, but the row says %q", text)
	}
	p.typeInto(t, "landmarks", 3, 1, "2e7", kb.Tab)
	if text, _ := p.rowError(t, "landmarks"); text != "Row 4, x: 20000000 cm must be from -1000000 to 1000000 cm." {
		t.Errorf("out of range, the row says %q", text)
	}
	p.typeInto(t, "landmarks", 3, 1, "18 mm", kb.Tab)
	if text, _ := p.rowError(t, "landmarks"); text != "" {
		t.Errorf("mended, the row still says %q", text)
	}
	if rows := p.shownRows(t, "landmarks"); rows[3][1] != "1.8" {
		t.Errorf("18 mm shows as %s", rows[3][1])
	}
	p.agrees(t)
	p.clean(t)
}

func TestRowsAreAddedAndRemoved(t *testing.T) {
	parallel(t)
	p := openPlate(t, "hinge-plane", "")
	count := len(p.shownRows(t, "points"))
	p.typeInto(t, "points", 1, 0, "", "")
	p.do(t, "points", "add")
	p.typeInto(t, "points", 2, 1, "7.5", kb.Tab)
	if rows := p.shownRows(t, "points"); len(rows) != count+1 || rows[2][1] != "7.5" || rows[2][0] != rows[1][0] {
		t.Fatalf("after adding below row 2: %q", rows)
	}
	p.agrees(t)
	p.do(t, "points", "remove")
	if rows := p.shownRows(t, "points"); len(rows) != count {
		t.Errorf("%d rows after removing one of %d", len(rows), count+1)
	}
	p.stateIs(t, "")
	p.clean(t)
}

func TestKeysLeadFromCellToCellAndEscapePutsBack(t *testing.T) {
	parallel(t)
	p := openPlate(t, "limb-fold", "")
	at := func() string {
		return eval[string](t, p.tab, `document.activeElement.getAttribute('aria-label') ?? ''`)
	}
	first := p.shownRows(t, "segments")[0][0]
	p.typeInto(t, "segments", 0, 0, "", kb.ArrowDown)
	for _, step := range []struct{ key, want string }{{kb.ArrowRight, "Row 2"}, {kb.ArrowUp, "Row 1"}, {kb.ArrowLeft, "Row 1"}, {kb.ArrowLeft, "Row 1"}} {
		p.keys(t, step.key, false)
		if got := at(); !strings.HasPrefix(got, step.want+", ") {
			t.Errorf("after the key the focus is at %q, want %s", got, step.want)
		}
	}
	p.typeInto(t, "segments", 0, 0, "99", kb.Escape)
	if got := p.shownRows(t, "segments")[0][0]; got != first {
		t.Errorf("Escape leaves %q, want %q", got, first)
	}
	p.stateIs(t, "")
	p.clean(t)
}

func TestATextBesideTheTableIsUsedToo(t *testing.T) {
	parallel(t)
	p := openPlate(t, "hinge-plane", "")
	p.unfold(t)
	p.until(t, p.table("points", `.querySelector('[data-table-text]').value.startsWith('x,y,z\n')`))
	eval[bool](t, p.tab, `(`+p.table("points", `.querySelector('[data-table-text]').value = 'z;x;y\n0,5;1;2\n0;3;4\n1;5;9'`)+`, true)`)
	p.do(t, "points", "use-text")
	p.stateIs(t, "points=1,2,0.5;3,4,0;5,9,1")
	p.agrees(t)
	p.clean(t)
}

func TestAFileIsDroppedIntoTheTableAndTakenOutOfIt(t *testing.T) {
	parallel(t)
	p := openPlate(t, "hinge-plane", "")
	eval[bool](t, p.tab, `((box) => {
		const dataTransfer = new DataTransfer();
		dataTransfer.items.add(new File(['X (mm),Y (mm),Z (mm)\n10,0,0\n20,5,0\n30,0,5\n'], 'points.csv', { type: 'text/csv' }));
		const over = new DragEvent('dragover', { dataTransfer, bubbles: true, cancelable: true });
		box.dispatchEvent(over);
		box.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
		return over.defaultPrevented;
	})(`+p.table("points", ``)+`)`)
	p.until(t, p.table("points", `.querySelector('[data-table-status]').textContent.startsWith('3 rows were read')`))
	p.drawn(t)
	p.stateIs(t, "points=1,0,0;2,0.5,0;3,0,0.5")
	p.agrees(t)
	// What the button hands out is read from the link it makes, so that the test needs no folder for downloads.
	saved := eval[string](t, p.tab, `new Promise((resolve) => {
		const click = HTMLAnchorElement.prototype.click;
		const make = URL.createObjectURL;
		URL.createObjectURL = (blob) => { void blob.text().then(resolve); return make.call(URL, blob); };
		HTMLAnchorElement.prototype.click = function () { HTMLAnchorElement.prototype.click = click; URL.createObjectURL = make; };
		`+p.table("points", `.querySelector('[data-do="download"]').click()`)+`;
	})`)
	if saved != "x,y,z\n1,0,0\n2,0.5,0\n3,0,0.5\n" {
		t.Errorf("the file holds %q", saved)
	}
	p.clean(t)
}

func TestALongTableIsShownInPartsAndHasNoLink(t *testing.T) {
	parallel(t)
	p := openPlate(t, "key-fit", "")
	var rows []string
	for i := range 450 {
		rows = append(rows, "0\t0\t"+strconv.Itoa(i%90+1)+"\t"+strconv.Itoa(i)+"\t0.25\t0\t1")
	}
	p.paste(t, "keys", 0, 0, strings.Join(rows, "\n"))
	p.until(t, p.at(`.querySelector('[data-notice]').textContent.includes('too long for a link')`))
	span := func() string {
		return eval[string](t, p.tab, p.table("keys", `.querySelector('[data-table-span]').textContent`))
	}
	if got := len(p.shownRows(t, "keys")); got != 100 || span() != "Rows 1 to 100 of 450" {
		t.Errorf("%d rows are shown, said to be %q", got, span())
	}
	p.do(t, "keys", "later")
	if got := p.shownRows(t, "keys"); got[0][3] != "100" || span() != "Rows 101 to 200 of 450" {
		t.Errorf("later rows begin with %q, %q", got[0], span())
	}
	p.typeInto(t, "keys", 2, 3, "x", kb.Tab)
	if text, marked := p.rowError(t, "keys"); !strings.HasPrefix(text, `Row 103, Translate x: "x" must be a length`) || marked != "Row 103, Translate x, cm" {
		t.Errorf("row 103 says %q at %q", text, marked)
	}
	if link := eval[string](t, p.tab, p.at(`.dataset.link`)); strings.Contains(link, "keys=") {
		t.Errorf("the link carries the table: %.80s", link)
	}
	p.clean(t)
}

// The handles of a drawing that edit cells: the table follows the pointer, and the numbers are the command's.
func TestALandmarkIsDraggedInTheDrawing(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pose-fit", "")
	if p.handles(t) == 0 {
		t.Skip("the drawing has no handles")
	}
	before := p.shownRows(t, "landmarks")
	at := p.middle(t, handle(0)+" .handle-hit")
	p.mouse(t, "press", at)
	for i := range 5 {
		p.mouse(t, "move", point{at.X + 4*float64(i+1), at.Y - 4*float64(i+1)})
	}
	p.mouse(t, "release", point{at.X + 20, at.Y - 20})
	p.drawn(t)
	after, changed := p.shownRows(t, "landmarks"), 0
	for i, row := range after {
		for j := range row {
			if row[j] != before[i][j] {
				changed++
			}
		}
	}
	if changed < 1 || changed > 2 {
		t.Errorf("a drag changes %d cells, want the one or two of its landmark", changed)
	}
	value := eval[string](t, p.tab, p.at(`.querySelector('g[data-handle="0"]').getAttribute('aria-valuetext')`))
	if !strings.HasPrefix(value, "row ") || !strings.Contains(value, "cm") {
		t.Errorf("the handle says %q, want its row and its coordinates", value)
	}
	p.agrees(t)
	p.clean(t)
}

func TestWithoutScriptsTheTableStandsPrinted(t *testing.T) {
	parallel(t)
	tb := open(t, "/plates/pose-fit/", view{noScript: true})
	answer, err := plate.Run(find(t, "pose-fit"), "")
	must(t, err)
	entries := plate.Entries(answer)
	want := entries[slices.IndexFunc(entries, func(e catalog.Entry) bool { return e.ID == "landmarks" })].Text
	rows := eval[[]string](t, tb, `[...document.querySelectorAll('[data-table] tbody tr')].filter((row) => row.getBoundingClientRect().height > 0).map((row) => [...row.querySelectorAll('td')].map((cell) => cell.textContent).join('\t'))`)
	if got := strings.Join(rows, "\n"); got != want {
		t.Errorf("printed\n%s\nwant\n%s", got, want)
	}
	if eval[bool](t, tb, `[...document.querySelectorAll('[data-table] button, [data-table] input, [data-table] textarea')].some((control) => control.getBoundingClientRect().height > 0)`) {
		t.Error("controls are shown that would do nothing")
	}
	tb.clean(t)
}
