package overlay

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"github.com/fogleman/gg"
)

// Margin is how far everything but the picture's own things stays from the
// edge of the frame.
const Margin Share = 0.03

// Canvas draws on pictures of one size, one after the other. It keeps drawn
// glyphs and the places of labels from picture to picture, so that drawing is
// quick and labels do not jump. It is not safe for use by several goroutines.
type Canvas struct {
	w, h   int
	img    *image.RGBA
	dc     *gg.Context
	face   *typeface
	inks   map[color.RGBA]*image.Uniform
	places map[string]Point // of labels on the last picture, corner relative to what they speak of
	plate  *blend
	err    error
}

// NewCanvas makes a canvas for pictures of w x h px.
func NewCanvas(w, h int) (*Canvas, error) {
	const largest = 1 << 14
	if w < 1 || h < 1 || w > largest || h > largest {
		return nil, fmt.Errorf("making a canvas: width and height must lie in 1..%d px (got %dx%d)", largest, w, h)
	}
	t, err := newTypeface()
	if err != nil {
		return nil, err
	}
	return &Canvas{w: w, h: h, face: t, inks: map[color.RGBA]*image.Uniform{}, places: map[string]Point{}, plate: newBlend(Ink, PlateOpacity)}, nil
}

// Begin turns to the next picture, which is drawn on from now on.
func (c *Canvas) Begin(img *image.RGBA) error {
	if img.Rect.Dx() != c.w || img.Rect.Dy() != c.h {
		return fmt.Errorf("drawing on a picture of %dx%d px: the canvas was made for %dx%d px", img.Rect.Dx(), img.Rect.Dy(), c.w, c.h)
	}
	if c.img != nil && &c.img.Pix[0] == &img.Pix[0] && c.img.Stride == img.Stride {
		return c.err // the same picture again, as in a film
	}
	// The rasteriser counts from (0, 0), a part of a picture need not.
	c.img = &image.RGBA{Pix: img.Pix, Stride: img.Stride, Rect: image.Rect(0, 0, c.w, c.h)}
	c.dc = gg.NewContextForRGBA(c.img)
	c.dc.SetLineCapRound()
	c.dc.SetLineJoinRound()
	return c.err
}

// Forget lets labels choose their places anew, as after a cut.
func (c *Canvas) Forget() { clear(c.places) }

// Err is the first thing that went wrong in drawing.
func (c *Canvas) Err() error { return c.err }

// Px is a share of the shorter side in px.
func (c *Canvas) Px(s Share) float64 { return float64(s) * float64(min(c.w, c.h)) }

// Frame is the whole picture.
func (c *Canvas) Frame() Box { return Box{0, 0, float64(c.w), float64(c.h)} }

// Safe is the frame without its margin.
func (c *Canvas) Safe() Box { return c.Frame().Grow(-c.Px(Margin)) }

// Tall reports a frame higher than wide.
func (c *Canvas) Tall() bool { return c.h > c.w }

// Fill paints a box.
func (c *Canvas) Fill(b Box, colour color.RGBA) {
	draw.Draw(c.img, b.Pixels(), c.ink(colour), image.Point{}, draw.Over)
}

// ink returns a colour as draw wants it.
func (c *Canvas) ink(colour color.RGBA) *image.Uniform {
	u, ok := c.inks[colour]
	if !ok {
		u = image.NewUniform(colour)
		c.inks[colour] = u
	}
	return u
}

// see returns a colour at an opacity of 0 to 1.
func see(colour color.RGBA, opacity float64) color.NRGBA {
	a := math.Round(255 * math.Max(0, math.Min(1, opacity)))
	return color.NRGBA{colour.R, colour.G, colour.B, uint8(a)}
}
