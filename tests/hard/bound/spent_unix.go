//go:build unix

package bound

import (
	"syscall"
	"time"
)

// Spent is what this process has had of all cores: a busy machine makes nothing seem slow.
func Spent() time.Duration {
	var r syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &r) != nil {
		return 0
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}
