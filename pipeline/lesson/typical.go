package lesson

import (
	"math"
	"slices"

	"strokereel/track"
)

// Typical says which stroke of several stands for a clip's role.
type Typical struct {
	Clip   string `json:"clip"` // file name
	SHA256 string `json:"sha256"`
	Stroke int    `json:"stroke"` // index in the clip's report, -1 when none was measured
	Among  int    `json:"among"`  // putts it was chosen from
	Index  int    `json:"-"`      // of its clip among those it was chosen from
	// Distance is the mean distance of its measures from their medians, in
	// spreads; 0 for an only stroke.
	Distance float64  `json:"distance"`
	By       []string `json:"by"` // the measures looked at
}

// typicalBy are the measures of which the median is taken: what a stroke is
// described by, each a property of the putter or ball that every putt has.
var typicalBy = []string{"backstroke_length", "follow_through_length", "backstroke_time", "downstroke_time", "tempo", "ball_speed", "hold_time"}

// missingCosts is the distance, in spreads, of a measure that a stroke lacks
// and others have: a stroke outside nearly all others is no less typical.
const missingCosts = 3

// Choose returns the most typical putt of several clips: the one whose measures
// lie closest to their medians over all putts. Of equally typical ones it is
// the first. Without any putt it is the first clip, without a stroke.
func Choose(clips []Findings) Typical {
	type putt struct{ clip, stroke int }
	var putts []putt
	for c, f := range clips {
		for i, s := range f.Report.Strokes {
			if s.Kind == track.Putt {
				putts = append(putts, putt{c, i})
			}
		}
	}
	out := Typical{Stroke: -1, Among: len(putts), By: []string{}}
	if len(putts) == 0 {
		if len(clips) > 0 {
			out.Clip, out.SHA256 = clips[0].Report.Clip.File, clips[0].Report.Clip.SHA256
		}
		return out
	}
	distance := make([]float64, len(putts))
	for _, id := range typicalBy {
		values := make([]track.Measure, len(putts))
		for i, p := range putts {
			values[i] = clips[p.clip].Report.Strokes[p.stroke].Measure(id)
		}
		if d, ok := distances(values); ok {
			out.By = append(out.By, id)
			for i := range d {
				distance[i] += d[i]
			}
		}
	}
	best := 0
	for i := range distance {
		if distance[i] < distance[best] {
			best = i
		}
	}
	p := putts[best]
	r := clips[p.clip].Report
	out.Clip, out.SHA256, out.Stroke, out.Index = r.Clip.File, r.Clip.SHA256, p.stroke, p.clip
	if n := len(out.By); n > 0 {
		out.Distance = *number(distance[best]/float64(n), 3)
	}
	return out
}

// distances returns how far each value lies from the median, in spreads: the
// median distance from it, but no less than half a typical u95, below which
// distances say nothing. ok is false when no stroke has the measure.
func distances(values []track.Measure) (d []float64, ok bool) {
	var known, doubt []float64
	for _, m := range values {
		if m.Status == track.Measured && m.Word == "" {
			known, doubt = append(known, m.Value), append(doubt, m.U95)
		}
	}
	if len(known) == 0 {
		return nil, false
	}
	mid := median(known)
	var away []float64
	for _, v := range known {
		away = append(away, math.Abs(v-mid))
	}
	spread := max(median(away), median(doubt)/2)
	for _, m := range values {
		switch {
		case m.Status != track.Measured:
			d = append(d, missingCosts)
		case spread > 0:
			d = append(d, math.Abs(m.Value-mid)/spread)
		default:
			d = append(d, 0)
		}
	}
	return d, true
}

func median(v []float64) float64 {
	s := slices.Sorted(slices.Values(v))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}
