package explain

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"

	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Text is the explanation as plain text.
func (e Explanation) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s)", e.Name, e.ID)
	if e.Stroke >= 0 {
		fmt.Fprintf(&b, " of stroke %d", e.Stroke+1)
	}
	b.WriteString("\n\n")
	e.value(&b)
	w := tabwriter.NewWriter(&b, 0, 0, 3, ' ', 0)
	for _, row := range [][2]string{{"what", e.Formula.What}, {"formula", e.Formula.Text}, {"source", e.Formula.Source}} {
		head := row[0]
		for _, line := range strings.Split(row[1], ";  ") {
			if line != "" {
				fmt.Fprintf(w, "  %s\t%s\n", head, line)
			}
			head = ""
		}
	}
	w.Flush()
	for _, p := range e.Parts {
		fmt.Fprintf(&b, "    %s\n", p)
	}
	if e.Why != nil {
		e.budget(&b)
	}
	if len(e.Moments) > 0 {
		b.WriteString("\nread from the frames at\n")
		w := tabwriter.NewWriter(&b, 0, 0, 3, ' ', 0)
		for _, m := range e.Moments {
			at := fmt.Sprintf("%.4f s ± %.4f", m.T, m.U95)
			if m.U95 == 0 {
				at = fmt.Sprintf("%.4f s or later", m.T)
			}
			fmt.Fprintf(w, "  %s\t%s\t%s\t%s\n", spoken(m.Event), at, frame(m.Frame), m.Still)
		}
		w.Flush()
	}
	if len(e.Own) > 0 {
		fmt.Fprintf(&b, "\nexplained on their own: %s\n", strings.Join(e.Own, ", "))
	}
	return b.String()
}

func spoken(event string) string { return strings.ReplaceAll(event, "_", " ") }

func frame(n int) string {
	if n < 0 {
		return ""
	}
	return fmt.Sprintf("frame %d", n)
}

// value writes the number and its interval, exact and as it is shown.
func (e Explanation) value(b *strings.Builder) {
	status := ", " + strings.ReplaceAll(e.Status, "_", " ") + ")\n"
	switch {
	case e.Status == track.NotMeasured || e.Status == "":
		fmt.Fprintf(b, "  not measured: %s\n", e.Reason)
		return
	case e.Value != nil && e.U95 != nil:
		fmt.Fprintf(b, "  %s   (%s ± %s", e.Shown, with(beside(*e.Value, *e.U95), e.Unit), digits(*e.U95, 2)+status)
	case e.Value != nil && e.Lo95 != nil && e.Hi95 != nil:
		fmt.Fprintf(b, "  %s   (%s, %s to %s", e.Shown, with(digits(*e.Value, 4), e.Unit), digits(*e.Lo95, 4), digits(*e.Hi95, 4)+status)
	default:
		fmt.Fprintf(b, "  %s\n", e.Shown)
	}
	if e.Reason != "" {
		fmt.Fprintf(b, "  %s\n", e.Reason)
	}
}

// budget writes the table of terms and how they add up.
func (e Explanation) budget(b *strings.Builder) {
	u := *e.Why
	of := e.Unit
	b.WriteString("\nuncertainty budget (JCGM 100:2008, eq. 10), standard uncertainties")
	if u.Log {
		of = "1"
		b.WriteString(" of the logarithm")
	}
	b.WriteString("\n")
	w := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "  \tterm\tvalue\tu\tsensitivity\tsensitivity · u\tshare\n")
	for _, t := range u.Terms {
		fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\n", t.Symbol, t.Name, with(beside(t.Value, t.U), t.Unit), exact(t),
			with(digits(t.Sensitivity, 3), per(of, t.Unit)), with(digits(math.Abs(t.Sensitivity*t.U), 3), of), percent(t.Share))
	}
	w.Flush()
	fmt.Fprintf(b, "  root of the sum of squares: u = %s\n", with(digits(u.Sum(), 4), of))
	freedom := "all inputs known beforehand"
	if u.DOF != nil {
		freedom = fmt.Sprintf("%s effective degrees of freedom", digits(*u.DOF, 3))
	}
	fmt.Fprintf(b, "  coverage factor for 95 %%: k = %s (%s)\n", digits(u.K, 4), freedom)
	if u.Log {
		fmt.Fprintf(b, "  interval: value / exp(k u) to value · exp(k u), with exp(k u) = %s\n", digits(math.Exp(u.U95()), 4))
		return
	}
	fmt.Fprintf(b, "  half width of the 95 %% interval: k u = %s\n", with(digits(u.K*u.Sum(), 4), of))
}

// exact is the uncertainty of a term; one without is taken as exact.
func exact(t lesson.Term) string {
	if t.U == 0 {
		return "exact"
	}
	return with(digits(t.U, 2), t.Unit)
}

// percent is a share, with a decimal as long as that says something.
func percent(share float64) string {
	if share < 0.0005 {
		return "0 %"
	}
	return fmt.Sprintf("%.1f %%", 100*share)
}

// digits writes a number with some significant digits.
func digits(v float64, n int) string {
	if v == 0 || math.Abs(v) < 1e-6 {
		return minus(strconv.FormatFloat(v, 'g', n, 64))
	}
	return fixed(v, n-1-int(math.Floor(math.Log10(math.Abs(v)))))
}

// beside writes a value with as many decimals as two digits of its uncertainty.
func beside(v, u float64) string {
	if u == 0 {
		return minus(strconv.FormatFloat(v, 'g', 4, 64))
	}
	return fixed(v, 1-int(math.Floor(math.Log10(u))))
}

func fixed(v float64, decimals int) string {
	return minus(strconv.FormatFloat(v, 'f', max(decimals, 0), 64))
}

func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

func with(number, u string) string { return strings.TrimSpace(number + " " + unit(u)) }

func unit(u string) string {
	if u == "1" {
		return ""
	}
	return u
}

// per is the unit of a sensitivity.
func per(of, by string) string {
	switch {
	case of == by:
		return "1"
	case by == "1":
		return of
	}
	if strings.Contains(by, "/") {
		by = "(" + by + ")"
	}
	return of + "/" + by
}
