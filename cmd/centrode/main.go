// Command centrode builds, shows and checks the handbook, and answers with its calculators.
//
// main.go finds the verb; the file named like a verb holds it, with its help.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"centrode/calc/spell"
)

const mainHelp = `Centrode is a handbook on where to put the pivot joints of a character, with calculators inside its pages.

  centrode VERB [flags] [arguments]

In the project's folder, go run ./cmd/centrode is this command; go install ./cmd/centrode gives it its short name.

  build   make the whole site in the folder public
  serve   show the site on this machine and reload it while you write
  check   prove every number of the content, without making the site
  calc    answer a question with one of the calculators
  sheet   make a page of a placement sheet, or compare two
  rig     look into a character file, find where a joint belongs, move it in a new file
  new     begin a lesson or a calculator, or write a demo character

centrode VERB -h tells more about a verb.

Exit status: 0 done, 1 something in the content or on this machine is in the way, 2 the command line is wrong.

examples:
  centrode serve
  centrode build -out ../handbook-site
  centrode calc pivot-offset offset_y=0.4 angle=90
`

// verb runs one verb with the arguments after it and returns the exit status.
type verb func(args []string, stdin io.Reader, stdout, stderr io.Writer) int

var verbs = map[string]verb{"build": runBuild, "serve": runServe, "check": runCheck, "calc": runCalc, "sheet": runSheet, "rig": runRig, "new": runNew}

// verbNames in the order of the help, for the nearest match of an unknown one.
var verbNames = []string{"build", "serve", "check", "calc", "sheet", "rig", "new"}

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run runs a verb. Verbs print without a look at whether that went well, and so it is here that a full disk is told.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	out := &output{to: stdout}
	status := runVerb(args, stdin, out, stderr)
	if out.err != nil {
		return fail(stderr, out.err)
	}
	return status
}

// errUnwritten is why nobody reads the rest: nothing is wrong with what was asked.
var errUnwritten = errors.New("standard output: cannot be written")

// output is standard output. It remembers the first write that failed, which run tells.
type output struct {
	to  io.Writer
	err error
}

// Write implements io.Writer.
func (o *output) Write(text []byte) (int, error) {
	n, err := o.to.Write(text)
	if err != nil {
		err = fmt.Errorf("%w: %w", errUnwritten, cause(err))
	}
	if o.err == nil {
		o.err = err
	}
	return n, err
}

func runVerb(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		fmt.Fprint(stderr, mainHelp)
		return 2
	}
	switch args[0] {
	case "-h", "-help", "--help", "help":
		if len(args) == 1 {
			fmt.Fprint(stdout, mainHelp)
			return 0
		}
		args = append(slices.Clone(args[1:]), "-h")
	}
	if do, ok := verbs[args[0]]; ok {
		return do(args[1:], stdin, stdout, stderr)
	}
	fmt.Fprintf(stderr, "%q is no verb of centrode%s; centrode -h lists them\n", args[0], spell.Offer(args[0], verbNames))
	return 2
}

// parse reads flags before, between and after the plain arguments, which it returns. When done is set the verb has
// nothing left to do but return status: help was asked for, or the line is wrong and that has been said. Whatever stands
// behind "--" is plain, so that a file named like a flag is a file.
func parse(flags *flag.FlagSet, help string, args []string, stdout, stderr io.Writer) (plain []string, status int, done bool) {
	flags.SetOutput(io.Discard) // its own words differ from ours
	flags.Usage = func() {}
	flags.VisitAll(func(f *flag.Flag) {
		if _, many := f.Value.(*words); !many {
			f.Value = &once{Value: f.Value}
		}
	})
	for {
		err := flags.Parse(args)
		if errors.Is(err, flag.ErrHelp) {
			fmt.Fprint(stdout, help)
			return nil, 0, true
		}
		if err != nil {
			return nil, usage(stderr, flags.Name(), offerFlag(flags, args, err)), true
		}
		if read := len(args) - flags.NArg(); flags.NArg() == 0 || read > 0 && args[read-1] == "--" {
			plain = append(plain, flags.Args()...)
			break
		}
		plain = append(plain, flags.Arg(0))
		args = flags.Args()[1:]
	}
	if name := emptied(flags); name != "" {
		return nil, usage(stderr, flags.Name(), "-"+name+` "": is empty; give it a value, or leave it out`), true
	}
	if slices.Contains(plain, "") {
		return nil, usage(stderr, flags.Name(), `"": is empty; give it a value, or leave it out`), true
	}
	return plain, 0, false
}

