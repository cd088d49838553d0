// Command strokereel measures putting strokes in phone clips.
//
// Exit codes: 0 all done, 1 could not start, 2 wrong usage, 3 some clips failed
// or need a person, 130 interrupted.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
