package reel

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline/clip"
	"strokereel/track"
)

// The picture of a practice sheet.
const (
	sheetWide = 1080 // px: sharp on a phone and in a printed column
	sheetHigh = 864
	// sheetLines is the share of its width that the lengths are to take.
	sheetLines = 0.40
	// leastShown is how much of the room is in it, m: the player is to be known
	// again, however short the stroke.
	leastShown = 1.4
)

// wantedPicture is the player at address after the lesson, with wanted lengths on
// the ground, as a JPEG; nil when nothing is wanted or the ground is not known.
func (d *desk) wantedPicture(ctx context.Context, rows []scene.WantedRow) ([]byte, error) {
	src := d.plan.Sources[1] // after
	if len(rows) == 0 || src.Ground == nil {
		return nil, nil
	}
	wanted, err := scene.NewWanted(src.Ground.scene(), rows...)
	if err != nil {
		return nil, err
	}
	wanted.Line = wanted.Line.Signed(roleOf(src.Role).Sign())
	own := d.sources()[1]
	c, err := overlay.NewCanvas(sheetWide, sheetHigh)
	if err != nil {
		return nil, err
	}
	view := wantedView(src, wanted, wanted.Column(c))
	start := own.Report.Strokes[src.Stroke].Event(track.Start)
	img, at, err := d.standing(ctx, own.File, start.T-settled/2, view)
	if err != nil {
		return nil, err
	}
	if err := c.Begin(img); err != nil {
		return nil, err
	}
	m := overlay.Moment{T: start.T, View: overlay.View{Scale: view.Scale, X: view.X, Y: view.Y}, Objects: objects(own, src)[at]}
	overlay.Draw(c, m, wanted)
	var out bytes.Buffer
	err = jpeg.Encode(&out, img, &jpeg.Options{Quality: jpegQuality})
	return out.Bytes(), errors.Join(c.Err(), err)
}

// wantedView places a clip so that the lengths lie between the two columns of
// their numbers, with room below the ground for a line each. Where it can, the
// picture fills the width.
func wantedView(s Source, w *scene.Wanted, column float64) View {
	back, through := w.Longest()
	width, room := s.size[0], sheetWide-2*column
	perM := min(room/(back+through), sheetWide/leastShown, max(sheetWide/width*s.PxPerM, sheetLines*sheetWide/(back+through)))
	v := View{Scale: perM / s.PxPerM}
	a, b := (s.Ground.X-back*s.Ground.DX)*v.Scale, (s.Ground.X+through*s.Ground.DX)*v.Scale
	v.X = cover((sheetWide-a-b)/2, sheetWide, width*v.Scale)
	v.X = inside(v.X, column-min(a, b), sheetWide-column-max(a, b))
	v.Y = min(sheetHigh*(1-float64(w.Height()+overlay.Margin))-v.Scale*s.Ground.Y, 0)
	return v
}

// standing is the frame of a clip nearest to a time, in its place in a picture.
func (d *desk) standing(ctx context.Context, file string, t float64, v View) (img *image.RGBA, frame int, err error) {
	head, err := clip.Admit(ctx, file, d.o.Clip)
	if err != nil {
		return nil, 0, err
	}
	in, err := openFeed(ctx, head, clip.Part{}, d.o.Clip)
	if err != nil {
		return nil, 0, err
	}
	defer func() { err = errors.Join(err, in.close()) }()
	f, err := in.at(t)
	if err != nil {
		return nil, 0, err
	}
	picture := newFrame(sheetWide, sheetHigh, backdrop)
	newResampler(f.Width, f.Height, clip.SitingOf(in.reader.Info()), Box{0, 0, sheetWide, sheetHigh}, v, 0).place(picture, f)
	return clip.ToRGBA(nil, picture, clip.SitedLeft), f.Index, nil
}
