// Package list is the list of all calculators: the one place that knows every one of them.
package list

import (
	"centrode/calc/bendsection"
	"centrode/calc/catalog"
	"centrode/calc/fingercurl"
	"centrode/calc/hingearc"
	"centrode/calc/hingeplane"
	"centrode/calc/keyfit"
	"centrode/calc/limbfold"
	"centrode/calc/pivotoffset"
	"centrode/calc/placementmap"
	"centrode/calc/posefit"
	"centrode/calc/quantity"
	"centrode/calc/reseat"
	"centrode/calc/spell"
)

// All returns every calculator in the order of the handbook.
func All() []catalog.Calculator {
	return []catalog.Calculator{
		pivotoffset.Calculator{},
		fingercurl.Calculator{},
		hingearc.Calculator{},
		limbfold.Calculator{},
		posefit.Calculator{},
		keyfit.Calculator{},
		placementmap.Calculator{},
		reseat.Calculator{},
		hingeplane.Calculator{},
		bendsection.Calculator{},
	}
}

// IDs returns the ids of all calculators, in order.
func IDs() []string {
	var ids []string
	for _, c := range All() {
		ids = append(ids, c.Spec().ID)
	}
	return ids
}

// Find returns the calculator with the id; its *catalog.InputError offers the nearest id that exists.
func Find(id string) (catalog.Calculator, error) {
	for _, c := range All() {
		if c.Spec().ID == id {
			return c, nil
		}
	}
	return nil, &catalog.InputError{Allowed: "calculator " + quantity.Quoted(id) + " is unknown" + spell.Offer(id, IDs())}
}
