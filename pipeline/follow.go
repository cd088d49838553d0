package pipeline

import (
	"context"
	"errors"
	"io"
	"math"
	"runtime"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/ball"
	"strokereel/track/body"
	"strokereel/track/cast"
	"strokereel/track/marker"
	"strokereel/track/steady"
)

// stillSpeed is how slow, in px/s of a picture 1920 px wide, a sticker must be
// for a ball to be looked for beside it: 4 cm/s.
const stillSpeed = 20

const (
	// mostCores bounds the pictures a decoder holds on a large machine.
	mostCores = 14
	// moreDecoders than cores each hold one picture more, and go on while others
	// wait for their pictures to be read.
	moreDecoders = 2
)

// seen is what one pass over a clip's frames found: plain data, which can be
// kept and read back without a change.
type seen struct {
	Info     clip.Info
	Frames   int
	Last     float64 // s, time of the last frame
	Interval float64 // s, typical
	Spots    []cast.Spot
	Balls    []cast.Ball
	Patches  body.Patches
	SiteX    float64 // px, of the colour samples
	SiteY    float64
	Shift    float64 // px
	ShiftOK  bool
	Poses    []steady.Pose // of every frame, when the camera was held in a hand
	Lively   bool
	Warnings []clip.Warning
}

// follow reads every frame of a clip once and follows stickers and balls. Listen,
// which may be nil, hears of every look.
func follow(ctx context.Context, path string, s settings.Settings, progress func(float64), listen track.Listener) (*seen, error) {
	s.Clip.Threads = min(runtime.NumCPU(), mostCores) + moreDecoders
	r, err := clip.Open(ctx, path, s.Clip)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	info := r.Info()
	tracker := marker.New(s.Track.Marker, info.Width, info.Height)
	finder := ball.New(s.Track.Ball)
	tracker.Listen, finder.Listen = listen, listen
	tracker.Bands = s.Sheet.HasRod()
	bands := body.NewBands(s.Track.Body, info.Width, info.Height)
	watch := steady.New(s.Track.Steady)
	defer watch.Close()
	var sway steady.Sway
	finder.Sway = sway.At

	out := &seen{Info: info}
	var gaps []float64
	var anchors []ball.Anchor
	still := stillSpeed * float64(max(info.Width, info.Height)) / 1920
	var f track.Frame
	for {
		err := r.Next(&f)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		if out.Frames > 0 {
			gaps = append(gaps, f.T-out.Last)
		}
		out.Frames, out.Last = out.Frames+1, f.T
		sway.Next(&f)
		tracker.Next(&f)
		anchors = anchors[:0]
		for _, g := range tracker.Sightings() {
			anchors = append(anchors, ball.Anchor{X: g.X, Y: g.Y, Radius: g.Radius, Still: g.Speed < still})
		}
		finder.Next(&f, anchors)
		bands.Next(&f)
		if err := watch.Next(&f); err != nil {
			return nil, err
		}
		if progress != nil && info.Duration > 0 {
			progress(math.Min(1, f.T/info.Duration))
		}
	}
	if out.Warnings, err = r.Close(); err != nil {
		return nil, err
	}
	if out.Frames < 2 {
		return nil, &clip.Refusal{Code: clip.TooShort, File: path, Text: "shows only one picture", Hint: "film the whole stroke"}
	}
	out.Interval = median(gaps)
	for _, spot := range tracker.Spots() {
		c := cast.Spot{ID: spot.ID, Track: tracker.Track(spot, track.Putter), Radius: spot.Radius, ULag: tracker.ULag(spot), Colour: [2]float64{spot.Colour.U, spot.Colour.V}}
		out.Spots = append(out.Spots, c)
	}
	for _, b := range finder.Balls() {
		c := cast.Ball{ID: b.ID, Track: b.Track(), RestX: b.RestX, RestY: b.RestY, First: b.First, Last: b.Last, Left: b.Left}
		if o, err := b.Outline(); err == nil {
			c.Width, c.UWidth = o.Width, o.UWidth
			c.RestX, c.RestY = o.X, o.Y
		}
		out.Balls = append(out.Balls, c)
	}
	out.Patches = bands.Patches()
	out.SiteX, out.SiteY, _ = tracker.Siting()
	out.Shift, out.ShiftOK = watch.Shift()
	out.Lively = watch.Lively()
	if poses := sway.Poses(); steady.Moved(poses, float64(info.Width), float64(info.Height)) {
		out.Poses = poses
	}
	return out, nil
}

// TrackingPass reads every frame of a clip once and follows what is in it, and
// returns how many frames there were; the bench times it against plain decoding.
func TrackingPass(ctx context.Context, file string, s settings.Settings) (frames int, err error) {
	w, err := follow(ctx, file, s, nil, nil)
	if err != nil {
		return 0, err
	}
	return w.Frames, nil
}
