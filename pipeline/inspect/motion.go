package inspect

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/phase"
)

// instant is the putter's motion at one moment, from its place at address, with the
// standard uncertainties of the reading; that of the scale is not in them.
type instant struct {
	t, x, y, v, a float64
	u             [3]float64 // of position, speed, acceleration
}

// motion is the putter's motion in one stroke as measuring saw it.
type motion struct {
	stroke   phase.Stroke
	parts    [][]instant // up to impact, and from it on
	seen     plotter.XYs // sightings: s and m
	inPlane  plotter.XYs // sightings: m and m
	strayAt  plotter.XYs // left out
	from, to float64     // s
}

const (
	motionStep   = 0.004 // s
	motionBefore = 0.4   // s before the start
	motionAfter  = 0.5   // s after the last event
)

func (i *Inspection) motionOf(stroke phase.Stroke, s settings.Settings) (motion, bool) {
	events := known(stroke)
	if !stroke.Address.Known || len(events) < 2 {
		return motion{}, false
	}
	m := motion{stroke: stroke, from: events[0].T - motionBefore, to: events[0].T}
	for _, e := range events {
		m.to = math.Max(m.to, e.T+motionAfter)
	}
	given := i.Result.Given
	impact := stroke.Event(track.Impact)
	var breaks []float64
	if impact.Known() {
		breaks = []float64{impact.T}
	}
	putter := stroke.Toward(path.WithoutStrays(given.Putter, given.Smoothing))
	c, err := path.NewCurve(putter, breaks, given.FrameExposure(), given.Smoothing)
	if err != nil {
		return motion{}, false
	}
	m.parts = [][]instant{m.follow(c, m.from, impact, false), m.follow(c, m.from, impact, true)}
	m.sightings(i, s)
	return m, len(m.parts[0]) > 1
}

// follow lists the motion on one side of impact; without one all is before it.
func (m motion) follow(c *path.Curve, from float64, impact track.Event, after bool) []instant {
	to := m.to
	switch {
	case after && !impact.Known():
		return nil
	case after:
		from = impact.T
	case impact.Known():
		to = impact.T
	}
	var out []instant
	for k := 0; ; k++ {
		t := math.Min(from+float64(k)*motionStep, to)
		at := c.At
		if after && k == 0 {
			at = c.After
		}
		if f, err := at(t); err == nil {
			out = append(out, instant{t: t, x: f.X - m.stroke.Address.X, y: f.Y - m.stroke.Address.Y, v: f.VX, a: f.AX, u: [3]float64{f.U(0), f.U(1), f.U(2)}})
		}
		if t >= to {
			return out
		}
	}
}

// sightings notes what was seen in the frames.
func (m *motion) sightings(i *Inspection, s settings.Settings) {
	strays := i.strays(s)
	for _, p := range m.stroke.Toward(path.InMetres(i.Result.Still.Putter.Track, i.frame())).Points {
		if !p.Seen || p.T < m.from || p.T > m.to {
			continue
		}
		x, y := p.X-m.stroke.Address.X, p.Y-m.stroke.Address.Y
		if strays[p.Frame] {
			m.strayAt = append(m.strayAt, plotter.XY{X: p.T, Y: x})
			continue
		}
		m.seen = append(m.seen, plotter.XY{X: p.T, Y: x})
		m.inPlane = append(m.inPlane, plotter.XY{X: x, Y: y})
	}
}

// frame is the one in which strokes were found: with its origin where the ball lay.
func (i *Inspection) frame() path.PuttFrame {
	f := i.Result.Frame
	f.OriginX, f.OriginY = i.Result.Still.Ball.RestX, i.Result.Still.Ball.RestY
	if len(i.Result.Strokes) > 0 && i.Result.Strokes[0].Reversed {
		f.DirX, f.DirY = -f.DirX, -f.DirY
	}
	return f
}

// chart draws position, speed and acceleration below each other.
func (m motion) chart() sheet {
	top, middle, foot := newPlot(fmt.Sprintf("Stroke %d: the sticker along the putt line, with 95 %% bands of the reading", m.stroke.Index+1), "", "position (cm)"), newPlot("", "", "speed (m/s)"), newPlot("", "time (s)", "acceleration (m/s²)")
	m.fill(top, 100, 0, func(n instant) float64 { return n.x })
	m.fill(middle, 1, 1, func(n instant) float64 { return n.v })
	m.fill(foot, 1, 2, func(n instant) float64 { return n.a })
	top.Add(dots(scaled(m.seen, 1, 100), ink, 1.1, draw.CircleGlyph{}))
	if len(m.strayAt) > 0 {
		top.Add(dots(scaled(m.strayAt, 1, 100), orange, 4, draw.CrossGlyph{}))
	}
	return sheet{m.stroke.Index, motionChart, []*plot.Plot{top, middle, foot}, 620, 640}
}

