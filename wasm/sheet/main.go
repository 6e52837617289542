//go:build js

// Command sheet reads placement sheets for their page: it computes every entry again and shows what was stated beside it. It is a
// module of its own, so that no other page carries it.
package main

import (
	"centrode/calc/catalog/list"
	"centrode/calc/sheet"
	"centrode/wasm/door"
)

func main() { door.Open(door.Function{Name: "sheet", Call: placements}) }

// placements(text, other) answers a sheet as a page shows it, or two side by side.
func placements(args door.Arguments) (string, error) {
	if other := args.Text(1); other != "" {
		return string(sheet.Compared(args.Text(0), other, list.Find)), nil
	}
	return string(sheet.Shown(args.Text(0), list.Find)), nil
}
