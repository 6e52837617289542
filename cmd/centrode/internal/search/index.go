package search

import (
	"fmt"
	"time"

	"github.com/dop251/goja"
)

// patience ends a script that would never end; the index of the whole handbook takes seconds, and a minute or two on a
// machine that is busy with much else.
const patience = 10 * time.Minute

// Files is what the page loads: the index with the heads of all places, and apart from it their texts, which only the
// excerpts need.
type Files struct{ Index, Texts []byte }

// Index makes the files from the list that JSON wrote. The script is theme/scripts/find.js, bundled so that its exports
// are the properties of a global called find; it is the one that the page asks the index with, so both read words
// alike. Building the index here and not in the page spares each reader some nine tenths of the time to the first
// result.
func Index(script string, list []byte) (Files, error) {
	vm := goja.New()
	timer := time.AfterFunc(patience, func() { vm.Interrupt("takes too long") })
	defer timer.Stop()
	if _, err := vm.RunScript("find.js", script); err != nil {
		return Files{}, fmt.Errorf("theme/scripts/find.js does not start: %w", err)
	}
	exports, ok := vm.Get("find").(*goja.Object)
	if !ok {
		return Files{}, fmt.Errorf("theme/scripts/find.js has no exports")
	}
	makeIndex, ok := goja.AssertFunction(exports.Get("makeIndex"))
	if !ok {
		return Files{}, fmt.Errorf("theme/scripts/find.js exports no function makeIndex")
	}
	made, err := makeIndex(goja.Undefined(), vm.ToValue(string(list)))
	if err != nil {
		return Files{}, fmt.Errorf("the index of the search: %w", err)
	}
	var files struct{ Index, Texts string }
	vm.SetFieldNameMapper(goja.UncapFieldNameMapper())
	if err := vm.ExportTo(made, &files); err != nil || files.Index == "" {
		return Files{}, fmt.Errorf("the index of the search: makeIndex returned no { index, texts } (%v)", err)
	}
	return Files{[]byte(files.Index), []byte(files.Texts)}, nil
}
