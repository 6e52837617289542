package book

import (
	"sync"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
)

// specs is made once: a Spec costs more to build than most answers, and every block of a book asks for one.
var specs = sync.OnceValue(func() map[string]catalog.Spec {
	m := map[string]catalog.Spec{}
	for _, c := range list.All() {
		spec := c.Spec()
		m[spec.ID] = spec
	}
	return m
})

// Spec is what a calculator says of itself. It belongs to all who ask, and must not be written to. The error names the
// nearest calculator.
func Spec(id string) (catalog.Spec, error) {
	_, err := list.Find(id)
	return specs()[id], err
}
