package inspect

import (
	"bytes"
	"fmt"
	"image/color"
	"io"
	"path/filepath"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"strokereel/pipeline/chart"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/phase"
)

// Kinds of chart, as their files are named.
const (
	motionChart = "motion"
	planeChart  = "plane"
	impactChart = "impact"
)

var chartKinds = []string{motionChart, planeChart, impactChart}

// Inks of charts on white: the darker ones of M. Okabe and K. Ito, Color Universal
// Design (2008). None stands for good or bad.
var (
	ink    = color.RGBA{0x22, 0x2A, 0x33, 255}
	faint  = color.RGBA{0xDD, 0xE1, 0xE5, 255}
	blue   = color.RGBA{0x00, 0x72, 0xB2, 255}
	orange = color.RGBA{0xD5, 0x5E, 0x00, 255}
	green  = color.RGBA{0x00, 0x9E, 0x73, 255}
	band   = color.RGBA{0xB5, 0xD3, 0xE7, 255}
)

// sheet is plots below each other in one picture, with one axis across.
type sheet struct {
	stroke        int
	kind          string
	plots         []*plot.Plot
	width, height vg.Length
}

// charts are those of every stroke of which there is something to draw.
func (i *Inspection) charts(s settings.Settings) []sheet {
	var out []sheet
	for _, stroke := range i.Result.Strokes {
		if m, ok := i.motionOf(stroke, s); ok {
			out = append(out, m.chart(), m.plane())
		}
		if w, ok := witnessesOf(stroke); ok {
			out = append(out, w.chart())
		}
	}
	return out
}

// save writes a chart in both forms.
func (c sheet) save(dir string) error {
	svg, err := chart.SVGOf(c.draw, c.width, c.height)
	if err != nil {
		return fmt.Errorf("drawing the %s of stroke %d: %w", c.kind, c.stroke+1, err)
	}
	img := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(c.width, c.height), vgimg.UseDPI(144))}
	c.draw(draw.New(img))
	for ext, content := range map[string]io.WriterTo{"svg": bytes.NewReader(svg), "png": img} {
		name := filepath.Join(dir, fmt.Sprintf("stroke-%d-%s.%s", c.stroke+1, c.kind, ext))
		if err := lesson.WriteFile(name, func(w io.Writer) error { _, err := content.WriteTo(w); return err }); err != nil {
			return err
		}
	}
	return nil
}

// draw lays the plots below each other with their axes in line.
func (c sheet) draw(dc draw.Canvas) {
	dc.SetColor(color.White)
	dc.Fill(dc.Rectangle.Path())
	rows := make([][]*plot.Plot, len(c.plots))
	for k, p := range c.plots {
		rows[k] = []*plot.Plot{p}
	}
	tiles := draw.Tiles{Rows: len(c.plots), Cols: 1, PadY: 10, PadTop: 10, PadBottom: 8, PadLeft: 8, PadRight: 14}
	for k, row := range plot.Align(rows, tiles, dc) {
		c.plots[k].Draw(row[0])
	}
}

// sans is the type of charts.
func sans(size vg.Length) font.Font {
	return font.Font{Typeface: "Liberation", Variant: "Sans", Size: size}
}

// newPlot is an empty plot with a grid, named axes and type that is read at its
// own size.
func newPlot(title, x, y string) *plot.Plot {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.Title.TextStyle.Font, p.Title.TextStyle.Color, p.Title.Padding = sans(13), ink, 8
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Label.TextStyle.Font, a.Label.TextStyle.Color = sans(11), ink
		a.Tick.Label.Font, a.Tick.Label.Color = sans(10), ink
		a.Tick.Marker = chart.Round{Most: 8}
		a.LineStyle.Color, a.Tick.LineStyle.Color, a.Padding = ink, ink, 0
	}
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = faint, faint
	p.Add(grid)
	return p
}

// line is a line through points.
func line(points plotter.XYs, c color.Color, width vg.Length, dashes ...vg.Length) plot.Plotter {
	return &plotter.Line{XYs: points, LineStyle: draw.LineStyle{Color: c, Width: width, Dashes: dashes}}
}

// area fills what lies between two lines over the same x.
func area(low, high plotter.XYs, c color.Color) plot.Plotter {
	ring := append(plotter.XYs(nil), low...)
	for k := range high {
		ring = append(ring, high[len(high)-1-k])
	}
	return &plotter.Polygon{XYs: []plotter.XYs{ring}, Color: c, LineStyle: draw.LineStyle{}}
}

// dots marks points.
func dots(points plotter.XYs, c color.Color, radius vg.Length, shape draw.GlyphDrawer) plot.Plotter {
	return &plotter.Scatter{XYs: points, GlyphStyle: draw.GlyphStyle{Color: c, Radius: radius, Shape: shape}}
}

// words writes texts beside points.
func words(at plotter.XYs, texts []string, x, y float64, move vg.Point) plot.Plotter {
	l := &plotter.Labels{XYs: at, Labels: texts, Offset: move}
	for range texts {
		style := draw.TextStyle{Color: ink, Font: sans(10), XAlign: draw.XAlignment(x), YAlign: draw.YAlignment(y), Handler: plot.DefaultTextHandler}
		l.TextStyle = append(l.TextStyle, style)
	}
	return l
}

// strays are the frames whose sighting of the putter lies far from its neighbours
// and is left out of its path.
func (i *Inspection) strays(s settings.Settings) map[int]bool {
	out := map[int]bool{}
	r := i.Result
	if r.Frame.Validate() != nil {
		return out
	}
	raw := path.InMetres(r.Still.Putter.Track, r.Frame)
	for k, p := range path.WithoutStrays(raw, s.Track.Path).Points {
		if raw.Points[k].Seen && !p.Seen {
			out[p.Frame] = true
		}
	}
	return out
}

// known are a stroke's events that have a time.
func known(s phase.Stroke) []track.Event {
	var out []track.Event
	for _, e := range s.Events {
		if e.Known() {
			out = append(out, e)
		}
	}
	return out
}
