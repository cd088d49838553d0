package pipeline

import (
	"context"
	"errors"
	"io"
	"math"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/body"
	"strokereel/track/cast"
	"strokereel/track/measure"
	"strokereel/track/path"
	"strokereel/track/phase"
)

// player finds what was seen of the player: bands from the first reading of the
// clip, the shaft from a second one around the events.
func (r *Result) player(ctx context.Context, file string, w *seen, parts cast.Cast, in *measure.Clip, s settings.Settings) error {
	r.Bodies = r.bandTracks(w, parts)
	shaft, err := r.shaft(ctx, file, parts, s)
	if err != nil {
		return err
	}
	r.Bodies = append(r.Bodies, shaft...)
	r.Bodies = append(r.Bodies, r.hand(shaft)...)
	in.Body = measure.Body{Paths: map[string]track.Path{}, Grip: s.Sheet.Grip}
	for _, tr := range r.Bodies {
		in.Body.Paths[tr.Object] = path.InMetres(tr, r.Frame)
	}
	at := path.InMetres(track.Track{Samples: []track.Sample{
		{X: parts.Ball.RestX, Y: parts.Ball.RestY, Seen: true},
		{X: float64(w.info.Width-1) / 2, Y: float64(w.info.Height-1) / 2, Seen: true},
	}}, r.Frame)
	in.BallY = at.Points[0].Y
	in.BallX, in.BallKnown, in.MiddleX = at.Points[0].X, parts.ClearBall, at.Points[1].X
	return nil
}

// bandTracks tells which patch of colour is which joint.
func (r *Result) bandTracks(w *seen, parts cast.Cast) []track.Track {
	sc := body.Scene{X: parts.Ball.RestX, Y: parts.Ball.RestY, PxPerM: r.Frame.Scale.PxPerM, Toward: 1, SiteX: w.siteX, SiteY: w.siteY}
	if r.towardLeft() {
		sc.Toward = -1
	}
	return w.bands.Tracks(sc)
}

// towardLeft reports whether the target is at the picture's left.
func (r *Result) towardLeft() bool {
	left := r.Frame.DirX < 0
	if len(r.Strokes) > 0 && r.Strokes[0].Reversed {
		left = !left
	}
	return left
}

// span is a stretch of time, s.
type span struct{ from, to float64 }

const (
	// addressLook is how long before the start the second reading begins, s.
	addressLook = 0.4
	// eventLook is how far around an event it looks, s: a local fit needs some
	// frames on either side.
	eventLook = 0.11
)

// lookAgain lists the stretches around the events of the strokes, in order.
func lookAgain(strokes []phase.Stroke) []span {
	var out []span
	for _, s := range strokes {
		if e := s.Event(track.Start); e.Known() {
			out = append(out, span{e.T - addressLook, e.T + eventLook/2})
		}
		for _, name := range []string{track.Top, track.Stop} {
			if e := s.Event(name); e.Known() {
				out = append(out, span{e.T - eventLook, e.T + eventLook})
			}
		}
		// The hand is looked at again a tenth of a second after impact.
		if e := s.Event(track.Impact); e.Known() {
			out = append(out, span{e.T - eventLook, e.T + 0.1 + eventLook})
		}
	}
	return out
}

func within(spans []span, t float64) bool {
	for _, s := range spans {
		if t >= s.from && t <= s.to {
			return true
		}
	}
	return false
}

func lastOf(spans []span) float64 {
	last := math.Inf(-1)
	for _, s := range spans {
		last = math.Max(last, s.to)
	}
	return last
}

// shaft reads the clip again and finds the shaft's line around the events. The
// line is kept as two points of it.
func (r *Result) shaft(ctx context.Context, file string, parts cast.Cast, s settings.Settings) ([]track.Track, error) {
	spans := lookAgain(r.Strokes)
	if len(spans) == 0 {
		return nil, nil
	}
	at := map[int]track.Sample{}
	for _, q := range parts.Putter.Track.Samples {
		at[q.Frame] = q
	}
	reader, err := clip.Open(ctx, file, s.Clip)
	if err != nil {
		return nil, err
	}
	defer reader.Close()
	finder := body.NewShaft(s.Track.Body, r.Frame.Scale.PxPerM)
	foot, top := track.Track{Object: track.ShaftFoot}, track.Track{Object: track.ShaftTop}
	var f track.Frame
	for end := lastOf(spans); ; {
		if err := reader.Next(&f); errors.Is(err, io.EOF) || f.T > end {
			break
		} else if err != nil {
			return nil, err
		}
		p, q := track.Sample{Frame: f.Index, T: f.T}, track.Sample{Frame: f.Index, T: f.T}
		if sticker := at[f.Index]; sticker.Seen && within(spans, f.T) {
			if l, ok := finder.Find(&f, sticker.X, sticker.Y); ok {
				u := l.U * math.Hypot(l.TopX-l.FootX, l.TopY-l.FootY) / math.Sqrt2
				p.X, p.Y, p.U, p.Seen = l.FootX, l.FootY, u, true
				q.X, q.Y, q.U, q.Seen = l.TopX, l.TopY, u, true
			}
		}
		foot.Samples, top.Samples = append(foot.Samples, p), append(top.Samples, q)
	}
	return []track.Track{foot, top}, nil
}

// hand is the track of the lead hand on the shaft, when the forearm is seen.
func (r *Result) hand(shaft []track.Track) []track.Track {
	var elbow, wrist track.Track
	for _, tr := range r.Bodies {
		switch tr.Object {
		case track.LeadElbow:
			elbow = tr
		case track.LeadWrist:
			wrist = tr
		}
	}
	for _, s := range r.Strokes {
		if start := s.Event(track.Start); start.Known() && len(shaft) == 2 {
			if h, ok := body.LeadHand(shaft[0], shaft[1], elbow, wrist, r.Frame.Scale.PxPerM, start.T-addressLook, start.T); ok {
				return []track.Track{h}
			}
		}
	}
	return nil
}

// withLookUp notes when the head moved in the strokes' events.
func (r *Result) withLookUp(in measure.Clip, s settings.Settings) {
	for i := range r.Strokes {
		if r.Strokes[i].Kind == track.Unusable {
			continue
		}
		e := measure.LookUp(r.Strokes[i], in, s.Track.Measure)
		for k := range r.Strokes[i].Events {
			if r.Strokes[i].Events[k].Name == e.Name {
				r.Strokes[i].Events[k] = e
			}
		}
	}
}

// keepBody notes the player's tracks for the CSV files.
func (r *Result) keepBody() {
	for _, tr := range r.Bodies {
		o := lesson.Observed{Track: tr}
		if r.Frame.Scale.PxPerM > 0 {
			o.Path = path.InMetres(tr, r.Frame)
		}
		r.Observed = append(r.Observed, o)
	}
}
