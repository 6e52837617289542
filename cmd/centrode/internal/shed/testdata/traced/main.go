// Command traced records its own execution.
package main

import (
	"bytes"
	"runtime/trace"
)

func main() {
	var record bytes.Buffer
	if err := trace.Start(&record); err != nil {
		panic(err)
	}
	answer := make(chan int)
	go func() { answer <- 1 }()
	<-answer
	trace.Stop()
	if record.Len() == 0 {
		panic("nothing was recorded")
	}
	panic("recorded")
}
