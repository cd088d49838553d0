package reel

import (
	"image/color"

	"strokereel/overlay"
	"strokereel/track"
)

// backdrop is the colour where no picture is.
var backdrop = overlay.Slate

// newFrame returns a frame of one colour.
func newFrame(w, h int, c color.RGBA) *track.Frame {
	cw, ch := (w+1)/2, (h+1)/2
	buf := make([]byte, w*h+2*cw*ch)
	f := &track.Frame{Width: w, Height: h, Y: buf[:w*h], U: buf[w*h : w*h+cw*ch], V: buf[w*h+cw*ch:]}
	paint(f, c)
	return f
}

// paint fills a frame with a colour (BT.709, limited range).
func paint(f *track.Frame, c color.RGBA) {
	r, g, b := int32(c.R), int32(c.G), int32(c.B)
	fill(f.Y, clamp(16+(11966*r+40254*g+4064*b+1<<15)>>16))
	fill(f.U, clamp(128+(-6596*r-22189*g+28784*b+1<<15)>>16))
	fill(f.V, clamp(128+(28784*r-26145*g-2639*b+1<<15)>>16))
}

func fill(p []byte, v byte) {
	for i := range p {
		p[i] = v
	}
}

// copyFrame copies the planes of a frame to one of its size.
func copyFrame(dst, src *track.Frame) {
	copy(dst.Y, src.Y)
	copy(dst.U, src.U)
	copy(dst.V, src.V)
}
