package overlay

import (
	"fmt"
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// Weight is a weight of the typeface.
type Weight int

// The weights of the Go typeface (C. Bigelow and K. Holmes, 2016).
const (
	Regular Weight = iota
	Medium
	Bold
)

// subpixels is how many horizontal positions of a glyph within a pixel are told
// apart; a quarter of a pixel is below what an eye sees in moving text.
const subpixels = 4

// typeface draws text and keeps every glyph it has drawn.
type typeface struct {
	fonts  [3]*opentype.Font
	faces  map[faceKey]font.Face
	glyphs map[glyphKey]glyph
}

type faceKey struct {
	weight Weight
	size   fixed.Int26_6
}

type glyphKey struct {
	face faceKey
	r    rune
	sub  int
}

type glyph struct {
	mask    *image.Alpha // nil for a blank
	at      image.Point  // of the mask's corner from the pen
	advance fixed.Int26_6
}

func newTypeface() (*typeface, error) {
	t := &typeface{faces: map[faceKey]font.Face{}, glyphs: map[glyphKey]glyph{}}
	for i, ttf := range [][]byte{goregular.TTF, gomedium.TTF, gobold.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			return nil, fmt.Errorf("reading the built-in typeface: %w", err)
		}
		t.fonts[i] = f
	}
	return t, nil
}

// face returns the face of a weight at a size in px.
func (t *typeface) face(w Weight, px float64) (faceKey, font.Face, error) {
	k := faceKey{w, fixed.Int26_6(math.Round(px * 64))}
	if f, ok := t.faces[k]; ok {
		return k, f, nil
	}
	f, err := opentype.NewFace(t.fonts[w], &opentype.FaceOptions{Size: float64(k.size) / 64, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		return k, nil, fmt.Errorf("setting text at %.1f px: %w", px, err)
	}
	t.faces[k] = f
	return k, f, nil
}

// glyph returns a glyph drawn sub quarters of a pixel right of its pen.
func (t *typeface) glyph(k faceKey, f font.Face, r rune, sub int) glyph {
	gk := glyphKey{k, r, sub}
	if g, ok := t.glyphs[gk]; ok {
		return g
	}
	var g glyph
	dr, mask, at, advance, ok := f.Glyph(fixed.Point26_6{X: fixed.Int26_6(sub * 64 / subpixels)}, r)
	if ok {
		g.advance = advance
		if !dr.Empty() {
			g.at = dr.Min
			g.mask = image.NewAlpha(image.Rect(0, 0, dr.Dx(), dr.Dy()))
			draw.Draw(g.mask, g.mask.Rect, mask, at, draw.Src) // the face reuses its own
		}
	}
	t.glyphs[gk] = g
	return g
}

// width is the advance of a text in px.
func (t *typeface) width(w Weight, px float64, text string) (float64, error) {
	k, f, err := t.face(w, px)
	if err != nil {
		return 0, err
	}
	var pen fixed.Int26_6
	last := rune(-1)
	for _, r := range text {
		if last >= 0 {
			pen += f.Kern(last, r)
		}
		pen += t.glyph(k, f, r, 0).advance
		last = r
	}
	return float64(pen) / 64, nil
}

// draw sets a text with its pen starting at (x, baseline) in px.
func (t *typeface) draw(dst *image.RGBA, ink *image.Uniform, w Weight, px float64, text string, x, baseline float64) error {
	k, f, err := t.face(w, px)
	if err != nil {
		return err
	}
	pen := fixed.Int26_6(math.Round(x * 64))
	y := int(math.Round(baseline))
	last := rune(-1)
	for _, r := range text {
		if last >= 0 {
			pen += f.Kern(last, r)
		}
		whole := pen.Floor()
		g := t.glyph(k, f, r, int(pen-fixed.I(whole))*subpixels/64)
		if g.mask != nil {
			at := g.at.Add(image.Pt(whole, y))
			draw.DrawMask(dst, g.mask.Rect.Add(at), ink, image.Point{}, g.mask, image.Point{}, draw.Over)
		}
		pen += g.advance
		last = r
	}
	return nil
}
