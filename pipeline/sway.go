package pipeline

import (
	"math"
	"slices"

	"strokereel/track"
	"strokereel/track/cast"
)

// still gives the parts as they would lie in the clip's first picture had the camera
// stood; those of a clip from a tripod are as they are.
func (w *seen) still(parts cast.Cast) cast.Cast {
	if len(w.Poses) == 0 {
		return parts
	}
	parts.Putter.Track = w.stillTrack(parts.Putter.Track)
	parts.Ball = w.stillBall(parts.Ball)
	parts.Struck = slices.Clone(parts.Struck)
	for i, b := range parts.Struck {
		parts.Struck[i] = w.stillBall(b)
	}
	return parts
}

func (w *seen) stillTrack(tr track.Track) track.Track {
	tr.Samples = slices.Clone(tr.Samples)
	for i, s := range tr.Samples {
		if s.Seen && s.Frame < len(w.Poses) {
			p := w.Poses[s.Frame]
			tr.Samples[i].X, tr.Samples[i].Y = p.Still(s.X, s.Y, w.middleX(), w.middleY())
			tr.Samples[i].U = math.Hypot(s.U, p.U)
		}
	}
	return tr
}

// stillBall puts a ball's track right, and its place at rest by how the picture lay
// when it was last seen there.
func (w *seen) stillBall(b cast.Ball) cast.Ball {
	for _, s := range slices.Backward(b.Track.Samples) {
		if s.Seen && s.Frame < len(w.Poses) && s.T <= b.Last {
			b.RestX, b.RestY = w.Poses[s.Frame].Still(b.RestX, b.RestY, w.middleX(), w.middleY())
			break
		}
	}
	b.Track = w.stillTrack(b.Track)
	return b
}

// swayed is the inverse of stillTrack for places without an uncertainty of their own:
// where they lie in the picture as it was filmed.
func (w *seen) swayed(tr track.Track) track.Track {
	for i, s := range tr.Samples {
		if s.Seen && s.Frame < len(w.Poses) {
			// Poses are small: there and back differ by a thousandth of them.
			x, y := w.Poses[s.Frame].Still(s.X, s.Y, w.middleX(), w.middleY())
			tr.Samples[i].X, tr.Samples[i].Y = 2*s.X-x, 2*s.Y-y
		}
	}
	return tr
}

func (w *seen) middleX() float64 { return float64(w.Info.Width-1) / 2 }
func (w *seen) middleY() float64 { return float64(w.Info.Height-1) / 2 }
