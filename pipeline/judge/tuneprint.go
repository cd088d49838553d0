package judge

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"text/tabwriter"
)

// profileLine is one profile in words.
type profileLine struct {
	Name    string
	Cost    float64
	Against string
	Chosen  string
}

func (t *Tuning) profiles() []profileLine {
	chosen := map[int]int{}
	for _, p := range t.Chosen {
		chosen[p]++
	}
	var out []profileLine
	for p, r := range t.Runs {
		l := profileLine{r.Name, t.mean(p), "", count(chosen[p])}
		if d := t.against(p); p > 0 {
			l.Against = fmt.Sprintf("%+.3f ± %.3f", d.Mean, d.Half)
		}
		out = append(out, l)
	}
	return out
}

func (t *Tuning) about() string {
	return fmt.Sprintf("%d profiles on %d clips of which the truth is known, of %d; version %s.", len(t.Runs), len(t.Clips), len(t.Runs[0].Clips), t.Runs[0].Version)
}

// Print writes the result for a terminal.
func (t *Tuning) Print(w io.Writer) {
	fmt.Fprintln(w, t.about())
	fmt.Fprintln(w)
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(tw, "profile\tcost, limits\tagainst %s\tbest of the others\n", t.Runs[0].Name)
	for _, l := range t.profiles() {
		fmt.Fprintf(tw, "%s\t%.3f\t%s\t%s\n", l.Name, l.Cost, l.Against, l.Chosen)
	}
	tw.Flush()
	fmt.Fprintf(w, "\n%s\n", t.Verdict())
}

// WriteProfiles writes a line for each profile as CSV.
func (t *Tuning) WriteProfiles(w io.Writer) error {
	rows := [][]string{{"profile", "cost", "against_first", "half_95", "p", "best_of_the_others"}}
	chosen := map[int]int{}
	for _, p := range t.Chosen {
		chosen[p]++
	}
	for p, r := range t.Runs {
		d := t.against(p)
		rows = append(rows, []string{r.Name, cell(t.mean(p)), cell(d.Mean), cell(d.Half), cell(d.P), strconv.Itoa(chosen[p])})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// WriteClips writes the cost of every profile on every clip as CSV.
func (t *Tuning) WriteClips(w io.Writer) error {
	head := []string{"clip", "best_of_the_others"}
	for _, r := range t.Runs {
		head = append(head, r.Name)
	}
	rows := [][]string{head}
	for k, c := range t.Clips {
		row := []string{c.Clip, t.Runs[t.Chosen[k]].Name}
		for _, v := range c.Costs {
			row = append(row, cell(v))
		}
		rows = append(rows, row)
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// WritePage writes the result as a page that needs nothing else.
func (t *Tuning) WritePage(w io.Writer) error {
	var all []Difference
	for p := range t.Runs {
		all = append(all, t.against(p))
	}
	var rows []row
	for p, out := range standOut(all) {
		if p > 0 {
			rows = append(rows, row{t.Runs[p].Name, all[p], 1, out})
		}
	}
	plot, err := rowsPlot("cost − cost of "+t.Runs[0].Name+", limits", rows)
	if err != nil {
		return err
	}
	return pages.ExecuteTemplate(w, "tune.html", map[string]any{"T": t, "Plot": plot, "About": t.about(), "Profiles": t.profiles()})
}
