package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"
)

// longestLine of a password that is piped in, in bytes; what may be kept is decided elsewhere.
const longestLine = 4096

// askPassword asks twice at a terminal, which shows nothing of it, or reads the first line of what is piped in.
func (a *app) askPassword(ctx context.Context) (string, error) {
	if f, ok := a.in.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return a.askTwice(ctx, int(f.Fd()))
	}
	line, err := bufio.NewReader(io.LimitReader(a.in, longestLine)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	if line = strings.TrimRight(line, "\r\n"); line == "" {
		return "", usagef("a password is missing: type it at a terminal, or pipe it in as one line")
	}
	return line, nil
}

func (a *app) askTwice(ctx context.Context, terminal int) (string, error) {
	first, err := a.askOnce(ctx, terminal, "Password: ")
	if err != nil {
		return "", err
	}
	again, err := a.askOnce(ctx, terminal, "The same again: ")
	if err != nil {
		return "", err
	}
	if first != again {
		return "", usagef("the two passwords differ; nothing was changed")
	}
	return first, nil
}

// askOnce asks for one line. Whoever stops the program meanwhile gets a terminal back that shows what is typed.
func (a *app) askOnce(ctx context.Context, terminal int, question string) (string, error) {
	before, err := term.GetState(terminal)
	if err != nil {
		return "", err
	}
	fmt.Fprint(a.err, question)
	defer fmt.Fprintln(a.err)
	type answer struct {
		line []byte
		err  error
	}
	answered := make(chan answer, 1)
	go func() {
		line, err := term.ReadPassword(terminal)
		answered <- answer{line, err}
	}()
	select {
	case <-ctx.Done():
		return "", errors.Join(errors.New("stopped; nothing was changed"), term.Restore(terminal, before))
	case got := <-answered:
		return string(got.line), got.err
	}
}
