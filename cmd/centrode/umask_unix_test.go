//go:build unix

package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// What a command writes anew is as private as all that its user writes; a file that is replaced stays as it was.
func TestANewFileIsAsPrivateAsItsUserWants(t *testing.T) {
	before := syscall.Umask(0o077)
	defer syscall.Umask(before)
	t.Chdir(t.TempDir())
	if err := errors.Join(os.WriteFile("sheet.json", []byte(sheetFile), 0o600), os.WriteFile("open.svg", nil, 0o600), os.Chmod("open.svg", 0o644)); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		"calc hinge-arc -figure elbow.svg", "calc hinge-arc -figure open.svg", "sheet sheet.json -out elbow.html", "new character odalys-arm",
		"rig move odalys-arm.glb -joint elbow -to 30,142,1.8 -out moved.glb -sheet moved.json",
	} {
		var complaint strings.Builder
		if status := run(strings.Fields(line), strings.NewReader(""), io.Discard, &complaint); status != 0 {
			t.Fatalf("%s = %d %s", line, status, complaint.String())
		}
	}
	for name, want := range map[string]os.FileMode{"elbow.svg": 0o600, "open.svg": 0o644, "elbow.html": 0o600, "odalys-arm.glb": 0o600, "moved.glb": 0o600, "moved.json": 0o600} {
		if info, err := os.Stat(filepath.Join(".", name)); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v; want %v", name, info.Mode().Perm(), err, want)
		}
	}
}
