package inspect

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"strokereel/track"
	"strokereel/track/phase"
)

// sign is one sign of impact, ms from the moment they agree on.
type sign struct {
	name    string
	at, u95 float64
	used    bool // in the mean
}

// witnesses are the signs of a stroke's impact.
type witnesses struct {
	stroke int
	t      float64 // s, of the impact
	signs  []sign  // the impact itself last
}

func witnessesOf(s phase.Stroke) (witnesses, bool) {
	e := s.Event(track.Impact)
	if !e.Known() || len(e.Witnesses) == 0 {
		return witnesses{}, false
	}
	w := witnesses{stroke: s.Index, t: e.T}
	for _, x := range e.Witnesses {
		used := slices.ContainsFunc(e.Terms, func(t track.Term) bool { return t.Symbol == "t_"+x.Name })
		w.signs = append(w.signs, sign{strings.ReplaceAll(x.Name, "_", " "), 1000 * (x.T - e.T), 1000 * track.Coverage * x.U, used})
	}
	w.signs = append(w.signs, sign{"impact", 0, 1000 * track.Coverage * e.U, true})
	return w, true
}

// reach is how far from the impact the axis goes, ms: all signs are on it, and
// intervals much wider than the impact's run off it.
func (w witnesses) reach() float64 {
	far := 8 * w.signs[len(w.signs)-1].u95
	for _, s := range w.signs {
		far = math.Max(far, 1.3*math.Abs(s.at))
	}
	widest := 0.0
	for _, s := range w.signs {
		widest = math.Max(widest, 1.1*(math.Abs(s.at)+s.u95))
	}
	return math.Min(far, widest)
}

// chart draws all signs on one axis.
func (w witnesses) chart() sheet {
	p := newPlot(fmt.Sprintf("Stroke %d: the signs of impact, with 95 %% intervals", w.stroke+1), fmt.Sprintf("time from impact at %.4f s (ms); a bar without an end goes on", w.t), "")
	far := w.reach()
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = -far, far, 0.4, float64(len(w.signs))+0.6
	u := math.Min(w.signs[len(w.signs)-1].u95, far)
	p.Add(area(plotter.XYs{{X: -u, Y: p.Y.Min}, {X: -u, Y: p.Y.Max}}, plotter.XYs{{X: u, Y: p.Y.Min}, {X: u, Y: p.Y.Max}}, faint))
	var ticks plot.ConstantTicks
	for k, s := range w.signs {
		y := float64(len(w.signs) - k)
		c, glyph := blue, draw.GlyphDrawer(draw.CircleGlyph{})
		switch {
		case k == len(w.signs)-1:
			c = orange
		case !s.used:
			glyph = draw.RingGlyph{}
		}
		low, high := math.Max(-far, s.at-s.u95), math.Min(far, s.at+s.u95)
		p.Add(line(plotter.XYs{{X: low, Y: y}, {X: high, Y: y}}, c, 2))
		for _, end := range []float64{low, high} {
			if math.Abs(end) < far {
				p.Add(line(plotter.XYs{{X: end, Y: y - 0.12}, {X: end, Y: y + 0.12}}, c, 2))
			}
		}
		p.Add(dots(plotter.XYs{{X: s.at, Y: y}}, c, 4.5, glyph))
		text := strings.Replace(fmt.Sprintf("%+.2f ± %.2f ms", s.at, s.u95), "-", "−", 1)
		if !s.used {
			text += ", disagrees, not used"
		}
		p.Add(words(plotter.XYs{{X: s.at, Y: y}}, []string{text}, -0.5, 0, vg.Point{Y: 7}))
		ticks = append(ticks, plot.Tick{Value: y, Label: s.name})
	}
	p.Y.Tick.Marker = ticks
	return sheet{w.stroke, impactChart, []*plot.Plot{p}, 620, vg.Length(90 + 46*len(w.signs))}
}
