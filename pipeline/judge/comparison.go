package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/stat"

	"strokereel/pipeline/runs"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

// Comparison is what came of comparing two runs.
type Comparison struct {
	A, B         *runs.Run
	Judged       bool // something is known of the clips
	Settings     []Setting
	Clips        []*ClipLine
	Lines        []Line
	Cost         Difference // of the mean cost, where something is known
	CostA, CostB float64
	Time         Difference // ms a frame
	MSA, MSB     float64    // mean, of clips read anew in both
	Intervals    [2]Share   // that hold what is known
	Values       [2]int     // that are given
	Only         []string   // clips that one run has
	Unknown      []string   // clips of which nothing is known
	Failed       int        // clips that cannot be read in either run
}

// Setting is one that differs.
type Setting struct{ Key, A, B string }

// Share is a part of a number of things.
type Share struct{ Part, All int }

func (s Share) String() string {
	if s.All == 0 {
		return "-"
	}
	return fmt.Sprintf("%.1f %% of %d", 100*float64(s.Part)/float64(s.All), s.All)
}

// Line is one thing over all clips.
type Line struct {
	Name, Unit   string
	Scale        float64 // mean limit, else mean u95 of a change; 0 when there is none
	A, B         float64 // means of what both runs give
	Lost, Gained int     // given by one of them
	Diff         Difference
	StandsOut    bool // more than noise
	Beyond       int  // changes beyond the uncertainty of both, where nothing is known
}

// Verdict says what the line shows.
func (l Line) Verdict(judged bool) string {
	switch {
	case l.Diff.N == 0 && l.Lost == 0 && l.Gained > 0:
		return "gained"
	case l.Diff.N == 0 && l.Lost > 0:
		return "lost"
	case l.Lost+l.Gained == 0 && (l.Diff.N == 0 || l.Diff.Mean == 0 && l.Diff.P == 1):
		return asIs
	case !l.StandsOut:
		return noise
	case math.Abs(l.Diff.Mean) < trifle*l.Scale:
		return "a trifle"
	case judged && l.Diff.Mean > 0:
		return worse
	case judged:
		return better
	case l.Name == track.Putter+position:
		return "moved"
	case l.Diff.Mean > 0:
		return "larger"
	}
	return "smaller"
}

// trifle is the part of its limit below which a difference is of no use, however
// sure it is: our judgement.
const trifle = 0.01

const (
	noise = "no more than noise"
	asIs  = "the same"
)

// Verdict says in a sentence which run is nearer to what is known.
func (c *Comparison) Verdict() string {
	if !c.Judged {
		changed := 0
		for _, l := range c.Clips {
			changed += l.Changed
		}
		if changed == 0 && c.Values[0] == c.Values[1] {
			return "nothing changed by more than the uncertainty of both runs; which is nearer to the truth is not known: give --labels or --truth"
		}
		return fmt.Sprintf("%d values changed by more than the uncertainty of both runs; which is nearer to the truth is not known: give --labels or --truth", changed)
	}
	d := c.Cost
	numbers := fmt.Sprintf("%+.3f ± %.3f limits, %d clips", d.Mean, d.Half, d.N)
	switch {
	case d.N < 2:
		return fmt.Sprintf("%d clip is too few to tell %s and %s apart", d.N, c.A.Name, c.B.Name)
	case d.Mean == 0 && d.Half == 0:
		return fmt.Sprintf("%s is as %s, to the last digit", c.B.Name, c.A.Name)
	case d.P > level:
		return fmt.Sprintf("between %s and %s there is %s (%s)", c.A.Name, c.B.Name, noise, numbers)
	case d.Mean > 0:
		return fmt.Sprintf("%s is worse than %s (%s)", c.B.Name, c.A.Name, numbers)
	}
	return fmt.Sprintf("%s is better than %s (%s)", c.B.Name, c.A.Name, numbers)
}

// Turned lists the clips of one verdict, those that changed most first.
func (c *Comparison) Turned(verdict string) []*ClipLine {
	var out []*ClipLine
	for _, l := range worst(c.Clips) {
		if l.Verdict() == verdict {
			out = append(out, l)
		}
	}
	if verdict == better {
		slices.Reverse(out)
	}
	return out
}

