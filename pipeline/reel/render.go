package reel

import (
	"context"
	"errors"
	"fmt"
	"image"
	"os"
	"sync"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// renderer makes the frames of a plan, one after the other.
type renderer struct {
	plan     Plan
	found    []lesson.Findings // of the sources
	o        Options
	layer    *layer
	picture  *track.Frame // clips in place, nothing drawn
	out      *output
	progress func(float64)
	still    func(Still, *track.Frame) error
}

// render feeds every frame to the encoder behind pipe.
func (r *renderer) render(ctx context.Context, pipe *os.File) error {
	r.layer = newLayer(r.plan.Width, r.plan.Height)
	r.picture = newFrame(r.plan.Width, r.plan.Height, backdrop)
	r.out = newOutput(pipe, r.plan.Width, r.plan.Height)
	err := r.segments(ctx)
	return errors.Join(err, r.out.close())
}

func (r *renderer) segments(ctx context.Context) error {
	for _, seg := range r.plan.Segments {
		paint(r.picture, backdrop)
		var err error
		if seg.Page != nil {
			err = r.page(seg)
		} else {
			err = r.clips(ctx, seg)
		}
		if err != nil {
			return fmt.Errorf("making the part %q of the reel: %w", seg.Chapter, err)
		}
	}
	return nil
}

// page shows a page for its time.
func (r *renderer) page(seg Segment) error {
	err := r.layer.draw(func(img *image.RGBA) error { return drawPage(img, seg.Page) })
	if err != nil {
		return err
	}
	return r.show(seg.Start, seg.Frames)
}

// show composes picture and layer and shows them for some frames.
func (r *renderer) show(first, frames int) error {
	f := r.out.frame()
	copyFrame(f, r.picture)
	r.layer.over(f)
	for _, s := range r.plan.Stills {
		if s.Frame >= first && s.Frame < first+frames {
			if err := r.still(s, f); err != nil {
				return err
			}
		}
	}
	if r.progress != nil {
		r.progress(float64(first+frames) / float64(r.plan.Frames))
	}
	return r.out.send(f, frames)
}

// screen is a pane at work.
type screen struct {
	pane      Pane
	feed      *feed
	resampler *resampler
	artist    *artist
	shown     int    // frame of the clip in the picture, -1 at first
	drawn     moment // in the layer
}

// clips shows a segment of one clip or several.
func (r *renderer) clips(ctx context.Context, seg Segment) (err error) {
	var screens []*screen
	defer func() {
		for _, s := range screens {
			err = errors.Join(err, s.feed.close())
		}
	}()
	for _, p := range seg.Panes {
		s, err := r.open(ctx, seg, p)
		if err != nil {
			return err
		}
		screens = append(screens, s)
	}
	begun := 0 // first frame of what is waiting to be shown
	for i := range seg.Frames {
		moments, fresh, err := r.look(screens, i)
		if err != nil {
			return err
		}
		if i > begun && fresh {
			// What was composed before this frame stood until now.
			if err := r.show(seg.Start+begun, i-begun); err != nil {
				return err
			}
			begun = i
		}
		if fresh {
			if err := r.compose(screens, moments); err != nil {
				return err
			}
		}
	}
	return r.show(seg.Start+begun, seg.Frames-begun)
}

func (r *renderer) open(ctx context.Context, seg Segment, p Pane) (*screen, error) {
	d, err := openFeed(ctx, r.found[p.Source].File, r.o.Clip)
	if err != nil {
		return nil, err
	}
	info := d.reader.Info()
	a, err := newArtist(seg, p, r.plan.Sources, r.found)
	if err != nil {
		return nil, errors.Join(err, d.close())
	}
	return &screen{pane: p, feed: d, artist: a, shown: -1, drawn: moment{frame: -1},
		resampler: newResampler(info.Width, info.Height, clip.SitingOf(info), p.Box, p.View, p.Turn)}, nil
}

// look finds what every screen shows at frame i of the segment; fresh reports
// whether anything is new.
func (r *renderer) look(screens []*screen, i int) (moments []moment, fresh bool, err error) {
	for _, s := range screens {
		t, run := Time(s.pane.Runs, i, r.plan.Rate)
		f, err := s.feed.at(t)
		if err != nil {
			return nil, false, err
		}
		m := momentOf(f, run)
		moments = append(moments, m)
		fresh = fresh || f.Index != s.shown || m != s.drawn
	}
	return moments, fresh, nil
}

// compose brings picture and layer up to the moments, both at once.
func (r *renderer) compose(screens []*screen, moments []moment) error {
	var placed sync.WaitGroup
	redraw := false
	for i, s := range screens {
		redraw = redraw || s.drawn.frame < 0 || moments[i] != s.drawn && !s.artist.still()
		s.drawn = moments[i]
		if f := &s.feed.cur.frame; f.Index != s.shown {
			s.shown = f.Index
			placed.Go(func() { s.resampler.place(r.picture, f) })
		}
	}
	defer placed.Wait()
	if !redraw {
		return nil
	}
	return r.layer.draw(func(img *image.RGBA) error {
		for i, s := range screens {
			if err := s.artist.draw(img, moments[i]); err != nil {
				return err
			}
		}
		return nil
	})
}
