package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A link stays one, and what it leads to is written, also where that is not there yet: by every verb that writes a file.
func TestWhatALinkLeadsToIsWritten(t *testing.T) {
	for _, c := range []struct{ line, link, name string }{
		{"calc hinge-arc -figure ", "link.svg", "new.svg"},
		{"sheet sheet.json -out ", "link.html", "new.html"},
		{"rig move arm.glb -joint elbow -to 1,2,3 -out ", "link.glb", "new.glb"},
		{"rig move arm.glb -joint elbow -to 1,2,3 -out new.gltf -sheet ", "link.json", "new.json"},
	} {
		dir := armIn(t)
		deep := filepath.Join(dir, "deep", "within")
		if err := errors.Join(os.MkdirAll(deep, 0o755), os.WriteFile(filepath.Join(dir, "sheet.json"), []byte(sheetFile), 0o644), os.Symlink(deep, filepath.Join(dir, "short")),
			os.Symlink("short/../second", filepath.Join(dir, c.link)), os.Symlink(filepath.Join("..", "deep", "within", c.name), filepath.Join(dir, "deep", "second")),
			os.Symlink("b"+c.link, filepath.Join(dir, "a"+c.link)), os.Symlink("a"+c.link, filepath.Join(dir, "b"+c.link)),
			os.Symlink(filepath.Join("nowhere", c.name), filepath.Join(dir, "c"+c.link))); err != nil {
			t.Fatal(err)
		}
		for _, bad := range []string{"a", "c"} {
			_, errOut, status := command(t, dir, strings.Fields(c.line+bad+c.link)...)
			if status != 1 || !strings.Contains("\n"+errOut, "\n"+bad+c.link+": ") || !strings.Contains(errOut, "cannot be written: ") {
				t.Errorf("%s%s%s, a link to itself or into no folder = %d %q", c.line, bad, c.link, status, errOut)
			}
			if info, err := os.Lstat(filepath.Join(dir, bad+c.link)); err != nil || info.Mode().Type() != os.ModeSymlink {
				t.Errorf("%s%s%s: the link is now %v, %v", c.line, bad, c.link, info, err)
			}
		}
		_, errOut, status := command(t, dir, strings.Fields(c.line+c.link)...)
		if status != 0 {
			t.Errorf("%s%s = %d %s", c.line, c.link, status, errOut)
		}
		if info, err := os.Lstat(filepath.Join(dir, c.link)); err != nil || info.Mode().Type() != os.ModeSymlink {
			t.Errorf("%s%s: the link is now %v, %v", c.line, c.link, info, err)
		}
		if entries, err := os.ReadDir(deep); err != nil || len(entries) != 1 || entries[0].Name() != c.name {
			t.Errorf("%s%s: where the link leads are %v, %v", c.line, c.link, entries, err)
		}
	}
}

// A file that a shell leads to standard input is what is read, and is not written over.
func TestWhatStandardInputIsReadFromStays(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	for _, c := range []struct{ name, text, line string }{
		{"read.svg", `{"candidate_y": -2}`, "calc hinge-arc -in - -figure "}, {"read.html", sheetFile, "sheet - -out "},
	} {
		if err := os.WriteFile(c.name, []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, out := range []string{c.name, "./" + c.name, "new-" + c.name} {
			in, err := os.Open(c.name)
			if err != nil {
				t.Fatal(err)
			}
			var told strings.Builder
			status := run(strings.Fields(c.line+out), in, io.Discard, &told)
			in.Close()
			if fresh := strings.HasPrefix(out, "new-"); (status == 0) != fresh || !fresh && !strings.Contains(told.String(), out+": is the file that was read, and would be lost; name another for the ") {
				t.Errorf("%s%s < %s = %d %q", c.line, out, c.name, status, told.String())
			}
			if is, err := os.ReadFile(c.name); err != nil || string(is) != c.text {
				t.Fatalf("%s%s < %s: what was read is now %.40q, %v", c.line, out, c.name, is, err)
			}
		}
	}
}
