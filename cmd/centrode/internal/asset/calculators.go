package asset

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"centrode/cmd/centrode/internal/shed"
)

// modules are the programs compiled to WebAssembly, by the name of their file. The fitting room's and that of the placement sheet are
// apart, so that no other page carries the readers of their files.
var modules = []struct{ file, source string }{{"calculators.wasm", "./wasm"}, {"sheet.wasm", "./wasm/sheet"}, {"room.wasm", "./wasm/room"}}

// called are the packages that carry text, or few sums: their functions are called where they stand instead of being
// copied into each other, which makes the calculators 2 % smaller. The other solvers and figures are compiled as ever.
func called() (flags []string) {
	for _, p := range []string{
		"centrode/wasm", "centrode/wasm/door", "centrode/wasm/sheet", "centrode/calc/plate", "centrode/calc/sheet", "centrode/calc/catalog", "centrode/calc/catalog/list",
		"centrode/calc/jsontree", "centrode/calc/spell", "centrode/calc/vary", "centrode/calc/quantity", "centrode/calc/views", "centrode/calc/hingeplane", "centrode/calc/placementmap", "centrode/calc/reseat", "strings", "strconv", "slices", "syscall/js",
	} {
		flags = append(flags, "-gcflags="+p+"=-l")
	}
	return flags
}

// compileModules compiles the modules. The results stay in the cache folder, where the go tool recognises by its build
// ID that one is up to date.
func compileModules(o Options, t tools) (*Set, error) {
	s := newSet()
	for _, m := range modules {
		file := filepath.Join(o.Cache, m.file)
		args := append([]string{"build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w"}, called()...)
		cmd := exec.Command(t.goTool, append(args, "-o", file, m.source)...)
		cmd.Dir = o.Root
		cmd.Env = wasmEnviron(os.Environ())
		if out, err := cmd.CombinedOutput(); err != nil {
			return nil, fmt.Errorf("%s does not compile (go build %s: %w):\n%s", m.file, m.source, err, bytes.TrimSpace(out))
		}
		data, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		lean, err := shed.Lines(data)
		if err != nil { // no failure: the module is only larger
			lean = data
			o.note(m.file + " keeps its lines and names of functions, a fifth of its size: " + err.Error())
		}
		s.Add(m.file, lean)
	}
	return s, nil
}

// wasmEnviron is the environment for the compilation without what would change its result from one person's machine
// to the next. What is left out is not unset: the go tool then asks the file that go env -w writes. So all that it would ask for is said;
// a list of no experiments is a comma, since an empty text would be taken for none given.
func wasmEnviron(environ []string) []string {
	env := slices.DeleteFunc(slices.Clone(environ), func(v string) bool {
		name, _, _ := strings.Cut(v, "=")
		return slices.Contains([]string{"GOOS", "GOARCH", "GOFLAGS", "GOWASM", "GOEXPERIMENT", "GOWORK", "GODEBUG", "CGO_ENABLED", "GOFIPS140"}, name)
	})
	return append(env, "GOOS=js", "GOARCH=wasm", "GOFLAGS=-mod=readonly", "GOWORK=off", "CGO_ENABLED=0", "GOFIPS140=off", "GOEXPERIMENT=,")
}