// given says whether a flag stands on the command line.
func given(flags *flag.FlagSet, name string) (yes bool) {
	flags.Visit(func(f *flag.Flag) { yes = yes || f.Name == name })
	return yes
}

// emptied is a flag that was given an empty text, as an unset variable of a shell does: taken for no flag, the question would
// be another one, and its answer look right.
func emptied(flags *flag.FlagSet) (name string) {
	flags.Visit(func(f *flag.Flag) {
		if f.Value.String() == "" {
			name = f.Name
		}
	})
	return name
}

// once is a flag that may be given once: of two, one would be left out without a word.
type once struct {
	flag.Value
	given bool
}

// errTwice is what is wrong with a flag or a field of which one value would be left out.
var errTwice = errors.New("stands twice; give it once")

func (o *once) Set(text string) error {
	if o.given {
		return errTwice
	}
	o.given = true
	return o.Value.Set(text)
}

// IsBoolFlag says that no value follows.
func (o *once) IsBoolFlag() bool {
	b, ok := o.Value.(interface{ IsBoolFlag() bool })
	return ok && b.IsBoolFlag()
}

// refusedValue takes what the flag package says of a value apart: boolean or not, the value if there is one, the flag, and the cause.
var refusedValue = regexp.MustCompile(`(?s)^invalid (boolean )?(?:value (".*") for (?:flag )?-|flag )([a-z]+): (.*)$`)

// offerFlag words a refusal of the flag package as ours, with the nearest flag that exists.
func offerFlag(flags *flag.FlagSet, args []string, err error) string {
	given, ok := strings.CutPrefix(err.Error(), "flag provided but not defined: -")
	if m := refusedValue.FindStringSubmatch(err.Error()); m != nil {
		switch boolean, value, name, cause := m[1] != "", m[2], m[3], m[4]; {
		case cause == errTwice.Error():
			return "-" + name + " " + cause
		case boolean:
			return "-" + name + "=" + strings.Trim(value, `"`) + ": takes no value"
		case cause == "parse error" || cause == "value out of range":
			return "-" + name + " " + value + ": must be a whole number"
		default:
			return "-" + name + " " + value + ": " + cause
		}
	}
	if name, lone := strings.CutPrefix(err.Error(), "flag needs an argument: "); lone {
		return name + " stands alone; a value must follow it"
	}
	if !ok {
		return err.Error()
	}
	var known []string
	flags.VisitAll(func(f *flag.Flag) { known = append(known, f.Name) })
	return "-" + given + " is no flag of " + flags.Name() + spell.Offer(given, known)
}

// usage says what is wrong with the command line and where to read more.
func usage(stderr io.Writer, name, text string) int {
	fmt.Fprintf(stderr, "%s; centrode %s -h tells more\n", text, name)
	return 2
}

// fail prints an error that is not about the command line.
func fail(stderr io.Writer, err error) int {
	fmt.Fprintf(stderr, "%s\n", shown([]byte(err.Error()))) // which may hold a name out of a file
	return 1
}

// oneOf refuses what was given to a flag unless it is one of the words.
func oneOf(flag, given string, words ...string) error {
	if slices.Contains(words, given) {
		return nil
	}
	last := len(words) - 1
	allowed := words[last]
	if last > 0 {
		allowed = strings.Join(words[:last], ", ") + " or " + allowed
	}
	return fmt.Errorf("-%s %q: must be %s%s", flag, given, allowed, spell.Offer(given, words))
}

// findRoot returns the project folder that the working folder lies in.
func findRoot() (string, error) {
	start, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for dir := start; ; dir = filepath.Dir(dir) {
		if isRoot(dir) {
			return dir, nil
		}
		if dir == filepath.Dir(dir) {
			return "", fmt.Errorf("%s: lies in no folder of the handbook; go to the one whose go.mod begins with \"module centrode\"", start)
		}
	}
}

func isRoot(dir string) bool {
	data, err := os.ReadFile(filepath.Join(dir, "go.mod"))
	if err != nil {
		return false
	}
	for line := range strings.Lines(string(data)) {
		if words := strings.Fields(line); len(words) == 2 && words[0] == "module" {
			return words[1] == "centrode"
		}
	}
	return false
}

// isTerminal reports whether a person reads w as it is written.
func isTerminal(w io.Writer) bool {
	if o, ok := w.(*output); ok {
		w = o.to
	}
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// notes returns the function that tells a person what takes long or changes the disk.
func notes(stderr io.Writer) func(string) {
	return func(line string) { fmt.Fprintln(stderr, line) }
}
