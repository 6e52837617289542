//go:build !unix && !js

package bound

import "time"

var start = time.Now()

// Spent is the clock where the system does not tell what a process has had of a core, or, as Windows, in steps of 16 ms.
func Spent() time.Duration { return time.Since(start) }
