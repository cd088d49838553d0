package clip

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"

	ffmpeg "github.com/u2takey/ffmpeg-go"

	"strokereel/track"
	"strokereel/track/sound"
)

// Samples is the sound of a clip; see package sound.
type Samples = sound.Samples

// ErrNoSound says that a clip has no sound, which is no fault.
var ErrNoSound = errors.New("the clip has no sound")

const (
	soundRate = 48000
	// longestSound bounds memory when a file's own times are wrong: an hour.
	longestSound = 3600.0
)

// Sound reads the sound of a clip as mono 48 kHz samples on the clock of the
// frames: time 0 is the first frame's. Where the file lacks sound there is
// silence. A clip without sound gives ErrNoSound, and so does slow motion: some
// phones stretch its sound and some do not, so it is no clock.
func Sound(ctx context.Context, path string, o Options) (Samples, error) {
	info, err := Probe(ctx, path)
	if err != nil {
		return Samples{}, err
	}
	info.believe(o)
	return info.Sound(ctx)
}

// Sound reads the sound of a clip that was admitted.
func (i Info) Sound(ctx context.Context) (Samples, error) {
	path := i.Path
	if i.AudioStreams == 0 || i.StorageStretch() != 1 {
		return Samples{}, ErrNoSound
	}
	offset, err := firstFrame(ctx, i)
	if err != nil {
		return Samples{}, err
	}
	abs, _, _, err := admit(path)
	if err != nil {
		return Samples{}, err
	}
	c, err := start(ctx, soundArgs(abs, longestSound), func(string) {})
	if err != nil {
		return Samples{}, err
	}
	pcm, readErr := readFloats(c.out)
	if readErr != nil {
		c.kill()
	}
	err = c.wait()
	switch {
	case ctx.Err() != nil:
		return Samples{}, fmt.Errorf("reading the sound of clip %q: %w", path, ctx.Err())
	case readErr != nil:
		return Samples{}, fmt.Errorf("reading the sound of clip %q: %w", path, readErr)
	case err != nil:
		return Samples{}, fmt.Errorf("reading the sound of clip %q: %s: %w", path, c.said(), err)
	case len(pcm) == 0:
		return Samples{}, ErrNoSound
	}
	return Samples{Rate: soundRate, T0: 0 - offset, PCM: pcm}, nil
}

// firstFrame decodes one frame to learn its time on the file's clock. Header
// and packets do not tell it: edit lists hide frames, damage removes them.
func firstFrame(ctx context.Context, info Info) (float64, error) {
	abs, _, _, err := admit(info.Path)
	if err != nil {
		return 0, err
	}
	o := DefaultOptions()
	o.ReadAhead = 1
	r, err := open(ctx, info, info.whole().Size(), o, frameArgs(abs, info, Part{}.of(info), 1, ffmpeg.KwArgs{"frames:v": "1"}))
	if err != nil {
		return 0, err
	}
	defer r.Close()
	if err := r.Next(new(track.Frame)); err != nil {
		if err == io.EOF {
			err = r.emptyClip()
		}
		return 0, err
	}
	return r.offset, nil
}

// readFloats reads little-endian 32-bit floats to the end.
func readFloats(r io.Reader) ([]float32, error) {
	var pcm []float32
	buf := make([]byte, 1<<16)
	for {
		n, err := io.ReadFull(r, buf)
		for k := 0; k+4 <= n; k += 4 {
			pcm = append(pcm, math.Float32frombits(binary.LittleEndian.Uint32(buf[k:])))
		}
		switch {
		case err == io.EOF, err == io.ErrUnexpectedEOF:
			return pcm, nil
		case err != nil:
			return nil, err
		}
	}
}