// sum makes lines and totals of the clips.
func (c *Comparison) sum() {
	var costs, times, msA, msB, costA, costB []float64
	for _, l := range c.Clips {
		if c.Judged && !math.IsNaN(l.Delta()) {
			costs, costA, costB = append(costs, l.Delta()), append(costA, l.CostA), append(costB, l.CostB)
		}
		if d := l.MSB - l.MSA; !math.IsNaN(d) {
			times, msA, msB = append(times, d), append(msA, l.MSA), append(msB, l.MSB)
		}
	}
	c.Cost, c.CostA, c.CostB = Paired(costs), stat.Mean(costA, nil), stat.Mean(costB, nil)
	c.Time, c.MSA, c.MSB = Paired(times), stat.Mean(msA, nil), stat.Mean(msB, nil)
	c.lines()
}

// lines sums up thing by thing. Strokes of one clip are not independent of each
// other: they count as their mean.
func (c *Comparison) lines() {
	at := map[string]*Line{}
	diffs := map[string][]float64{}
	scales := map[string][]float64{}
	var names []string
	for _, clip := range c.Clips {
		within := map[string][]float64{}
		for _, b := range clip.Both {
			l := at[b.Name]
			if l == nil {
				l = &Line{Name: b.Name, Unit: b.Unit}
				at[b.Name], names = l, append(names, b.Name)
			}
			c.count(b)
			if b.Limit > 0 {
				scales[b.Name] = append(scales[b.Name], b.Limit)
			}
			switch {
			case b.A.Given && b.B.Given:
				within[b.Name] = append(within[b.Name], b.B.Value-b.A.Value)
				l.A, l.B, l.Diff.N = l.A+b.A.Value, l.B+b.B.Value, l.Diff.N+1
				if u := math.Hypot(b.A.U95, b.B.U95); u > 0 && !c.Judged {
					scales[b.Name] = append(scales[b.Name], u)
					if math.Abs(b.B.Value-b.A.Value) > u {
						l.Beyond++
					}
				}
			case b.A.Given:
				l.Lost++
			case b.B.Given:
				l.Gained++
			}
		}
		for name, d := range within {
			diffs[name] = append(diffs[name], stat.Mean(d, nil))
		}
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(rank(a), rank(b)), strings.Compare(a, b)) })
	var all []Difference
	for _, n := range names {
		l := at[n]
		l.A, l.B = l.A/float64(l.Diff.N), l.B/float64(l.Diff.N)
		l.Diff = Paired(diffs[n])
		if len(scales[n]) > 0 {
			l.Scale = stat.Mean(scales[n], nil)
		}
		all = append(all, l.Diff)
	}
	for i, out := range standOut(all) {
		l := at[names[i]]
		if l.StandsOut = out; l.Diff.N+l.Lost+l.Gained > 0 {
			c.Lines = append(c.Lines, *l)
		}
	}
}

// count adds to the values given and the intervals that hold what is known.
func (c *Comparison) count(b Both) {
	for i, r := range []Reading{b.A, b.B} {
		if !r.Given || b.Stroke == 0 {
			continue
		}
		c.Values[i]++
		if c.Judged && r.U95 > 0 {
			c.Intervals[i].All++
			if r.Covered {
				c.Intervals[i].Part++
			}
		}
	}
}

// rank orders positions first, then events as they happen, then measures.
func rank(name string) int {
	switch i := slices.Index(track.EventNames, name); {
	case strings.HasSuffix(name, position) || strings.HasSuffix(name, unseen) || name == falseStrokes:
		return 0
	case i >= 0:
		return 1 + i
	}
	return 100
}

// differing lists the settings that differ between two runs.
func differing(a, b *runs.Run) []Setting {
	keys := map[string]bool{}
	for _, r := range []*runs.Run{a, b} {
		for k := range r.Changed {
			keys[k] = true
		}
	}
	var out []Setting
	for _, k := range sorted(keys) {
		x, y := orDefault(a.Changed, k), orDefault(b.Changed, k)
		if x != y {
			out = append(out, Setting{k, x, y})
		}
	}
	return out
}

func orDefault(changed map[string]string, key string) string {
	if v, ok := changed[key]; ok {
		return v
	}
	return settings.Default().Text(key)
}

// quantity writes a value with its unit, times and lengths in thousandths.
func quantity(v float64, unit string) string {
	switch unit {
	case "s":
		return strconv.FormatFloat(1000*v, 'f', 1, 64) + " ms"
	case "m":
		return strconv.FormatFloat(1000*v, 'f', 1, 64) + " mm"
	case "1", "":
		return strconv.FormatFloat(v, 'f', 3, 64)
	}
	return strconv.FormatFloat(v, 'f', 3, 64) + " " + unit
}

// plain is a name as people read it.
func plain(name string) string { return strings.ReplaceAll(name, "_", " ") }
