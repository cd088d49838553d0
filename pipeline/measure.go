package pipeline

import (
	"context"
	"fmt"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/heap"
	"strokereel/track/measure"
	"strokereel/track/path"
	"strokereel/track/phase"
)

// Result is everything found in one clip.
type Result struct {
	Report   lesson.Report
	Observed []lesson.Observed // what was seen, per object
	Smooth   []lesson.Observed // the smoothed putter path, when there is a scale
	Strokes  []phase.Stroke
	Measures [][]track.Measure // per stroke
	Parts    cast.Cast
	Bodies   []track.Track  // joints and shaft, px
	Interval float64        // s, between frames
	Frame    path.PuttFrame // from pixels to metres of the putter's plane
	Siting   clip.Siting    // of the colour samples, for drawing
	Given    measure.Clip   // what strokes and measures were found from; empty without a scale
	Spots    []cast.Spot    // every coloured spot that was followed
	Balls    []cast.Ball    // every ball that lay still
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
	return MeasureCorrected(ctx, file, s, sheet.Correction{}, progress)
}

// MeasureCorrected is Measure with what a person put right in the clip.
func MeasureCorrected(ctx context.Context, file string, s settings.Settings, fix sheet.Correction, progress func(float64)) (*Result, error) {
	r, err := reading{file: file, progress: progress, fix: fix}.measure(ctx, s)
	if err != nil {
		return nil, err
	}
	r.Report.Clip.SHA256, err = lesson.Hash(file)
	return r, err
}

// MeasureAgain is Measure for a clip whose SHA-256 is known, with a memory of
// what was read in it before.
func MeasureAgain(ctx context.Context, file, sha256 string, s settings.Settings, m Memory, progress func(float64)) (*Result, error) {
	return reading{file: file, sha256: sha256, memory: m, progress: progress}.measure(ctx, s)
}

// Inspect is Measure with a listener that hears of every look for stickers and
// balls, and why something was not taken.
func Inspect(ctx context.Context, file string, s settings.Settings, progress func(float64), listen track.Listener) (*Result, error) {
	return reading{file: file, progress: progress, listen: listen}.measure(ctx, s)
}

func (c reading) measure(ctx context.Context, s settings.Settings) (*Result, error) {
	defer heap.GiveBack()
	w, err := c.seen(ctx, s)
	if err != nil {
		return nil, err
	}
	found, err := c.clicks(ctx, s)
	if err != nil {
		return nil, err
	}
	r, err := assess(ctx, c, w, hear(found, s), s)
	if err != nil {
		return nil, err
	}
	r.Report.Clip.SHA256 = c.sha256
	return r, nil
}

// assess turns what was seen and heard into events, measures and a report.
func assess(ctx context.Context, c reading, w *seen, h heard, s settings.Settings) (*Result, error) {
	r := &Result{Report: blank(c, w, h, s), Interval: w.Interval, Siting: clip.SitingOf(w.Info), Spots: w.Spots, Balls: w.Balls}
	parts, refusal := cast.Choose(w.Spots, w.Balls, s.Track.Cast)
	r.correctPlaces(&parts, c.fix.Points)
	r.Parts = parts
	if refusal != nil {
		if !w.Lively {
			refusal = &cast.Refusal{Code: "nothing_moves", Text: "nothing moves in the clip",
				Hint: "film the player from the front, the whole body in view, for the whole stroke"}
		}
		r.warn(refusal.Code, refusal.Text+": "+refusal.Hint)
	}
	faceOn := s.Sheet.View == settings.DefaultSheet().View
	if !faceOn {
		r.warn("view", "the clip is filmed from another side than the front: it can be shown, not measured")
	}
	if !parts.ClearBall || !faceOn {
		r.Bodies = r.bandTracks(w, parts)
		r.keep(parts, nil)
		r.Report.Strokes = []lesson.Stroke{}
		return r, nil
	}
	in, err := r.inMetres(parts, w, h, s)
	if err != nil {
		return nil, fmt.Errorf("%q: %w", c.file, err)
	}
	handed(&r.Report, parts, s)
	if refusal == nil {
		if r.Strokes, err = phase.Find(in.Input, s.Track.Phase); err != nil {
			return nil, fmt.Errorf("%q: %w", c.file, err)
		}
		if len(r.Strokes) == 0 {
			r.warn(cast.NoStroke, "no putting stroke was found: film the whole stroke, still for a second before it and three seconds after")
		}
	}
	r.correctStrokes(c.fix.Strokes)
	if lag, ok := h.offset(r.Strokes); ok {
		r.Report.Sound = &lesson.Sound{OffsetS: *lesson.Number(lag.Value), U95: *lesson.Number(lesson.Coverage * lag.U), Source: "measured"}
	}
	if err := r.player(ctx, c, w, parts, &in, s); err != nil {
		return nil, err
	}
	r.Given = in
	r.withLookUp(in, s)
	r.correctEvents(c.fix.Strokes)
	if err := r.measure(w, parts, in, s); err != nil {
		return nil, fmt.Errorf("%q: %w", c.file, err)
	}
	return r, nil
}

// measure computes every stroke's measures and puts origin and report right.
func (r *Result) measure(w *seen, parts cast.Cast, in measure.Clip, s settings.Settings) error {
	r.Report.Strokes = []lesson.Stroke{}
	var breaks []float64
	ramps := changesOfPace(w)
	for _, stroke := range r.Strokes {
		computed, err := measure.Compute(stroke, in, s.Track.Measure)
		if err != nil {
			return err
		}
		r.Measures = append(r.Measures, computed.Measures)
		spareClock(computed.Measures, ramps)
		r.Report.Strokes = append(r.Report.Strokes, reported(stroke, computed))
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

// reported is a stroke's report form.
func reported(stroke phase.Stroke, computed measure.Result) lesson.Stroke {
	out := lesson.Stroke{Index: stroke.Index, Kind: stroke.Kind, Events: map[string]lesson.Event{},
		Measures: map[string]lesson.Measure{}, Uncertainty: map[string]lesson.Uncertainty{}}
	for _, e := range stroke.Events {
		out.Events[e.Name] = lesson.EventOf(e)
		if e.Known() && len(e.Terms) > 0 {
			out.Uncertainty[e.Name] = lesson.UncertaintyOf(e.Budget())
		}
	}
	for _, m := range computed.Measures {
		out.Measures[m.ID] = lesson.MeasureOf(m)
		if b, ok := computed.Budgets[m.ID]; ok && m.Status != track.NotMeasured {
			out.Uncertainty[m.ID] = lesson.UncertaintyOf(b)
		}
	}
	return out
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
	r.keepBody()
	if smooth != nil {
		r.Smooth = []lesson.Observed{{Track: pixels(*smooth, r.Frame), Path: *smooth}}
	}
}

func (r *Result) warn(code, text string) {
	r.Report.Warnings = append(r.Report.Warnings, lesson.Warning{Code: code, Text: text})
}
