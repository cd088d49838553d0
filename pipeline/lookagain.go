package pipeline

import (
	"context"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/body"
	"strokereel/track/phase"
)

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

const (
	// shaftBefore is how long before a start the shaft is looked at, s: to learn what it
	// looks like, and for the place at address.
	shaftBefore = 1.2
	// shaftAfter is how long after a stop, s: few hold a finish for longer.
	shaftAfter = 3
)

// throughout lists the stretches in which the strokes' shaft is followed.
func throughout(strokes []phase.Stroke) []span {
	var out []span
	for _, s := range strokes {
		if start, stop := s.Event(track.Start), s.Event(track.Stop); start.Known() && stop.Known() {
			out = append(out, span{from: start.T - shaftBefore, to: math.Min(stop.T+shaftAfter, s.ClipEnd)})
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
	end := math.Max(asking, lastOf(l.strokes))
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
		_, within := asks(l.strokes, f.T)
		sticker := lines.next(&f, near || within)
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
	out := closer{Shaft: []track.Track{lines.foot, lines.top}, Beside: lines.beside, Exposure: lines.finder.Exposure()}
	if follower != nil {
		out.Joints = follower.Tracks(lines.stamps, l.starts)
	}
	out.Joints = append(out.Joints, faces.tracks()...)
	return out, nil
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
