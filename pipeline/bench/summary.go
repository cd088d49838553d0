package bench

import (
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"strokereel/track"
)

// Line is the score of one event or measure over many clips.
type Line struct {
	Name     string  `json:"name"`
	N        int     `json:"n"`
	Missing  int     `json:"missing"` // true values for which nothing was reported
	Bias     float64 `json:"bias"`    // median error, as a share of the limit's unit
	P95      float64 `json:"p95"`     // 95th percentile of the size of the error
	Limit    float64 `json:"limit"`   // median over the clips; 0 when there is none
	P95Limit float64 `json:"p95_over_limit"`
	Over     int     `json:"over_limit"` // errors beyond their limit
	Coverage float64 `json:"coverage"`
	U95      float64 `json:"median_u95"`
	ULimit   float64 `json:"median_u95_over_limit"`
}

// Summary is the score of a set of clips.
type Summary struct {
	Clips    int      `json:"clips"`
	RMS      float64  `json:"marker_rms_px"`
	Worst    float64  `json:"marker_worst_px"`
	Seen     float64  `json:"marker_seen_share"`
	Lines    []Line   `json:"lines"`
	Coverage float64  `json:"coverage"`
	Truths   int      `json:"truths"`
	Verdicts int      `json:"y_kept"` // clips with a word on the Y
	TooClose int      `json:"y_too_close"`
	Wrong    int      `json:"y_wrong"`
	Broken   []string `json:"broken"`
}

// Summarise scores a set of clips and lists the limits that are broken.
func Summarise(clips []Clip) Summary {
	s := Summary{Clips: len(clips)}
	var sumSq float64
	var seen, whole, covered int
	values := map[string][]Value{}
	interval := map[string][]float64{}
	for _, c := range clips {
		sumSq += c.SumSq
		seen, whole = seen+c.Seen, whole+c.Whole
		s.Worst = math.Max(s.Worst, c.Worst)
		if c.Wanted == 0 && c.Strokes > 0 {
			s.Broken = append(s.Broken, fmt.Sprintf("%s seed %d: %d strokes reported where there are none", c.Case, c.Seed, c.Strokes))
		}
		for _, v := range c.Y {
			s.Verdicts++
			if v.Got == "too_close" {
				s.TooClose++
			}
			if !v.Right() {
				s.Wrong++
				s.Broken = append(s.Broken, fmt.Sprintf("%s seed %d: the Y is said to be kept: %s, which is wrong", c.Case, c.Seed, v.Got))
			}
		}
		for _, v := range append(slices.Clone(c.Events), c.Measures...) {
			values[v.Name] = append(values[v.Name], v)
			interval[v.Name] = append(interval[v.Name], c.Interval)
			if v.Reported {
				s.Truths++
				if v.Covered() {
					covered++
				}
			}
		}
	}
	if seen > 0 {
		s.RMS, s.Seen = math.Sqrt(sumSq/float64(seen)), float64(seen)/float64(whole)
	}
	if s.Truths > 0 {
		s.Coverage = float64(covered) / float64(s.Truths)
	}
	for _, name := range order(values) {
		l := line(name, values[name], interval[name])
		s.Lines = append(s.Lines, l)
		// One in twenty may be over; of fewer than forty, two: were each over with
		// one chance in twenty, three of sixteen would be so once in 25 runs.
		if l.Over > max(2, l.N/20) {
			s.Broken = append(s.Broken, fmt.Sprintf("%s: %d of %d errors are over their limit, the 95th percentile is %.2f of it", name, l.Over, l.N, l.P95Limit))
		}
		if l.ULimit > 1 && !limits[name].loose {
			s.Broken = append(s.Broken, fmt.Sprintf("%s: median u95 is %.2f of its limit", name, l.ULimit))
		}
		if l.Limit > 0 && l.Missing > max(1, l.N/20) {
			s.Broken = append(s.Broken, fmt.Sprintf("%s: nothing reported for %d of %d truths", name, l.Missing, l.N+l.Missing))
		}
	}
	if s.Verdicts > 0 && s.TooClose > max(1, int(mostTooClose*float64(s.Verdicts))) {
		s.Broken = append(s.Broken, fmt.Sprintf("y_kept: too close to tell in %d of %d clips", s.TooClose, s.Verdicts))
	}
	if whole > 0 && s.RMS > MaxRMS {
		s.Broken = append(s.Broken, fmt.Sprintf("marker: %.3f px rms, limit %.2f", s.RMS, MaxRMS))
	}
	if whole > 0 && s.Seen < LeastSeen {
		s.Broken = append(s.Broken, fmt.Sprintf("marker: seen in %.1f %% of the frames that show it, limit %.0f %%", 100*s.Seen, 100*LeastSeen))
	}
	if s.Truths >= 100 && (s.Coverage < leastCoverage || s.Coverage > mostCoverage) {
		s.Broken = append(s.Broken, fmt.Sprintf("coverage of u95 is %.1f %%, wanted %.0f-%.0f %%", 100*s.Coverage, 100*leastCoverage, 100*mostCoverage))
	}
	return s
}

