package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"syscall"
	"time"
)

// thenTime is how long the command after a night may take: a mail server that
// does not answer must not keep the next night from starting.
const thenTime = 5 * time.Minute

// runThen runs a person's command in a shell, the pages of the night as its
// arguments; what it says goes to side.
func runThen(ctx context.Context, command string, pages []string, side io.Writer) error {
	ctx, cancel := context.WithTimeout(ctx, thenTime)
	defer cancel()
	cmd := exec.CommandContext(ctx, "sh", append([]string{"-c", command, "strokereel"}, pages...)...)
	cmd.Stdout, cmd.Stderr = side, side
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
	cmd.WaitDelay = time.Second
	err := cmd.Run()
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		return fmt.Errorf("it took longer than %v", thenTime)
	}
	return err
}
