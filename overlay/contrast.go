package overlay

import (
	"image/color"
	"math"
)

// Least contrasts of WCAG 2.1: success criterion 1.4.3 for text, 1.4.11 for
// graphics.
const (
	TextContrast    = 4.5
	GraphicContrast = 3.0
)

// Luminance is the relative luminance of an opaque sRGB colour, 0 to 1 (WCAG
// 2.1, definition of relative luminance).
func Luminance(c color.RGBA) float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// linear takes the sRGB curve off an 8-bit value.
func linear(v uint8) float64 {
	s := float64(v) / 255
	if s <= 0.03928 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4)
}

// Contrast is the contrast ratio of two opaque colours, 1 to 21 (WCAG 2.1,
// definition of contrast ratio).
func Contrast(a, b color.RGBA) float64 {
	la, lb := Luminance(a), Luminance(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

// Over returns a colour laid over an opaque one with an opacity of 0 to 1, as
// pictures are blended: in sRGB values.
func Over(top color.RGBA, opacity float64, under color.RGBA) color.RGBA {
	mix := func(t, u uint8) uint8 { return uint8(math.Round(float64(t)*opacity + float64(u)*(1-opacity))) }
	return color.RGBA{mix(top.R, under.R), mix(top.G, under.G), mix(top.B, under.B), 255}
}
