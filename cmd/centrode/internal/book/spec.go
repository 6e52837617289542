package book

import (
	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
)

// Spec is what a calculator says of itself. The error names the nearest calculator.
func Spec(id string) (catalog.Spec, error) {
	c, err := list.Find(id)
	if err != nil {
		return catalog.Spec{}, err
	}
	return c.Spec(), nil
}
