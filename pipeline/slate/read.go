package slate

import (
	"context"
	"errors"
	"io"

	"strokereel/pipeline/clip"
	"strokereel/track"
	"strokereel/track/qr"
)

// every is how often a picture is looked at, s: a card that is held up for two
// seconds is shown to the detector four times.
const every = 0.5

// Read looks for a card in a clip's first seconds; ok is false when there is
// none. A clip that cannot be read is an error.
func Read(ctx context.Context, path string, o clip.Options, within float64) (s Slate, ok bool, err error) {
	reader, err := qr.New()
	if err != nil {
		return Slate{}, false, err
	}
	defer reader.Close()
	o.Threads = 1 // several clips are looked at side by side
	r, err := clip.Open(ctx, path, o)
	if err != nil {
		return Slate{}, false, err
	}
	defer r.Close()
	var f track.Frame
	for next := 0.0; ; {
		switch err := r.Next(&f); {
		case errors.Is(err, io.EOF):
			return Slate{}, false, nil
		case err != nil:
			return Slate{}, false, err
		case f.T > within:
			return Slate{}, false, nil
		case f.T < next:
			continue
		}
		next += every
		if s, ok := Parse(reader.Read(&f)); ok {
			return s, true, nil
		}
	}
}
