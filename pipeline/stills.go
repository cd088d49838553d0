package pipeline

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"slices"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/phase"
)

// Still is the annotated picture of one event.
type Still struct {
	Name  string // file name
	Image *image.RGBA
}

// StillName is the file name of the still of a stroke's event.
func StillName(stroke int, event string) string {
	return fmt.Sprintf("stroke-%d-%s.png", stroke+1, event)
}

// wanted is a still to be made: an event of a stroke and its nearest frame.
type wanted struct {
	stroke int
	event  track.Event
	frame  int
}

// Stills reads the clip once more, up to the last event, and hands an annotated
// picture of each known event to save.
func (r *Result) Stills(ctx context.Context, file string, s settings.Settings, save func(Still) error) error {
	due := r.wantedStills()
	if len(due) == 0 {
		return nil
	}
	reader, err := clip.Open(ctx, file, s.Clip)
	if err != nil {
		return err
	}
	defer reader.Close()
	last := due[len(due)-1].frame
	var f track.Frame
	for len(due) > 0 {
		if err := reader.Next(&f); errors.Is(err, io.EOF) {
			return fmt.Errorf("drawing stills of %q: frame %d is missing on second reading", file, last)
		} else if err != nil {
			return err
		}
		for len(due) > 0 && due[0].frame == f.Index {
			img := clip.ToRGBA(nil, &f, r.Siting)
			if err := scene.Still(img, r.stillData(due[0], f.T)); err != nil {
				return fmt.Errorf("drawing the still of %s: %w", due[0].event.Name, err)
			}
			if err := save(Still{Name: StillName(due[0].stroke, due[0].event.Name), Image: img}); err != nil {
				return err
			}
			due = due[1:]
		}
	}
	return nil
}

// wantedStills lists the known events with their nearest frames, in order of
// frames.
func (r *Result) wantedStills() []wanted {
	var due []wanted
	times := r.frameTimes()
	for i, s := range r.Strokes {
		for _, e := range s.Events {
			if e.Known() && len(times) > 0 {
				due = append(due, wanted{i, e, nearest(times, e.T)})
			}
		}
	}
	slices.SortStableFunc(due, func(a, b wanted) int { return a.frame - b.frame })
	return due
}

type frameTime struct {
	frame int
	t     float64
}

// frameTimes lists the frames over which the putter was followed.
func (r *Result) frameTimes() []frameTime {
	var out []frameTime
	for _, s := range r.Parts.Putter.Track.Samples {
		out = append(out, frameTime{s.Frame, s.T})
	}
	return out
}

func nearest(times []frameTime, t float64) int {
	i, _ := slices.BinarySearchFunc(times, t, func(f frameTime, t float64) int {
		if f.t < t {
			return -1
		}
		return 1
	})
	if i == len(times) || i > 0 && t-times[i-1].t < times[i].t-t {
		i--
	}
	return times[i].frame
}

// stillData gathers what is drawn on one still.
func (r *Result) stillData(w wanted, t float64) scene.StillData {
	s := r.Strokes[w.stroke]
	d := scene.StillData{
		Event: w.event, Moment: overlay.Moment{T: t, View: overlay.FullView()}, Putter: r.Parts.Putter.Track.Samples,
		Events: s.Events, Measures: map[string]track.Measure{}, Ground: r.ground(s),
	}
	for _, m := range r.Measures[w.stroke] {
		d.Measures[m.ID] = m
	}
	d.Moment.Objects = scene.Visible(r.objects(t), r.Frame.Scale.PxPerM)
	if start := s.Event(track.Start); start.Known() {
		d.Address = r.bodyAt(start.T - r.Interval)
	}
	return d
}

// ground places the putt line below the sticker's place at address.
func (r *Result) ground(s phase.Stroke) *scene.Ground {
	k := r.Frame.Scale.PxPerM
	if !(k > 0) {
		return nil
	}
	x, y := r.Frame.OriginX, r.Frame.OriginY
	// The ball's foot is on the ground; the sticker's foot is a little nearer
	// to the camera and so a little lower.
	foot := r.Parts.Ball.RestY + 0.62*r.Parts.Ball.Width
	return &scene.Ground{X: x, Y: math.Max(foot, y+r.Parts.Putter.Radius), DX: k * r.Frame.DirX, DY: k * r.Frame.DirY}
}

// keepClear is how far around a sticker labels keep clear of it, in its radii.
const keepClear = 2.5

// Seen lists what is seen at a time, each as large as it is.
func (r *Result) Seen(t float64) []overlay.Object {
	out := r.objects(t)
	for i := range out {
		switch out[i].Name {
		case track.Putter:
			out[i].Radius = r.Parts.Putter.Radius
		case track.Ball:
		default:
			out[i].Radius = 0
		}
	}
	return out
}

// objects lists what is seen at a time, so that labels keep clear of it.
func (r *Result) objects(t float64) []overlay.Object {
	var out []overlay.Object
	add := func(tr track.Track, name string, radius float64) {
		for _, s := range tr.Samples {
			if s.Seen && math.Abs(s.T-t) < r.Interval/2 {
				out = append(out, overlay.Object{Name: name, X: s.X, Y: s.Y, U: s.U, Radius: radius})
			}
		}
	}
	add(r.Parts.Putter.Track, track.Putter, keepClear*r.Parts.Putter.Radius)
	balls := r.Parts.Struck
	if len(balls) == 0 && r.Parts.ClearBall {
		balls = append(balls, r.Parts.Ball)
	}
	for _, b := range balls {
		add(b.Track, track.Ball, b.Width/2)
	}
	return append(out, r.bodyAt(t)...)
}

// bodyAt lists the places of the body seen at a time.
func (r *Result) bodyAt(t float64) []overlay.Object {
	var out []overlay.Object
	for _, tr := range r.Bodies {
		for _, s := range tr.Samples {
			if s.Seen && math.Abs(s.T-t) < r.Interval/2 {
				out = append(out, overlay.Object{Name: tr.Object, X: s.X, Y: s.Y, U: s.U})
			}
		}
	}
	return out
}
