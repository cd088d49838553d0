package clip

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"time"
)

const (
	// waitDelay is how long a killed child may hold on to its pipes.
	waitDelay = 2 * time.Second
	// keptComplaints bounds the memory a badly damaged clip can take.
	keptComplaints = 20
)

// child is a running ffmpeg whose output is read from a stream and whose log is
// read line by line beside it.
type child struct {
	cmd  *exec.Cmd
	out  *os.File // our end
	done chan struct{}

	// The following are complete once done is closed.
	complaints []string // distinct errors, in order
	errors     int      // all of them
	logErr     error
}

// start runs ffmpeg. Each line of its log, freed of its severity mark, is given
// to hear, on one goroutine.
func start(ctx context.Context, args []string, hear func(line string)) (*child, error) {
	c := &child{cmd: exec.CommandContext(ctx, "ffmpeg", args...), done: make(chan struct{})}
	out, outEnd, err := Stream()
	if err != nil {
		return nil, err
	}
	log, logEnd, err := os.Pipe()
	if err != nil {
		return nil, errors.Join(fmt.Errorf("making a pipe: %w", err), out.Close(), outEnd.Close())
	}
	c.out = out
	c.cmd.Stdout, c.cmd.Stderr = outEnd, logEnd
	Tie(c.cmd)
	err = c.cmd.Start()
	err = errors.Join(err, outEnd.Close(), logEnd.Close())
	if err != nil {
		return nil, errors.Join(fmt.Errorf("running ffmpeg, is it installed: %w", err), out.Close(), log.Close())
	}
	go c.listen(log, hear)
	return c, nil
}

// listen reads the log to its end, so that ffmpeg never waits for it.
func (c *child) listen(log io.ReadCloser, hear func(string)) {
	defer close(c.done)
	defer log.Close()
	lines := bufio.NewReaderSize(log, 1<<16)
	for {
		line, err := readLine(lines)
		if line != "" {
			level, text := severity(line)
			c.note(level, text)
			hear(text)
		}
		if err != nil {
			if err != io.EOF {
				c.logErr = err
			}
			return
		}
	}
}

// readLine returns the next line without its end; what exceeds the buffer (a
// picture's embedded data, printed in hex) is dropped.
func readLine(r *bufio.Reader) (string, error) {
	part, more, err := r.ReadLine()
	line := string(part)
	for more && err == nil {
		_, more, err = r.ReadLine()
	}
	return line, err
}

// severity takes "[error] " and the like out of a log line.
func severity(line string) (level, text string) {
	for _, level := range []string{"info", "error", "warning", "fatal", "panic", "verbose"} {
		if before, after, ok := strings.Cut(line, "["+level+"] "); ok && len(before) < 120 {
			return level, before + after
		}
	}
	return "", line
}

// note keeps what the decoder complains about: errors, and warnings that speak
// of corruption (ffmpeg calls a picture with holes a mere warning).
func (c *child) note(level, text string) {
	serious := level == "error" || level == "fatal" || level == "panic"
	if !serious && !(level == "warning" && strings.Contains(strings.ToLower(text), "corrupt")) {
		return
	}
	c.errors++
	if _, after, ok := strings.Cut(text, "] "); ok && strings.HasPrefix(text, "[") {
		text = after
	}
	for _, k := range c.complaints {
		if k == text {
			return
		}
	}
	if len(c.complaints) < keptComplaints {
		c.complaints = append(c.complaints, text)
	}
}

// kill ends the child and whatever it started.
func (c *child) kill() { _ = syscall.Kill(-c.cmd.Process.Pid, syscall.SIGKILL) }

// wait returns how the child ended, once its log has been read to the end.
func (c *child) wait() error {
	<-c.done
	err := errors.Join(c.cmd.Wait(), c.logErr)
	_ = c.out.Close()
	return err
}

// said returns the first complaint, for an error message.
func (c *child) said() string {
	if len(c.complaints) == 0 {
		return "it gave no reason"
	}
	return c.complaints[0]
}
