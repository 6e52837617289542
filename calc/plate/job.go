package plate

import "centrode/calc/catalog"

// Job is the answer to a Request in the making, for work that takes long: Desk.Begin, Step until it is done, Desk.Finish.
type Job struct {
	live, base *catalog.Work // base is nil when the live run says all
	given      catalog.Values
	rough      bool
}

// answers are the runs of a plate. A calculator that compares by itself, or has nothing to compare, is run once and both
// answers are that run. The answer given has the values as the reader set them, also when the live one is rough.
type answers struct {
	base, live, given catalog.Answer
	rough             bool
}

// work begins one run, a rough one if that is asked for and shorter than the whole.
func work(c catalog.Calculator, r Request, state string) (w *catalog.Work, given catalog.Values, isRough bool, err error) {
	spec := c.Spec()
	if given, err = ParseState(spec, state); err != nil {
		return nil, given, false, err
	}
	given.Units = r.Units
	staged, ok := c.(catalog.Staged)
	if !r.Rough || !ok {
		if w, err = catalog.Begin(c, given); err == nil {
			given = w.Prepared()
		}
		return w, given, false, err
	}
	if given, err = catalog.Prepare(spec, given); err != nil {
		return nil, given, false, err
	}
	short := staged.Rough(given)
	w, err = catalog.Begin(c, short)
	return w, given, WriteState(catalog.State(spec, short)) != WriteState(catalog.State(spec, given)), err
}

// Total is the number of parts of the whole work, at least 1.
func (j *Job) Total() int {
	if j.base == nil {
		return j.live.Total()
	}
	return j.live.Total() + j.base.Total()
}

// Step does up to so many parts and returns how many are done by then.
func (j *Job) Step(parts int) int {
	done := 0
	for _, w := range []*catalog.Work{j.live, j.base} {
		if w == nil {
			continue
		}
		for ; parts > 0 && w.Done() < w.Total(); parts-- {
			w.Next()
		}
		done += w.Done()
	}
	return done
}

func (j *Job) answers() (a answers, err error) {
	if a.live, err = j.live.Answer(); err != nil {
		return a, err
	}
	a.base, a.given, a.rough = a.live, a.live, j.rough
	a.given.Values = j.given
	if j.base != nil {
		a.base, err = j.base.Answer()
	}
	return a, err
}
