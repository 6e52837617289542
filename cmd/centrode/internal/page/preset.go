package page

import (
	"sync"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

// Preset is a named set of values to start from.
type Preset struct {
	State, Label string
	English      bool // the label is the name of a character
}

// presets lists what a plate can start from, all or only the named ones; its own values come first. One that the calculator refuses is left out:
// the check of the book reports it.
func (s *site) presets(spec catalog.Spec, base string, only []lesson.Ref) []Preset {
	list := []Preset{{State: base, Label: s.say("printedValues")}}
	c, _ := s.calculator(spec.ID)
	for _, p := range s.offered(spec, only) {
		state, ok := s.starts.of(c, spec.ID, p)
		switch {
		case !ok:
		case only != nil && state == base: // of few, the one that is printed needs no second name
			list[0].Label, list[0].English = p.Label, true
		default:
			list = append(list, Preset{state, p.Label, true})
		}
	}
	if len(list) == 1 {
		return nil
	}
	return list
}

// starts remembers the states of presets: every plate of a calculator offers the same, and each costs a run of it.
type starts struct {
	mu    sync.Mutex
	known map[[2]string]start // by calculator and what the preset sets
}

type start struct {
	state string
	ok    bool // false for one that the calculator refuses
}

func newStarts() *starts { return &starts{known: map[[2]string]start{}} }

// of returns the state that a preset of the calculator gives.
func (s *starts) of(c catalog.Calculator, id string, p catalog.Preset) (state string, ok bool) {
	set := plate.WriteState(p.Values)
	key := [2]string{id, set}
	s.mu.Lock()
	defer s.mu.Unlock()
	one, known := s.known[key]
	if !known {
		a, err := plate.Run(c, set)
		if one.ok = err == nil; one.ok {
			one.state = plate.State(a)
		}
		s.known[key] = one
	}
	return one.state, one.ok
}
