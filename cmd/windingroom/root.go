package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/estimate"
	"windingroom/internal/intake"
	"windingroom/internal/problem"
)

// Exit statuses, as the commands promise them.
const (
	done       = 0
	failed     = 1 // a check failed, or the work could not be done
	wrongInput = 2 // the command or its input was wrong
)

// app is what every command shares: the streams, and the database named on the command line.
type app struct {
	in       io.Reader
	out, err io.Writer
	database string // --database
	json     bool   // --json
}

// run executes one command line and gives its exit status. Errors go to stderr, one line each.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	a := &app{in: stdin, out: stdout, err: stderr}
	root := a.root()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	if err == nil || errors.Is(err, context.Canceled) && ctx.Err() != nil {
		return done
	}
	report(stderr, err)
	return status(err)
}

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "windingroom",
		Short:         "Wire stock and day planning for a maker of wound and plain musical strings",
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          noArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetIn(a.in)
	root.SetOut(a.out)
	root.SetErr(a.err)
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usage(err) })
	root.PersistentFlags().StringVar(&a.database, "database", "",
		"sqlite:PATH or a postgres:// address (default $WINDINGROOM_DATABASE, then the configuration's)")
	root.AddCommand(a.order(), a.promise(), a.calibrate(), a.wound(), a.trace())
	root.AddCommand(a.match(), a.tension(), a.balance(), a.findWires(), a.recipe())
	root.AddCommand(a.night(), a.alert(), a.purchase(), a.backup(), a.restore(), a.jobs())
	root.AddCommand(a.receive(), a.weigh(), a.count(), a.spool(), a.reverse(), a.remnants(), a.countList(), a.tare(), a.labels())
	root.AddCommand(a.demo(), a.serve(), a.migrate(), a.importFolder(), a.estimate(), a.plan(), a.takeBack(), a.ahead(), a.sheets(), a.stock(), a.verify(), a.token(), a.user())
	root.AddCommand(a.books(), a.explain(), a.closeMonth(), a.reopenMonth(), a.months(), a.method(), a.invoice())
	return root
}

// usageError is a command line that cannot be meant.
type usageError struct{ error }

func usage(err error) error { return usageError{err} }

// usagef makes a usageError.
func usagef(format string, args ...any) error { return usage(fmt.Errorf(format, args...)) }

func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return usagef("unknown command or argument %q; see windingroom --help", args[0])
	}
	return nil
}

// takes checks the number of a command's arguments; names are theirs, for the message.
func takes(least, most int, names string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < least || len(args) > most {
			return usagef("%s takes %s; %d given", c.Name(), names, len(args))
		}
		return nil
	}
}

// status gives the exit status that an error stands for.
func status(err error) int {
	var u usageError
	var problems intake.Problems
	var invalid estimate.Invalid
	if errors.As(err, &u) || errors.As(err, &problems) || errors.As(err, &invalid) || strings.HasPrefix(err.Error(), "unknown command") {
		return wrongInput
	}
	return failed
}

// report prints an error, one line for each thing that is wrong.
func report(w io.Writer, err error) {
	var problems intake.Problems
	var invalid estimate.Invalid
	switch {
	case errors.As(err, &problems):
		for _, p := range problems {
			fmt.Fprintln(w, p)
		}
	case errors.As(err, &invalid):
		for _, f := range invalid {
			fmt.Fprintf(w, "windingroom: %s\n", f)
		}
	default:
		fmt.Fprintf(w, "windingroom: %s\n", problem.Text(err))
	}
}

// userName names the person at the command line in the books.
func userName() string {
	for _, key := range []string{"USER", "LOGNAME", "USERNAME"} {
		if name := os.Getenv(key); name != "" {
			return name
		}
	}
	return "command line"
}
