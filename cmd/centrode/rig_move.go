package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"

	"centrode/calc/carry"
	"centrode/calc/gltf"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/cmd/centrode/internal/report"
)

const rigMoveHelp = `Move one joint of a character and disturb nothing else: children stay, painted weights stay, the rest surface stays.
A mesh that the joint carries itself hangs on a new node right below it then.

  centrode rig move FILE -joint NAME -to X,Y,Z|-own X,Y,Z -out FILE [-sheet FILE.json] [HOW …]
  centrode rig move FILE -joint NAME -to X,Y,Z|-own X,Y,Z -plan [HOW …]
  HOW is -orient keep|aim, -axis A, -animation keep|leave or -format text|json

  -joint NAME   the joint, as rig show lists it; #7 is the joint at node 7 of the file
  -to X,Y,Z     its new place, in the world of the rest pose; cm unless another unit is written, as in 31cm,-15mm,0
  -own X,Y,Z    in the place of -to: the move as the joint itself sees it at rest, the own offset that a move tells
  -out FILE     where the new file goes, as .glb, or as .gltf with all its numbers in it; a file that exists is never
                replaced. What the old one names beside itself, as pictures, the new one names too
  -sheet FILE   also write a placement sheet of the move (centrode-sheet-1), to be filled in and printed
  -plan         tell what would change and what could be lost, and write nothing
  -orient O     keep (default): every orientation stays; aim: the joint turns to the first child that
                stands elsewhere, and its parent to it
  -axis A       with -orient aim: the joints' own axis that points along the segment, +x to -z; by itself the one that does
  -animation A  keep (default): translation keys are written that keep each segment on its old path about the new pivot;
                leave: the joint only turns, its keyed translation is dropped, and the error is told
  -format F     text (for people), json (one object, centrode-move-1)

A file of motion alone, a skeleton with its clips and no surface, is moved in the same way, once for each such file. Its
joints are those of its skins; without skins the nodes that its clips move, with those above and below; without clips the
nodes of its scene. It may rest in another pose than the character, and then the same coordinates are another place in it:
move the character with -to, and each file of motion with -own and the own offset that was told.

A caution: save the file, the painted weights and the animation before you move a joint. What other files hold (shots,
controls, constraints) knows the old place.

Exit status: 0 done, 1 the file cannot be used or written, 2 the command line is wrong.

examples:
  centrode rig move odalys-arm.glb -joint elbow -to 30,142,1.8 -plan
  centrode rig move odalys-arm.glb -joint elbow -to 30,142,1.8 -out odalys-arm-2.glb -format json
`

// moveCommand is the parsed command line of `centrode rig move`.
type moveCommand struct {
	file, joint, to, own, out, sheet, orient, axis, animation string
	plan                                                      bool
}

func runRigMove(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	var cmd moveCommand
	flags := cmd.flags()
	format, check := rigFormat(flags)
	plain, status, done := parse(flags, rigMoveHelp, args, stdout, stderr)
	if done {
		return status
	}
	options, err := cmd.take(plain)
	if err = errors.Join(check(), err); err != nil {
		return usage(stderr, "rig move", err.Error())
	}
	b, joint, err := openBody(cmd.file, cmd.joint)
	if err != nil {
		return failOnLine(stderr, err)
	}
	if cmd.own != "" {
		options.To = b.Joints[joint].World.Apply(options.To)
	}
	p, err := carry.Make(b, joint, options)
	if err != nil {
		return failOnLine(stderr, err)
	}
	data, drift, err := p.GLB()
	if err == nil && !cmd.plan {
		err = cmd.write(p, data)
	}
	if err != nil {
		return failOnLine(stderr, err)
	}
	if *format == "json" {
		stdout.Write(append(p.JSON(drift).AppendTo(nil), '\n'))
		return 0
	}
	stdout.Write(shown(moveText(cmd, p, drift)))
	return 0
}

func (cmd *moveCommand) flags() *flag.FlagSet {
	flags := flag.NewFlagSet("rig move", flag.ContinueOnError)
	flags.StringVar(&cmd.joint, "joint", "", "")
	flags.StringVar(&cmd.to, "to", "", "")
	flags.StringVar(&cmd.own, "own", "", "")
	flags.StringVar(&cmd.out, "out", "", "")
	flags.StringVar(&cmd.sheet, "sheet", "", "")
	flags.StringVar(&cmd.orient, "orient", "keep", "")
	flags.StringVar(&cmd.axis, "axis", "", "")
	flags.StringVar(&cmd.animation, "animation", "keep", "")
	flags.BoolVar(&cmd.plan, "plan", false, "")
	return flags
}

// write writes the new file, and the sheet where one is asked for.
func (cmd *moveCommand) write(p *carry.Plan, glb []byte) error {
	files := []fresh{{cmd.out, glb}}
	if asText(cmd.out) {
		doc, err := gltf.Read(glb, nil)
		if err != nil {
			return err
		}
		files[0].data = doc.Text()
	}
	if cmd.sheet != "" {
		files = append(files, fresh{cmd.sheet, append(p.Sheet().AppendJSON(nil), '\n')})
	}
	return place(files...)
}

