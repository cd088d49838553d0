package chart

import (
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
)

func TestRoundNumbers(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
	}{
		{0, 1, "0.0 0.5 1.0"},
		{-0.3, 0.25, "−0.2 0.0 0.2"},
		{12, 48, "20 30 40"},
		{0.0101, 0.0139, "0.011 0.012 0.013"},
	} {
		var got []string
		for _, tick := range (Round{Most: 4}).Ticks(c.low, c.high) {
			got = append(got, tick.Label)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("from %g to %g: %v, want %s", c.low, c.high, got, c.want)
		}
	}
}

func TestInlineTakesThePagesColours(t *testing.T) {
	p := plot.New()
	p.BackgroundColor = nil
	Quiet(&p.X, Soft, 9)
	Quiet(&p.Y, Text, 9)
	line, err := plotter.NewLine(plotter.XYs{{X: 0, Y: 0}, {X: 1, Y: 1}})
	if err != nil {
		t.Fatal(err)
	}
	line.Color = Marked
	p.Add(line)
	svg, err := Inline(p, 200, 100)
	if err != nil {
		t.Fatal(err)
	}
	text := string(svg)
	if !strings.HasPrefix(text, "<svg") || strings.Contains(strings.ToUpper(text), "#0102") {
		t.Errorf("a stand-in is left, or a head: %.120s", text)
	}
	for _, want := range []string{"var(--mark)", "var(--quiet)", "var(--ink)", "system-ui"} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is missing", want)
		}
	}
	if slices.Contains(svg, 0) {
		t.Error("not a text")
	}
}
