// Package published checks the calculators against numbers from outside the project.
//
// cases.json holds worked cases that a second, independent program computed or that a source prints; values.csv holds
// single published facts, copied from content/facts.csv. Each becomes one or more checks, and each check runs the whole
// way: text in, catalog.Run, number out. A check names its source key, its status and why its tolerance is what it is.
// Facts recalled from memory are never tested against.
package published

import (
	"encoding/csv"
	"encoding/json"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/quantity"
)

// leastChecks is the number of checks that the files held when they were last extended; fewer means that some got lost.
const leastChecks = 1150

// check is one number from outside and how to compute it.
type check struct {
	name       string // "arc-1/chord"
	source     string // key of content/sources.json
	status     string // seen or derived
	calculator string
	given      []catalog.Entry
	read       reading
	want, tol  float64
	reason     string // why the tolerance is what it is
}

// reading takes the number to be compared out of an answer: its outputs by id, and the cells of its tables as
// "joints.qx.1" (rows from 1). An output in words is there as 1 under "determined=line".
type reading func(n map[string]float64) float64

// of reads one number; a missing one is NaN, which no tolerance accepts.
func of(id string) reading {
	return func(n map[string]float64) float64 {
		if v, ok := n[id]; ok {
			return v
		}
		return math.NaN()
	}
}

// given writes inputs as the text that a person would type: name, number, name, number, ….
func given(pairs ...any) []catalog.Entry {
	var entries []catalog.Entry
	for i := 0; i+1 < len(pairs); i += 2 {
		text, ok := pairs[i+1].(string)
		if !ok {
			text = quantity.Shortest(pairs[i+1].(float64))
		}
		entries = append(entries, catalog.Entry{ID: pairs[i].(string), Text: text})
	}
	return entries
}

// compute runs the check's calculator on its inputs.
func (c check) compute() (float64, error) {
	calculator, err := list.Find(c.calculator)
	if err != nil {
		return 0, err
	}
	values := catalog.NewValues()
	for _, e := range c.given {
		if err := catalog.Set(calculator.Spec(), &values, e.ID, e.Text); err != nil {
			return 0, err
		}
	}
	answer, err := catalog.Run(calculator, values)
	if err != nil {
		return 0, err
	}
	return c.read(flatten(answer.Result)), nil
}

// flatten puts the numbers and words of an answer and of its tables into one map.
func flatten(r catalog.Result) map[string]float64 {
	n := maps.Clone(r.Numbers)
	for id, word := range r.Texts {
		n[id+"="+word] = 1
	}
	for table, rows := range r.Tables {
		for column, cells := range rows.Numbers {
			for i, cell := range cells {
				n[table+"."+column+"."+strconv.Itoa(i+1)] = cell
			}
		}
	}
	return n
}

// accepts is the verdict, written so that NaN fails.
func (c check) accepts(got float64) bool { return math.Abs(got-c.want) <= c.tol }

// publishedCase is one entry of cases.json.
type publishedCase struct {
	ID              string         `json:"id"`
	SourceKey       string         `json:"source_key"`
	Status          string         `json:"status"`
	Inputs          map[string]any `json:"inputs"`
	Outputs         map[string]any `json:"outputs"`
	AbsTolerance    float64        `json:"abs_tolerance"`
	ToleranceReason string         `json:"tolerance_reason"`
}

func (p publishedCase) field(key string) any {
	if v, ok := p.Inputs[key]; ok {
		return v
	}
	return p.Outputs[key]
}

func (p publishedCase) number(key string) float64 { return p.field(key).(float64) }

func (p publishedCase) vector(key string) []float64 { return numbers(p.field(key)) }

func (p publishedCase) rows(key string) [][]float64 {
	var rows [][]float64
	for _, row := range p.field(key).([]any) {
		rows = append(rows, numbers(row))
	}
	return rows
}

func numbers(v any) []float64 {
	var out []float64
	for _, n := range v.([]any) {
		out = append(out, n.(float64))
	}
	return out
}

// expect is a check of the case: calculator, inputs, how to read the answer, and what it must be.
func (p publishedCase) expect(name, calculator string, in []catalog.Entry, read reading, want float64) check {
	return check{p.ID + "/" + name, p.SourceKey, p.Status, calculator, in, read, want, p.AbsTolerance, p.ToleranceReason}
}

