package inspect

import (
	"context"
	"errors"
	"image"

	"golang.org/x/image/draw"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/marker"
)

const (
	side     = 960 // px, of the square film
	rate     = 30  // frames/s: each frame of the clip once, so that 60 frames/s go at half speed
	quality  = 26  // small, and a ring one pixel wide is still whole
	closeUp  = 420 // px, side of the enlarged part
	longSide = 540 // px, of what the whole picture leaves of the square
	// enlarged is how much of the picture is enlarged, in radii of the sticker.
	enlarged = 14
)

// layout is where whole picture, enlarged part and text stand.
type layout struct{ whole, near, text image.Rectangle }

func layoutOf(w, h int) layout {
	if w >= h {
		return layout{image.Rect(0, 0, side, longSide), image.Rect(0, longSide, closeUp, side), image.Rect(closeUp, longSide, side, side)}
	}
	return layout{image.Rect(0, 0, longSide, side), image.Rect(longSide, 0, side, closeUp), image.Rect(longSide, closeUp, side, side)}
}

// film draws every frame with what was looked at in it. The enlarged part shows the
// picture as it is; the whole one is grey but for what may be a sticker.
func (i *Inspection) film(ctx context.Context, s settings.Settings, out string, progress func(float64)) error {
	r, err := clip.Open(ctx, i.File, s.Clip)
	if err != nil {
		return err
	}
	defer r.Close()
	a, err := i.newArtist(r.Info(), s)
	if err != nil {
		return err
	}
	var f track.Frame
	return reel.Pictures(ctx, out, side, side, rate, quality, func(img *image.RGBA) error {
		if err := r.Next(&f); err != nil {
			return err
		}
		if progress != nil && r.Info().Duration > 0 {
			progress(min(1, f.T/r.Info().Duration))
		}
		return a.draw(img, &f)
	})
}

// artist draws the frames of the film, one after the other.
type artist struct {
	*Inspection
	layout
	siting      clip.Siting
	mask        *marker.Mask
	masked      []byte
	strays      map[int]bool
	next        int // look not yet drawn
	centre      overlay.Point
	picture     *image.RGBA
	whole, near *overlay.Canvas
	text        *overlay.Canvas
}

func (i *Inspection) newArtist(info clip.Info, s settings.Settings) (*artist, error) {
	l := layoutOf(info.Width, info.Height)
	a := &artist{Inspection: i, layout: l, siting: i.Result.Siting, strays: i.strays(s),
		mask: marker.NewMask(s.Track.Marker, info.Width, info.Height), masked: make([]byte, ((info.Width+1)/2)*((info.Height+1)/2)),
		centre: overlay.Point{X: float64(info.Width) / 2, Y: float64(info.Height) * 0.75}}
	for _, p := range i.Result.Parts.Putter.Track.Samples {
		if p.Seen {
			a.centre = overlay.Point{X: p.X, Y: p.Y}
			break
		}
	}
	var errs [3]error
	a.whole, errs[0] = overlay.NewCanvas(l.whole.Dx(), l.whole.Dy())
	a.near, errs[1] = overlay.NewCanvas(l.near.Dx(), l.near.Dy())
	a.text, errs[2] = overlay.NewCanvas(l.text.Dx(), l.text.Dy())
	return a, errors.Join(errs[:]...)
}

func (a *artist) draw(img *image.RGBA, f *track.Frame) error {
	looks := a.looksOf(f.Index)
	draw.Draw(img, img.Rect, image.NewUniform(overlay.Slate), image.Point{}, draw.Src)
	a.picture = clip.ToRGBA(a.picture, f, a.siting)
	if err := a.drawNear(piece(img, a.layout.near), f, looks); err != nil {
		return err
	}
	a.fade(f)
	a.picture = clip.ToRGBA(a.picture, f, a.siting)
	if err := a.drawWhole(piece(img, a.layout.whole), f, looks); err != nil {
		return err
	}
	return a.drawText(piece(img, a.layout.text), f, looks)
}

func piece(img *image.RGBA, r image.Rectangle) *image.RGBA { return img.SubImage(r).(*image.RGBA) }

// looksOf are the looks of a frame; frames come in order.
func (a *artist) looksOf(frame int) []track.Glance {
	for a.next < len(a.Looks) && a.Looks[a.next].Frame < frame {
		a.next++
	}
	end := a.next
	for end < len(a.Looks) && a.Looks[end].Frame == frame {
		end++
	}
	return a.Looks[a.next:end]
}

// fade takes the colour out of what cannot be a sticker, and half of it out of what
// does not stand out from its surroundings.
func (a *artist) fade(f *track.Frame) {
	a.mask.Fill(a.masked, f)
	for k, m := range a.masked {
		switch m {
		case marker.Plain:
			f.U[k], f.V[k] = 128, 128
		case marker.Coloured:
			f.U[k], f.V[k] = f.U[k]/2+64, f.V[k]/2+64
		}
	}
}

// drawWhole shows the whole picture.
func (a *artist) drawWhole(to *image.RGBA, f *track.Frame, looks []track.Glance) error {
	scale := min(float64(to.Rect.Dx())/float64(f.Width), float64(to.Rect.Dy())/float64(f.Height))
	w, h := int(scale*float64(f.Width)), int(scale*float64(f.Height))
	corner := to.Rect.Min.Add(image.Pt((to.Rect.Dx()-w)/2, (to.Rect.Dy()-h)/2))
	draw.ApproxBiLinear.Scale(to, image.Rectangle{corner, corner.Add(image.Pt(w, h))}, a.picture, a.picture.Rect, draw.Src, nil)
	at := corner.Sub(to.Rect.Min)
	return drawn(a.whole, to, overlay.Moment{T: f.T, View: overlay.View{Scale: scale, X: float64(at.X), Y: float64(at.Y)}}, scene.NewLooks(looks))
}

// drawNear shows what is around the sticker, pixel by pixel.
func (a *artist) drawNear(to *image.RGBA, f *track.Frame, looks []track.Glance) error {
	r := a.Result.Parts.Putter.Radius
	for _, o := range a.Result.Seen(f.T) {
		if o.Name == track.Putter {
			a.centre = overlay.Point{X: o.X, Y: o.Y}
		}
	}
	if r == 0 {
		r = float64(max(f.Width, f.Height)) / 1920 * 9
	}
	half := enlarged / 2 * r
	scale := float64(closeUp) / (2 * half)
	view := overlay.View{Scale: scale, X: -(a.centre.X - half + 0.5) * scale, Y: -(a.centre.Y - half + 0.5) * scale}
	corner := to.Rect.Min.Add(image.Pt(int(view.X), int(view.Y)))
	draw.NearestNeighbor.Scale(to, image.Rectangle{corner, corner.Add(image.Pt(int(scale*float64(f.Width)), int(scale*float64(f.Height))))}, a.picture, a.picture.Rect, draw.Src, nil)
	return drawn(a.near, to, overlay.Moment{T: f.T, View: view}, scene.NewLooks(looks))
}

// drawn draws elements on a part of the film.
func drawn(c *overlay.Canvas, to *image.RGBA, m overlay.Moment, elements ...overlay.Element) error {
	if err := c.Begin(to); err != nil {
		return err
	}
	overlay.Draw(c, m, elements...)
	return c.Err()
}
