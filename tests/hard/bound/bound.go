// Package bound holds every fuzz target to the same bounds of time and memory, whatever it is given.
package bound

import (
	"fmt"
	"runtime/metrics"
	"testing"
	"time"
)

// What one execution may take: a second of a core, and memory in all, freed or not, that grows with what it was given.
const (
	Time      = time.Second
	Memory    = 64 << 20         // bytes
	PerByte   = 32 << 10         // bytes for each byte of input
	patience  = 20 * time.Second // on the clock, between two looks at an execution that has not ended
	allocated = "/gc/heap/allocs:bytes"
)

// Watch begins to measure an execution that was given so many bytes; the function it returns ends it and fails t where a bound was
// exceeded. An execution that has had many times its second and has not ended ends the process, so that the engine keeps what it was given.
func Watch(t testing.TB, size int) (end func()) {
	t.Helper()
	held, began := memory(), Spent()
	var dog *time.Timer
	dog = time.AfterFunc(patience, func() {
		if took := Spent() - began; took > 10*Time {
			panic(fmt.Sprintf("still at work after %v of a core", took))
		}
		dog.Reset(patience) // the machine is busy with something else
	})
	return func() {
		t.Helper()
		took, bytes := Spent()-began, memory()-held
		dog.Stop()
		for _, text := range beyond(took, bytes, size) {
			t.Error(text)
		}
	}
}

// beyond says which bounds were exceeded.
func beyond(took time.Duration, bytes uint64, size int) (out []string) {
	if took > Time {
		out = append(out, fmt.Sprintf("took %v of a core for %d bytes; at most %v are allowed", took, size, Time))
	}
	if most := uint64(Memory + PerByte*size); bytes > most {
		out = append(out, fmt.Sprintf("took %d bytes of memory for %d bytes; at most %d are allowed", bytes, size, most))
	}
	return out
}

func memory() uint64 {
	sample := [1]metrics.Sample{{Name: allocated}}
	metrics.Read(sample[:])
	return sample[0].Value.Uint64()
}
