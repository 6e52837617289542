//go:build js

package door

import (
	"runtime"
	"syscall/js"
)

// tidy() collects garbage, so that this is done while the page rests and not when somebody waits for an answer.
func tidy(js.Value, []js.Value) any {
	runtime.GC()
	return nil
}
