package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"centrode/cmd/centrode/internal/preview"
	"centrode/cmd/centrode/internal/site"
)

const serveHelp = `Show the site on this machine and reload open pages while you write. Nothing is written to public: the site is kept in
memory. When a change cannot be built, the problems are printed here, pages show the first, and the last good site stays.

  centrode serve [-addr HOST:PORT] [-overlay FOLDER]
  centrode serve [-addr HOST:PORT] -built FOLDER

  -addr HOST:PORT   where to listen (default 127.0.0.1:4173, or a free port if that is taken)
  -built FOLDER     serve a site that centrode build wrote, as a host would: compressed, unwatched, unchanged
  -overlay FOLDER   show a studio's folder over ours, and watch it too

Watches content, theme, calc, wasm and CHANGELOG.md. Code under cmd and calc is part of this program: start it again
to see such a change in pages and proofs. With -built nothing is watched. Ctrl+C stops.

Exit status: 0 stopped, 1 the first build or the address is in the way, 2 the command line is wrong.

examples:
  centrode serve
  centrode serve -addr 127.0.0.1:8000
  centrode serve -built public
`

// whatNext is what somebody who has just seen the site can do.
const whatNext = `Write: change a file in content/lessons and save it; the page reloads.
Begin: go run ./cmd/centrode new lesson the-long-neck -part 2 makes a lesson; new calculator makes a calculator.
Prove: go run ./cmd/centrode check recomputes every number, bash tests/run.sh runs all tests; DEVELOPERS.md tells the rest.
`

func runServe(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("serve", flag.ContinueOnError)
	addr := flags.String("addr", "", "")
	built := flags.String("built", "", "")
	over := flags.String("overlay", "", "")
	plain, status, done := parse(flags, serveHelp, args, stdout, stderr)
	if done {
		return status
	}
	if len(plain) > 0 {
		return usage(stderr, "serve", fmt.Sprintf("%q: serve takes no arguments besides its flags", plain[0]))
	}
	if *built != "" && *over != "" {
		return usage(stderr, "serve", "-overlay: is laid over the content and not over a built site; give it to centrode build, or leave out -built")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	serve := serveProject(*over)
	if *built != "" {
		serve = serveFolder(*built)
	}
	if err := serve(ctx, preview.Options{Addr: *addr, Out: stdout}, notes(stderr)); err != nil {
		return fail(stderr, err)
	}
	return 0
}

// serveFolder serves a built site as it is.
func serveFolder(dir string) func(context.Context, preview.Options, func(string)) error {
	return func(ctx context.Context, o preview.Options, _ func(string)) error {
		files, err := site.Built(dir)
		if err != nil {
			return err
		}
		return preview.ServeBuilt(ctx, files, o)
	}
}

// serveProject builds, serves and watches the project that the working folder lies in, with a studio's folder over it.
func serveProject(over string) func(context.Context, preview.Options, func(string)) error {
	return func(ctx context.Context, o preview.Options, note func(string)) error {
		root, err := findRoot()
		if err != nil {
			return err
		}
		o.Root, o.Also = root, over
		o.Ready = func(string) { fmt.Fprint(o.Out, whatNext) }
		again := site.Maker(site.Options{Root: root, Overlay: over, Draft: true, Note: note})
		o.Build = func() (map[string][]byte, error) {
			made, err := again()
			if err != nil {
				return nil, err
			}
			return made.Files, nil
		}
		return preview.Serve(ctx, o)
	}
}
