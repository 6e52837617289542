package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/body"
	"centrode/calc/catalog"
	"centrode/calc/propose"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/report"
)

const rigFitHelp = `Find where a joint of a character belongs, from poses that the character must reach.

  centrode rig fit FILE -joint NAME [-joint NAME …] -target TARGET [-target TARGET …] [-kind ball|hinge]
                        [-format text|json|csv]

  -joint NAME     the joint, as rig show lists it; #7 is the joint at node 7 of the file. Of several each
                  is fitted by itself
  -target TARGET  morph:NAME, a shape of the surface sculpted as a pose; clip:NAME, an animation that keys translation of
                  the joint beside its rotation; file:PATH, a second file of the same character, sculpted in a pose.
                  morph:#0 is the first of its kind. Several are fitted together.
  -kind K         ball (default): each pose turns about an axis of its own; hinge: all about one
  -format F       text (for people), json (an object for each joint, centrode-fit-1), csv (the places, for rig move -moves;
                  warnings go to standard error)

Places are in cm in the world of the rest pose, angles in degrees. The vertices used are those that the joint alone moves
or, where these are few, those that it moves by more than half. Clips alone need none: a ball is fitted to their keys,
also in a file of motion without a surface. Nothing is written; centrode rig move carries a place out.

Exit status: 0 found, 1 the file or the targets cannot be used, be it for one joint of several, 2 the command line is wrong.

examples:
  centrode rig fit odalys-arm.glb -joint elbow -target morph:target-folded
  centrode rig fit odalys-arm.glb -joint elbow -target clip:fold -format json
  centrode rig fit odalys-arm.glb -joint elbow -target morph:target-folded -format csv
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
	format, check := rigFormat(flags, "csv")
	kind := flags.String("kind", "ball", "")
	var joints, targets words
	flags.Var(&joints, "joint", "")
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
	case len(joints) == 0 || slices.Contains(joints, ""):
		err = errors.New("name the joint with -joint; centrode rig show lists them")
	case len(targets) == 0:
		err = errors.New("give a pose to reach with -target, such as morph:NAME, clip:NAME or file:PATH")
	default:
		err = oneOf("kind", *kind, "ball", "hinge")
	}
	if err != nil {
		return usage(stderr, "rig fit", err.Error())
	}
	b, at, list, err := asked(plain[0], joints, targets)
	if err != nil {
		return failOnLine(stderr, err)
	}
	var found []*propose.Proposal
	for _, joint := range at { // one of which the targets tell nothing keeps no other from being found
		p, err := propose.Find(b, joint, list, *kind == "hinge")
		if err != nil {
			status = failOnLine(stderr, err)
			continue
		}
		found = append(found, &p)
	}
	switch *format {
	case "json":
		for _, p := range found {
			stdout.Write(append(p.JSON(b).AppendTo(nil), '\n'))
		}
	case "csv":
		stdout.Write(fitCSV(b, found))
		for _, p := range found {
			for _, w := range p.Warnings {
				fmt.Fprintf(stderr, "%s: %s\n", report.Harmless(b.Joints[p.Joint].Name), report.Harmless(w))
			}
		}
	default:
		for i, p := range found {
			if i > 0 {
				stdout.Write([]byte("\n\n"))
			}
			stdout.Write(shown(fitText(b, p)))
		}
	}
	return status
}

// asked reads a character, and finds the joints and the targets that are named.
func asked(file string, joints, targets []string) (b *body.Body, at []int, list []*body.Target, err error) {
	doc, err := readModel(file)
	if err != nil {
		return nil, nil, nil, err
	}
	if b, err = body.New(filepath.Base(file), doc); err != nil {
		return nil, nil, nil, err
	}
	for _, name := range joints {
		joint, err := b.Find(name)
		if err == nil && slices.Contains(at, joint) {
			err = errors.New(strconv.Quote(name) + ": is asked for twice")
		}
		if err != nil {
			return nil, nil, nil, err
		}
		at = append(at, joint)
	}
	for _, text := range targets {
		if path, ok := strings.CutPrefix(text, "file:"); ok {
			doc, err := readModel(path)
			if err != nil {
				return nil, nil, nil, err
			}
			if err := b.AddTarget(path, doc); err != nil {
				return nil, nil, nil, err
			}
		}
	}
	for _, text := range targets { // found after all are there, since adding one may move the others
		t, err := b.Target(text)
		if err != nil {
			return nil, nil, nil, err
		}
		list = append(list, t)
	}
	return b, at, list, nil
}

// fitCSV is a file for rig move -moves. A joint whose name another one has is named by its node.
func fitCSV(b *body.Body, found []*propose.Proposal) []byte {
	text := []byte("joint,x,y,z\n")
	for _, p := range found {
		name := b.Joints[p.Joint].Name
		if at, err := b.Find(name); err != nil || at != p.Joint {
			name = "#" + strconv.Itoa(b.Joints[p.Joint].Node)
		}
		text = fmt.Appendf(catalog.AppendCell(text, name), ",%s,%s,%s\n", quantity.Shortest(p.Pivot.X), quantity.Shortest(p.Pivot.Y), quantity.Shortest(p.Pivot.Z))
	}
	return text
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
