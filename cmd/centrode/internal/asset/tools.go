package asset

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// tools are the programs a build runs, and where the Go distribution keeps the start-up script of its WebAssembly.
type tools struct {
	goTool string
	goRoot string
}

func findTools(o Options) (tools, error) {
	if err := installed(o); err != nil {
		return tools{}, err
	}
	goTool, err := exec.LookPath("go")
	if err != nil {
		return tools{}, errors.New("the go tool was not found: the calculators are compiled from source, so install Go 1.26 or newer and put it on the PATH")
	}
	// Asked in the project's folder, so that a toolchain chosen by go.mod answers.
	cmd := exec.Command(goTool, "env", "GOROOT")
	cmd.Dir = o.Root
	out, err := cmd.Output()
	if err != nil {
		return tools{}, fmt.Errorf("go env GOROOT in %s: %w%s", o.Root, err, stderrOf(err))
	}
	return tools{goTool, strings.TrimSpace(string(out))}, nil
}

// installed makes sure that theme/node_modules holds what theme/package-lock.json asks for. It compares the versions
// and not the times of the two lock files: a fresh checkout gives every file a new time.
func installed(o Options) error {
	theme := filepath.Join(o.Root, "theme")
	wanted, err := lockedPackages(filepath.Join(theme, "package-lock.json"))
	if err != nil {
		return fmt.Errorf("theme/package-lock.json: %w", err)
	}
	got, err := lockedPackages(filepath.Join(theme, "node_modules", ".package-lock.json"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("theme/node_modules/.package-lock.json: %w; remove theme/node_modules and build again", err)
	}
	missing := ""
	for name, p := range wanted {
		if !p.optional && got[name].version != p.version && (missing == "" || name < missing) {
			missing = name
		}
	}
	if missing == "" {
		return nil
	}
	return install(o, theme, strings.TrimPrefix(missing, "node_modules/")+" "+wanted[missing].version)
}

// lacksDrawing says what the WebGL drawing of the fitting room misses, or "". The library is optional: without it the
// site is built all the same, and the room draws in its plain way.
func lacksDrawing(o Options) string {
	const name = "node_modules/three"
	theme := filepath.Join(o.Root, "theme")
	wanted, err := lockedPackages(filepath.Join(theme, "package-lock.json"))
	if err != nil {
		return "theme/package-lock.json cannot be read (" + err.Error() + ")"
	}
	got, err := lockedPackages(filepath.Join(theme, "node_modules", ".package-lock.json"))
	if err == nil && got[name].version == wanted[name].version && got[name].version != "" {
		return ""
	}
	return "theme/node_modules lacks three " + wanted[name].version + "; run npm ci in theme (it needs Node.js 20 or newer), then build again"
}

func install(o Options, theme, missing string) error {
	npm, err := exec.LookPath("npm")
	if err != nil {
		return fmt.Errorf("theme/node_modules lacks %s, and npm was not found: install Node.js 20 or newer with npm (on Debian 13: apt-get install nodejs npm; Debian 12 has only 18), then build again", missing)
	}
	o.note("Running npm ci in theme: " + missing + " is not there yet.")
	cmd := exec.Command(npm, "ci", "--no-audit", "--no-fund")
	cmd.Dir = theme
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("npm ci in theme: %w; it said:\n%s", err, bytes.TrimSpace(out))
	}
	return nil
}

// locked is one package of a lock file. An optional one is used where it could be installed.
type locked struct {
	version  string
	optional bool
}

// lockedPackages reads package names and versions from a lock file: what a build needs or can use, hence without the
// project's own entry and without tools of development.
func lockedPackages(name string) (map[string]locked, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var lock struct {
		Packages map[string]struct {
			Version     string `json:"version"`
			Optional    bool   `json:"optional"`
			Dev         bool   `json:"dev"`
			DevOptional bool   `json:"devOptional"`
			Link        bool   `json:"link"`
		} `json:"packages"`
	}
	if err := json.Unmarshal(data, &lock); err != nil {
		return nil, err
	}
	list := map[string]locked{}
	for name, p := range lock.Packages {
		if name != "" && !p.Dev && !p.DevOptional && !p.Link {
			list[name] = locked{p.Version, p.Optional}
		}
	}
	return list, nil
}

func (o Options) note(line string) {
	if o.Note != nil {
		o.Note(line)
	}
}

// stderrOf returns what a failed program said, on lines of its own.
func stderrOf(err error) string {
	var exit *exec.ExitError
	if errors.As(err, &exit) && len(exit.Stderr) > 0 {
		return "\n" + string(bytes.TrimSpace(exit.Stderr))
	}
	return ""
}
