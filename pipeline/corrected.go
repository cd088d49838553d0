package pipeline

import (
	"fmt"
	"math"
	"slices"

	"strokereel/pipeline/sheet"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/phase"
)

// byPerson is how a report names the witness whose word wins.
const byPerson = "person"

// careful is how sure a careful eye on single pictures is: an event to a frame
// either way, a place to a pixel either way, anything between equally likely
// (JCGM 100:2008, 4.3.7); that it is one frame and one pixel is our judgement.
var careful = 1 / math.Sqrt(3)

// correctPlaces puts a person's places into the tracks.
func (r *Result) correctPlaces(parts *cast.Cast, points []sheet.Point) {
	for _, p := range points {
		var tr *track.Track
		switch {
		case p.Object == track.Putter:
			tr = &parts.Putter.Track
		case p.Object == track.Ball && len(parts.Struck) > 0:
			tr = &parts.Struck[0].Track
		case p.Object == track.Ball:
			tr = &parts.Ball.Track
		}
		k := sampleAt(tr.Samples, p.T)
		if k < 0 || math.Abs(tr.Samples[k].T-p.T) > r.Interval {
			r.warn("correction", fmt.Sprintf("a person marked the %s at %.3f s, but nothing of it is followed there: the mark is not used", p.Object, p.T))
			continue
		}
		// The tracks of all the parts may share their samples.
		tr.Samples = slices.Clone(tr.Samples)
		at := &tr.Samples[k]
		at.X, at.Y, at.U, at.Seen, at.Given = p.X, p.Y, careful, true, true
	}
}

// sampleAt finds the sample nearest to a moment, -1 when there is none.
func sampleAt(samples []track.Sample, t float64) int {
	best := -1
	for k, s := range samples {
		if best < 0 || math.Abs(s.T-t) < math.Abs(samples[best].T-t) {
			best = k
		}
	}
	return best
}

// correctStrokes gives strokes the kinds and events that a person marked; one
// that is unusable gives no numbers.
func (r *Result) correctStrokes(marks []sheet.Stroke) {
	for _, m := range marks {
		k := r.strokeAt(m.At)
		if k < 0 {
			r.warn("correction", fmt.Sprintf("a person marked a stroke at %.2f s, but none was found there: nothing is measured from the mark", m.At))
			continue
		}
		if m.Kind != "" {
			r.Strokes[k].Kind = m.Kind
		}
		switch m.Kind {
		case track.Practice:
			r.Strokes[k].Launch = -1 // whatever ball left, it was not struck
		case track.Unusable:
			r.Strokes[k].Reason = "a person marked the stroke unusable"
		}
	}
	r.correctEvents(marks)
}

// correctEvents gives the strokes the moments that a person marked.
func (r *Result) correctEvents(marks []sheet.Stroke) {
	for _, m := range marks {
		k := r.strokeAt(m.At)
		if k < 0 {
			continue
		}
		for i, e := range r.Strokes[k].Events {
			t, marked := m.Events[e.Name]
			if !marked {
				continue
			}
			by := track.Witness{Name: byPerson, T: t, U: careful * r.Interval}
			r.Strokes[k].Events[i] = track.Event{Name: e.Name, T: t, U: by.U, Status: track.Measured,
				Witnesses: append([]track.Witness{by}, without(e.Witnesses, byPerson)...)}
		}
	}
}

func without(ws []track.Witness, name string) []track.Witness {
	return slices.DeleteFunc(slices.Clone(ws), func(w track.Witness) bool { return w.Name == name })
}

// strokeAt finds the stroke that a moment lies in, with a second to spare on
// either side, -1 when there is none.
func (r *Result) strokeAt(t float64) int {
	best, least := -1, 1.0
	for k, s := range r.Strokes {
		from, to := extent(s)
		if d := math.Max(0, math.Max(from-t, t-to)); d < least {
			best, least = k, d
		}
	}
	return best
}

// extent is the time from a stroke's first known event to its last.
func extent(s phase.Stroke) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, e := range s.Events {
		if e.Known() {
			from, to = math.Min(from, e.T), math.Max(to, e.T)
		}
	}
	return from, to
}
