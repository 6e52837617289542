package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"centrode/calc/body"
	"centrode/calc/propose"
	"centrode/cmd/centrode/internal/report"
)

const rigFitHelp = `Find where a joint of a character belongs, from poses that the character must reach.

  centrode rig fit FILE -joint NAME -target TARGET [-target TARGET …] [-kind ball|hinge] [-format text|json]

  -joint NAME     the joint, as rig show lists it; #7 is the joint at node 7 of the file
  -target TARGET  morph:NAME, a shape of the surface sculpted as a pose; clip:NAME, an animation that keys translation of
                  the joint beside its rotation; file:PATH, a second file of the same character, sculpted in a pose.
                  morph:#0 is the first of its kind. Several are fitted together.
  -kind K         ball (default): each pose turns about an axis of its own; hinge: all about one
  -format F       text (for people), json (one object, centrode-fit-1)

Places are in cm in the world of the rest pose, angles in degrees. The vertices used are those that the joint alone moves
or, where these are few, those that it moves by more than half. Clips alone need none: a ball is fitted to their keys,
also in a file of motion without a surface. Nothing is written; centrode rig move carries a place out.

Exit status: 0 found, 1 the file or the targets cannot be used, 2 the command line is wrong.

examples:
  centrode rig fit odalys-arm.glb -joint elbow -target morph:target-folded
  centrode rig fit odalys-arm.glb -joint elbow -target clip:fold -format json
`

// words collects a flag that may be given several times.
type words []string

func (w *words) String() string { return strings.Join(*w, " ") }

func (w *words) Set(text string) error {
	*w = append(*w, text)
	return nil
}

func runRigFit(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("rig fit", flag.ContinueOnError)
	format, check := rigFormat(flags)
	joint, kind := flags.String("joint", "", ""), flags.String("kind", "ball", "")
	var targets words
	flags.Var(&targets, "target", "")
	plain, status, done := parse(flags, rigFitHelp, args, stdout, stderr)
	if done {
		return status
	}
	err := check()
	switch {
	case err != nil:
	case len(plain) != 1:
		err = errors.New("rig fit takes one file, as in: centrode rig fit odalys-arm.glb -joint elbow -target morph:target-folded")
	case *joint == "":
		err = errors.New("name the joint with -joint; centrode rig show lists them")
	case len(targets) == 0:
		err = errors.New("give a pose to reach with -target, such as morph:NAME, clip:NAME or file:PATH")
	default:
		err = oneOf("kind", *kind, "ball", "hinge")
	}
	if err != nil {
		return usage(stderr, "rig fit", err.Error())
	}
	b, found, err := fit(plain[0], *joint, targets, *kind == "hinge")
	if err != nil {
		return failOnLine(stderr, err)
	}
	if *format == "json" {
		stdout.Write(append(found.JSON(b).AppendTo(nil), '\n'))
		return 0
	}
	stdout.Write(shown(fitText(b, found)))
	return 0
}

// openBody reads a character and finds a joint of it.
func openBody(file, joint string) (*body.Body, int, error) {
	doc, err := readModel(file)
	if err != nil {
		return nil, 0, err
	}
	b, err := body.New(filepath.Base(file), doc)
	if err != nil {
		return nil, 0, err
	}
	at, err := b.Find(joint)
	return b, at, err
}

func fit(file, joint string, targets []string, hinge bool) (*body.Body, *propose.Proposal, error) {
	b, at, err := openBody(file, joint)
	if err != nil {
		return nil, nil, err
	}
	var list []*body.Target
	for _, text := range targets {
		if path, ok := strings.CutPrefix(text, "file:"); ok {
			doc, err := readModel(path)
			if err != nil {
				return nil, nil, err
			}
			if err := b.AddTarget(path, doc); err != nil {
				return nil, nil, err
			}
		}
	}
	for _, text := range targets { // found after all are there, since adding one may move the others
		t, err := b.Target(text)
		if err != nil {
			return nil, nil, err
		}
		list = append(list, t)
	}
	p, err := propose.Find(b, at, list, hinge)
	return b, &p, err
}

func fitText(b *body.Body, p *propose.Proposal) []byte {
	text := fmt.Appendf(nil, "%s\n\n", report.Harmless(p.Say(b)))
	for _, row := range p.Rows(b) {
		text = fmt.Appendf(text, "%-32s %s\n", row.Label, report.Harmless(row.Text))
	}
	for _, w := range p.Warnings {
		text = fmt.Appendf(text, "\n%s\n", report.Harmless(w))
	}
	return text
}
