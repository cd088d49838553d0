package reel

import (
	"context"
	"errors"
	"fmt"
	"io"

	"strokereel/pipeline/clip"
	"strokereel/track"
)

// feed hands out the frame nearest to a time, for times that do not fall. It
// reads the clip once, forward, and looks at two frames.
type feed struct {
	reader    *clip.Reader
	cur, next *track.Frame // nil where there is none
	room      [2]track.Frame
	ended     bool
}

// openFeed reads a part of a clip's pictures.
func openFeed(ctx context.Context, head clip.Info, part clip.Part, o clip.Options) (*feed, error) {
	// The encoder keeps the cores busy.
	o.Kept, o.ReadAhead, o.Threads = 1, 1, 1
	r, err := head.Open(ctx, part, o)
	if err != nil {
		return nil, err
	}
	return &feed{reader: r}, nil
}

// at returns the frame nearest to a time; it is valid until the next call.
func (d *feed) at(t float64) (*track.Frame, error) {
	for {
		switch {
		case d.next != nil && (d.cur == nil || nearer(d.next.T, d.cur.T, t)):
			d.cur, d.next = d.next, nil
		case d.next != nil || d.ended:
			if d.cur == nil {
				return nil, fmt.Errorf("reading clip %q: it shows no picture", d.reader.Info().Path)
			}
			return d.cur, nil
		default:
			if err := d.read(); err != nil {
				return nil, err
			}
		}
	}
}

// nearer reports whether a is at least as near to t as b is.
func nearer(a, b, t float64) bool { return max(a-t, t-a) <= max(b-t, t-b) }

// read takes the next frame into the room that the present one leaves.
func (d *feed) read() error {
	f := &d.room[0]
	if d.cur == f {
		f = &d.room[1]
	}
	err := d.reader.Next(f)
	switch {
	case errors.Is(err, io.EOF):
		d.ended = true
		return nil
	case err != nil:
		return err
	}
	d.next = f
	return nil
}

func (d *feed) close() error {
	_, err := d.reader.Close()
	return err
}
