//go:build js

package main

import (
	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/sheet"
)

// entry(id, state, base, title) answers the plate as an entry of a placement sheet.
func entry(c catalog.Calculator, args arguments) (string, error) {
	e, err := sheet.FromPlate(c, args.text(2), args.text(1), args.text(3))
	return string(e.AppendJSON(nil)), err
}

// placements(text, other) answers a sheet as a page shows it, or two side by side.
func placements(args arguments) (string, error) {
	if other := args.text(1); other != "" {
		return string(sheet.Compared(args.text(0), other, list.Find)), nil
	}
	return string(sheet.Shown(args.text(0), list.Find)), nil
}
