package main

import (
	"context"
	"errors"
)

// Exit codes.
const (
	exitDone        = 0
	exitNoStart     = 1
	exitUsage       = 2
	exitSomeFailed  = 3
	exitInterrupted = 130
)

// coded is an error with the exit code it leads to and, where one helps, a hint
// that says what to type or do.
type coded struct {
	error
	code int
	hint string
}

func (c coded) Unwrap() error { return c.error }

// usage marks an error as one of usage.
func usage(err error, hint string) error {
	if err == nil {
		return nil
	}
	return coded{err, exitUsage, hint}
}

// exitCode tells what an error leads to.
func exitCode(err error) int {
	var c coded
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.As(err, &c):
		return c.code
	}
	return exitNoStart
}
