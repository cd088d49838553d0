package reel

import (
	"errors"
	"os"

	"strokereel/track"
)

// output passes frames to the encoder while the next ones are made.
type output struct {
	empty  chan *track.Frame
	full   chan filled
	broken chan struct{} // closed when writing failed
	done   chan error
}

// filled is a frame and when it is shown, in frames of the reel.
type filled struct {
	frame        *track.Frame
	first, times int
}

// ahead is how many frames are made ahead of the encoder; each costs one
// picture of memory.
const ahead = 3

var errStopped = errors.New("the encoder stopped")

func newOutput(pipe *os.File, w, h, rate int) *output {
	o := &output{empty: make(chan *track.Frame, ahead), full: make(chan filled, ahead),
		broken: make(chan struct{}), done: make(chan error, 1)}
	for range ahead {
		o.empty <- newFrame(w, h, backdrop)
	}
	go o.write(pipe, w, h, rate)
	return o
}

// write passes frames on; after a failure it only takes them, so that nobody
// waits for it. The last one is passed on once more at its end, which nothing
// else tells.
func (o *output) write(pipe *os.File, w, h, rate int) {
	s, failed := newStream(pipe, w, h, rate)
	show := func(f *track.Frame, frame int) {
		if failed == nil {
			if failed = s.show(f, frame); failed != nil {
				close(o.broken)
			}
		}
	}
	var last filled
	for last = range o.full {
		show(last.frame, last.first)
		o.empty <- last.frame
	}
	if last.times > 1 {
		show(last.frame, last.first+last.times-1)
	}
	o.done <- errors.Join(failed, pipe.Close())
}

// frame returns a frame to fill.
func (o *output) frame() *track.Frame { return <-o.empty }

// send shows a filled frame some times, from a frame of the reel on.
func (o *output) send(f *track.Frame, first, times int) error {
	select {
	case <-o.broken:
		return errStopped
	case o.full <- filled{f, first, times}:
		return nil
	}
}

// close waits until everything is written.
func (o *output) close() error {
	close(o.full)
	return <-o.done
}
