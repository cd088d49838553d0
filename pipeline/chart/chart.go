// Package chart holds what the charts of all pages share: quiet axes in small
// type, round numbers, and SVG that finds its fonts and colours in the page.
package chart

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Quiet sets an axis in small type without a line.
func Quiet(a *plot.Axis, ink color.Color, size vg.Length) {
	a.LineStyle.Width = 0
	a.Tick.LineStyle.Width = 0
	a.Tick.Length = 3
	face := font.Font{Typeface: "Liberation", Variant: "Sans", Size: size}
	a.Tick.Label.Color, a.Tick.Label.Font = ink, face
	a.Label.TextStyle.Color, a.Label.TextStyle.Font = ink, face
}

// fonts falls back to what a device has: the library names only its own.
const fonts = "font-family:system-ui,Liberation Sans,Arial,sans-serif;"

// SVG draws a plot.
func SVG(p *plot.Plot, width, height vg.Length) ([]byte, error) { return SVGOf(p.Draw, width, height) }

// SVGOf is what somebody draws.
func SVGOf(paint func(draw.Canvas), width, height vg.Length) ([]byte, error) {
	c := vgsvg.New(width, height)
	paint(draw.New(c))
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return nil, err
	}
	return bytes.ReplaceAll(b.Bytes(), []byte("font-family:Liberation Sans;"), []byte(fonts)), nil
}

// Ink is a colour of the page that the chart stands in, by its CSS variable: it
// follows light and dark. Only for charts that stand in the page's own text.
type Ink struct {
	css string
	rgb color.RGBA // stands for it while drawing
}

// Inks of the pages.
var (
	Text   = Ink{"var(--ink)", color.RGBA{1, 2, 3, 255}}
	Soft   = Ink{"var(--quiet)", color.RGBA{1, 2, 4, 255}}
	Grid   = Ink{"var(--line)", color.RGBA{1, 2, 5, 255}}
	Accent = Ink{"var(--link)", color.RGBA{1, 2, 6, 255}}
	Marked = Ink{"var(--mark)", color.RGBA{1, 2, 7, 255}}
)

// RGBA makes an Ink a color.Color.
func (i Ink) RGBA() (r, g, b, a uint32) { return i.rgb.RGBA() }

// Inline draws a plot whose colours are Inks, to stand in a page.
func Inline(p *plot.Plot, width, height vg.Length) ([]byte, error) {
	svg, err := SVG(p, width, height)
	if err != nil {
		return nil, err
	}
	if at := bytes.Index(svg, []byte("<svg")); at > 0 {
		svg = svg[at:] // no XML declaration within a page
	}
	for _, i := range []Ink{Text, Soft, Grid, Accent, Marked} {
		svg = bytes.ReplaceAll(svg, fmt.Appendf(nil, "#%02X%02X%02X", i.rgb.R, i.rgb.G, i.rgb.B), []byte(i.css))
	}
	return svg, nil
}

// Round are a few round numbers, as many decimals as tell them apart.
type Round struct{ Most int }

// Ticks has steps of 1, 2 or 5 in some decimal place, the smallest that is wide
// enough.
func (r Round) Ticks(low, high float64) []plot.Tick {
	place := math.Floor(math.Log10((high - low) / float64(r.Most)))
	step := math.Pow(10, place)
	for _, k := range []float64{2, 5, 10} {
		if (high-low)/step <= float64(r.Most) {
			break
		}
		step = k * math.Pow(10, place)
	}
	digits := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	var out []plot.Tick
	for k := math.Ceil(low / step); k*step <= high; k++ {
		v := k*step + 0 // -0 + 0 is 0
		label := strconv.FormatFloat(v, 'f', digits, 64)
		out = append(out, plot.Tick{Value: v, Label: strings.Replace(label, "-", "−", 1)})
	}
	return out
}
