package bench

import (
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"strokereel/track"
	"strokereel/track/cast"
)

// The exam is what the product wants to reach, case by case; Summarise's limits,
// over all clips together, are what it must never fall behind. A figure is
// compared between two runs by its case and name.

// Figure is one figure of a case beside its limit.
type Figure struct {
	Case  string  `json:"case"`
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Limit float64 `json:"limit"`
	Least bool    `json:"least"` // the limit is a least value, else a largest

	Limited bool `json:"limited"` // false for a figure that is only told
}

// Within reports whether the figure keeps its limit, if it has one.
func (f Figure) Within() bool {
	if !f.Limited {
		return true
	}
	if f.Least {
		return f.Value >= f.Limit
	}
	return f.Value <= f.Limit
}

// kindOf is the group of limits that a case is held to.
func kindOf(name string) string {
	switch name {
	case "clean", "fast-frames", "portrait", "left":
		return "clean"
	case "no-sticker", "no-ball", "nobody", "still", "waggles":
		return "refusal"
	case "leaves-frame":
		return "open" // refused, or lengths that are told as at least
	case "rod", "one-night":
		return name
	}
	return "all"
}

// Limits of the exam for one case.
const (
	cleanRMS      = 0.10 // px per axis
	worstRMS      = 0.45 // px per axis, of the worst clip that is not refused
	worstOff      = 2.0  // px in any frame that is not marked as not seen
	mostOfBound   = 1.5  // times the Cramer-Rao bound, before coding
	mostRefused   = 0.02
	mostRefusedIn = 0.10 // of the cases with few pixels or little light
	leastOfOne    = 0.88 // coverage of one event or measure
)

// wanted are the exam's limits of events and measures in a group of cases.
func wanted(kind string) map[string]limit {
	length := 0.015
	if kind == "rod" {
		length = 0.007
	}
	impact := limit{frames: 0.2}
	if kind == "one-night" {
		impact = limit{absolute: 0.001}
	}
	edge := limit{frames: 0.5, floor: 0.006}
	return map[string]limit{
		track.Start: edge, track.Top: edge, track.Stop: edge, track.HoldEnd: edge, track.Impact: impact,
		"backstroke_length": {relative: length}, "follow_through_length": {relative: length},
		"impact_speed": {relative: 0.02}, "ball_speed": {relative: 0.04}, "recoil": {absolute: 0.002},
	}
}

// Exam gives the figures of every case among the clips, in the order in which
// the cases come.
func Exam(clips []Clip) []Figure {
	var names []string
	for _, c := range clips {
		if !slices.Contains(names, c.Case) {
			names = append(names, c.Case)
		}
	}
	var out []Figure
	for _, n := range names {
		var of []Clip
		for _, c := range clips {
			if c.Case == n {
				of = append(of, c)
			}
		}
		out = append(out, examine(n, of)...)
	}
	return out
}

func examine(name string, clips []Clip) []Figure {
	var out []Figure
	kind := kindOf(name)
	add := func(f Figure) { f.Case = name; out = append(out, f) }
	if kind == "refusal" {
		reported, silent := 0, 0
		for _, c := range clips {
			reported += c.Strokes
			if !slices.ContainsFunc(c.Warnings, isReason) {
				silent++
			}
		}
		add(Figure{Name: "strokes reported", Value: float64(reported), Limited: true})
		add(Figure{Name: "clips without a reason", Value: float64(silent), Limited: true})
		return out
	}
	t := tally(clips)
	judged := kind != "open"
	if t.refused < 1 {
		add(Figure{Name: "marker rms px", Value: t.rms, Limit: cleanRMS, Limited: kind == "clean"})
		add(Figure{Name: "marker rms px, worst clip", Value: t.worstClip, Limit: worstRMS, Limited: judged})
		add(Figure{Name: "marker worst px", Value: t.worst, Limit: worstOff, Limited: judged})
		add(Figure{Name: "marker seen", Value: t.seen, Limit: LeastSeen, Least: true, Limited: judged})
	}
	if b, ok := boundOf(clips); ok {
		add(Figure{Name: "marker rms before coding / bound", Value: b.Ratio(), Limit: mostOfBound, Limited: kind == "clean"})
		add(Figure{Name: "marker px, codec's share", Value: b.Codec()})
	}
	refused := mostRefused
	if name == "messenger" || name == "dim" || name == "small" {
		refused = mostRefusedIn
	}
	add(Figure{Name: "refused", Value: t.refused, Limit: refused, Limited: judged})
	for _, f := range valueFigures(clips, wanted(kind)) {
		f.Limited = f.Limited && judged
		add(f)
	}
	add(Figure{Name: "ms a frame", Value: t.ms})
	return out
}

