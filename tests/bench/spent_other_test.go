//go:build !unix && !js

package bench

import "time"

var began = time.Now()

// spent is the time of the clock: Windows counts a program's processor time in steps of 16 ms, too coarse for one turn of a benchmark.
func spent() time.Duration { return time.Since(began) }
