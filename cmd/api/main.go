// Command api is Kitspan's one binary: it serves the JSON face, prepares the database, and sizes a shot or lists a
// catalogue on the command line. Each command has a file of its own.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/alecthomas/kong"

	"kitspan/internal/rest"
)

// Exit statuses.
const (
	exitOK       = 0
	exitFailure  = 1
	exitBadInput = 2 // the problem document is on standard error
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the process at once
	code := run(ctx, os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr})
	stop()
	os.Exit(code)
}

// streams are the process's standard streams.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// say and warn print a line for the person at the terminal. Where nobody reads it any more there is nobody to tell.
func (s streams) say(format string, args ...any)  { _, _ = fmt.Fprintf(s.out, format+"\n", args...) }
func (s streams) warn(format string, args ...any) { _, _ = fmt.Fprintf(s.err, format+"\n", args...) }

type commands struct {
	Serve    serveCommand    `cmd:"" help:"Serve the JSON face."`
	Migrate  migrateCommand  `cmd:"" help:"Bring a database to the newest schema."`
	Seed     seedCommand     `cmd:"" help:"Put the demo catalogue into a database where it is not yet."`
	Size     sizeCommand     `cmd:"" help:"Size and price one shot."`
	Sweep    sweepCommand    `cmd:"" help:"Say what overhead a shot takes through a day, step by step."`
	Plan     planCommand     `cmd:"" help:"Choose one kit for all shots of a job, and price it."`
	Quote    quoteCommand    `cmd:"" help:"Plan a job and price it by the terms of the house."`
	Reach    reachCommand    `cmd:"" help:"Say how wide a zone and how wide a shot frames cover."`
	Items    itemsCommand    `cmd:"" help:"List a rental house's items as JSON."`
	Licences licencesCommand `cmd:"" help:"Print the licences of what is built into this program."`
}

func run(ctx context.Context, args []string, std streams) int {
	var c commands
	help := -1 // set where help was asked for and printed
	parser, err := kong.New(&c, kong.Name("api"), kong.Writers(std.out, std.err),
		kong.Description("Kitspan plans and prices the gear that lights people outdoors for a camera. Settings come from flags or from the environment variables named beside them."),
		kong.Exit(func(code int) { help = code }),
		kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(std))
	if err != nil {
		return fail(std, err)
	}
	parsed, err := parser.Parse(args)
	if help >= 0 {
		return help
	}
	var usage *kong.ParseError
	switch {
	case errors.As(err, &usage) && len(args) == 0:
		parser.Stdout = std.err // what was asked for goes to standard output, and nothing was
		if err := usage.Context.PrintUsage(false); err != nil {
			return fail(std, err)
		}
		return exitFailure
	case errors.As(err, &usage):
		return fail(std, fmt.Errorf("%w (see %s --help)", err, strings.TrimSpace("api "+commandOf(usage.Context))))
	case err != nil:
		return fail(std, err)
	}
	if err := parsed.Run(); err != nil {
		if errors.Is(err, context.Canceled) && ctx.Err() != nil {
			err = fmt.Errorf("stopped before the work was done: %w", context.Cause(ctx)) // which names the signal
		}
		return fail(std, err)
	}
	return exitOK
}

// commandOf is the command that was named before parsing failed, or nothing.
func commandOf(c *kong.Context) string {
	if node := c.Selected(); node != nil {
		return node.Name
	}
	return ""
}

// fail is the one writer of errors: bad input as a problem document, anything else as a sentence.
func fail(std streams, err error) int {
	var refusal *rest.Refusal
	if !errors.As(err, &refusal) {
		std.warn("api: %v", err)
		return exitFailure
	}
	document, encodeErr := json.MarshalIndent(rest.ProblemOf(err), "", "  ")
	if encodeErr != nil {
		std.warn("api: %v", errors.Join(err, encodeErr))
		return exitFailure
	}
	std.warn("%s", document)
	return exitBadInput
}
