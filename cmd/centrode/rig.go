package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"centrode/calc/gltf"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/report"
)

const rigHelp = `Look into a character file (glTF 2.0, .glb or .gltf) and work on its joints.

  centrode rig VERB FILE [flags]

  show   list joints, skins, meshes, morph targets and animations, with lengths in cm
  fit    find where a joint belongs from poses that the character must reach; from clips, without a surface too
  move   move a joint, write a new file, and tell what changed; also in a file of motion without a surface

centrode rig VERB -h tells more about a verb. A file is never changed in place.

Exit status: 0 done, 1 the file cannot be used, 2 the command line is wrong.

examples:
  centrode new character odalys-arm   # writes odalys-arm.glb, whose elbow lies wrong
  centrode rig show odalys-arm.glb
  centrode rig fit odalys-arm.glb -joint elbow -target morph:target-folded -kind hinge
  centrode rig move odalys-arm.glb -joint elbow -to 30,142,1.8 -out elbow-moved.glb
`

// rigVerbs are the verbs under rig; each has a file of its own with its help.
var rigVerbs = map[string]verb{"show": runRigShow, "fit": runRigFit, "move": runRigMove}

func runRig(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		fmt.Fprint(stderr, rigHelp)
		return 2
	}
	if args[0] == "help" && len(args) > 1 {
		args = []string{args[1], "-h"}
	}
	if do, ok := rigVerbs[args[0]]; ok {
		return do(args[1:], stdin, stdout, stderr)
	}
	switch args[0] {
	case "-h", "-help", "--help", "help":
		fmt.Fprint(stdout, rigHelp)
		return 0
	}
	return usage(stderr, "rig", fmt.Sprintf("%q is no verb of rig%s", args[0], spell.Offer(args[0], slices.Sorted(maps.Keys(rigVerbs)))))
}

// shown is text for a person, with what somebody else wrote in it kept from moving the cursor of a terminal.
func shown(text []byte) []byte {
	return bytes.Map(func(r rune) rune {
		if r == '\n' {
			return r
		}
		return report.Visible(r)
	}, text)
}

// failOnLine is fail with what a file may have named.
func failOnLine(stderr io.Writer, err error) int {
	return fail(stderr, errors.New(report.Harmless(err.Error())))
}

// readModel reads a character file. What it needs of other files must lie in its folder or below.
func readModel(name string) (*gltf.Document, error) {
	data, err := readBounded(os.Open, name)
	if err != nil {
		return nil, err
	}
	dir, err := os.OpenRoot(filepath.Dir(name))
	if err != nil {
		return nil, fmt.Errorf("%s: the folder cannot be opened: %w", name, cause(err))
	}
	defer dir.Close()
	d, err := gltf.Read(data, func(beside string) ([]byte, error) { return readBounded(dir.Open, filepath.FromSlash(beside)) })
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return d, nil
}

// maxModel is more than any character needs, and what the memory of a small machine holds.
const maxModel = 1 << 30

func readBounded(open func(string) (*os.File, error), name string) ([]byte, error) {
	f, err := open(name)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, cause(err))
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s: %w", name, cause(err))
	case info.IsDir():
		return nil, fmt.Errorf("%s: is a folder; name a .glb or .gltf file", name)
	case info.Size() > maxModel:
		return nil, fmt.Errorf("%s: has %d bytes; at most %d are allowed", name, info.Size(), maxModel)
	}
	data, err := io.ReadAll(io.LimitReader(f, maxModel+1)) // a pipe has no size
	if err == nil && len(data) > maxModel {
		err = fmt.Errorf("%s: has no end; at most %d bytes are allowed", name, maxModel)
	}
	return data, err
}

// rigFormat adds the flag -format and returns the function that checks it; others are formats beside text and JSON.
func rigFormat(flags *flag.FlagSet, others ...string) (format *string, check func() error) {
	format = flags.String("format", "text", "")
	return format, func() error { return oneOf("format", *format, append([]string{"text", "json"}, others...)...) }
}
