package pipeline

import (
	"context"
	"fmt"
	"slices"

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
	Still    cast.Cast      // the parts where they would lie had the camera stood
	Bodies   []track.Track  // joints and shaft, px
	Interval float64        // s, between frames
	Frame    path.PuttFrame // from pixels to metres of the putter's plane
	Siting   clip.Siting    // of the colour samples, for drawing
	Given    measure.Clip   // what strokes and measures were found from; empty without a scale
	Spots    []cast.Spot    // every coloured spot that was followed
	Balls    []cast.Ball    // every ball that lay still
	Ears     Ears           // what the strokes tell of the sound
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
	return Reading{File: file, Progress: progress}.Measure(ctx, s)
}

// Measure is Measure with what else is known of the clip.
func (c Reading) Measure(ctx context.Context, s settings.Settings) (*Result, error) {
	defer heap.GiveBack()
	f, err := c.find(ctx, s)
	if err != nil {
		return nil, err
	}
	if err := f.assess(ctx, s); err != nil {
		return nil, err
	}
	f.Report.Clip.SHA256 = c.SHA256
	if c.SHA256 == "" {
		f.Report.Clip.SHA256, err = lesson.Hash(c.File)
	}
	return f.Result, err
}

// Ears finds out what a clip tells of the delay of its sound, and measures
// nothing.
func (c Reading) Ears(ctx context.Context, s settings.Settings) (Ears, error) {
	defer heap.GiveBack()
	f, err := c.find(ctx, s)
	if err != nil {
		return Ears{}, err
	}
	return f.Result.Ears, nil
}

// found is a clip whose strokes were found and are not measured yet.
type found struct {
	*Result
	clip    Reading
	seen    *seen
	heard   heard
	in      measure.Clip
	refused bool // nothing gives a scale, or it is filmed from another side
}

// find reads a clip and finds its strokes.
func (c Reading) find(ctx context.Context, s settings.Settings) (*found, error) {
	w, err := c.seen(ctx, s)
	if err != nil {
		return nil, err
	}
	clicks, err := c.clicks(ctx, s)
	if err != nil {
		return nil, err
	}
	h := hear(clicks, s, c.Sound)
	f := &found{clip: c, seen: w, heard: h, Result: &Result{Report: blank(c, w, h, s), Interval: w.Interval, Siting: clip.SitingOf(w.Info), Spots: w.Spots, Balls: w.Balls}}
	return f, f.strokes(h, s)
}

// strokes finds the parts, the scale and the strokes, and puts right what a
// person did.
func (f *found) strokes(h heard, s settings.Settings) error {
	parts, refusal := cast.Choose(f.seen.Spots, f.seen.Balls, s.Track.Cast)
	f.correctPlaces(&parts, f.clip.Fix.Points)
	f.Parts, f.Still = parts, f.seen.still(parts)
	if refusal != nil {
		if !f.seen.Lively {
			refusal = &cast.Refusal{Code: "nothing_moves", Text: "nothing moves in the clip",
				Hint: "film the player from the front, the whole body in view, for the whole stroke"}
		}
		f.warn(refusal.Code, refusal.Text+": "+refusal.Hint)
	}
	faceOn := s.Sheet.View == settings.DefaultSheet().View
	if !faceOn {
		f.warn("view", "the clip is filmed from another side than the front: it can be shown, not measured")
	}
	if f.refused = !parts.ClearBall || !faceOn; f.refused {
		return nil
	}
	var err error
	if f.in, err = f.inMetres(f.Still, f.seen, h, s); err != nil {
		return fmt.Errorf("%q: %w", f.clip.File, err)
	}
	handed(&f.Report, parts, s)
	if refusal == nil {
		if err := f.phases(h, s); err != nil {
			return fmt.Errorf("%q: %w", f.clip.File, err)
		}
		if len(f.Strokes) == 0 {
			f.warn(cast.NoStroke, "no putting stroke was found: film the whole stroke, still for a second before it and three seconds after")
		}
	}
	f.correctStrokes(f.clip.Fix.Strokes)
	return nil
}

// phases finds the strokes' events, and once more when these tell how the sound
// of the clip lies.
func (f *found) phases(h heard, s settings.Settings) (err error) {
	if f.Strokes, err = phase.Find(f.in.Input, s.Track.Phase); err != nil {
		return err
	}
	f.Ears = h.ears(f.Strokes, f.put, 1/f.in.BallScale.PxPerM, s.Track.Phase.ClickReach)
	clicks, told, sure := h.timed(f.Ears)
	if told != nil {
		f.Report.Sound = told
	}
	if sure {
		f.in.Clicks = clicks
		f.Strokes, err = phase.Find(f.in.Input, s.Track.Phase)
	}
	return err
}

// put reports whether a person put a stroke's impact or kind right.
func (f *found) put(k int) bool {
	return slices.ContainsFunc(f.clip.Fix.Strokes, func(m sheet.Stroke) bool {
		_, impact := m.Events[track.Impact]
		return (impact || m.Kind != "") && f.strokeAt(m.At) == k
	})
}

// assess turns strokes into measures and a report.
func (f *found) assess(ctx context.Context, s settings.Settings) error {
	if f.refused {
		f.Bodies = f.bandTracks(f.seen, f.Parts)
		f.keep(f.Parts, f.seen, nil)
		f.Report.Strokes = []lesson.Stroke{}
		return nil
	}
	beside, err := f.player(ctx, f.clip, f.seen, f.Parts, &f.in, s)
	if err != nil {
		return err
	}
	if err := f.withShaft(beside, s); err != nil {
		return fmt.Errorf("%q: %w", f.clip.File, err)
	}
	f.Given = f.in
	f.withLookUp(f.in, s)
	f.correctEvents(f.clip.Fix.Strokes)
	if err := f.measure(f.seen, f.Parts, f.in, s); err != nil {
		return fmt.Errorf("%q: %w", f.clip.File, err)
	}
	return nil
}

// measure computes every stroke's measures and puts origin and report right.
func (r *Result) measure(w *seen, parts cast.Cast, in measure.Clip, s settings.Settings) error {
	r.Report.Strokes = []lesson.Stroke{}
	var breaks []float64
	ramps := changesOfPace(w)
	if i := r.firstPutt(); i >= 0 {
		in.PuttY, in.PuttKnown = r.Strokes[i].Address.Y, true
	}
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
	r.originAtAddress(r.Still)
	smooth, err := path.Smooth(path.WithoutStrays(path.InMetres(r.Still.Putter.Track, r.Frame), s.Track.Path), breaks, s.Track.Path)
	if err != nil {
		return err
	}
	r.keep(parts, w, &smooth)
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
func (r *Result) keep(parts cast.Cast, w *seen, smooth *track.Path) {
	add := func(tr track.Track, scale track.Scale) {
		o := lesson.Observed{Track: tr}
		if scale.PxPerM > 0 {
			f := r.Frame
			f.Scale = scale
			o.Path = path.InMetres(w.stillTrack(tr), f)
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
		r.Smooth = []lesson.Observed{{Track: w.swayed(pixels(*smooth, r.Frame)), Path: *smooth}}
	}
}

func (r *Result) warn(code, text string) {
	r.Report.Warnings = append(r.Report.Warnings, lesson.Warning{Code: code, Text: text})
}
