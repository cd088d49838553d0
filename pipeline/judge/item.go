package judge

import (
	"math"
	"slices"

	"strokereel/pipeline/bench"
	"strokereel/pipeline/demo"
	"strokereel/pipeline/labels"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Item is one thing that is known of a clip beside what a run says of it.
type Item struct {
	Name    string  `json:"name"`
	Stroke  int     `json:"stroke,omitempty"` // 1 for the first; 0 for what is of the whole clip
	Unit    string  `json:"unit"`
	Given   bool    `json:"given"`           // the run says something
	Error   float64 `json:"error"`           // size of the error
	U95     float64 `json:"u95,omitempty"`   // as the run states it; 0 when it states none
	Limit   float64 `json:"limit,omitempty"` // 0 when there is none: it is told and does not count
	Covered bool    `json:"covered,omitempty"`
}

const (
	mostLimits   = 5 // an error counts at most as so many limits
	absentLimits = 2 // a value that is not given counts as so many
)

// Cost is what an item counts, in limits.
func (i Item) Cost() float64 {
	if !i.Given {
		return absentLimits
	}
	return math.Min(i.Error/i.Limit, mostLimits)
}

// Cost is the mean over the items that have a limit; NaN when none has.
func Cost(items []Item) float64 {
	sum, n := 0.0, 0.0
	for _, i := range items {
		if i.Limit > 0 {
			sum, n = sum+i.Cost(), n+1
		}
	}
	return sum / n
}

// Names of items that are neither event nor measure.
const (
	position     = " position"
	unseen       = " unseen"
	falseStrokes = "strokes not there"
)

// ofTruth compares a report with the exact truth.
func ofTruth(truth demo.Truth, report *lesson.Report, tracks []track.Track) []Item {
	c := bench.Against(truth, report, tracks)
	var out []Item
	if c.Whole > 0 {
		out = append(out,
			Item{Name: track.Putter + position, Unit: "px", Given: c.Seen > 0, Error: c.RMS(), Limit: bench.MaxRMS},
			Item{Name: track.Putter + unseen, Unit: "1", Given: true, Error: 1 - float64(c.Seen)/float64(c.Whole), Limit: 1 - bench.LeastSeen})
	}
	out = append(out, Item{Name: falseStrokes, Unit: "1", Given: true, Error: float64(max(0, c.Strokes-c.Wanted)), Limit: 1.0 / mostLimits})
	told := map[string][]int{}
	for _, v := range append(slices.Clone(c.Events), c.Measures...) {
		limit, _ := bench.Allowed(v.Name, v.Truth, c.Interval)
		name := bench.Plain(v.Name)
		out = append(out, Item{Name: name, Stroke: v.Stroke + 1, Unit: unitOf(name, report), Given: v.Reported,
			Error: math.Abs(v.Error()), U95: v.U95, Limit: limit, Covered: v.Reported && v.Covered()})
		told[name] = append(told[name], v.Stroke)
	}
	if c.Wanted == 0 {
		return out
	}
	for k, want := range truth.Strokes {
		for _, name := range sorted(want.Measures) {
			limit, ok := bench.Allowed(name, want.Measures[name].Value, c.Interval)
			if !ok || want.Measures[name].AtLeast || !truth.Bands && bench.Wearing(name) || slices.Contains(told[name], k) {
				continue
			}
			out = append(out, Item{Name: name, Stroke: k + 1, Unit: want.Measures[name].Unit, Limit: limit})
		}
	}
	return out
}

const (
	// handLimit is what a position may be off a mark made by hand on what has an
	// edge or a middle, px, and handLimitBody on a joint: our judgement; hands
	// scatter by half of it.
	handLimit     = 1
	handLimitBody = 4
	// handUnseen is the share of the marked frames in which a thing may be unseen.
	handUnseen = 0.05
)

// ofLabels compares a report with what a person marked in its clip.
func ofLabels(set labels.Set, clip string, report *lesson.Report, tracks []track.Track) []Item {
	out := marked(set, clip, tracks)
	strokes := map[int]map[string]*float64{}
	for m, t := range set.Moments {
		if m.Clip == clip {
			if strokes[m.Stroke] == nil {
				strokes[m.Stroke] = map[string]*float64{}
			}
			strokes[m.Stroke][m.Event] = &t
		}
	}
	interval := report.Clip.DurationS / math.Max(1, float64(report.Clip.Frames))
	for _, k := range sorted(strokes) {
		got := bench.Pair(report.Strokes, "", strokes[k])
		for _, name := range track.EventNames {
			want := strokes[k][name]
			if want == nil {
				continue
			}
			i := Item{Name: name, Stroke: k, Unit: "s"}
			i.Limit, _ = bench.Allowed(name, *want, interval)
			if got != nil {
				if e := got.Events[name]; e.TS != nil && e.Status == track.Measured {
					i.Given, i.Error, i.U95 = true, math.Abs(*e.TS-*want), *e.U95S
					i.Covered = i.Error <= i.U95
				}
			}
			out = append(out, i)
		}
	}
	return out
}

// marked compares places with those that a person marked and saw.
func marked(set labels.Set, clip string, tracks []track.Track) []Item {
	type sums struct{ square, seen, all float64 }
	found := map[string]*sums{}
	samples := map[labels.Place]track.Sample{}
	for _, tr := range tracks {
		for _, s := range tr.Samples {
			samples[labels.Place{Clip: clip, Frame: s.Frame, Object: tr.Object}] = s
		}
	}
	for p, at := range set.Points {
		if p.Clip != clip || at.Hidden {
			continue
		}
		if found[p.Object] == nil {
			found[p.Object] = &sums{}
		}
		f := found[p.Object]
		f.all++
		if s := samples[p]; s.Seen {
			f.seen++
			f.square += ((s.X-at.X)*(s.X-at.X) + (s.Y-at.Y)*(s.Y-at.Y)) / 2
		}
	}
	var out []Item
	for _, object := range sorted(found) {
		f := found[object]
		limit := float64(handLimitBody)
		switch object {
		case track.Putter, track.Ball, track.ShaftFoot, track.ShaftTop:
			limit = handLimit
		}
		out = append(out,
			Item{Name: object + position, Unit: "px", Given: f.seen > 0, Error: math.Sqrt(f.square / math.Max(1, f.seen)), Limit: limit},
			Item{Name: object + unseen, Unit: "1", Given: true, Error: 1 - f.seen/f.all, Limit: handUnseen})
	}
	return out
}

// unitOf is the unit of an event or measure.
func unitOf(name string, report *lesson.Report) string {
	if slices.Contains(track.EventNames, name) {
		return "s"
	}
	for _, s := range report.Strokes {
		if m, ok := s.Measures[name]; ok {
			return m.Unit
		}
	}
	return ""
}
