package asset

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// compileCalculators compiles ./wasm. The result stays in the cache folder, where the go tool recognises that it is up
// to date by its build ID.
func compileCalculators(o Options, t tools) (*Set, error) {
	file := filepath.Join(o.Cache, "calculators.wasm")
	cmd := exec.Command(t.goTool, "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", file, "./wasm")
	cmd.Dir = o.Root
	cmd.Env = wasmEnviron(os.Environ())
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("the calculators do not compile (go build ./wasm: %w):\n%s", err, bytes.TrimSpace(out))
	}
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	s := newSet()
	s.Add("calculators.wasm", data)
	return s, nil
}

// wasmEnviron is the environment for the compilation without what would change its result from one person's machine
// to the next.
func wasmEnviron(environ []string) []string {
	env := slices.DeleteFunc(slices.Clone(environ), func(v string) bool {
		name, _, _ := strings.Cut(v, "=")
		return slices.Contains([]string{"GOOS", "GOARCH", "GOFLAGS", "GOWASM", "GOEXPERIMENT", "GOWORK", "GODEBUG"}, name)
	})
	return append(env, "GOOS=js", "GOARCH=wasm", "GOFLAGS=", "GOWORK=off")
}
