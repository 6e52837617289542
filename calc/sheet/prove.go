package sheet

import (
	"errors"
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/calc/spell"
)

// Finder finds a calculator by its id; catalog/list.Find is one.
type Finder func(id string) (catalog.Calculator, error)

// View is a sheet as it is shown: every number computed anew where there is a calculator, rounded and with its unit.
type View struct {
	Sheet   Sheet
	Title   string
	Facts   []Fact // character, reviewer, date
	Entries []EntryView
	Reasons []string // paragraphs
}

// Fact is a labelled text. Differs says that the sheet it is compared with has another.
type Fact struct {
	Label, Text string
	Differs     bool
}

// EntryView is one placement as it is shown.
type EntryView struct {
	Title    string
	Verdict  string // the result in a sentence; empty for a measured placement
	Source   string // where the numbers come from
	Figure   figure.Figure
	Rows     []Row
	Measured bool     // the numbers are stated by a file, and no plate has them
	Left     int      // results for which the page has no room
	Unshown  int      // inputs for which it has none
	With     string   // the tables, and the inputs that are the same in both and no row shows, in one sentence; "" for a measured placement
	Warnings []string // of the calculator
	Doubts   []string // stated numbers that are not what the calculator gives
	Alone    bool     // the sheet it is compared with has no such placement
	// Otherwise says which inputs that no row shows the sheet it is compared with has otherwise.
	Otherwise string

	all  []Row // also those that have no room
	live catalog.Answer
}

// Row is one line of the table of numbers: the placement itself or a result.
type Row struct {
	Key, Label                     string
	Current, Candidate, Difference string
	Placement, Differs             bool
}

// roomy is how many rows one entry may take, by the number of entries on the page.
func roomy(entries int) int { return [...]int{16, 16, 10, 7, 7}[min(entries, MaxEntries)] }

// Prove runs every entry again. A state that its calculator refuses, an unknown calculator and work that is too much for
// a page are a *catalog.InputError naming the member; a number that is not what the calculator gives is told in Doubts.
func Prove(s Sheet, find Finder) (View, error) {
	v := View{Sheet: s, Title: s.Title}
	if v.Title == "" {
		v.Title = "Placement sheet"
	}
	v.Facts = []Fact{{Label: "Character", Text: s.Character}, {Label: "Reviewer", Text: s.Reviewer}, {Label: "Date", Text: s.Date}}
	v.Reasons = paragraphs(s.Reasons)
	for i, e := range s.Entries {
		shown, err := e.prove(find, "entries["+strconv.Itoa(i+1)+"]", roomy(len(s.Entries)))
		if err != nil {
			return View{}, err
		}
		v.Entries = append(v.Entries, shown)
	}
	return v, nil
}

func (e Entry) prove(find Finder, at string, room int) (EntryView, error) {
	v := EntryView{Title: e.heading()}
	if e.Measured.File != "" {
		v.Measured = true
		v.Source = "Measured from " + e.Measured.File + ", in the world of the rest pose; the numbers stand as they were stated."
		v.Figure = e.Measured.figure(nil)
		v.fit(e.Measured.rows(), e.stated(), room)
		return v, nil
	}
	base, live, err := e.run(find, at)
	if err != nil {
		return v, err
	}
	v.Verdict, v.Source = live.Say(), "Computed by "+e.Calculator+"."
	v.Figure = figure.Still(plate.Drawing(base, live))
	results, known := results(base, live)
	v.Doubts = e.doubts(known)
	for _, w := range live.Result.Told() {
		v.Warnings = append(v.Warnings, w.Text)
	}
	v.live = live
	placement, unshown := placed(base, live)
	v.Unshown = unshown
	v.With = v.with(placement, base, room)
	v.fit(placement, results, room)
	return v, nil
}

// heading names the entry: its joint, then what was asked.
func (e Entry) heading() string {
	switch {
	case e.Joint == "":
		return e.Title
	case e.Title == "":
		return e.Joint
	}
	return e.Joint + ": " + e.Title
}

// maxParts bounds the work of one entry, in parts of a catalog.Staged: a map of 120 by 120 cells.
const maxParts = 120

// run answers both states. A calculator with nothing to compare is run once.
func (e Entry) run(find Finder, at string) (base, live catalog.Answer, err error) {
	c, err := find(e.Calculator)
	if err != nil {
		return base, live, refuse(at+".calculator", quantity.Quoted(e.Calculator), allowed(err))
	}
	if live, err = answer(c, e.Candidate, at+".candidate"); err != nil {
		return base, live, err
	}
	if spec := c.Spec(); spec.Compares || spec.Single || e.Current == e.Candidate {
		return live, live, nil
	}
	base, err = answer(c, e.Current, at+".current")
	return base, live, err
}

