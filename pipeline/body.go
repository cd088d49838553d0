package pipeline

import (
	"context"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"

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
// clip, the shaft and the joints a model tells from a second one.
func (r *Result) player(ctx context.Context, c Reading, w *seen, parts cast.Cast, in *measure.Clip, s settings.Settings) error {
	r.Bodies = r.bandTracks(w, parts)
	l := look{spans: around(r.Strokes), starts: startsOf(r.Strokes), sticker: parts.Putter.Track, pxPerM: r.Frame.Scale.PxPerM, leftward: r.towardLeft(), faces: untilLookUp(r.Strokes)}
	if k := slices.IndexFunc(r.Bodies, func(tr track.Track) bool { return tr.Object == track.Cap }); k >= 0 {
		l.cap = r.Bodies[k]
	}
	found, err := recalled(c.Memory, func() string { return l.key(c, s) }, func() (closer, error) { return lookAgain(ctx, c.File, l, s) })
	if err != nil {
		return err
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
	return nil
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

// span is a stretch of time and how often the model is asked in it, s.
type span struct{ from, to, every float64 }

const (
	// addressLook is how long before the start the second reading begins, s.
	addressLook = 0.4
	// eventLook is how far around an event it looks, s: a local fit needs some
	// frames on either side.
	eventLook = 0.11
)

// around lists the stretches around the events of the strokes, in order.
func around(strokes []phase.Stroke) []span {
	var out []span
	for _, s := range strokes {
		if e := s.Event(track.Start); e.Known() {
			out = append(out, span{e.T - addressLook, e.T + eventLook/2, still})
		}
		for _, name := range []string{track.Top, track.Stop} {
			if e := s.Event(name); e.Known() {
				out = append(out, span{e.T - eventLook, e.T + eventLook, dense})
			}
		}
		// The hand is looked at again a tenth of a second after impact.
		if e := s.Event(track.Impact); e.Known() {
			out = append(out, span{e.T - eventLook, e.T + 0.1 + eventLook, dense})
		}
	}
	return out
}

// startsOf lists when the strokes start, s.
func startsOf(strokes []phase.Stroke) []float64 {
	var out []float64
	for _, s := range strokes {
		if e := s.Event(track.Start); e.Known() {
			out = append(out, e.T)
		}
	}
	return out
}

// lookAfter is how long after the stop a look-up is waited for, s: few hold a finish
// for longer.
const lookAfter = 1.5

// untilLookUp lists for each stroke the stretch in which the head may look up.
func untilLookUp(strokes []phase.Stroke) []span {
	var out []span
	for _, s := range strokes {
		if a, b := s.Event(track.Start), s.Event(track.Stop); a.Known() && b.Known() {
			out = append(out, span{from: a.T - addressLook, to: b.T + lookAfter})
		}
	}
	return out
}

// asks tells how long the model rests between two looks at a moment, and whether
// the moment lies in one of the spans.
func asks(spans []span, t float64) (pause float64, near bool) {
	pause = sparse
	for _, s := range spans {
		if t >= s.from && t <= s.to {
			pause, near = math.Min(pause, s.every), true
		}
	}
	return pause, near
}

func lastOf(spans []span) float64 {
	last := math.Inf(-1)
	for _, s := range spans {
		last = math.Max(last, s.to)
	}
	return last
}

// How often the model is asked, s: a look takes as long as eight frames of a clip.
const (
	sparse = 0.2      // away from the events
	still  = 0.08     // at address, where nothing moves
	dense  = 1.0 / 24 // around the events: every third frame of sixty
)

// lookAgain reads the clip again and finds the shaft's line around the events,
// kept as two points of it, and the joints with the body model.
func lookAgain(ctx context.Context, file string, l look, s settings.Settings) (closer, error) {
	if len(l.spans) == 0 {
		return closer{}, nil
	}
	follower, free, err := openFollower(s.Track.Body, l.leftward)
	if err != nil {
		return closer{}, err
	}
	defer free()
	reader, err := clip.Open(ctx, file, s.Clip)
	if err != nil {
		return closer{}, err
	}
	defer reader.Close()
	lines := newLines(l, s.Track.Body)
	asked := math.Inf(-1)
	var f track.Frame
	faces := newHeads(l)
	asking := lastOf(l.spans)
	end := asking
	if follower != nil || len(l.cap.Samples) > 0 {
		end = math.Max(end, lastOf(l.faces))
	}
	for {
		if err := reader.Next(&f); errors.Is(err, io.EOF) || err == nil && f.T > end {
			break
		} else if err != nil {
			return closer{}, err
		}
		pause, near := asks(l.spans, f.T)
		sticker := lines.next(&f, near)
		if follower != nil && sticker.Seen && f.T-asked >= pause && f.T <= asking {
			asked = f.T
			if err := follower.Next(&f, body.Club{X: sticker.X, Y: sticker.Y, PxPerM: l.pxPerM}); err != nil {
				return closer{}, err
			}
		}
		if err := faces.next(&f, follower); err != nil {
			return closer{}, err
		}
	}
	out := closer{Shaft: []track.Track{lines.foot, lines.top}}
	if follower != nil {
		out.Joints = follower.Tracks(lines.stamps, l.starts)
	}
	out.Joints = append(out.Joints, faces.tracks()...)
	return out, nil
}

// heads follows the head's picture through one stroke after the other.
type heads struct {
	spans  []span
	now    int // the span begun last, from 1
	faces  []*body.Face
	cap    map[int]track.Sample
	pxPerM float64
}

func newHeads(l look) heads {
	h := heads{spans: l.faces, cap: map[int]track.Sample{}, pxPerM: l.pxPerM}
	for _, q := range l.cap.Samples {
		h.cap[q.Frame] = q
	}
	return h
}

// next takes a frame. A head is begun when it is first seen at address.
func (h *heads) next(f *track.Frame, p *body.Follower) error {
	for k, s := range h.spans {
		if f.T < s.from || f.T > s.to {
			continue
		}
		if h.now <= k {
			head, err := h.find(f, p)
			if err != nil {
				return err
			}
			if head != nil {
				h.faces, h.now = append(h.faces, head), k+1
			}
		}
		if h.now == k+1 {
			h.faces[len(h.faces)-1].Next(f)
			return nil
		}
	}
	return nil
}

// find looks for the head by the sticker on its cap, or without one by its ears.
func (h *heads) find(f *track.Frame, p *body.Follower) (*body.Face, error) {
	if len(h.cap) > 0 {
		if q := h.cap[f.Index]; q.Seen {
			return body.FaceUnderCap(q.X, q.Y, h.pxPerM), nil
		}
		return nil, nil
	}
	if p == nil {
		return nil, nil
	}
	ax, ay, bx, by, ok, err := p.Ears(f)
	if !ok || err != nil {
		return nil, err
	}
	return body.NewFace(ax, ay, bx, by), nil
}

func (h *heads) tracks() []track.Track {
	var out []track.Track
	for _, f := range h.faces {
		for i, tr := range f.Tracks() {
			if len(out) <= i {
				out = append(out, track.Track{Object: tr.Object})
			}
			out[i].Samples = append(out[i].Samples, tr.Samples...)
		}
	}
	return out
}

// openFollower opens the body model; without one it is nil.
func openFollower(o body.Options, leftward bool) (*body.Follower, func(), error) {
	nothing := func() {}
	folder := modelFolder(o)
	if folder == "" {
		return nil, nothing, nil
	}
	m, err := body.OpenModel(folder)
	if errors.Is(err, body.ErrNoModel) {
		return nil, nothing, nil
	}
	if err != nil {
		return nil, nothing, err
	}
	return body.NewFollower(m, leftward), m.Close, nil
}

// modelFolder is where the body model may lie; "" when it is not wanted, or when
// there is no home for it.
func modelFolder(o body.Options) string {
	if o.Model == "off" {
		return ""
	}
	if o.ModelFolder != body.AutoFolder {
		return o.ModelFolder
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(cache, "strokereel", "models")
}

// lines gathers the shaft's two points, frame by frame.
type lines struct {
	sticker   map[int]track.Sample
	finder    *body.Shaft
	foot, top track.Track
	stamps    []track.Sample
}

func newLines(at look, o body.Options) *lines {
	l := &lines{sticker: map[int]track.Sample{}, finder: body.NewShaft(o, at.pxPerM),
		foot: track.Track{Object: track.ShaftFoot}, top: track.Track{Object: track.ShaftTop}}
	for _, q := range at.sticker.Samples {
		l.sticker[q.Frame] = q
	}
	return l
}

// next takes a frame, looks for the shaft in it when asked to, and returns the
// sticker's place.
func (l *lines) next(f *track.Frame, look bool) track.Sample {
	p, q := track.Sample{Frame: f.Index, T: f.T}, track.Sample{Frame: f.Index, T: f.T}
	l.stamps = append(l.stamps, p)
	sticker := l.sticker[f.Index]
	if sticker.Seen && look {
		if s, ok := l.finder.Find(f, sticker.X, sticker.Y); ok {
			u := s.U * math.Hypot(s.TopX-s.FootX, s.TopY-s.FootY) / math.Sqrt2
			p.X, p.Y, p.U, p.Seen = s.FootX, s.FootY, u, true
			q.X, q.Y, q.U, q.Seen = s.TopX, s.TopY, u, true
		}
	}
	l.foot.Samples, l.top.Samples = append(l.foot.Samples, p), append(l.top.Samples, q)
	return sticker
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