// order lists events in the order of the stroke, then measures by name.
func order(values map[string][]Value) []string {
	var names, rest []string
	for _, n := range track.EventNames {
		if _, ok := values[n]; ok {
			names = append(names, n)
		}
	}
	for n := range values {
		if !slices.Contains(names, n) {
			rest = append(rest, n)
		}
	}
	slices.Sort(rest)
	return append(names, rest...)
}

func line(name string, values []Value, intervals []float64) Line {
	l := Line{Name: name}
	lim, limited := limits[name]
	var size, signed, u, allowed, overE, overU []float64
	covered := 0
	for i, v := range values {
		if !v.Reported {
			l.Missing++
			continue
		}
		l.N++
		if v.Covered() {
			covered++
		}
		size, signed, u = append(size, math.Abs(v.Error())), append(signed, v.Error()), append(u, v.U95)
		if limited {
			a := lim.allowed(v.Truth, intervals[i])
			allowed = append(allowed, a)
			overE, overU = append(overE, math.Abs(v.Error())/a), append(overU, v.U95/a)
			if overE[len(overE)-1] > 1 {
				l.Over++
			}
		}
	}
	if l.N == 0 {
		return l
	}
	l.Coverage = float64(covered) / float64(l.N)
	l.P95, l.Bias, l.U95 = quantile(size, 0.95), quantile(signed, 0.5), quantile(u, 0.5)
	if limited {
		l.Limit, l.P95Limit, l.ULimit = quantile(allowed, 0.5), quantile(overE, 0.95), quantile(overU, 0.5)
	}
	return l
}

// quantile returns the smallest value that at least a share q does not exceed.
func quantile(v []float64, q float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[max(0, int(math.Ceil(q*float64(len(s))))-1)]
}

// Print writes the summary as a table.
func (s Summary) Print(w io.Writer) {
	fmt.Fprintf(w, "%d clips; marker %.3f px rms per axis, worst %.2f px, seen in %.1f %% of the frames that show it whole\n", s.Clips, s.RMS, s.Worst, 100*s.Seen)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "name\tn\tmissing\tmedian error\tp95\tlimit\tp95/limit\tmedian u95\tu95/limit\tcoverage\t")
	for _, l := range s.Lines {
		limit, pl, ul := "-", "-", "-"
		if l.Limit > 0 {
			limit, pl, ul = fmt.Sprintf("%.4f", l.Limit), fmt.Sprintf("%.2f", l.P95Limit), fmt.Sprintf("%.2f", l.ULimit)
		}
		fmt.Fprintf(t, "%s\t%d\t%d\t%+.4f\t%.4f\t%s\t%s\t%.4f\t%s\t%.0f %%\t\n", l.Name, l.N, l.Missing, l.Bias, l.P95, limit, pl, l.U95, ul, 100*l.Coverage)
	}
	t.Flush()
	fmt.Fprintf(w, "y_kept: %d verdicts, %d too close, %d wrong\n", s.Verdicts, s.TooClose, s.Wrong)
	fmt.Fprintf(w, "coverage of u95: %.1f %% of %d truths\n", 100*s.Coverage, s.Truths)
}
