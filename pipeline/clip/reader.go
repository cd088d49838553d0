package clip

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"sync"

	"strokereel/track"
)

// Reader hands out the frames of one clip in order.
type Reader struct {
	info   Info
	shown  image.Point // size of the part that is read
	opts   Options
	child  *child
	cancel context.CancelFunc
	parent context.Context
	stamps chan stamp
	filled chan []byte // pictures decoded ahead
	empty  chan []byte // buffers to decode into
	stop   chan struct{}
	once   sync.Once

	readErr error // why filled was closed, io.EOF at the end of the stream

	given   [][]byte // buffers the caller's planes point into, the present one last
	pending *track.Frame
	index   int
	offset  float64 // s on the file's clock, as last
	last    float64
	pace    float64 // how many times slower than life the file's clock runs
	size    [2]int  // of the picture before scaling
	gaps    intervals

	warnings []Warning
	failed   error
	ended    bool // the child has been waited for
}

// Open starts decoding and waits for the first frame, so that a clip that
// cannot be decoded is refused here. The caller must Close the reader.
func Open(ctx context.Context, path string, o Options) (*Reader, error) {
	info, err := Admit(ctx, path, o)
	if err != nil {
		return nil, err
	}
	return info.Open(ctx, Part{}, o)
}

// Open starts decoding a part of the pictures of a clip that was admitted.
func (i Info) Open(ctx context.Context, part Part, o Options) (*Reader, error) {
	abs, _, _, err := admit(i.Path)
	if err != nil {
		return nil, err
	}
	part = part.of(i)
	r, err := open(ctx, i, part.Area.Size(), o, frameArgs(abs, i, part, o.Threads))
	if err != nil {
		return nil, err
	}
	first := new(track.Frame)
	if err := r.Next(first); err != nil {
		_, _ = r.Close()
		if err == io.EOF {
			err = r.emptyClip()
		}
		return nil, err
	}
	r.pending = first
	return r, nil
}

func open(ctx context.Context, info Info, shown image.Point, o Options, args []string) (*Reader, error) {
	inner, cancel := context.WithCancel(ctx)
	r := &Reader{
		info: info, shown: shown, opts: o, parent: ctx, cancel: cancel,
		stamps: make(chan stamp, 256), // the log runs ahead of the pictures by a few
		filled: make(chan []byte, o.ReadAhead),
		empty:  make(chan []byte, o.ReadAhead+1+o.Kept),
		stop:   make(chan struct{}),
		gaps:   intervals{factor: o.Gap, ramp: o.Ramp},
		pace:   info.StorageStretch(),
	}
	r.warnings = append(r.warnings, info.Warnings...)
	var parse stamps
	c, err := start(inner, args, func(line string) {
		if s, ok := parse.read(line); ok {
			select {
			case r.stamps <- s:
			case <-r.stop:
			}
		}
	})
	if err != nil {
		cancel()
		return nil, err
	}
	r.child = c
	for range cap(r.empty) {
		r.empty <- nil
	}
	go func() {
		<-c.done
		close(r.stamps)
	}()
	go r.pump()
	return r, nil
}

// pump reads pictures ahead of their use, so that the decoder works while the
// caller does.
func (r *Reader) pump() {
	defer close(r.filled)
	w, h, err := readStreamHeader(r.child.out)
	if err != nil {
		r.readErr = err
		return
	}
	if w != r.shown.X || h != r.shown.Y {
		r.readErr = &Refusal{WrongSize, r.info.Path, fmt.Sprintf("shows %dx%d pixels where its header says %dx%d", w, h, r.shown.X, r.shown.Y), hintCopy}
		return
	}
	_, _, bytes := planes(w, h)
	for {
		var buf []byte
		select {
		case buf = <-r.empty:
		case <-r.stop:
			r.readErr = io.ErrClosedPipe
			return
		}
		if buf == nil {
			buf = make([]byte, len(frameMark)+bytes)
		}
		if _, err := io.ReadFull(r.child.out, buf); err != nil {
			r.readErr = err
			return
		}
		if string(buf[:len(frameMark)]) != frameMark {
			r.readErr = errors.New("the picture stream of ffmpeg lost its step")
			return
		}
		select {
		case r.filled <- buf:
		case <-r.stop:
			r.readErr = io.ErrClosedPipe
			return
		}
	}
}

// Info returns what the header says.
func (r *Reader) Info() Info { return r.info }

// StartOffset is the first frame's time on the file's own clock, on which the
// sound lies too, in seconds.
func (r *Reader) StartOffset() float64 { return r.offset }

// Next fills in the next frame; its planes are valid until the following call,
// or with Options.Kept for so many calls more. It returns io.EOF after the last
// one.
func (r *Reader) Next(f *track.Frame) error {
	if r.pending != nil {
		*f, r.pending = *r.pending, nil
		return nil
	}
	if r.failed != nil {
		return r.failed
	}
	if err := r.next(f); err != nil {
		r.failed = err
		return err
	}
	return nil
}

