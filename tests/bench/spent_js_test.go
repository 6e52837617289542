package bench

import (
	"syscall/js"
	"time"
)

// spent is the processor time of this program so far, as node tells it.
func spent() time.Duration {
	usage := js.Global().Get("process").Call("cpuUsage")
	return time.Duration(usage.Get("user").Int()+usage.Get("system").Int()) * time.Microsecond
}
