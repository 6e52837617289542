package bound

import (
	"syscall/js"
	"time"
)

// Spent is what this process has had of all cores, as node tells it.
func Spent() time.Duration {
	usage := js.Global().Get("process").Call("cpuUsage")
	return time.Duration(usage.Get("user").Int()+usage.Get("system").Int()) * time.Microsecond
}
