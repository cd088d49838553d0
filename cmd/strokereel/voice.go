package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"
	"time"
)

// voice is the only place that prints: results go to out, everything else, for
// people, to side.
type voice struct {
	out, side io.Writer
	terminal  bool      // side is one: progress may be drawn over
	drawn     time.Time // when progress was last drawn
	open      bool      // a line of progress is unfinished
	told      map[string]int

	mu sync.Mutex // clips are checked while a night is made
}

func newVoice(out, side io.Writer) *voice {
	v := &voice{out: out, side: side, told: map[string]int{}}
	if f, ok := side.(*os.File); ok {
		if st, err := f.Stat(); err == nil {
			v.terminal = st.Mode()&os.ModeCharDevice != 0
		}
	}
	return v
}

// result writes what was asked for.
func (v *voice) result(data []byte) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.end()
	if _, err := v.out.Write(data); err != nil {
		return fmt.Errorf("writing the result: %w", err)
	}
	return nil
}

// say writes a line for people.
func (v *voice) say(format string, a ...any) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.end()
	fmt.Fprintf(v.side, format+"\n", a...)
}

const (
	redraw = 100 * time.Millisecond // quick enough to be seen moving
	stride = 25                     // %, between two plain lines
)

// progress tells that a share of a job is done: drawn over on a terminal, else
// a plain line every quarter.
func (v *voice) progress(job string, share float64) {
	v.mu.Lock()
	defer v.mu.Unlock()
	percent := int(100 * min(max(share, 0), 1))
	last, begun := v.told[job]
	if v.terminal {
		if percent < 100 && time.Since(v.drawn) < redraw || begun && last == 100 {
			return
		}
		v.drawn, v.open, v.told[job] = time.Now(), true, percent
		fmt.Fprintf(v.side, "\r\x1b[K%s %d %%", job, percent)
		if percent == 100 {
			v.end()
		}
		return
	}
	if step := percent / stride * stride; !begun || step > last {
		v.told[job] = step
		fmt.Fprintf(v.side, "%s %d %%\n", job, step)
	}
}

// close ends an unfinished line, at the end of the program.
func (v *voice) close() {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.end()
}

// end ends an unfinished line.
func (v *voice) end() {
	if v.open {
		v.open = false
		fmt.Fprintln(v.side)
	}
}

// complain tells an error and, where there is one, its hint.
func (v *voice) complain(err error) {
	if errors.Is(err, context.Canceled) {
		v.say("strokereel: interrupted")
		return
	}
	v.say("strokereel: %v", err)
	var c coded
	if errors.As(err, &c) && c.hint != "" {
		v.say("try: %s", c.hint)
	}
}
