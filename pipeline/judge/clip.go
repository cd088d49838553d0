package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"strokereel/pipeline/bench"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Reading is what one run says of one thing: the size of its error where that is
// known, else the value itself.
type Reading struct {
	Given      bool
	Value, U95 float64
	Covered    bool // the interval holds what is known
}

// Both is one thing in both runs.
type Both struct {
	Name   string
	Stroke int // 1 for the first; 0 for what is of the whole clip
	Unit   string
	Limit  float64
	A, B   Reading
}

// ClipLine is one clip in both runs.
type ClipLine struct {
	Clip         string
	Both         []Both
	CostA, CostB float64 // in limits, where something is known
	MSA, MSB     float64 // ms a frame; NaN when frames were not read anew
	Changed      int     // values beyond the uncertainty of both, gained or lost
	Why          string  // what changed most, in words
	known        bool
}

// Delta is how much cost the second run adds.
func (l *ClipLine) Delta() float64 { return l.CostB - l.CostA }

// noticed is the change of a clip's cost from which it is called better or worse,
// limits: our judgement.
const noticed = 0.05

// Verdict says how the clip fares in the second run.
func (l *ClipLine) Verdict() string {
	switch {
	case l.Delta() > noticed:
		return worse
	case l.Delta() < -noticed:
		return better
	}
	return asWas
}

const (
	better = "better"
	worse  = "worse"
	asWas  = "as before"
)

// match puts the items of both runs side by side.
func match(a, b []Item) []Both {
	type id struct {
		name   string
		stroke int
	}
	at := map[id]int{}
	var out []Both
	of := func(i Item) *Both {
		k, ok := at[id{i.Name, i.Stroke}]
		if !ok {
			k = len(out)
			at[id{i.Name, i.Stroke}] = k
			out = append(out, Both{Name: i.Name, Stroke: i.Stroke})
		}
		out[k].Unit, out[k].Limit = cmp.Or(out[k].Unit, i.Unit), cmp.Or(out[k].Limit, i.Limit)
		return &out[k]
	}
	for _, i := range a {
		of(i).A = Reading{i.Given, i.Error, i.U95, i.Covered}
	}
	for _, i := range b {
		of(i).B = Reading{i.Given, i.Error, i.U95, i.Covered}
	}
	return out
}

// judge finds the cost of both and what changed it most.
func (l *ClipLine) judge() {
	var n, most float64
	for _, b := range l.Both {
		if b.Limit <= 0 {
			continue
		}
		a, c := b.cost(b.A), b.cost(b.B)
		l.CostA, l.CostB, n = l.CostA+a, l.CostB+c, n+1
		if d := math.Abs(c - a); d > most {
			most, l.Why = d, b.words(true)
		}
	}
	l.CostA, l.CostB = l.CostA/n, l.CostB/n
}

func (b Both) cost(r Reading) float64 {
	return Item{Given: r.Given, Error: r.Value, Limit: b.Limit}.Cost()
}

// words says what changed.
func (b Both) words(sizes bool) string {
	text := func(r Reading) string {
		if !r.Given {
			return "none"
		}
		return quantity(r.Value, b.Unit)
	}
	name := plain(b.Name)
	if b.Stroke > 1 {
		name += fmt.Sprintf(" of stroke %d", b.Stroke)
	}
	if sizes && b.A.Given && b.B.Given {
		return fmt.Sprintf("%s off by %s, was %s", name, text(b.B), text(b.A))
	}
	return fmt.Sprintf("%s %s, was %s", name, text(b.B), text(b.A))
}

// changes puts the values of both runs side by side.
func changes(x, y side) []Both {
	var out []Both
	add := func(n Both) {
		if n.A.Given || n.B.Given {
			out = append(out, n)
		}
	}
	if x.report != nil && y.report != nil {
		add(apart(x.tracks, y.tracks))
	}
	paired := map[*lesson.Stroke]bool{}
	var a, b []lesson.Stroke
	if x.report != nil {
		a = x.report.Strokes
	}
	if y.report != nil {
		b = y.report.Strokes
	}
	for k := range a {
		times := map[string]*float64{}
		for name, e := range a[k].Events {
			times[name] = e.TS
		}
		other := bench.Pair(b, a[k].Kind, times)
		if other != nil {
			paired[other] = true
		}
		strokes(k+1, &a[k], other, add)
	}
	for k := range b {
		if !paired[&b[k]] {
			strokes(k+1, nil, &b[k], add)
		}
	}
	return out
}

// strokes puts the values of a stroke in both runs side by side; one of them may
// be nil.
func strokes(index int, x, y *lesson.Stroke, add func(Both)) {
	for _, name := range track.EventNames {
		add(Both{Name: name, Stroke: index, Unit: "s", A: eventReading(x, name), B: eventReading(y, name)})
	}
	names := map[string]string{}
	for _, s := range []*lesson.Stroke{x, y} {
		if s != nil {
			for name, m := range s.Measures {
				names[name] = m.Unit
			}
		}
	}
	for _, name := range sorted(names) {
		add(Both{Name: name, Stroke: index, Unit: names[name], A: measureReading(x, name), B: measureReading(y, name)})
	}
}

func eventReading(s *lesson.Stroke, name string) Reading {
	if s == nil || s.Events[name].TS == nil || s.Events[name].Status != track.Measured {
		return Reading{}
	}
	e := s.Events[name]
	return Reading{Given: true, Value: *e.TS, U95: *e.U95S}
}

func measureReading(s *lesson.Stroke, name string) Reading {
	if s == nil {
		return Reading{}
	}
	m := s.Measures[name]
	if m.Value == nil || m.U95 == nil || m.Status != track.Measured {
		return Reading{}
	}
	return Reading{Given: true, Value: *m.Value, U95: *m.U95}
}

// apart is how far apart the putter is in both runs, along one axis: nothing in
// the first, the root mean square in the second.
func apart(x, y []track.Track) Both {
	at := map[int]track.Sample{}
	for _, tr := range x {
		if tr.Object == track.Putter {
			for _, s := range tr.Samples {
				at[s.Frame] = s
			}
		}
	}
	sum, n := 0.0, 0.0
	for _, tr := range y {
		if tr.Object != track.Putter {
			continue
		}
		for _, s := range tr.Samples {
			if o := at[s.Frame]; o.Seen && s.Seen {
				sum, n = sum+((s.X-o.X)*(s.X-o.X)+(s.Y-o.Y)*(s.Y-o.Y))/2, n+1
			}
		}
	}
	return Both{Name: track.Putter + position, Unit: "px", A: Reading{Given: n > 0}, B: Reading{Given: n > 0, Value: math.Sqrt(sum / math.Max(1, n))}}
}

// weigh counts what changed by more than both runs are unsure of.
func (l *ClipLine) weigh() {
	most := 0.0
	for _, b := range l.Both {
		u := math.Hypot(b.A.U95, b.B.U95)
		d := math.Abs(b.B.Value-b.A.Value) / u
		switch {
		case b.A.Given != b.B.Given:
			l.Changed++
			d = 1
		case u > 0 && d > 1:
			l.Changed++
		case !(u > 0):
			continue
		}
		if d > most {
			most, l.Why = d, b.words(false)
		}
	}
}

// worst sorts clips by how much the second run costs them.
func worst(clips []*ClipLine) []*ClipLine {
	out := slices.Clone(clips)
	slices.SortStableFunc(out, func(a, b *ClipLine) int {
		return cmp.Or(cmp.Compare(b.Delta(), a.Delta()), cmp.Compare(b.Changed, a.Changed))
	})
	return out
}