func loadCases(t testing.TB) []publishedCase {
	t.Helper()
	text, err := os.ReadFile("cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases []publishedCase `json:"cases"`
	}
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	return file.Cases
}

// fact is one row of values.csv.
type fact struct{ id, value, unit, source, status string }

// number reads the n-th number of a value such as "18.9 / 17.9" (from 0).
func (f fact) number(t testing.TB, n int) float64 {
	t.Helper()
	parts := strings.Split(f.value, " / ")
	v, err := strconv.ParseFloat(parts[n], 64)
	if err != nil {
		t.Fatalf("values.csv: %s: %q: %v", f.id, f.value, err)
	}
	return v
}

func (f fact) expect(name, calculator string, in []catalog.Entry, read reading, want, tol float64, reason string) check {
	return check{f.id + "/" + name, f.source, f.status, calculator, in, read, want, tol, reason}
}

// loadFacts reads a table of facts by id.
func loadFacts(t testing.TB, path string) map[string]fact {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	facts := map[string]fact{}
	for _, row := range rows[1:] {
		cell := func(name string) string { return row[slices.Index(rows[0], name)] }
		facts[cell("id")] = fact{cell("id"), cell("value"), cell("unit"), cell("source_key"), cell("status")}
	}
	return facts
}

// maker turns a case into checks.
type maker func(publishedCase) []check

// makers lists the makers of a case by the beginning of its id.
var makers = map[string][]maker{
	"arc-":                    {arcChecks},
	"polygon-printed-hexagon": {hexagonChecks},
	"polygon-":                {polygonChecks, polygonChains},
	"jaw-":                    {jawChecks},
	"pole-":                   {poleChecks, poleFits},
	"owed-":                   {owedChecks, owedFits},
	"rodrigues-":              {turnChecks, basisFits},
	"textbook-matrix-":        {matrixChecks, basisFits},
	"screw-equation-":         {screwEquationChecks, screwFits},
	"screw-":                  {screwChecks, screwFits},
	"kabsch-":                 {rigidFits},
	"umeyama-":                {mirrorFits},
	"key-fit-line":            {lineChecks, lineFits},
	"key-fit-4":               {keyFits},
	"pose-fit-ball":           {ballFits},
	"pose-fit-planar":         {planarFits},
	"euler-decompose-all":     {decompositions},
	"euler-":                  {orderChecks},
	"inverse-bind":            {bindChecks},
	"blend-radius":            {blendChecks, blendSections},
	"gltf-tutorial-strip":     {stripChecks, stripSections},
	"reach-":                  {reachChecks, reachChains},
	"two-link-inverse":        {inverseChecks, inverseChains},
	"limb-fold-zigzag":        {zigzagChecks},
	"wedge-":                  {wedgeChecks},
}

// makersOf returns the makers under the longest prefix of the id.
func makersOf(id string) []maker {
	best := ""
	for prefix := range makers {
		if strings.HasPrefix(id, prefix) && len(prefix) > len(best) {
			best = prefix
		}
	}
	return makers[best]
}

// allChecks is every check of both files.
func allChecks(t testing.TB) []check {
	t.Helper()
	var checks []check
	for _, p := range loadCases(t) {
		list := makersOf(p.ID)
		if len(list) == 0 {
			t.Fatalf("cases.json: %s: no check is made of this case", p.ID)
		}
		for _, make := range list {
			checks = append(checks, make(p)...)
		}
	}
	return append(checks, factChecks(t, loadFacts(t, "values.csv"))...)
}

func TestEveryPublishedNumberIsReached(t *testing.T) {
	checks := allChecks(t)
	if len(checks) < leastChecks {
		t.Errorf("%d checks, want at least %d", len(checks), leastChecks)
	}
	for _, c := range checks {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.compute()
			if err != nil {
				t.Fatalf("%s %v: %v", c.calculator, c.given, err)
			}
			if !c.accepts(got) {
				t.Errorf("%s %v: expected %v ± %v, computed %v, off by %.3g\n\t%s (%s): %s",
					c.calculator, c.given, c.want, c.tol, got, got-c.want, c.source, c.status, c.reason)
			}
		})
	}
}
