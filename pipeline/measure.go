package pipeline

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/measure"
	"strokereel/track/path"
	"strokereel/track/phase"
	"strokereel/track/sound"
)

// Result is everything found in one clip.
type Result struct {
	Report   lesson.Report
	Observed []lesson.Observed // what was seen, per object
	Smooth   []lesson.Observed // the smoothed putter path, when there is a scale
	Strokes  []phase.Stroke
	Measures [][]track.Measure           // per stroke
	Budgets  []map[string]measure.Budget // per stroke, by measure id
	Parts    cast.Cast
	Interval float64        // s, between frames
	Frame    path.PuttFrame // from pixels to metres of the putter's plane
	Siting   clip.Siting    // of the colour samples, for drawing
}

// Measured counts the strokes of which something was measured.
func (r *Result) Measured() int {
	n := 0
	for _, s := range r.Strokes {
		if s.Kind != track.Unusable {
			n++
		}
	}
	return n
}

// Measure reads a clip and returns what can be measured in it. A clip whose
// frames can be read always gives a result; what is missing is said in the
// report's warnings. An error means that the clip could not be read.
func Measure(ctx context.Context, file string, s settings.Settings, progress func(float64)) (*Result, error) {
	w, err := follow(ctx, file, s, progress)
	if err != nil {
		return nil, err
	}
	h, err := hear(ctx, file, s)
	if err != nil {
		return nil, err
	}
	r, err := assess(file, w, h, s)
	if err != nil {
		return nil, err
	}
	r.Report.Clip.SHA256, err = lesson.Hash(file)
	return r, err
}

// heard is the sound of a clip as a witness; nil clicks and silent when there
// is none.
type heard struct {
	clicks []phase.Click
	silent bool
}

// deviceOffset is how far a phone's sound may lie off its pictures either way,
// s: a rectangular prior until the offset is measured.
const deviceOffset = 0.040

// hear finds the clicks of a clip and takes the way of the sound off them.
func hear(ctx context.Context, file string, s settings.Settings) (heard, error) {
	samples, err := clip.Sound(ctx, file)
	if errors.Is(err, clip.ErrNoSound) {
		return heard{silent: true}, nil
	}
	if err != nil {
		return heard{}, err
	}
	found, err := sound.Clicks(samples, s.Track.Sound)
	if err != nil {
		return heard{}, err
	}
	distance := s.Track.Measure.CameraDistance()
	way := sound.Travel(distance.Value, s.Sheet.Temperature)
	uWay := way * distance.U / distance.Value
	var h heard
	for _, c := range found {
		u := math.Sqrt(c.U*c.U + uWay*uWay + deviceOffset*deviceOffset/3)
		h.clicks = append(h.clicks, phase.Click{T: c.T - way, U: u, Loudness: c.Loudness})
	}
	return h, nil
}

// assess turns what was seen and heard into events, measures and a report.
func assess(file string, w *seen, h heard, s settings.Settings) (*Result, error) {
	r := &Result{Report: blank(file, w, h, s), Interval: w.interval}
	if w.info.Siting == "left" {
		r.Siting = clip.SitedLeft
	} else {
		r.Siting = clip.SitedCentre
	}
	parts, refusal := cast.Choose(w.spots, w.balls, s.Track.Cast)
	r.Parts = parts
	if refusal != nil {
		if !w.lively && refusal.Code != cast.NoStroke {
			refusal = &cast.Refusal{Code: "nobody", Text: "nothing moves in the clip",
				Hint: "film the player from the front, the whole body in view, for the whole stroke"}
		}
		r.warn(refusal.Code, refusal.Text+": "+refusal.Hint)
	}
	if !parts.ClearBall {
		r.keep(parts, nil)
		r.Report.Strokes = []lesson.Stroke{}
		return r, nil
	}
	in, err := r.inMetres(parts, w, h, s)
	if err != nil {
		return nil, fmt.Errorf("%q: %w", file, err)
	}
	handed(&r.Report, parts, s)
	if refusal == nil {
		if r.Strokes, err = phase.Find(in.Input, s.Track.Phase); err != nil {
			return nil, fmt.Errorf("%q: %w", file, err)
		}
		if len(r.Strokes) == 0 {
			r.warn(cast.NoStroke, "no putting stroke was found: film the whole stroke, still for a second before it and three seconds after")
		}
	}
	if err := r.measure(parts, in, s); err != nil {
		return nil, fmt.Errorf("%q: %w", file, err)
	}
	return r, nil
}

