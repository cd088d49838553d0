package pipeline

import (
	"math"

	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/body"
	"strokereel/track/path"
)

// lines gathers the shaft's line, frame by frame.
type lines struct {
	sticker   map[int]track.Sample
	speeds    map[int]float64 // px/s
	finder    *body.Shaft
	foot, top track.Track
	beside    track.Track // where the line crosses the sticker's row
	stamps    []track.Sample
}

func newLines(at look, o body.Options) *lines {
	l := &lines{sticker: map[int]track.Sample{}, speeds: map[int]float64{}, finder: body.NewShaft(o, at.pxPerM, at.interval),
		foot: track.Track{Object: track.ShaftFoot}, top: track.Track{Object: track.ShaftTop}}
	seen := at.sticker.Samples
	for i, q := range seen {
		l.sticker[q.Frame] = q
		if i > 0 && i+1 < len(seen) && seen[i-1].Seen && seen[i+1].Seen {
			a, b := seen[i-1], seen[i+1]
			l.speeds[q.Frame] = math.Abs(b.X-a.X) / (b.T - a.T)
		}
	}
	return l
}

// next takes a frame, looks for the shaft in it when asked to, and returns the
// sticker's place.
func (l *lines) next(f *track.Frame, look bool) track.Sample {
	p, q := track.Sample{Frame: f.Index, T: f.T}, track.Sample{Frame: f.Index, T: f.T}
	l.stamps = append(l.stamps, p)
	beside, sticker := p, l.sticker[f.Index]
	if sticker.Seen && look {
		if s, ok := l.finder.Find(f, sticker.X, sticker.Y, l.speeds[f.Index]); ok {
			u := s.U * math.Hypot(s.TopX-s.FootX, s.TopY-s.FootY) / math.Sqrt2
			p.X, p.Y, p.U, p.Seen = s.FootX, s.FootY, u, true
			q.X, q.Y, q.U, q.Seen = s.TopX, s.TopY, u, true
			beside.X, beside.Y, beside.U, beside.Seen = s.X, sticker.Y, s.UX, s.Studied
		}
	}
	l.foot.Samples, l.top.Samples = append(l.foot.Samples, p), append(l.top.Samples, q)
	l.beside.Samples = append(l.beside.Samples, beside)
	return sticker
}

// withShaft makes the putter's path surer by the shaft's and finds the strokes in it again.
func (f *found) withShaft(beside track.Track, s settings.Settings) error {
	if len(f.Strokes) == 0 {
		return nil
	}
	var breaks []float64
	for _, stroke := range f.Strokes {
		if e := stroke.Event(track.Impact); e.Known() {
			breaks = append(breaks, e.T)
		}
	}
	shaft := path.InMetres(f.seen.stillTrack(beside), f.Frame)
	joint, err := path.Join(f.in.Putter, shaft, f.in.ULag, breaks, f.in.FrameExposure(), s.Track.Path)
	if err != nil || !joint.Told() {
		return err
	}
	f.in.Putter, f.in.Joint = joint.Path, joint
	f.in.Slow = math.Hypot(slowU(joint.Path), joint.U())
	if err := f.phases(f.heard, s); err != nil {
		return err
	}
	f.correctStrokes(f.clip.Fix.Strokes)
	return nil
}
