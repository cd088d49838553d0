package pipeline

import (
	"context"
	"errors"
	"io"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/slate"
	"strokereel/track"
	"strokereel/track/steady"
)

// moved reports whether the camera was moved, by the corners of the picture.
func (w *seen) moved(s settings.Settings) bool {
	limit := s.Track.Steady.MaxShift * float64(max(w.Info.Width, w.Info.Height)) / 1920
	return w.ShiftOK && w.Shift > limit
}

// afterCard looks again at how the camera stood if the clip begins with a card,
// which has more corners than a wall and is taken away.
func (w *seen) afterCard(ctx context.Context, file string, s settings.Settings) error {
	if s.Night.Cards <= s.Track.Steady.From {
		return nil
	}
	_, shown, err := slate.Read(ctx, file, s.Clip, s.Night.Cards)
	if err != nil || !shown {
		return err
	}
	r, err := clip.Open(ctx, file, s.Clip)
	if err != nil {
		return err
	}
	defer r.Close()
	o := s.Track.Steady
	o.From = s.Night.Cards
	watch := steady.New(o)
	defer watch.Close()
	var f track.Frame
	for {
		switch err := r.Next(&f); {
		case errors.Is(err, io.EOF):
			w.Shift, w.ShiftOK = watch.Shift()
			return nil
		case err != nil:
			return err
		}
		if err := watch.Next(&f); err != nil {
			return err
		}
	}
}
