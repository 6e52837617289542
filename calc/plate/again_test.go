package plate

import (
	"bytes"
	"strconv"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/quantity"
)

// What a Desk keeps of how it wrote an answer changes nothing of the next one, also where that is of another calculator or in other units.
func TestADeskThatHasAnsweredAnswersAsAFreshOne(t *testing.T) {
	var desk Desk
	answers := 0
	for _, units := range []quantity.Units{quantity.Centimetres, quantity.Inches, quantity.Centimetres} {
		for _, c := range list.All() {
			r := Request{Width: 700, ID: "p", Units: units}
			for i := range 3 {
				state, err := new(Desk).Drag(c, r, i, 300+float64(i), 200)
				if err != nil {
					t.Fatal(err)
				}
				q := r
				q.State = state
				if !bytes.Equal(desk.Solve(c, q), new(Desk).Solve(c, q)) {
					t.Errorf("%s, units %d, state %q: another answer", c.Spec().ID, units, state)
				}
				answers++
			}
		}
	}
	if answers == 0 {
		t.Fatal("nothing was asked")
	}
}

// A table that says what its default says is no part of a state: an optional column left out, or every cell of it written.
func TestATableThatIsTheDefaultIsNotWritten(t *testing.T) {
	c, err := list.Find("pose-fit")
	if err != nil {
		t.Fatal(err)
	}
	table, _ := c.Spec().Table("landmarks")
	text := func(columns []string, more float64) string {
		var b []byte
		for i := range table.Default.Len {
			if i > 0 {
				b = append(b, ';')
			}
			for j, id := range columns {
				if j > 0 {
					b = append(b, ',')
				}
				v := 1.0 // a weight
				if of := table.Default.Numbers[id]; of != nil {
					v = of[i]
				}
				b = quantity.AppendShortest(b, v+more)
			}
		}
		return "landmarks=" + string(b)
	}
	for _, columns := range [][]string{{"pose", "x", "y", "z"}, {"pose", "x", "y", "z", "weight"}} {
		a, err := Run(c, text(columns, 0))
		if err != nil {
			t.Fatal(err)
		}
		if state := State(a); state != "" {
			t.Errorf("%d columns: %q", len(columns), state)
		}
		a, err = Run(c, text(columns[:4], 0)+";3,1,1,1")
		if err == nil && State(a) == "" {
			t.Error("a row more is not written")
		}
	}
	a, err := Run(c, text([]string{"pose", "x", "y", "z"}, 0)+"&landmarks="+text([]string{"pose", "x", "y", "z", "weight"}, 0)[len("landmarks="):]+"&kind=hinge")
	if err != nil || State(a) != "kind=hinge" {
		t.Errorf("%v, %q", err, State(a))
	}
}

// An event of a drag allocates no more than this: what it allocates it must fetch from far memory, and somebody must collect it.
// Counted were 2,036, 859 and 1,099 when this was written; before, 2,954, 1,386 and 1,175.
func TestAnEventAllocatesLittle(t *testing.T) {
	for id, most := range map[string]float64{"pose-fit": 2300, "placement-map": 1000, "finger-curl": 1140} {
		c, err := list.Find(id)
		if err != nil {
			t.Fatal(err)
		}
		var desk Desk
		i := 0
		allocated := testing.AllocsPerRun(30, func() {
			i++
			event(t, &desk, c, i)
		})
		t.Logf("%s: %.0f", id, allocated)
		if allocated > most {
			t.Errorf("%s: an event makes %.0f allocations, at most %.0f are expected", id, allocated, most)
		}
	}
}

// event pulls at the first handle and answers, or sets a field of a drawing that has none.
func event(t *testing.T, desk *Desk, c catalog.Calculator, i int) {
	t.Helper()
	r := Request{Width: 700, ID: "p"}
	state, err := desk.Drag(c, r, 0, 300+float64(i*7%31), 300-float64(i*5%17))
	if err != nil {
		t.Fatal(err)
	}
	if state == "" {
		state = "level=0." + strconv.Itoa(1+i%9)
	}
	r.State, r.Held = state, true
	desk.Solve(c, r)
}