func answer(c catalog.Calculator, state, at string) (catalog.Answer, error) {
	values, err := plate.ParseState(c.Spec(), state)
	if err == nil {
		var work *catalog.Work
		if work, err = catalog.Begin(c, values); err == nil && work.Total() > maxParts {
			return catalog.Answer{}, refuse(at, strconv.Itoa(work.Total())+" rows of cells", "must be at most "+strconv.Itoa(maxParts)+" on a sheet; take fewer cells")
		} else if err == nil {
			var a catalog.Answer
			if a, err = work.Answer(); err == nil {
				return a, nil
			}
		}
	}
	if input, ok := errors.AsType[*catalog.InputError](err); ok {
		if input.Field != "" {
			at += ": " + input.Field
		}
		return catalog.Answer{}, &catalog.InputError{Field: at, Row: input.Row, Given: input.Given, Allowed: input.Allowed}
	}
	return catalog.Answer{}, refuse(at, "", err.Error())
}

// allowed is what a refusal would accept, without what it was about.
func allowed(err error) string {
	if input, ok := errors.AsType[*catalog.InputError](err); ok {
		return input.Allowed
	}
	return err.Error()
}

// result is a computed row with its unrounded values.
type result struct {
	row                Row
	current, candidate Value
}

// results are the rows of the plate's table, and each with its values by key.
func results(base, live catalog.Answer) ([]Row, []result) {
	var rows []Row
	var known []result
	for _, c := range plate.Cells(base, live) {
		row := Row{Key: c.Key, Label: c.Label, Current: c.Current, Candidate: c.Candidate, Difference: c.Difference}
		rows = append(rows, row)
		current, candidate := values(base, live, c)
		known = append(known, result{row, current, candidate})
	}
	return rows, known
}

// values are the unrounded values behind a row of the plate's table, see plate.Cells.
func values(base, live catalog.Answer, c plate.Row) (current, candidate Value) {
	for _, o := range live.Spec.Outputs {
		switch {
		case c.Pair && o.Pair == c.Key && o.Side == "current":
			current = valueOf(live.Result, o)
		case c.Pair && o.Pair == c.Key:
			candidate = valueOf(live.Result, o)
		case !c.Pair && o.ID == c.Key:
			candidate = valueOf(live.Result, o)
			if !live.Spec.Compares && !live.Spec.Single {
				current = valueOf(base.Result, o)
			}
		}
	}
	return current, candidate
}

func valueOf(r catalog.Result, o catalog.Output) Value {
	if o.Text {
		if word, ok := r.Texts[o.ID]; ok {
			return Word(word)
		}
		return Value{}
	}
	if n, ok := r.Numbers[o.ID]; ok {
		return Of(n)
	}
	return Value{}
}

// doubts compares what is stated with what is computed.
func (e Entry) doubts(known []result) []string {
	var list, keys []string
	for _, k := range known {
		keys = append(keys, k.row.Key)
	}
	for _, n := range e.Numbers {
		found := false
		for _, k := range known {
			if k.row.Key != n.ID {
				continue
			}
			found = true
			list = append(list, doubt(k.row.Label+", current", n.Current, k.current, k.row.Current)...)
			list = append(list, doubt(k.row.Label+", candidate", n.Candidate, k.candidate, k.row.Candidate)...)
		}
		if !found {
			list = append(list, "The sheet states "+quantity.Quoted(n.ID)+", which "+e.Calculator+" does not give"+spell.Offer(n.ID, keys)+".")
		}
	}
	return list
}

func doubt(what string, stated, computed Value, shown string) []string {
	if stated == computed || stated.near(computed) {
		return nil
	}
	if shown == "" {
		shown = plate.None
	}
	return []string{what + ": the sheet states " + stated.plain() + ", the calculator gives " + shown + "."}
}

// near allows for the last bits, which another version of a solver may set otherwise.
func (v Value) near(w Value) bool {
	return v.Known && w.Known && v.Text == "" && w.Text == "" && math.Abs(v.Number-w.Number) <= 1e-9*math.Max(1, math.Abs(w.Number))
}

func (v Value) plain() string {
	switch {
	case !v.Known:
		return "nothing"
	case v.Text != "":
		return v.Text
	}
	return quantity.Number(v.Number, 6)
}