func (r *Reader) next(f *track.Frame) error {
	if len(r.given) > r.opts.Kept {
		r.empty <- r.given[0]
		r.given = r.given[1:]
	}
	buf, ok := <-r.filled
	if !ok {
		return r.end()
	}
	r.given = append(r.given, buf)
	s, ok := <-r.stamps
	if !ok {
		return fmt.Errorf("reading clip %q: picture %d came without a time", r.info.Path, r.index)
	}
	if s.index != r.index {
		return fmt.Errorf("reading clip %q: picture %d came with the time of picture %d", r.info.Path, r.index, s.index)
	}
	if err := r.check(s); err != nil {
		return err
	}
	w, h := r.shown.X, r.shown.Y
	y, u, v := planes(w, h)
	buf = buf[len(frameMark):]
	*f = track.Frame{Index: r.index, T: (s.t - r.offset) / r.pace, Key: s.key, Width: w, Height: h, Y: buf[:y:y], U: buf[y:u:u], V: buf[u:v:v]}
	r.index++
	return nil
}

// check admits the time and the size of the next picture.
func (r *Reader) check(s stamp) error {
	if !s.known {
		return &Refusal{NoTimes, r.info.Path, fmt.Sprintf("gives no time for picture %d", r.index), "give the phone's own file"}
	}
	size := [2]int{s.width, s.height}
	if r.index == 0 {
		r.offset, r.last, r.size = s.t, s.t, size
		return nil
	}
	if size != r.size {
		r.warnings = append(r.warnings, Warning{Code: SizeChanges, Frame: r.index, Spoils: true,
			Text: fmt.Sprintf("pictures change from %dx%d to %dx%d and were stretched to fit", r.size[0], r.size[1], size[0], size[1])})
		r.size = size
	}
	if s.t <= r.last {
		return &Refusal{TimesNotRising, r.info.Path, fmt.Sprintf("goes back in time at picture %d (%.3f s after %.3f s)", r.index, s.t-r.offset, r.last-r.offset), "give the phone's own file"}
	}
	r.gaps.add(r.index, (s.t-r.last)/r.pace)
	r.last = s.t
	if s.t-r.offset > r.opts.MaxLength {
		return &Refusal{TooLong, r.info.Path, fmt.Sprintf("lasts more than %v s", r.opts.MaxLength), "cut it to the stroke, or raise max_length"}
	}
	return nil
}

// end is called when no picture is left: it tells a clean end from a failure.
func (r *Reader) end() error {
	extra := 0
	for range r.stamps {
		extra++
	}
	err := r.child.wait()
	r.ended = true
	r.cancel()
	if r.parent.Err() != nil {
		return fmt.Errorf("reading clip %q: %w", r.info.Path, r.parent.Err())
	}
	var refusal *Refusal
	switch {
	case errors.As(r.readErr, &refusal):
		return refusal
	case r.readErr != io.EOF:
		return fmt.Errorf("reading clip %q: %w", r.info.Path, r.readErr)
	case err != nil && r.index == 0:
		return r.emptyClip()
	case err != nil:
		return fmt.Errorf("reading clip %q: ffmpeg stopped after %d pictures: %s: %w", r.info.Path, r.index, r.child.said(), err)
	case extra > 0:
		return fmt.Errorf("reading clip %q: %d pictures were lost on the way from ffmpeg", r.info.Path, extra)
	}
	return io.EOF
}

// emptyClip explains a clip of which not one picture could be decoded.
func (r *Reader) emptyClip() error {
	said := r.child.said()
	if r.child.errors == 0 {
		return &Refusal{NoPictures, r.info.Path, "shows no picture", "give the phone's own file"}
	}
	return &Refusal{Unreadable, r.info.Path, "cannot be decoded (" + said + ")", hintCopy}
}

// Close ends the child, also before the last frame, and returns what was found
// wrong with the frames read so far. Closing twice is harmless.
func (r *Reader) Close() ([]Warning, error) {
	r.once.Do(func() {
		close(r.stop)
		if !r.ended {
			r.child.kill()
			_ = r.child.wait() // it was killed: how it ended says nothing
		}
		r.cancel()
		if r.failed == nil {
			r.failed = errors.New("reading a closed clip")
		}
		r.warnings = append(r.warnings, r.gaps.warnings()...)
		if n := r.child.errors; n > 0 {
			r.warnings = append(r.warnings, Warning{Code: Damaged, Frame: -1, Spoils: true,
				Text: fmt.Sprintf("the decoder met %d faults, first: %s", n, r.child.said())})
		}
	})
	return r.warnings, nil
}
