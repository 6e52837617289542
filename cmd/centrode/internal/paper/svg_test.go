package paper

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/sheet"
)

// entries are placements with a tall drawing and a table of so many rows each.
func entries(n, rows int) sheet.View {
	v := sheet.View{Title: "A sheet"}
	for range n {
		e := sheet.EntryView{Title: "A joint", Figure: figure.Figure{Title: "F", View: figure.Rect{Max: plane.Vec{X: 10, Y: 40}}}}
		for i := range rows {
			e.Rows = append(e.Rows, sheet.Row{Label: "row " + strconv.Itoa(i) + strings.Repeat(" and on", 10), Current: "1", Candidate: "2", Difference: "1"})
		}
		v.Entries = append(v.Entries, e)
	}
	return v
}

// heights are those of the drawings on a page, and of the page itself.
func heights(t *testing.T, text string) (page float64, drawings []float64) {
	t.Helper()
	for i, part := range strings.Split(text, "<svg ")[1:] {
		head, _, _ := strings.Cut(part, ">")
		_, after, ok := strings.Cut(head, `" height="`)
		if !ok {
			_, after, _ = strings.Cut(head, ` height="`)
		}
		number, _, _ := strings.Cut(after, `"`)
		high, err := strconv.ParseFloat(number, 64)
		if err != nil {
			t.Fatalf("a drawing without a height: %s", head)
		}
		if i == 0 {
			page = high
		} else {
			drawings = append(drawings, high)
		}
	}
	return page, drawings
}

// derived: all drawings of a page share 300 px.
func TestDrawingsShareTheirRoom(t *testing.T) {
	for _, n := range []int{1, 3} {
		_, drawings := heights(t, string(SVG([]sheet.View{entries(n, 1)})))
		if len(drawings) != n {
			t.Fatalf("%d drawings, want %d", len(drawings), n)
		}
		for _, high := range drawings {
			if want := 300 / float64(n); !(high <= want+0.01 && high > 0.9*want) {
				t.Errorf("one of %d is %v px high, want %v", n, high, want)
			}
		}
	}
}

func TestAPageIsAsHighAsItsContent(t *testing.T) {
	short, _ := heights(t, string(SVG([]sheet.View{entries(1, 1)})))
	long, _ := heights(t, string(SVG([]sheet.View{entries(4, 40)})))
	if short != pageHeight || !(long > 4*40*20) {
		t.Errorf("a short page is %v px high, a long one %v; want %v and more than %v", short, long, pageHeight, 4*40*20)
	}
}

func TestALabelStaysClearOfTheNumbers(t *testing.T) {
	text := string(SVG([]sheet.View{entries(1, 1)}))
	if want := fmt.Sprintf("%.51s…", "row 0"+strings.Repeat(" and on", 10)); !strings.Contains(text, ">"+want+"<") {
		t.Errorf("the page lacks %q", want)
	}
}
