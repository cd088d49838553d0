package explain

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"

	"golang.org/x/image/draw"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Size of one enlarged frame, px.
const tileWidth, tileHeight = 480, 360

// Each moment is shown by the frame nearest to it and those beside that: events
// are found between frames.
var besides = [...]int{-1, 0, 1}

// Frames draws the frames a number rests on, enlarged, with what was found in
// them, into one picture in a folder, and returns its name.
func Frames(ctx context.Context, e Explanation, file string, r *pipeline.Result, o clip.Options, dir string) (string, error) {
	if len(e.Moments) == 0 {
		return "", fmt.Errorf("explaining %s: it rests on no frame of its own", e.ID)
	}
	tiles := e.tiles(r)
	sheet := image.NewRGBA(image.Rect(0, 0, tileWidth*len(besides), tileHeight*len(e.Moments)))
	draw.Draw(sheet, sheet.Rect, image.NewUniform(overlay.Slate), image.Point{}, draw.Src)
	reader, err := clip.Open(ctx, file, o)
	if err != nil {
		return "", err
	}
	defer reader.Close()
	var f track.Frame
	for left := len(tiles); left > 0; {
		err := reader.Next(&f)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return "", err
		}
		for _, t := range tiles {
			if t.frame != f.Index {
				continue
			}
			left--
			img := clip.ToRGBA(nil, &f, r.Siting)
			into := image.Rect(t.column*tileWidth, t.row*tileHeight, (t.column+1)*tileWidth, (t.row+1)*tileHeight)
			if err := t.draw(sheet, into, img, r.Seen(f.T), f.T, e.Formula.Objects); err != nil {
				return "", err
			}
		}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", fmt.Errorf("making the folder for pictures: %w", err)
	}
	name := filepath.Join(dir, fmt.Sprintf("stroke-%d-%s-frames.png", e.Stroke+1, e.ID))
	return name, lesson.WriteFile(name, func(w io.Writer) error { return png.Encode(w, sheet) })
}

// tile is one enlarged frame of the sheet.
type tile struct {
	row, column int
	frame       int
	event       string
	crop        overlay.Box // clip px
}

// tiles places the frames of every moment. All of one moment show the same part
// of the picture.
func (e Explanation) tiles(r *pipeline.Result) []tile {
	var out []tile
	for row, m := range e.Moments {
		var boxes []overlay.Point
		for _, d := range besides {
			for _, o := range r.Seen(m.T + float64(d)*r.Interval) {
				// The ball matters where it is struck or lies at address.
				away := o.Name == track.Ball && m.Event != track.Start && m.Event != track.Impact
				if slices.Contains(e.Formula.Objects, o.Name) && !away {
					boxes = append(boxes, overlay.Point{X: o.X - o.Radius, Y: o.Y - o.Radius}, overlay.Point{X: o.X + o.Radius, Y: o.Y + o.Radius})
				}
			}
		}
		crop := crop(boxes, float64(r.Report.Clip.Width), float64(r.Report.Clip.Height), r.Parts.Putter.Radius)
		for column, d := range besides {
			out = append(out, tile{row: row, column: column, frame: m.Frame + d, event: m.Event, crop: crop})
		}
	}
	return out
}

// crop is the part of a picture of w x h px that shows points with room around
// them, in the shape of a tile; the whole picture without any.
func crop(points []overlay.Point, w, h, radius float64) overlay.Box {
	b := overlay.Box{X1: w, Y1: h}
	if len(points) > 0 {
		b = overlay.Span(points...)
		b = b.Grow(math.Max(4*radius, 0.12*math.Max(b.W(), b.H())))
	}
	const shape = float64(tileWidth) / tileHeight
	c := b.Centre()
	half := math.Max(b.W(), b.H()*shape) / 2
	// Inside the picture as far as it goes.
	c.X = math.Max(half, math.Min(w-half, c.X))
	c.Y = math.Max(half/shape, math.Min(h-half/shape, c.Y))
	return overlay.Box{X0: c.X - half, Y0: c.Y - half/shape, X1: c.X + half, Y1: c.Y + half/shape}
}

// draw fills a place of the sheet.
func (t tile) draw(sheet *image.RGBA, into image.Rectangle, img *image.RGBA, seen []overlay.Object, at float64, names []string) error {
	scale := tileWidth / t.crop.W()
	part := image.NewRGBA(image.Rect(0, 0, tileWidth, tileHeight))
	draw.Draw(part, part.Rect, image.NewUniform(overlay.Slate), image.Point{}, draw.Src)
	// In draw's counting a pixel's centre is half a pixel from its corner.
	view := overlay.View{Scale: scale, X: -(t.crop.X0 + 0.5) * scale, Y: -(t.crop.Y0 + 0.5) * scale}
	to := image.Rect(int(math.Round(view.X)), int(math.Round(view.Y)), int(math.Round(view.X+scale*float64(img.Rect.Dx()))), int(math.Round(view.Y+scale*float64(img.Rect.Dy()))))
	draw.ApproxBiLinear.Scale(part, to, img, img.Rect, draw.Src, nil)
	c, err := overlay.NewCanvas(tileWidth, tileHeight)
	if err != nil {
		return err
	}
	if err := c.Begin(part); err != nil {
		return err
	}
	title := scene.NewNotice(fmt.Sprintf("%s, frame %d, %.4f s", spoken(t.event), t.frame, at))
	title.Slot = overlay.TopLeft
	overlay.Draw(c, overlay.Moment{T: at, View: view, Objects: seen}, title, scene.NewReading(names...))
	draw.Draw(sheet, into.Inset(1), part, image.Pt(1, 1), draw.Src)
	return c.Err()
}
