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
// reads the clip once, forward, and keeps two frames.
type feed struct {
	reader    *clip.Reader
	cur, next kept
	ended     bool
}

// kept is a frame that outlives the reader's.
type kept struct {
	frame track.Frame
	full  bool
}

func (k *kept) keep(f *track.Frame) {
	if len(k.frame.Y) != len(f.Y) {
		k.frame = *newFrame(f.Width, f.Height, backdrop)
	}
	copyFrame(&k.frame, f)
	k.frame.Index, k.frame.T, k.frame.Width, k.frame.Height, k.full = f.Index, f.T, f.Width, f.Height, true
}

// skipped is how long before the wanted time, s, frames are not worth keeping.
const skipped = 0.2

// openFeed reads a part of a clip's pictures.
func openFeed(ctx context.Context, path string, part clip.Part, o clip.Options) (*feed, error) {
	// The feed holds two frames itself, and the encoder keeps the cores busy.
	o.ReadAhead, o.Threads = 1, 1
	r, err := clip.OpenPart(ctx, path, part, o)
	if err != nil {
		return nil, err
	}
	return &feed{reader: r}, nil
}

// at returns the frame nearest to a time; it is valid until the next call.
func (d *feed) at(t float64) (*track.Frame, error) {
	for {
		switch {
		case d.next.full && (!d.cur.full || nearer(d.next.frame.T, d.cur.frame.T, t)):
			d.cur, d.next = d.next, d.cur
			d.next.full = false
		case d.next.full || d.ended:
			if !d.cur.full {
				return nil, fmt.Errorf("reading clip %q: it shows no picture", d.reader.Info().Path)
			}
			return &d.cur.frame, nil
		default:
			if err := d.read(t); err != nil {
				return nil, err
			}
		}
	}
}

// nearer reports whether a is at least as near to t as b is.
func nearer(a, b, t float64) bool { return max(a-t, t-a) <= max(b-t, t-b) }

// read takes the next frame that may be wanted at t.
func (d *feed) read(t float64) error {
	var f track.Frame
	for {
		err := d.reader.Next(&f)
		if errors.Is(err, io.EOF) {
			d.ended = true
			return nil
		}
		if err != nil {
			return err
		}
		if f.T > t-skipped || !d.cur.full {
			d.next.keep(&f)
			return nil
		}
	}
}

func (d *feed) close() error {
	_, err := d.reader.Close()
	return err
}
