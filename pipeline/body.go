package pipeline

import (
	"context"
	"slices"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/body"
	"strokereel/track/cast"
	"strokereel/track/measure"
	"strokereel/track/path"
)

// player finds what was seen of the player: bands from the first reading of the
// clip, the shaft, how long it says a frame is exposed and the joints a model tells from a
// second one. Beside is where the shaft's line crosses the sticker's row.
func (r *Result) player(ctx context.Context, c Reading, w *seen, parts cast.Cast, in *measure.Clip, s settings.Settings) (beside track.Track, err error) {
	r.Bodies = r.bandTracks(w, parts)
	l := look{spans: around(r.Strokes), strokes: throughout(r.Strokes), starts: startsOf(r.Strokes), sticker: parts.Putter.Track, interval: w.Interval, pxPerM: r.Frame.Scale.PxPerM, leftward: r.towardLeft(), faces: untilLookUp(r.Strokes)}
	if k := slices.IndexFunc(r.Bodies, func(tr track.Track) bool { return tr.Object == track.Cap }); k >= 0 {
		l.cap = r.Bodies[k]
	}
	found, err := recalled(c.Memory, func() string { return l.key(c, s) }, func() (closer, error) { return lookAgain(ctx, c.File, l, s) })
	if err != nil {
		return beside, err
	}
	shaft, joints := found.Shaft, found.Joints
	in.Body = measure.Body{Paths: map[string]track.Path{}, Grip: s.Sheet.Grip, Guessed: map[string]bool{}}
	worn := map[string]bool{}
	for _, tr := range r.Bodies {
		worn[tr.Object] = true
	}
	for _, tr := range joints {
		if !worn[tr.Object] { // a band is better than a guess
			r.Bodies = append(r.Bodies, tr)
			in.Body.Guessed[tr.Object] = true
		}
	}
	r.Bodies = append(r.Bodies, shaft...)
	if worn[track.LeadElbow] && worn[track.LeadWrist] {
		r.Bodies = append(r.Bodies, r.hand(shaft)...)
	}
	for _, tr := range r.Bodies {
		in.Body.Paths[tr.Object] = path.InMetres(tr, r.Frame)
	}
	at := path.InMetres(track.Track{Samples: []track.Sample{
		{X: parts.Ball.RestX, Y: parts.Ball.RestY, Seen: true},
		{X: float64(w.Info.Width-1) / 2, Y: float64(w.Info.Height-1) / 2, Seen: true},
	}}, r.Frame)
	in.BallY = at.Points[0].Y
	in.BallX, in.BallKnown, in.MiddleX = at.Points[0].X, parts.ClearBall, at.Points[1].X
	in.Exposure = found.Exposure
	return found.Beside, nil
}

// bandTracks tells which patch of colour is which joint.
func (r *Result) bandTracks(w *seen, parts cast.Cast) []track.Track {
	sc := body.Scene{X: parts.Ball.RestX, Y: parts.Ball.RestY, PxPerM: r.Frame.Scale.PxPerM, Toward: 1, SiteX: w.SiteX, SiteY: w.SiteY}
	if r.towardLeft() {
		sc.Toward = -1
	}
	return w.Patches.Tracks(sc)
}

// towardLeft reports whether the target is at the picture's left.
func (r *Result) towardLeft() bool {
	left := r.Frame.DirX < 0
	if len(r.Strokes) > 0 && r.Strokes[0].Reversed {
		left = !left
	}
	return left
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