// isReason reports whether a warning says why there is no number.
func isReason(code string) bool {
	return slices.Contains([]string{cast.NoSticker, cast.NoBall, cast.NoStroke, "nothing_moves"}, code)
}

// counts are a case's figures of the marker.
type counts struct{ rms, worstClip, worst, seen, refused, ms float64 }

// tally pools the clips in which a stroke was found; the others are refused.
func tally(clips []Clip) counts {
	var t counts
	var sumSq float64
	var seen, whole, refused int
	var ms []float64
	for _, c := range clips {
		ms = append(ms, c.MSFrame)
		if c.Wanted > 0 && c.Strokes == 0 {
			refused++
			continue
		}
		sumSq += c.SumSq
		seen, whole = seen+c.Seen, whole+c.Whole
		t.worst = math.Max(t.worst, math.Max(c.Worst, c.WorstPart))
		t.worstClip = math.Max(t.worstClip, c.RMS())
	}
	t.refused = float64(refused) / float64(len(clips))
	t.rms = math.Sqrt(sumSq / math.Max(1, float64(seen)))
	t.seen = float64(seen) / math.Max(1, float64(whole))
	t.ms = quantile(ms, 0.5)
	return t
}

// valueFigures gives for every event and measure the 95th percentile of its
// error and its median u95, both as shares of the limit, and its coverage.
func valueFigures(clips []Clip, limits map[string]limit) []Figure {
	values := map[string][]Value{}
	interval := map[string][]float64{}
	for _, c := range clips {
		for _, v := range append(slices.Clone(c.Events), c.Measures...) {
			if v.Reported {
				values[v.Name] = append(values[v.Name], v)
				interval[v.Name] = append(interval[v.Name], c.Interval)
			}
		}
	}
	var out []Figure
	for _, name := range order(values) {
		covered := 0.0
		var off, u []float64
		lim, limited := limits[name]
		for i, v := range values[name] {
			if v.Covered() {
				covered++
			}
			if limited {
				a := lim.allowed(v.Truth, interval[name][i])
				off, u = append(off, math.Abs(v.Error())/a), append(u, v.U95/a)
			}
		}
		if limited {
			out = append(out, Figure{Name: name + ": p95 / limit", Value: quantile(off, 0.95), Limit: 1, Limited: true},
				Figure{Name: name + ": median u95 / limit", Value: quantile(u, 0.5), Limit: 1, Limited: true})
		}
		// Of fewer than twenty, one beyond its interval is no sign.
		n := float64(len(values[name]))
		out = append(out, Figure{Name: name + ": coverage", Value: covered / n, Limit: leastOfOne, Least: true, Limited: n >= 20})
	}
	return out
}

// PrintExam writes the figures that break their limits, or all of them.
func PrintExam(w io.Writer, figures []Figure, all bool) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "case\tfigure\tvalue\tlimit\t")
	for _, f := range figures {
		if all || !f.Within() {
			fmt.Fprintf(t, "%s\t%s\t%.3f\t%s\t%s\n", f.Case, f.Name, f.Value, f.limitText(), mark(f))
		}
	}
	t.Flush()
}

func (f Figure) limitText() string {
	switch {
	case !f.Limited:
		return "-"
	case f.Least:
		return fmt.Sprintf(">= %.3f", f.Limit)
	}
	return fmt.Sprintf("<= %.3f", f.Limit)
}

func mark(f Figure) string {
	if f.Within() {
		return ""
	}
	return "outside"
}

// Change is a figure of one case before and after.
type Change struct{ Old, New Figure }

// Lost reports whether a figure that kept its limit no longer does.
func (c Change) Lost() bool { return c.Old.Within() && !c.New.Within() }

// Better tells whether the figure moved toward the better side.
func (c Change) Better() bool { return (c.New.Value < c.Old.Value) != c.New.Least }

// Compare pairs the figures of two runs. A figure that only one of them has, or
// that is the same in both, is left out.
func Compare(before, after []Clip) []Change {
	old := map[[2]string]Figure{}
	for _, f := range Exam(before) {
		old[[2]string{f.Case, f.Name}] = f
	}
	var out []Change
	for _, f := range Exam(after) {
		if o, ok := old[[2]string{f.Case, f.Name}]; ok && o.Value != f.Value {
			out = append(out, Change{o, f})
		}
	}
	return out
}

// PrintChanges writes what changed.
func PrintChanges(w io.Writer, changes []Change) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "case\tfigure\told\tnew\tlimit\t")
	for _, c := range changes {
		word := "worse"
		if c.Better() {
			word = "better"
		}
		if c.Lost() {
			word = "worse, now outside its limit"
		}
		fmt.Fprintf(t, "%s\t%s\t%.3f\t%.3f\t%s\t%s\n", c.New.Case, c.New.Name, c.Old.Value, c.New.Value, c.New.limitText(), word)
	}
	t.Flush()
}
