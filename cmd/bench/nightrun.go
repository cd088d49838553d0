package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"strings"
	"syscall"
)

// nightRun is one start of the program, with whatever it starts.
type nightRun struct {
	cmd  *exec.Cmd
	said bytes.Buffer
	done chan error
}

// night readies a night on an inbox and an outbox.
func (b nightBench) night(ctx context.Context, inbox, outbox string) *nightRun {
	r := &nightRun{cmd: exec.CommandContext(ctx, b.program, append([]string{"night", inbox, outbox}, short()...)...), done: make(chan error, 1)}
	r.cmd.Stderr = &r.said
	r.cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	return r
}

func (r *nightRun) start() error {
	if err := r.cmd.Start(); err != nil {
		return fmt.Errorf("starting a night: %w", err)
	}
	go func() { r.done <- r.cmd.Wait() }()
	return nil
}

// kill ends the program at once. The programs it started are in groups of their
// own and must end by themselves, since nobody kills them when the machine's
// memory runs out either.
func (r *nightRun) kill() {
	_ = syscall.Kill(-r.cmd.Process.Pid, syscall.SIGKILL)
	<-r.done
}

// complete runs a night that must do everything.
func (r *nightRun) complete(context.Context) error {
	if err := r.start(); err != nil {
		return err
	}
	if err := <-r.done; err != nil {
		return fmt.Errorf("it ended with %w and said\n%s", err, r.said.String())
	}
	return nil
}

// fails runs a night that must end with a code and say some words.
func (r *nightRun) fails(code int, words ...string) error {
	if err := r.start(); err != nil {
		return err
	}
	err := <-r.done
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != code {
		return fmt.Errorf("it ended with %v and not with %d, and said\n%s", err, code, r.said.String())
	}
	for _, w := range words {
		if !strings.Contains(r.said.String(), w) {
			return fmt.Errorf("it did not say %q but\n%s", w, r.said.String())
		}
	}
	return nil
}
