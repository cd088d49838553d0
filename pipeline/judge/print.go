package judge

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"
)

// named is how many clips of one verdict are named in print.
const named = 8

// Print writes the comparison for a terminal.
func (c *Comparison) Print(w io.Writer) {
	fmt.Fprintf(w, "A  %v\nB  %v\n", c.A, c.B)
	for _, s := range c.Settings {
		fmt.Fprintf(w, "   %s: %s -> %s\n", s.Key, s.A, s.B)
	}
	fmt.Fprintln(w, c.about())
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	value := "value"
	if c.Judged {
		value = "error"
	}
	fmt.Fprintf(t, "\t%s A\t%s B\tB - A, paired\tclips\tlost\tgained\t\n", value, value)
	var same []string
	for _, l := range c.Lines {
		if l.Verdict(c.Judged) == asIs {
			same = append(same, plain(l.Name))
			continue
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%d\t%s\t%s\t%s\n", plain(l.Name), l.mean(l.A), l.mean(l.B), l.difference(), l.Diff.N, count(l.Lost), count(l.Gained), l.Verdict(c.Judged))
	}
	t.Flush()
	if len(same) > 0 {
		fmt.Fprintln(w, "the same in both: "+strings.Join(same, ", "))
	}
	fmt.Fprintln(w)
	for _, line := range c.totals() {
		fmt.Fprintln(w, line)
	}
	if c.Judged {
		for _, v := range []string{worse, better} {
			list(w, v, c.Turned(v))
		}
	} else {
		var changed []*ClipLine
		for _, l := range worst(c.Clips) {
			if l.Changed > 0 {
				changed = append(changed, l)
			}
		}
		list(w, "changed", changed)
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w, c.Verdict())
}

// about says what was compared with what.
func (c *Comparison) about() string {
	parts := []string{number(len(c.Clips))}
	if len(c.Unknown) > 0 {
		parts = append(parts, fmt.Sprintf("nothing is known of %d more", len(c.Unknown)))
	}
	if len(c.Only) > 0 {
		parts = append(parts, fmt.Sprintf("%d are in one run only", len(c.Only)))
	}
	if c.Failed > 0 {
		parts = append(parts, fmt.Sprintf("%d have no results in either", c.Failed))
	}
	return strings.Join(parts, "; ")
}

// totals are the lines below the table.
func (c *Comparison) totals() []string {
	out := []string{fmt.Sprintf("values given: A %d, B %d", c.Values[0], c.Values[1])}
	if c.Judged {
		out = append(out,
			fmt.Sprintf("intervals that hold what is known: A %v, B %v", c.Intervals[0], c.Intervals[1]),
			fmt.Sprintf("cost of a clip, limits: A %.3f, B %.3f", c.CostA, c.CostB))
	}
	if c.Time.N > 0 {
		out = append(out, fmt.Sprintf("time, ms a frame: A %.1f, B %.1f, %d clips whose frames were read for both", c.MSA, c.MSB, c.Time.N))
	} else {
		out = append(out, "time: no clip's frames were read for both")
	}
	return out
}

// list names clips of one verdict.
func list(w io.Writer, verdict string, clips []*ClipLine) {
	if len(clips) == 0 {
		fmt.Fprintf(w, "%s: no clip\n", verdict)
		return
	}
	fmt.Fprintf(w, "%s: %s\n", verdict, number(len(clips)))
	for k, l := range clips {
		if k == named {
			fmt.Fprintf(w, "  and %d more\n", len(clips)-named)
			break
		}
		fmt.Fprintf(w, "  %s\n", l)
	}
}

func (l *ClipLine) String() string {
	if l.known {
		return fmt.Sprintf("%s %+.2f: %s", l.Clip, l.Delta(), l.Why)
	}
	return fmt.Sprintf("%s, %d values: %s", l.Clip, l.Changed, l.Why)
}

func (l Line) mean(v float64) string {
	if math.IsNaN(v) {
		return "-"
	}
	return quantity(v, l.Unit)
}

func (l Line) difference() string {
	switch {
	case l.Diff.N == 0:
		return "-"
	case math.IsInf(l.Diff.Half, 1):
		return signed(l.Diff.Mean, l.Unit)
	}
	return signed(l.Diff.Mean, l.Unit) + " ± " + quantity(l.Diff.Half, l.Unit)
}

func signed(v float64, unit string) string {
	if v < 0 {
		return quantity(v, unit)
	}
	return "+" + quantity(v, unit)
}

// number counts clips.
func number(n int) string {
	if n == 1 {
		return "1 clip"
	}
	return fmt.Sprintf("%d clips", n)
}

func count(n int) string {
	if n == 0 {
		return "-"
	}
	return strconv.Itoa(n)
}

// WriteLines writes the table over all clips as CSV, SI units.
func (c *Comparison) WriteLines(w io.Writer) error {
	rows := [][]string{{"name", "unit", "of", "mean_a", "mean_b", "clips", "difference", "half_95", "p", "lost", "gained", "beyond_u95", "verdict"}}
	of := "value"
	if c.Judged {
		of = "error"
	}
	for _, l := range c.Lines {
		rows = append(rows, []string{l.Name, l.Unit, of, cell(l.A), cell(l.B), strconv.Itoa(l.Diff.N), cell(l.Diff.Mean), cell(l.Diff.Half), cell(l.Diff.P),
			strconv.Itoa(l.Lost), strconv.Itoa(l.Gained), strconv.Itoa(l.Beyond), l.Verdict(c.Judged)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// WriteClips writes a line for each clip as CSV.
func (c *Comparison) WriteClips(w io.Writer) error {
	rows := [][]string{{"clip", "cost_a", "cost_b", "verdict", "changed", "ms_frame_a", "ms_frame_b", "most"}}
	for _, l := range worst(c.Clips) {
		row := []string{l.Clip, "", "", "", strconv.Itoa(l.Changed), cell(l.MSA), cell(l.MSB), l.Why}
		if c.Judged {
			row[1], row[2], row[3], row[4] = cell(l.CostA), cell(l.CostB), l.Verdict(), ""
		}
		rows = append(rows, row)
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// WriteValues writes every value of every clip in both runs as CSV, SI units.
func (c *Comparison) WriteValues(w io.Writer) error {
	of := "value"
	if c.Judged {
		of = "error"
	}
	rows := [][]string{{"clip", "stroke", "name", "unit", "limit", of + "_a", "u95_a", of + "_b", "u95_b"}}
	for _, l := range c.Clips {
		for _, b := range l.Both {
			row := []string{l.Clip, "", b.Name, b.Unit, "", "", "", "", ""}
			if b.Stroke > 0 {
				row[1] = strconv.Itoa(b.Stroke)
			}
			if b.Limit > 0 {
				row[4] = cell(b.Limit)
			}
			for k, r := range []Reading{b.A, b.B} {
				if r.Given {
					row[5+2*k] = cell(r.Value)
				}
				if r.U95 > 0 {
					row[6+2*k] = cell(r.U95)
				}
			}
			rows = append(rows, row)
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// cell writes a number; one that does not exist is empty.
func cell(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', 8, 64)
}
