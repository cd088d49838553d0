package judge

import (
	"fmt"
	"html/template"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"strokereel/pipeline/chart"
)

// Sizes of the plots, points.
const (
	plotWidth  = vg.Length(520)
	plotHeight = vg.Length(260)
	rowHeight  = vg.Length(17)
	plotText   = vg.Length(9.5)
)

// spans are points with an interval along x.
type spans struct {
	plotter.XYs
	plotter.XErrors
}

func newPlot(x string) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = nil
	chart.Quiet(&p.X, chart.Soft, plotText)
	chart.Quiet(&p.Y, chart.Text, plotText)
	p.X.Label.Text = x
	p.X.Tick.Marker = chart.Round{Most: 7}
	grid := plotter.NewGrid()
	grid.Horizontal.Color = nil
	grid.Vertical.Color, grid.Vertical.Width = chart.Grid, 0.7
	p.Add(grid)
	return p
}

// row is a difference in a plot of several.
type row struct {
	name   string
	diff   Difference
	scale  float64
	marked bool
}

// linesPlot draws the difference of each line with its interval, in limits or in
// the uncertainty of a change. Those that stand out are marked.
func (c *Comparison) linesPlot() (template.HTML, error) {
	unit := "difference B − A, in the uncertainty of a change"
	if c.Judged {
		unit = "error of B − error of A, in limits"
	}
	var rows []row
	for _, l := range c.Lines {
		if l.Scale > 0 {
			rows = append(rows, row{plain(l.Name), l.Diff, l.Scale, l.StandsOut})
		}
	}
	return rowsPlot(unit, rows)
}

// rowsPlot draws differences with their intervals below each other.
func rowsPlot(unit string, rows []row) (template.HTML, error) {
	p := newPlot(unit)
	var calm, out spans
	var names []plot.Tick
	for _, r := range slices.Backward(rows) {
		if r.diff.N < 2 {
			continue
		}
		y := float64(len(names))
		names = append(names, plot.Tick{Value: y, Label: r.name})
		to := &calm
		if r.marked {
			to = &out
		}
		half := r.diff.Half / r.scale
		to.XYs = append(to.XYs, plotter.XY{X: r.diff.Mean / r.scale, Y: y})
		to.XErrors = append(to.XErrors, struct{ Low, High float64 }{half, half})
	}
	if len(names) == 0 {
		return "", nil
	}
	p.Y.Tick.Marker = plot.ConstantTicks(names)
	if err := addSpans(p, calm, chart.Soft); err != nil {
		return "", err
	}
	if err := addSpans(p, out, chart.Marked); err != nil {
		return "", err
	}
	p.Y.Min, p.Y.Max = -0.7, float64(len(names))-0.3
	atZero(p)
	svg, err := chart.Inline(p, plotWidth, rowHeight*vg.Length(len(names))+45)
	return template.HTML(svg), err
}

func addSpans(p *plot.Plot, s spans, ink chart.Ink) error {
	if len(s.XYs) == 0 {
		return nil
	}
	bars, err := plotter.NewXErrorBars(s)
	if err != nil {
		return fmt.Errorf("drawing the differences: %w", err)
	}
	bars.LineStyle, bars.CapWidth = draw.LineStyle{Color: ink, Width: 1.3}, 4
	dots, err := plotter.NewScatter(s.XYs)
	if err != nil {
		return fmt.Errorf("drawing the differences: %w", err)
	}
	dots.GlyphStyle = draw.GlyphStyle{Color: ink, Radius: 2.8, Shape: draw.CircleGlyph{}}
	p.Add(bars, dots)
	return nil
}

// atZero keeps nought in the picture and draws a line there.
func atZero(p *plot.Plot) {
	p.X.Min, p.X.Max = math.Min(p.X.Min, 0), math.Max(p.X.Max, 0)
	if p.X.Max == p.X.Min {
		p.X.Min, p.X.Max = -1, 1
	}
	room := 0.04 * (p.X.Max - p.X.Min)
	p.X.Min, p.X.Max = p.X.Min-room, p.X.Max+room
	p.Add(rule{})
}

// rule is an upright line at nought.
type rule struct{}

func (rule) Plot(c draw.Canvas, p *plot.Plot) {
	x, _ := p.Transforms(&c)
	c.StrokeLine2(draw.LineStyle{Color: chart.Text, Width: 0.8}, x(0), c.Min.Y, x(0), c.Max.Y)
}

// clipsPlot draws the cost of every clip in both runs against each other.
func (c *Comparison) clipsPlot() (template.HTML, error) {
	if !c.Judged {
		return "", nil
	}
	p := newPlot("cost of a clip in " + c.A.Name + ", limits")
	p.Y.Label.Text = "in " + c.B.Name
	p.Y.Tick.Marker = chart.Round{Most: 6}
	most := 0.0
	groups := map[string]plotter.XYs{}
	for _, l := range c.Clips {
		groups[l.Verdict()] = append(groups[l.Verdict()], plotter.XY{X: l.CostA, Y: l.CostB})
		most = math.Max(most, math.Max(l.CostA, l.CostB))
	}
	same, err := plotter.NewLine(plotter.XYs{{X: 0, Y: 0}, {X: most, Y: most}})
	if err != nil {
		return "", fmt.Errorf("drawing the clips: %w", err)
	}
	same.LineStyle = draw.LineStyle{Color: chart.Grid, Width: 1}
	p.Add(same)
	for verdict, style := range map[string]draw.GlyphStyle{
		worse:  {Color: chart.Marked, Radius: 3, Shape: draw.TriangleGlyph{}},
		better: {Color: chart.Accent, Radius: 3, Shape: draw.CircleGlyph{}},
		asWas:  {Color: chart.Soft, Radius: 2.6, Shape: draw.RingGlyph{}},
	} {
		if len(groups[verdict]) == 0 {
			continue
		}
		dots, err := plotter.NewScatter(groups[verdict])
		if err != nil {
			return "", fmt.Errorf("drawing the clips: %w", err)
		}
		dots.GlyphStyle = style
		p.Add(dots)
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 1.04*most, 0, 1.04*most
	svg, err := chart.Inline(p, plotHeight*1.3, plotHeight*1.2)
	return template.HTML(svg), err
}
