package reel

import (
	"errors"
	"os"

	"strokereel/track"
)

// output writes frames to the encoder while the next ones are made.
type output struct {
	empty  chan *track.Frame
	full   chan filled
	broken chan struct{} // closed when writing failed
	done   chan error
}

// filled is a frame and how often it is shown.
type filled struct {
	frame *track.Frame
	times int
}

// ahead is how many frames are made ahead of the encoder; each costs one
// picture of memory.
const ahead = 3

var errStopped = errors.New("the encoder stopped")

func newOutput(pipe *os.File, w, h int) *output {
	o := &output{empty: make(chan *track.Frame, ahead), full: make(chan filled, ahead),
		broken: make(chan struct{}), done: make(chan error, 1)}
	for range ahead {
		o.empty <- newFrame(w, h, backdrop)
	}
	go o.write(pipe)
	return o
}

// write passes frames on; after a failure it only takes them, so that nobody
// waits for it.
func (o *output) write(pipe *os.File) {
	var failed error
	for f := range o.full {
		for range f.times {
			for _, plane := range [][]byte{f.frame.Y, f.frame.U, f.frame.V} {
				if failed != nil {
					break
				}
				if _, failed = pipe.Write(plane); failed != nil {
					close(o.broken)
				}
			}
		}
		o.empty <- f.frame
	}
	o.done <- errors.Join(failed, pipe.Close())
}

// frame returns a frame to fill.
func (o *output) frame() *track.Frame { return <-o.empty }

// send shows a filled frame some times.
func (o *output) send(f *track.Frame, times int) error {
	select {
	case <-o.broken:
		return errStopped
	case o.full <- filled{f, times}:
		return nil
	}
}

// close waits until everything is written.
func (o *output) close() error {
	close(o.full)
	return <-o.done
}
