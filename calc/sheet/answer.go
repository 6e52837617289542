package sheet

import (
	"strconv"

	"centrode/calc/figure"
	"centrode/calc/jsontree"
	"centrode/calc/plate"
)

// Shown answers a page that shows the file of a sheet, as JSON: the sheet written again ("text"), its tree ("tree", see
// figure.AppendJSON), how many stated numbers are doubtful ("doubts"); or a refusal as plate.Solve gives it.
func Shown(text string, find Finder) []byte {
	v, err := open(text, find)
	if err != nil {
		return plate.Refusal(err)
	}
	doubts := 0
	for _, e := range v.Entries {
		doubts += len(e.Doubts)
	}
	b := append([]byte(`{"doubts":`), strconv.Itoa(doubts)...)
	b = jsontree.AppendString(append(b, `,"text":`...), string(v.Sheet.AppendJSON(nil)))
	b = figure.AppendJSON(append(b, `,"tree":`...), Page(v, "sheet"))
	return append(b, '}')
}

// Compared answers as Shown does for two sheets side by side.
func Compared(first, second string, find Finder) []byte {
	a, err := open(first, find)
	if err != nil {
		return plate.Refusal(err)
	}
	b, err := open(second, find)
	if err != nil {
		return plate.Refusal(err)
	}
	Compare(&a, &b)
	return append(figure.AppendJSON([]byte(`{"tree":`), Pair(a, b, "pair")), '}')
}

func open(text string, find Finder) (View, error) {
	s, err := Read([]byte(text))
	if err != nil {
		return View{}, err
	}
	return Prove(s, find)
}
