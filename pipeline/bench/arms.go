package bench

import (
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"strokereel/track"
	"strokereel/track/measure"
)

// armsRow is a line of the table of arms and head: figures of one kind, at
// whichever event, with bands and stickers or by the body model alone.
type armsRow struct {
	what  string
	names []string
	limit limit   // of the 95th percentile of the error
	u95   float64 // of the median u95
	mostU float64 // of any u95: what is known worse is to be left out
}

var (
	wrists    = []string{"lead_wrist_top", "lead_wrist_impact", "lead_wrist_finish"}
	elbows    = []string{"elbow_spread_top", "elbow_spread_impact", "elbow_spread_finish"}
	shoulders = []string{"shoulder_rock_top", "shoulder_rock_finish"}
)

// rows are what is asked of arms and head, with something worn or without.
func rows(worn bool) []armsRow {
	if worn {
		return []armsRow{
			{what: "lead wrist deg", names: wrists, limit: limits[wrists[0]]},
			{what: "elbow ratio", names: elbows, limit: limits[elbows[0]]},
			{what: "shoulder rock deg", names: shoulders, limit: limits[shoulders[0]]},
			{what: "look-up s", names: []string{track.LookUp}, limit: limits[track.LookUp]},
			{what: "head shift m", names: []string{"head_shift"}},
		}
	}
	o := measure.DefaultOptions()
	return []armsRow{
		{what: "lead wrist deg", names: wrists, mostU: o.MostAngleU95},
		{what: "elbow ratio", names: elbows, limit: limit{absolute: 0.06}, u95: 0.10},
		{what: "shoulder rock deg", names: shoulders},
		{what: "look-up s", names: []string{track.LookUp}, mostU: o.MostLookU95},
		{what: "head shift m", names: []string{"head_shift"}, limit: limits["head_shift"+byModel]},
	}
}

const (
	// farTurn is a turn of the head in which the look-up is asked for in at least
	// leastTold of the clips, degrees.
	farTurn   = 20
	leastTold = 0.5
)

// PrintArms writes what was found of arms and head, with bands and without: how
// often, how far off and how sure.
func PrintArms(w io.Writer, clips []Clip) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "arms and head\tmeasured\tof\tp95\tlimit\tp95/limit\tmedian u95\tlimit\tmost u95\tlimit\tcoverage\tof\t")
	for _, worn := range []bool{true, false} {
		of := slices.DeleteFunc(slices.Clone(clips), func(c Clip) bool { return c.Bands != worn || c.Wanted == 0 })
		if len(of) == 0 {
			continue
		}
		how := "with bands"
		if !worn {
			how = "by model"
		}
		all, covered := 0, 0.0
		for _, r := range rows(worn) {
			n, c := r.print(t, how, of, worn)
			all, covered = all+n, covered+c
		}
		fmt.Fprintf(t, "all %s\t%d\t\t\t\t\t\t\t\t\t%s\t>= 90 %%\t\n", how, all, percent(covered, all))
	}
	t.Flush()
	printY(w, clips)
	printTurns(w, clips)
}

// print writes the row and returns how many values there are and how many of
// their intervals hold the truth.
func (r armsRow) print(w io.Writer, how string, clips []Clip, worn bool) (n int, covered float64) {
	var off, over, u, allowed []float64
	missing := 0
	for _, c := range clips {
		for _, v := range append(append(slices.Clone(c.Events), c.Measures...), c.Absent...) {
			if !slices.Contains(r.names, Plain(v.Name)) {
				continue
			}
			if !v.Reported {
				missing++
				continue
			}
			a := r.limit.allowed(v.Truth, c.Interval)
			off, u, allowed = append(off, math.Abs(v.Error())), append(u, v.U95), append(allowed, a)
			over = append(over, math.Abs(v.Error())/a)
			if v.Covered() {
				covered++
			}
		}
	}
	n = len(off)
	if n == 0 {
		fmt.Fprintf(w, "%s %s\t0\t%d\t\t\t\t\t\t\t\t\t\t\n", r.what, how, missing)
		return 0, 0
	}
	atMost := func(v float64) string {
		if v == 0 {
			return "-"
		}
		return fmt.Sprintf("%.3f", v)
	}
	share := "-"
	if r.limit != (limit{}) {
		share = fmt.Sprintf("%.2f", quantile(over, 0.95))
	} else {
		allowed = []float64{0}
	}
	fmt.Fprintf(w, "%s %s\t%d\t%d\t%.4f\t%s\t%s\t%.3f\t%s\t%.3f\t%s\t%s\t\t\n", r.what, how, n, n+missing, quantile(off, 0.95),
		atMost(quantile(allowed, 0.5)), share, quantile(u, 0.5), atMost(r.u95), slices.Max(u), atMost(r.mostU), percent(covered, n))
	return n, covered
}

func percent(part float64, of int) string {
	if of == 0 {
		return "-"
	}
	return fmt.Sprintf("%.0f %%", 100*part/float64(of))
}

// printY counts the verdicts on the Y.
func printY(w io.Writer, clips []Clip) {
	for _, worn := range []bool{true, false} {
		strokes, told, close, wrong := 0, 0, 0, 0
		for _, c := range clips {
			if c.Bands != worn {
				continue
			}
			strokes += c.Wanted
			for _, v := range c.Y {
				told++
				if v.Got == "too_close" {
					close++
				}
				if !v.Right() {
					wrong++
				}
			}
		}
		how := "with bands"
		if !worn {
			how = "by model"
		}
		fmt.Fprintf(w, "y_kept %s: %d verdicts on %d strokes, %d too close (%s, at most 20 %%), %d wrong\n", how, told, strokes, close, percent(float64(close), told), wrong)
	}
}

// printTurns says in how many of the clips without a sticker on the cap whose
// head turns far the look-up was told.
func printTurns(w io.Writer, clips []Clip) {
	turned, told := 0, 0
	for _, c := range clips {
		if c.Bands || c.Wanted == 0 || c.Turn < farTurn {
			continue
		}
		turned++
		if slices.ContainsFunc(c.Events, func(v Value) bool { return v.Name == track.LookUp+byModel && v.Reported }) {
			told++
		}
	}
	fmt.Fprintf(w, "look-up by model told in %d of %d clips whose head turns by %d degrees or more (%s, wanted %.0f %%)\n", told, turned, farTurn, percent(float64(told), turned), 100*leastTold)
}
