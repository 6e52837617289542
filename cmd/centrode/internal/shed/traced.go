package shed

import (
	"encoding/binary"
	"slices"
	"strings"
)

// traced are the functions that run only while an execution is recorded, by the beginnings of their names: Go links them into every
// program, a twelfth of its runtime. Each call of them stands behind the question whether a recording is on (traceEnabled,
// traceShuttingDown, traceLocker.ok; of schedtrace behind GODEBUG, which a page has not). What asks stays.
var traced = []string{
	"runtime.traceAcquireEnabled", "runtime.traceAdvance", "runtime.traceBufFlush", "runtime.traceCPUFlush", "runtime.traceCPUSample", "runtime.traceReadCPU",
	"runtime.traceRegisterLabelsAndReasons", "runtime.traceRelease", "runtime.traceStack", "runtime.traceStopReadCPU", "runtime.traceSyncBatch",
	"runtime.traceThreadDestroy", "runtime.traceLocker.", "runtime.traceWriter.", "runtime.traceEventWriter.",
	"runtime.(*traceAdvancerState).", "runtime.(*traceBuf).", "runtime.(*traceMap).", "runtime.(*traceRegionAlloc).", "runtime.(*traceSchedResourceState).",
	"runtime.(*traceStackTable).", "runtime.(*traceStringTable).", "runtime.(*traceTypeTable).",
	"runtime.dumpStacksRec", "runtime.dumpTypesRec", "runtime.goStatusToTraceGoStatus", "runtime.makeTraceFrame", "runtime.startPCForTrace", "runtime.schedtrace",
}

const (
	asked  = "runtime.traceLocker.ok" // a question among them
	starts = "runtime.StartTrace"     // is linked only where runtime/trace is used
)

// stop is the body of a function that is never called: no locals, unreachable, end. Should it be called after all, the program ends there.
var stop = []byte{0, 0x00, 0x0b}

// emptied is the module without the bodies of the traced functions, or the whole module where a recording may be started.
func (t tables) emptied(functions []function) []byte {
	if slices.ContainsFunc(functions, func(f function) bool { return f.name == starts }) {
		return t.m.file
	}
	out := slices.Clone(t.m.file[:headSize])
	for id, at := range sections(t.m.file) {
		body := t.m.file[at.from:at.to]
		if id == codeSection {
			body = bodies(body, functions)
		}
		out = binary.AppendUvarint(append(out, id), uint64(len(body)))
		out = append(out, body...)
	}
	return out
}

// bodies is a section of code with the bodies of the traced functions exchanged: there is one for each function, in the same order.
func bodies(section []byte, functions []function) []byte {
	count, at := number(section, 0)
	if count != len(functions) {
		panic("functions without bodies")
	}
	out := binary.AppendUvarint(nil, uint64(count))
	for _, f := range functions {
		size, start := number(section, at)
		body := section[start : start+size]
		at = start + size
		records := func(beginning string) bool { return strings.HasPrefix(f.name, beginning) }
		if f.name != asked && slices.ContainsFunc(traced, records) {
			body = stop
		}
		out = append(binary.AppendUvarint(out, uint64(len(body))), body...)
	}
	return out
}
