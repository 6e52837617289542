package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"strings"
	"syscall"
	"testing"
)

// fullDisk is standard output led into a file on a full disk.
type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) {
	return 0, &fs.PathError{Op: "write", Path: "/dev/stdout", Err: syscall.ENOSPC}
}

// What could not be printed is not done, whatever was asked, and nothing else is blamed for it.
func TestOutputThatCannotBeWrittenIsToldByEveryVerb(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("sheet.json", []byte(sheetFile), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		"-h", "help calc", "build -h", "serve -h", "check -h", "calc -h", "sheet -h", "rig -h", "rig show -h", "rig fit -h", "rig move -h", "new -h",
		"calc -list", "calc hinge-arc -describe", "calc hinge-arc", "calc hinge-arc -format json", "calc hinge-arc -in -", "sheet sheet.json",
		"new character odalys-arm", "rig show odalys-arm.glb", "rig show odalys-arm.glb -format json",
		"rig fit odalys-arm.glb -joint elbow -target morph:target-folded", "rig move odalys-arm.glb -joint elbow -to 30,142,1.8 -plan",
	} {
		var told strings.Builder
		status := run(strings.Fields(line), strings.NewReader("tip_x\n20\n"), fullDisk{}, &told)
		if want := "standard output: cannot be written: " + syscall.ENOSPC.Error() + "\n"; status != 1 || !strings.HasSuffix("\n"+told.String(), "\n"+want) || strings.Count(told.String(), want) != 1 {
			t.Errorf("centrode %s on a full disk = %d %q, want 1 %q", line, status, told.String(), want)
		}
	}
	if o := (&output{to: os.Stderr}); isTerminal(o) != isTerminal(os.Stderr) {
		t.Error("whether a person reads along is no longer seen")
	}
	o := &output{to: fullDisk{}}
	io.WriteString(o, "a")
	o.to = io.Discard
	if io.WriteString(o, "b"); !errors.Is(o.err, syscall.ENOSPC) {
		t.Errorf("a later write hides the first: %v", o.err)
	}
}