// inMetres sets up the scales and turns the tracks into paths.
func (r *Result) inMetres(parts cast.Cast, w *seen, h heard, s settings.Settings) (measure.Clip, error) {
	ballScale, err := measure.BallScale(measure.Quantity{Value: parts.Ball.Width, U: parts.Ball.UWidth}, s.Track.Measure.BallDiameter())
	if err != nil {
		return measure.Clip{}, err
	}
	markerScale, err := measure.MarkerScale(ballScale, s.Track.Measure.StickerOffset(), s.Track.Measure.CameraDistance())
	if err != nil {
		return measure.Clip{}, err
	}
	dirX, dirY := parts.DirX, parts.DirY
	known := parts.DirectionKnown
	switch s.Sheet.Handedness {
	// Seen from the front, a right-hander putts to the picture's right.
	case "right":
		if !known {
			dirX, dirY, known = 1, 0, true
		}
	case "left":
		if !known {
			dirX, dirY, known = -1, 0, true
		}
	}
	r.Frame = path.PuttFrame{OriginX: parts.Ball.RestX, OriginY: parts.Ball.RestY, DirX: dirX, DirY: dirY, Scale: markerScale}
	ballFrame := r.Frame
	ballFrame.Scale = ballScale
	in := measure.Clip{
		Input: phase.Input{
			Putter:         path.WithOwnNoise(path.WithoutStrays(path.InMetres(parts.Putter.Track, r.Frame), s.Track.Path)),
			Clicks:         h.clicks,
			FrameInterval:  w.interval,
			Slow:           slowShare * medianU(parts.Putter.Track) / markerScale.PxPerM,
			DirectionKnown: known,
			Smoothing:      s.Track.Path,
		},
		MarkerScale: markerScale, BallScale: ballScale,
	}
	for _, b := range parts.Struck {
		launch, err := path.FitLaunch(path.InMetres(b.Track, ballFrame), restOf(b, ballFrame), s.Track.Path)
		if err != nil {
			r.warn("ball_lost", "a ball left its place but could not be followed: "+err.Error())
			continue
		}
		in.Launches = append(in.Launches, launch)
	}
	r.Report.Camera.Ruler = &lesson.Ruler{From: markerScale.From, PxPerM: *lesson.Number(markerScale.PxPerM),
		U95: *lesson.Number(lesson.Coverage * markerScale.U), Plane: markerScale.Plane}
	return in, nil
}

// slowShare is how much of a sticker's position error neighbouring frames share,
// as seen on rendered clips: the fit's error moves with the sticker's place
// between the pixels, and a codec lets slow motion lag.
const slowShare = 1.2

// medianU is the typical standard uncertainty of a track's positions, px.
func medianU(tr track.Track) float64 {
	var u []float64
	for _, s := range tr.Samples {
		if s.Seen {
			u = append(u, s.U)
		}
	}
	if len(u) == 0 {
		return 0
	}
	return median(u)
}

// restU is the standard uncertainty, px, of the mean place of a ball at rest.
const restU = 0.1

// restOf is where a ball lay before it was struck, in metres of its plane.
func restOf(b cast.Ball, f path.PuttFrame) path.Rest {
	at := path.InMetres(track.Track{Samples: []track.Sample{{X: b.RestX, Y: b.RestY, Seen: true}}}, f).Points[0]
	return path.Rest{X: at.X, U: restU / f.Scale.PxPerM, T0: b.First, T1: b.Last}
}

