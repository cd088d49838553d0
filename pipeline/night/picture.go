package night

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	_ "image/png" // stills
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"golang.org/x/image/draw"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

const (
	pictureSide = 560      // px, longer side: sharp on a phone, about 30 kB
	pictureAt   = 0.5      // s, long enough for a phone's exposure to settle
	quality     = 80       // of JPEG
	stillName   = "impact" // the moment that says most about a stroke
)

var errNoStill = errors.New("there is no still")

// smallStill makes the picture from an annotated still of the clip.
func smallStill(dir string) error {
	return smaller(dir, "stroke-*-"+stillName+".png", "stroke-*.png")
}

// smallPoster makes the picture from the poster of a reel.
func smallPoster(dir string) error { return smaller(dir, "*.poster.jpg") }

// smaller makes the picture from the first file that one of the patterns finds.
func smaller(dir string, patterns ...string) error {
	for _, pattern := range patterns {
		names, err := fs.Glob(os.DirFS(dir), pattern)
		if err != nil || len(names) == 0 {
			continue
		}
		f, err := os.Open(filepath.Join(dir, names[0]))
		if err != nil {
			return fmt.Errorf("making a small picture: %w", err)
		}
		defer f.Close()
		img, _, err := image.Decode(f)
		if err != nil {
			return fmt.Errorf("making a small picture of %q: %w", names[0], err)
		}
		return savePicture(img, dir)
	}
	return errNoStill
}

// picture makes the picture from a frame of the clip, so that a person knows
// which clip is meant: the first one after pictureAt, else the first.
func picture(ctx context.Context, path, dir string, s settings.Settings) error {
	r, err := clip.Open(ctx, path, s.Clip)
	if err != nil {
		return err
	}
	defer r.Close()
	var img *image.RGBA
	var f track.Frame
	for err = r.Next(&f); err == nil; err = r.Next(&f) {
		if img == nil || f.T >= pictureAt {
			img = clip.ToRGBA(img, &f, clip.SitingOf(r.Info()))
		}
		if f.T >= pictureAt {
			break
		}
	}
	if img == nil {
		return fmt.Errorf("making a small picture of %q: %w", path, err)
	}
	return savePicture(img, dir)
}

func savePicture(img image.Image, dir string) error {
	b := img.Bounds()
	k := min(1, pictureSide/float64(max(b.Dx(), b.Dy())))
	small := image.NewRGBA(image.Rect(0, 0, max(1, int(k*float64(b.Dx()))), max(1, int(k*float64(b.Dy())))))
	draw.CatmullRom.Scale(small, small.Rect, img, b, draw.Src, nil)
	return lesson.WriteFile(filepath.Join(dir, pictureFile), func(w io.Writer) error {
		return jpeg.Encode(w, small, &jpeg.Options{Quality: quality})
	})
}
