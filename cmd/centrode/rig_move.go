package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"centrode/calc/carry"
	"centrode/calc/catalog"
	"centrode/calc/gltf"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/sheet"
	"centrode/cmd/centrode/internal/report"
)

const rigMoveHelp = `Move a joint of a character and disturb nothing else: children stay, painted weights stay, the rest surface stays.
A mesh that the joint carries itself hangs on a new node right below it then.

  centrode rig move FILE -joint NAME -to X,Y,Z|-own X,Y,Z -out FILE [-sheet FILE.json] [HOW …]
  centrode rig move FILE -joint NAME -to X,Y,Z|-own X,Y,Z -plan [HOW …]
  centrode rig move FILE -moves FILE|- -out FILE [-sheet FILE.json]|-plan [HOW …]
  HOW is -orient keep|aim, -axis A, -animation keep|leave, -within D or -format text|json

  -joint NAME   the joint, as rig show lists it; #7 is the joint at node 7 of the file
  -to X,Y,Z     its new place, in the world of the rest pose; cm unless another unit is written, as in 31cm,-15mm,0
  -own X,Y,Z    in the place of -to: the move as the joint itself sees it at rest, the own offset that a move tells
  -moves FILE   in the place of the three: several joints at once, from CSV with the columns joint, x, y, z or joint,
                own_x, own_y, own_z; - is standard input. Each row is about the file before any of the moves
  -out FILE     where the new file goes, as .glb, or as .gltf with all its numbers in it; a file that exists is never
                replaced. What the old one names beside itself, as pictures, the new one names too
  -sheet FILE   also write a placement sheet of the move (centrode-sheet-1), to be filled in and printed
  -plan         tell what would change and what could be lost, and write nothing
  -orient O     keep (default): every orientation stays; aim: the joint turns to the first child that
                stands elsewhere, and its parent to it
  -axis A       with -orient aim: the joints' own axis that points along the segment, +x to -z; by itself the one that does
  -animation A  keep (default): translation keys are written that keep each segment on its old path about the new pivot;
                leave: the joint only turns, its keyed translation is dropped, and the error is told
  -within D     with -animation keep: how far a segment may stray from its old path by each move, such as 0.1mm. Where
                rotation alone keeps to it, the keyed translation is dropped, else as many keys are written as that
                needs; without -within, so many that nobody sees a difference
  -format F     text (for people), json (one object, centrode-move-1; of several moves a line each, in the order made)

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
	file, joint, to, own, moves, out, sheet, orient, axis, animation, within string
	plan                                                                     bool
}

func runRigMove(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	var cmd moveCommand
	flags := cmd.flags()
	format, check := rigFormat(flags)
	plain, status, done := parse(flags, rigMoveHelp, args, stdout, stderr)
	if done {
		return status
	}
	one, options, err := cmd.take(plain)
	if err = errors.Join(check(), err); err != nil {
		return usage(stderr, "rig move", err.Error())
	}
	moves := []move{one}
	if cmd.moves != "" {
		if moves, err = readMoves(cmd.moves, stdin); err != nil {
			return failOnLine(stderr, err)
		}
	}
	if cmd.sheet != "" && len(moves) > sheet.MaxEntries {
		return usage(stderr, "rig move", fmt.Sprintf("-sheet: a sheet has room for %d placements, and %d joints move; leave the sheet out, or divide the moves", sheet.MaxEntries, len(moves)))
	}
	list, glb, drift, err := carryOut(cmd.file, moves, options)
	if err == nil && !cmd.plan {
		err = cmd.write(list, glb)
	}
	if err != nil {
		return failOnLine(stderr, err)
	}
	if *format == "json" {
		for _, m := range list {
			stdout.Write(append(m.Change, '\n'))
		}
		return 0
	}
	stdout.Write(shown(moveText(cmd, list, drift)))
	return 0
}

func (cmd *moveCommand) flags() *flag.FlagSet {
	flags := flag.NewFlagSet("rig move", flag.ContinueOnError)
	flags.StringVar(&cmd.joint, "joint", "", "")
	flags.StringVar(&cmd.to, "to", "", "")
	flags.StringVar(&cmd.own, "own", "", "")
	flags.StringVar(&cmd.moves, "moves", "", "")
	flags.StringVar(&cmd.out, "out", "", "")
	flags.StringVar(&cmd.sheet, "sheet", "", "")
	flags.StringVar(&cmd.orient, "orient", "keep", "")
	flags.StringVar(&cmd.axis, "axis", "", "")
	flags.StringVar(&cmd.animation, "animation", "keep", "")
	flags.StringVar(&cmd.within, "within", "", "")
	flags.BoolVar(&cmd.plan, "plan", false, "")
	return flags
}

// write writes the new file, and the sheet where one is asked for.
func (cmd *moveCommand) write(list []carry.Moved, glb []byte) error {
	files := []fresh{{cmd.out, glb}}
	if asText(cmd.out) {
		doc, err := gltf.Read(glb, nil)
		if err != nil {
			return err
		}
		files[0].data = doc.Text()
	}
	if cmd.sheet != "" {
		s := carry.Sheet(filepath.Base(cmd.file), list)
		files = append(files, fresh{cmd.sheet, append(s.AppendJSON(nil), '\n')})
	}
	return place(files...)
}

// take checks the command line and reads the one move, if it is no file of them.
func (cmd *moveCommand) take(plain []string) (one move, o carry.Options, err error) {
	o = carry.Options{Aim: cmd.orient == "aim", AimAxis: cmd.axis, Leave: cmd.animation == "leave", Text: cmd.plan || asText(cmd.out)}
	words := errors.Join(oneOf("orient", cmd.orient, "keep", "aim"), oneOf("animation", cmd.animation, "keep", "leave"))
	if cmd.axis != "" {
		words = errors.Join(words, oneOf("axis", cmd.axis, rigid.SignedAxes()...))
	}
	switch {
	case len(plain) != 1:
		return one, o, errors.New("rig move takes one file, as in: centrode rig move odalys-arm.glb -joint elbow -to 30,142,1.8 -plan")
	case cmd.moves != "" && cmd.joint+cmd.to+cmd.own != "":
		return one, o, errors.New("give either -moves with a file, or -joint with -to or -own")
	case cmd.joint == "" && cmd.moves == "":
		return one, o, errors.New("name the joint with -joint; centrode rig show lists them")
	case cmd.to != "" && cmd.own != "":
		return one, o, errors.New("give either -to with the new place, or -own with the move as the joint itself sees it")
	case cmd.to == "" && cmd.own == "" && cmd.moves == "":
		return one, o, errors.New("give the new place with -to, as in -to 30,142,1.8; centrode rig fit finds one")
	case words != nil:
		return one, o, words
	case cmd.axis != "" && !o.Aim:
		return one, o, errors.New("-axis needs -orient aim")
	case cmd.within != "" && o.Leave:
		return one, o, errors.New("-within needs -animation keep: what is left as it is may stray as far as it does")
	case cmd.plan == (cmd.out != ""):
		return one, o, errors.New("give either -out with the name of the new file, or -plan to write nothing")
	case cmd.sheet != "" && (cmd.plan || !strings.HasSuffix(strings.ToLower(cmd.sheet), ".json") || cmd.sheet == cmd.out):
		return one, o, fmt.Errorf("-sheet %q: must be a file name that ends in .json, beside -out", cmd.sheet)
	case cmd.out != "" && !strings.HasSuffix(strings.ToLower(cmd.out), ".glb") && !asText(cmd.out):
		return one, o, fmt.Errorf("-out %q: must be a file name that ends in .glb or .gltf", cmd.out)
	}
	cmd.file = plain[0]
	if cmd.within != "" {
		if o.Within, err = quantity.Parse(cmd.within, quantity.Length); err == nil && !(o.Within > 0) {
			err = fmt.Errorf("%q: must be more than nought, as in 0.1mm", cmd.within)
		}
		if err != nil {
			return one, o, fmt.Errorf("-within: %w", err)
		}
	}
	switch one = (move{joint: cmd.joint, own: cmd.own != ""}); {
	case one.own:
		one.to, err = readPlace("own", cmd.own)
	case cmd.to != "":
		one.to, err = readPlace("to", cmd.to)
	}
	return one, o, err
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

func moveText(cmd moveCommand, done []carry.Moved, drift float64) []byte {
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
	for _, m := range done {
		list("What changes:", m.Will)
	}
	list("What could be lost:", carry.Once(done, func(m carry.Moved) []string { return m.Lose }))
	list("Notes:", carry.Once(done, func(m carry.Moved) []string { return m.Notes }))
	text = fmt.Appendf(text, "Values to type in, in the parent's frame: translation in cm, rotation in degrees about x, y, z\n")
	for _, t := range carry.Type(done) {
		name := report.Harmless(t.Name)
		if !t.New {
			text = fmt.Appendf(text, "  %-20s was %s  %s\n", name, triple(t.Was.Translation, 4), triple(t.Was.Angles, 3))
			name = ""
		}
		text = fmt.Appendf(text, "  %-20s is  %s  %s\n", name, triple(t.Is.Translation, 4), triple(t.Is.Angles, 3))
	}
	text = append(text, ownOffsets(done)...)
	if math.IsNaN(drift) {
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

// ownOffsets tells each move as its joint sees it: of one as a flag, of several as a file for -moves.
func ownOffsets(done []carry.Moved) (text []byte) {
	text = append(text, "\nOwn offset, the move as the joint itself sees it, to be given to files that rest differently"...)
	triple := func(v rigid.Vec) string {
		return quantity.Fixed(v.X, 7) + "," + quantity.Fixed(v.Y, 7) + "," + quantity.Fixed(v.Z, 7)
	}
	if len(done) == 1 {
		return fmt.Appendf(text, ": -own %s\n", triple(done[0].Own))
	}
	text = append(text, ", as a file for -moves:\n"...)
	text = append(text, "joint,own_x,own_y,own_z\n"...)
	for _, m := range done {
		text = append(append(append(catalog.AppendCell(text, report.Harmless(m.Joint)), ','), triple(m.Own)...), '\n')
	}
	return text
}

func triple(v rigid.Vec, digits int) string {
	return fmt.Sprintf("%10s %10s %10s", quantity.Fixed(v.X, digits), quantity.Fixed(v.Y, digits), quantity.Fixed(v.Z, digits))
}
