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
	"runtime.traceAcquireEnabled", "runtime.traceAdvance", "runtime.traceBufFlush", "runtime.traceCPUFlush", "runtime.traceReadCPU",
	"runtime.traceRegisterLabelsAndReasons", "runtime.traceRelease", "runtime.traceStack", "runtime.traceStopReadCPU", "runtime.traceSyncBatch",
	"runtime.traceThreadDestroy", "runtime.traceLocker.", "runtime.traceWriter.", "runtime.traceEventWriter.",
	"runtime.(*traceAdvancerState).", "runtime.(*traceBuf).", "runtime.(*traceMap).", "runtime.(*traceRegionAlloc).", "runtime.(*traceSchedResourceState).",
	"runtime.(*traceStackTable).", "runtime.(*traceStringTable).", "runtime.(*traceTypeTable).",
	"runtime.dumpStacksRec", "runtime.dumpTypesRec", "runtime.goStatusToTraceGoStatus", "runtime.makeTraceFrame", "runtime.startPCForTrace", "runtime.schedtrace",
}

// quiet are the functions, and what stands in them, that only print or count for somebody who looks into a program: why it stopped, what its
// memory looks like, what it has allocated; and checks of what the linker made, of which a page has one module. None gives anything back, so
// they return at once: a program that stops says why, and no more.
var quiet = []string{
	"runtime.goroutineheader", "runtime.traceback1", "runtime.tracebacksomeothers", "runtime.tracebackHexdump", "runtime.printcreatedby", "runtime.printcreatedby1",
	"runtime.printArgs", "runtime.printAncestorTraceback", "runtime.printAncestorTracebackFuncInfo", "runtime.printCgoTraceback", "runtime.dumpgstatus",
	"runtime.gcDumpObject", "runtime.hexdumpWords", "runtime.(*hexdumper).init", "runtime.(*hexdumper).write", "runtime.(*hexdumper).flushLine",
	"runtime.dumpScanStats", "runtime.printScavTrace", "runtime.checkFinalizersAndCleanups", "runtime.startCheckmarks", "runtime.runCheckmark",
	"runtime.mProf_Malloc", "runtime.mProf_Free", "runtime.saveblockevent", "runtime.saveg", "runtime.doRecordGoroutineProfile", "runtime.tryRecordGoroutineProfile",
	"runtime.moduledataverify1", "runtime.typelinksinit", "runtime.check", "runtime.testAtomic64", "runtime.gcMarkRootCheck",
}

// unasked are those that only the quiet ones and the traced ones call, and that give something back.
var unasked = []string{"runtime.traceback2", "runtime.printOneCgoTraceback", "runtime.setCheckmark", "runtime.stkbucket", "runtime.(*profBuf).", "runtime.fpunwindExpand", "runtime.typesEqual"}

const asked = "runtime.traceLocker.ok" // a question among those traced

// starts are linked only where a program looks into itself.
var starts = []string{"runtime.StartTrace", "runtime.SetCPUProfileRate", "runtime.memProfileInternal", "runtime.goroutineProfileInternal", "runtime.Stack"}

var (
	// stop is the body of a function that is never called: no locals, unreachable, end. Should it be called after all, the program ends there.
	stop = []byte{0, 0x00, 0x0b}
	// back is the body of one that returns: no locals; the address to return to, of 8 bytes, leaves Go's stack, whose pointer is the first of
	// the module's variables; 0 says that nothing waits; end. So does cmd/internal/obj/wasm compile a return.
	back = []byte{0, 0x23, 0x00, 0x41, 0x08, 0x6a, 0x24, 0x00, 0x41, 0x00, 0x0b}
)

// shorten says which functions get another body; none where the program may look into itself.
func shorten(functions []function) {
	if slices.ContainsFunc(functions, func(f function) bool { return slices.Contains(starts, f.name) }) {
		return
	}
	for i := range functions {
		functions[i].body = shortened(functions[i].name)
	}
}

// shortened is the body that a function gets instead of its own; nil where it keeps that.
func shortened(name string) []byte {
	begins := func(beginning string) bool { return strings.HasPrefix(name, beginning) }
	within := func(whole string) bool { return name == whole || strings.HasPrefix(name, whole+".") }
	switch {
	case name != asked && slices.ContainsFunc(traced, begins), slices.ContainsFunc(unasked, begins):
		return stop
	case slices.ContainsFunc(quiet, within):
		return back
	}
	return nil
}

// exchanged is the module with the shortened bodies.
func (t tables) exchanged(functions []function) []byte {
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

// bodies is a section of code with bodies exchanged: there is one for each function, in the same order.
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
		if f.body != nil {
			body = f.body
		}
		out = append(binary.AppendUvarint(out, uint64(len(body))), body...)
	}
	return out
}

// forget takes from a shortened function what the runtime reads to move and scan its stack: it never has one.
func (t tables) forget(f function) {
	t.m.setHalf(f.at+fieldStack, 0)
	for i := range f.tables {
		t.m.setHalf(f.at+functionSize+4*i, 0)
	}
	for i := range f.lists {
		t.m.setHalf(f.at+functionSize+4*(len(f.tables)+i), none)
	}
}
