//go:build !unix

package bound

import "time"

var start = time.Now()

// spent is the clock where the system does not tell what a process has had of a core.
func spent() time.Duration { return time.Since(start) }