// measure computes every stroke's measures and puts origin and report right.
func (r *Result) measure(parts cast.Cast, in measure.Clip, s settings.Settings) error {
	r.Report.Strokes = []lesson.Stroke{}
	var breaks []float64
	for _, stroke := range r.Strokes {
		computed, err := measure.Compute(stroke, in, s.Track.Measure)
		if err != nil {
			return err
		}
		r.Measures = append(r.Measures, computed.Measures)
		r.Budgets = append(r.Budgets, computed.Budgets)
		out := lesson.Stroke{Index: stroke.Index, Kind: stroke.Kind, Events: map[string]lesson.Event{}, Measures: map[string]lesson.Measure{}}
		for _, e := range stroke.Events {
			out.Events[e.Name] = lesson.EventOf(e)
		}
		for _, m := range computed.Measures {
			out.Measures[m.ID] = lesson.MeasureOf(m)
		}
		r.Report.Strokes = append(r.Report.Strokes, out)
		for _, w := range stroke.Warnings {
			r.warn(w.Code, w.Text)
		}
		if e := stroke.Event(track.Impact); e.Known() {
			breaks = append(breaks, e.T)
		}
	}
	r.originAtAddress(parts)
	smooth, err := path.Smooth(path.WithoutStrays(path.InMetres(parts.Putter.Track, r.Frame), s.Track.Path), breaks, s.Track.Path)
	if err != nil {
		return err
	}
	r.keep(parts, &smooth)
	return nil
}

// originAtAddress moves the origin of the metres to the marker's mean position
// at address of the first putt (else of the first stroke), as reports say.
func (r *Result) originAtAddress(parts cast.Cast) {
	i := slices.IndexFunc(r.Strokes, func(s phase.Stroke) bool { return s.Kind == track.Putt && s.Address.Known })
	if i < 0 {
		i = slices.IndexFunc(r.Strokes, func(s phase.Stroke) bool { return s.Address.Known })
	}
	if i < 0 {
		return
	}
	s := r.Strokes[i]
	if s.Reversed {
		r.Frame.DirX, r.Frame.DirY = -r.Frame.DirX, -r.Frame.DirY
	}
	var x, y, n float64
	for _, p := range parts.Putter.Track.Samples {
		if p.Seen && p.T >= s.Address.T0 && p.T <= s.Address.T1 {
			x, y, n = x+p.X, y+p.Y, n+1
		}
	}
	if n > 0 {
		r.Frame.OriginX, r.Frame.OriginY = x/n, y/n
	}
}

// keep notes the tracks for the CSV files, in metres where there is a scale.
func (r *Result) keep(parts cast.Cast, smooth *track.Path) {
	add := func(tr track.Track, scale track.Scale) {
		o := lesson.Observed{Track: tr}
		if scale.PxPerM > 0 {
			f := r.Frame
			f.Scale = scale
			o.Path = path.InMetres(tr, f)
		}
		r.Observed = append(r.Observed, o)
	}
	if len(parts.Putter.Track.Samples) > 0 {
		add(parts.Putter.Track, r.Frame.Scale)
	}
	if parts.ClearBall {
		b := parts.Ball
		if len(parts.Struck) > 0 {
			b = parts.Struck[0]
		}
		add(b.Track, r.Frame.Scale)
	}
	if smooth != nil {
		r.Smooth = []lesson.Observed{{Track: pixels(*smooth, r.Frame), Path: *smooth}}
	}
}

// pixels is the inverse of path.InMetres.
func pixels(p track.Path, f path.PuttFrame) track.Track {
	tr := track.Track{Object: p.Object, Samples: make([]track.Sample, len(p.Points))}
	// Up in the picture is y falling, whichever way the target lies.
	upX, upY := f.DirY, -f.DirX
	if upY > 0 {
		upX, upY = -upX, -upY
	}
	for i, q := range p.Points {
		k := f.Scale.PxPerM
		tr.Samples[i] = track.Sample{Frame: q.Frame, T: q.T, Seen: q.Seen, U: q.U * k,
			X: f.OriginX + k*(q.X*f.DirX+q.Y*upX), Y: f.OriginY + k*(q.X*f.DirY+q.Y*upY)}
	}
	return tr
}

func (r *Result) warn(code, text string) {
	r.Report.Warnings = append(r.Report.Warnings, lesson.Warning{Code: code, Text: text})
}

func median(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}