// fill draws one quantity with its band over the events; order says of which
// derivative the uncertainty is.
func (m motion) fill(p *plot.Plot, factor float64, order int, pick func(instant) float64) {
	var curves []plot.Plotter
	low, high := math.Inf(1), math.Inf(-1)
	for _, part := range m.parts {
		var mid, under, over plotter.XYs
		for _, n := range part {
			v, u := factor*pick(n), track.Coverage*factor*n.u[order]
			mid, under, over = append(mid, plotter.XY{X: n.t, Y: v}), append(under, plotter.XY{X: n.t, Y: v - u}), append(over, plotter.XY{X: n.t, Y: v + u})
			low, high = math.Min(low, v-u), math.Max(high, v+u)
		}
		if len(mid) > 1 {
			curves = append(curves, area(under, over, band), line(mid, blue, 1.4))
		}
	}
	room := 0.06 * (high - low)
	low, high = low-room, high+room
	if order == 0 {
		high += 3 * room // for the names
	}
	m.events(p, low, high, order == 0)
	p.Add(curves...)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = m.from, m.to, low, high
}

// events draws the events of the stroke across a plot, each as wide as its 95 %
// interval, and names them where asked to.
func (m motion) events(p *plot.Plot, low, high float64, named bool) {
	room := 0.07 * (high - low)
	for k, e := range known(m.stroke) {
		w := track.Coverage * e.U
		p.Add(area(plotter.XYs{{X: e.T - w, Y: low}, {X: e.T - w, Y: high}}, plotter.XYs{{X: e.T + w, Y: low}, {X: e.T + w, Y: high}}, faint),
			line(plotter.XYs{{X: e.T, Y: low}, {X: e.T, Y: high}}, orange, 0.8, 3, 2))
		if named {
			// In turn at two heights, so that close ones stay apart.
			at := plotter.XYs{{X: e.T, Y: high - float64(k%2)*room}}
			p.Add(words(at, []string{strings.ReplaceAll(e.Name, "_", " ")}, 0, -1, vg.Point{X: 3}))
		}
	}
}

func scaled(points plotter.XYs, x, y float64) plotter.XYs {
	out := make(plotter.XYs, len(points))
	for k, p := range points {
		out[k] = plotter.XY{X: x * p.X, Y: y * p.Y}
	}
	return out
}

// plane draws the path seen from the front, with one scale both ways.
func (m motion) plane() sheet {
	p := newPlot(fmt.Sprintf("Stroke %d: the sticker's path in the plane, from its place at address", m.stroke.Index+1), "along the putt line, toward the target (cm)", "up (cm)")
	for k, part := range m.parts {
		var way plotter.XYs
		for _, n := range part {
			way = append(way, plotter.XY{X: 100 * n.x, Y: 100 * n.y})
		}
		if len(way) > 1 {
			p.Add(line(way, [2]color.Color{blue, green}[k], 1.6))
			p.Legend.Add([2]string{"up to impact", "from impact on"}[k], line(way, [2]color.Color{blue, green}[k], 1.6).(plot.Thumbnailer))
		}
	}
	p.Add(dots(scaled(m.inPlane, 100, 100), ink, 1.1, draw.CircleGlyph{}))
	p.Legend.TextStyle.Font, p.Legend.Top, p.Legend.Left = sans(10), true, true
	const width, least = vg.Length(620), vg.Length(220)
	for _, e := range known(m.stroke) {
		if at, ok := m.at(e.T); ok {
			xy := plotter.XYs{{X: 100 * at.x, Y: 100 * at.y}}
			p.Add(dots(xy, orange, 3.5, draw.RingGlyph{}))
			p.Add(words(xy, []string{strings.ReplaceAll(e.Name, "_", " ")}, -0.5, 0, vg.Point{Y: beside[e.Name]}))
		}
	}
	sides := 0.08 * (p.X.Max - p.X.Min)
	p.X.Min, p.X.Max = p.X.Min-sides, p.X.Max+sides
	// Axes and title take about 90 by 80 points.
	perPoint := (p.X.Max - p.X.Min) / float64(width-90)
	height := math.Max(float64(least), (p.Y.Max-p.Y.Min+2*sides)/perPoint+80)
	spare := perPoint*(height-80) - (p.Y.Max - p.Y.Min)
	p.Y.Min, p.Y.Max = p.Y.Min-spare/3, p.Y.Max+2*spare/3
	return sheet{m.stroke.Index, planeChart, []*plot.Plot{p}, width, vg.Length(height)}
}

// beside is how far above or below its place an event is named: start and impact
// are close to each other, and so are stop and the end of the hold.
var beside = map[string]vg.Length{track.Start: -18, track.Top: 8, track.Impact: 8, track.Stop: -18, track.HoldEnd: 8, track.LookUp: 22}

// at is the motion nearest to a time.
func (m motion) at(t float64) (best instant, ok bool) {
	d := motionStep
	for _, part := range m.parts {
		for _, n := range part {
			if math.Abs(n.t-t) <= d {
				best, d, ok = n, math.Abs(n.t-t), true
			}
		}
	}
	return best, ok
}