// take checks the command line and reads the place; one that is given with -own is still in the joint's frame.
func (cmd *moveCommand) take(plain []string) (carry.Options, error) {
	o := carry.Options{Aim: cmd.orient == "aim", AimAxis: cmd.axis, Leave: cmd.animation == "leave", Text: cmd.plan || asText(cmd.out)}
	words := errors.Join(oneOf("orient", cmd.orient, "keep", "aim"), oneOf("animation", cmd.animation, "keep", "leave"))
	if cmd.axis != "" {
		words = errors.Join(words, oneOf("axis", cmd.axis, rigid.SignedAxes()...))
	}
	switch {
	case len(plain) != 1:
		return o, errors.New("rig move takes one file, as in: centrode rig move odalys-arm.glb -joint elbow -to 30,142,1.8 -plan")
	case cmd.joint == "":
		return o, errors.New("name the joint with -joint; centrode rig show lists them")
	case cmd.to != "" && cmd.own != "":
		return o, errors.New("give either -to with the new place, or -own with the move as the joint itself sees it")
	case cmd.to == "" && cmd.own == "":
		return o, errors.New("give the new place with -to, as in -to 30,142,1.8; centrode rig fit finds one")
	case words != nil:
		return o, words
	case cmd.axis != "" && !o.Aim:
		return o, errors.New("-axis needs -orient aim")
	case cmd.plan == (cmd.out != ""):
		return o, errors.New("give either -out with the name of the new file, or -plan to write nothing")
	case cmd.sheet != "" && (cmd.plan || !strings.HasSuffix(strings.ToLower(cmd.sheet), ".json") || cmd.sheet == cmd.out):
		return o, fmt.Errorf("-sheet %q: must be a file name that ends in .json, beside -out", cmd.sheet)
	case cmd.out != "" && !strings.HasSuffix(strings.ToLower(cmd.out), ".glb") && !asText(cmd.out):
		return o, fmt.Errorf("-out %q: must be a file name that ends in .glb or .gltf", cmd.out)
	}
	cmd.file = plain[0]
	var err error
	if cmd.own != "" {
		o.To, err = readPlace("own", cmd.own)
	} else {
		o.To, err = readPlace("to", cmd.to)
	}
	return o, err
}

// asText reports whether a character file is to be one of text.
func asText(name string) bool { return strings.HasSuffix(strings.ToLower(name), ".gltf") }

// readPlace reads three lengths with commas between them, given with a flag.
func readPlace(flag, text string) (rigid.Vec, error) {
	parts := strings.Split(text, ",")
	if len(parts) != 3 {
		return rigid.Vec{}, fmt.Errorf("-%s %q: must be three lengths with commas between them, as in 30,142,1.8", flag, text)
	}
	var v [3]float64
	for i, part := range parts {
		x, err := quantity.Parse(part, quantity.Length)
		if err != nil {
			return rigid.Vec{}, fmt.Errorf("-%s: %w", flag, err)
		}
		v[i] = x
	}
	return rigid.Vec{X: v[0], Y: v[1], Z: v[2]}, nil
}

func moveText(cmd moveCommand, p *carry.Plan, drift float64) []byte {
	var text []byte
	list := func(title string, lines []string) {
		if len(lines) == 0 {
			return
		}
		text = fmt.Appendf(text, "%s\n", title)
		for _, line := range lines {
			text = fmt.Appendf(text, "  %s\n", report.Harmless(line))
		}
		text = append(text, '\n')
	}
	list("What changes:", p.Will())
	list("What could be lost:", p.Lose())
	list("Notes:", p.Notes)
	text = fmt.Appendf(text, "Values to type in, in the parent's frame: translation in cm, rotation in degrees about x, y, z\n")
	for _, node := range p.Places {
		was, is := node.Values()
		text = fmt.Appendf(text, "  %-20s was %s  %s\n  %-20s is  %s  %s\n", report.Harmless(node.Name), triple(was.Translation, 4), triple(was.Angles, 3), "", triple(is.Translation, 4), triple(is.Angles, 3))
	}
	for _, h := range p.Hung {
		is := h.Values()
		text = fmt.Appendf(text, "  %-20s is  %s  %s\n", report.Harmless(h.New), triple(is.Translation, 4), triple(is.Angles, 3))
	}
	own := p.Own()
	text = fmt.Appendf(text, "\nOwn offset, the move as the joint itself sees it, to be given to files that rest differently: -own %s,%s,%s\n", quantity.Fixed(own.X, 7), quantity.Fixed(own.Y, 7), quantity.Fixed(own.Z, 7))
	if p.Body.Bare() {
		text = fmt.Appendf(text, "The file shows no surface that could be compared.\n")
	} else {
		text = fmt.Appendf(text, "The rest surface moves by %s cm at most.\n", quantity.Fixed(drift, 7))
	}
	if cmd.plan {
		return fmt.Appendf(text, "Nothing was written.\n")
	}
	if cmd.sheet != "" {
		return fmt.Appendf(text, "%s and %s were written.\n", cmd.out, cmd.sheet)
	}
	return fmt.Appendf(text, "%s was written.\n", cmd.out)
}

func triple(v rigid.Vec, digits int) string {
	return fmt.Sprintf("%10s %10s %10s", quantity.Fixed(v.X, digits), quantity.Fixed(v.Y, digits), quantity.Fixed(v.Z, digits))
}
