package site

import (
	"fmt"
	"image/color"
	"strconv"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"strokereel/overlay/scene"
	"strokereel/pipeline/chart"
	"strokereel/track"
)

// Size of a chart: as wide as a narrow phone, so that its text is not scaled
// down there.
const (
	chartWidth  = vg.Length(250)
	chartHeight = vg.Length(150)
	chartText   = vg.Length(9)
)

// inks are the colours of a chart on one ground.
type inks struct{ ground, text, grid, before, after color.Color }

func (l Look) inks(dark bool) inks {
	if dark {
		return inks{darkSheet, rgb("#b0b5a6"), rgb("#3a4038"), rgb("#b0b5a6"), rgb(l.dark)}
	}
	return inks{lightSheet, rgb("#5a5f52"), rgb("#d9d5c9"), rgb("#5a5f52"), rgb(l.light)}
}

func rgb(hex string) color.Color {
	n, err := strconv.ParseUint(hex[1:], 16, 32)
	if err != nil {
		panic(err) // ours, or seen by Options.Validate
	}
	return color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 255}
}

// values are points with their intervals, as the plotting library wants them.
type values struct {
	plotter.XYs
	plotter.YErrors
}

// chart draws a measure over time: rings before, discs after, each with its 95 %
// interval.
func (p progress) chart(in inks) ([]byte, error) {
	pl := plot.New()
	pl.BackgroundColor = nil
	chart.Quiet(&pl.X, in.text, chartText)
	chart.Quiet(&pl.Y, in.text, chartText)
	pl.X.Tick.Marker = days(p.Points)
	pl.Y.Tick.Marker = chart.Round{Most: mostTicks}
	grid := plotter.NewGrid()
	grid.Vertical.Color = nil
	grid.Horizontal.Color, grid.Horizontal.Width = in.grid, 0.7
	pl.Add(grid)

	var before, after values
	for _, pt := range p.Points {
		v, low, high := spread(pt.m)
		to := &before
		x := float64(pt.at.Unix())
		if pt.After {
			to = &after
			x += asideOf(p.Points)
		}
		to.XYs = append(to.XYs, plotter.XY{X: x, Y: v})
		to.YErrors = append(to.YErrors, struct{ Low, High float64 }{low, high})
	}
	for _, s := range []struct {
		v         values
		ink, fill color.Color
	}{{before, in.before, in.ground}, {after, in.after, in.after}} {
		if len(s.v.XYs) == 0 {
			continue
		}
		bars, err := plotter.NewYErrorBars(s.v)
		if err != nil {
			return nil, fmt.Errorf("drawing %s: %w", p.Name, err)
		}
		bars.LineStyle = draw.LineStyle{Color: s.ink, Width: 1}
		bars.CapWidth = 4
		dots, err := plotter.NewScatter(s.v.XYs)
		if err != nil {
			return nil, fmt.Errorf("drawing %s: %w", p.Name, err)
		}
		dots.GlyphStyle = draw.GlyphStyle{Color: s.ink, Radius: 3, Shape: disc{s.fill}}
		pl.Add(bars, dots)
	}
	room := (pl.Y.Max - pl.Y.Min) * 0.12
	pl.Y.Min, pl.Y.Max = pl.Y.Min-room, pl.Y.Max+room
	side := (pl.X.Max - pl.X.Min) * 0.06
	pl.X.Min, pl.X.Max = pl.X.Min-side, pl.X.Max+side

	svg, err := chart.SVG(pl, chartWidth, chartHeight)
	if err != nil {
		return nil, fmt.Errorf("drawing %s: %w", p.Name, err)
	}
	return svg, nil
}

// disc is a filled circle with an edge, so that no bar is seen through a ring.
type disc struct{ fill color.Color }

// edge is its width.
const edge = vg.Length(1)

func (d disc) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, at vg.Point) {
	draw.CircleGlyph{}.DrawGlyph(c, s, at)
	c.SetColor(d.fill)
	draw.CircleGlyph{}.DrawGlyph(c, draw.GlyphStyle{Radius: s.Radius - edge}, at)
}

// spread is a measure's value and the two sides of its interval, in the unit
// that people are shown.
func spread(m track.Measure) (v, low, high float64) {
	k := scene.Factor(m)
	if m.Lo95 != 0 || m.Hi95 != 0 {
		return k * m.Value, k * (m.Value - m.Lo95), k * (m.Hi95 - m.Value)
	}
	return k * m.Value, k * m.U95, k * m.U95
}

// asideOf keeps before and after of one day apart, seconds: by the width of a
// disc, or less where the next day is near.
func asideOf(points []point) float64 {
	aside := 0.035 * points[len(points)-1].at.Sub(points[0].at).Seconds()
	for i := range points[1:] {
		if gap := points[i+1].at.Sub(points[i].at).Seconds(); gap > 0 {
			aside = min(aside, gap/3)
		}
	}
	return aside
}

// mostDays is how many dates have room below a chart.
const mostDays = 4

// mostTicks is how many numbers have room beside a chart.
const mostTicks = 4

// days marks some of the lessons' days.
func days(points []point) plot.ConstantTicks {
	var all []time.Time
	for _, p := range points {
		if len(all) == 0 || !all[len(all)-1].Equal(p.at) {
			all = append(all, p.at)
		}
	}
	form := "2 Jan"
	span := all[len(all)-1].Sub(all[0])
	if span > 300*24*time.Hour {
		form = "Jan 06"
	}
	var out plot.ConstantTicks
	for i, at := range all {
		// A day is written where it has room beside the last one written, and the
		// latest always is.
		room := span / mostDays
		beside := len(out) == 0 || at.Sub(all[0]) >= time.Duration(float64(time.Second)*(out[len(out)-1].Value-float64(all[0].Unix())))+room
		if latest := i == len(all)-1; latest || beside && all[len(all)-1].Sub(at) >= room || i == 0 {
			out = append(out, plot.Tick{Value: float64(at.Unix()), Label: at.Format(form)})
		}
	}
	return out
}
