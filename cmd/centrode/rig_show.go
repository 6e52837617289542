package main

import (
	"encoding/json"
	"flag"
	"io"

	"centrode/cmd/centrode/internal/inventory"
)

const rigShowHelp = `List what a character file holds.

  centrode rig show FILE [-format text|json]

Lengths are in cm: a unit of a glTF file is a metre. Positions are in the frame of the scene, at rest. What is odd in the
file but can be used is told at the end; what cannot be used is refused, with its place in the file. A file of motion alone,
without a surface, is listed in the same way; what rig fit and rig move can do in it, their help tells.

  -format F   text (for people), json (one object)

Exit status: 0 read, 1 the file cannot be used, 2 the command line is wrong.

examples:
  centrode rig show odalys-hand.glb
  centrode rig show odalys-hand.glb -format json
`

func runRigShow(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("rig show", flag.ContinueOnError)
	format, check := rigFormat(flags)
	plain, status, done := parse(flags, rigShowHelp, args, stdout, stderr)
	if done {
		return status
	}
	if err := check(); err != nil {
		return usage(stderr, "rig show", err.Error())
	}
	if len(plain) != 1 {
		return usage(stderr, "rig show", "rig show takes one file, as in: centrode rig show odalys-hand.glb")
	}
	d, err := readModel(plain[0])
	if err != nil {
		return failOnLine(stderr, err)
	}
	list := inventory.Of(plain[0], d)
	if *format == "text" {
		stdout.Write(shown(list.Text()))
		return 0
	}
	text, err := json.Marshal(list)
	if err != nil {
		return failOnLine(stderr, err)
	}
	stdout.Write(append(text, '\n'))
	return 0
}
