//go:build unix

package bench

import (
	"syscall"
	"time"
)

// spent is the processor time of this program so far.
func spent() time.Duration {
	var usage syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &usage); err != nil {
		panic(err) // it has no reason to fail that a caller could mend
	}
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano())
}
