package reel

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"os"
	"path/filepath"
	"strconv"
)

// pictureArgs is the command line that makes a silent film from opaque pictures
// on its standard input.
func pictureArgs(w, h, rate, quality int, out string) []string {
	args := append(quiet(),
		"-f", "rawvideo", "-pix_fmt", "rgba", "-s", fmt.Sprintf("%dx%d", w, h), "-r", strconv.Itoa(rate), "-i", "pipe:0",
		"-vf", "scale=out_color_matrix=bt709:out_range=tv")
	args = append(args, coding(rate)...)
	return append(args, "-crf", strconv.Itoa(quality), "-f", "mp4", "-y", "file:"+out)
}

// Pictures makes a silent film of pictures that are drawn one after the other,
// each shown for one frame. Next draws on a picture, over the one before, and
// returns io.EOF when there are no more. The film appears when it is complete.
func Pictures(ctx context.Context, out string, w, h, rate, quality int, next func(*image.RGBA) error) error {
	work, err := os.MkdirTemp(filepath.Dir(out), ".film-*")
	if err != nil {
		return fmt.Errorf("making the film %q: %w", out, err)
	}
	defer os.RemoveAll(work)
	half := filepath.Join(work, "film.mp4")
	c := newChild(ctx, pictureArgs(w, h, rate, quality, half))
	pipe, err := c.input()
	if err != nil {
		return err
	}
	if err := c.start(); err != nil {
		return errors.Join(err, pipe.Close())
	}
	drawn := errors.Join(feedPictures(pipe, image.NewRGBA(image.Rect(0, 0, w, h)), next), pipe.Close())
	ended := c.wait()
	switch {
	case ctx.Err() != nil:
		return fmt.Errorf("making the film %q: %w", out, ctx.Err())
	case ended != nil || drawn != nil:
		return fmt.Errorf("making the film %q: %w", out, errors.Join(ended, drawn))
	}
	return os.Rename(half, out)
}

func feedPictures(pipe io.Writer, img *image.RGBA, next func(*image.RGBA) error) error {
	for {
		if err := next(img); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		if _, err := pipe.Write(img.Pix); err != nil {
			return err
		}
	}
}
