package reel

import (
	"context"
	"errors"
	"fmt"
	"image"
	"os"
	"runtime/debug"
	"sync"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// renderer makes the frames of a plan, one after the other.
type renderer struct {
	plan     Plan
	found    []lesson.Findings // of the sources
	heads    []clip.Info       // of their clips
	o        Options
	picture  *track.Frame // clips in place, nothing drawn
	out      *output
	progress func(float64)
	still    func(Still, *track.Frame) error
}

// render feeds every frame to the encoder behind pipe.
func (r *renderer) render(ctx context.Context, pipe *os.File) error {
	r.picture = newFrame(r.plan.Width, r.plan.Height, backdrop)
	r.out = newOutput(pipe, r.plan.Width, r.plan.Height, r.plan.Rate)
	err := r.segments(ctx)
	return errors.Join(err, r.out.close())
}

// segments shows one segment after the other. The clips of the next are opened
// meanwhile, so that the encoder need not wait for them.
func (r *renderer) segments(ctx context.Context) (err error) {
	next := r.prepare(ctx, r.plan.Segments[0], 0)
	defer func() { err = errors.Join(err, next.close()) }()
	for i, seg := range r.plan.Segments {
		now := next
		if i+1 < len(r.plan.Segments) {
			next = r.prepare(ctx, r.plan.Segments[i+1], together-len(seg.Panes))
		}
		// What drawing the segment before took, the encoder lacks.
		debug.FreeOSMemory()
		paint(r.picture, backdrop)
		if seg.Page != nil {
			err = r.page(seg)
		} else {
			err = r.clips(ctx, now)
		}
		if err = errors.Join(err, now.close()); err != nil {
			return fmt.Errorf("making the part %q of the reel: %w", seg.Chapter, err)
		}
	}
	return nil
}

// page shows a page for its time.
func (r *renderer) page(seg Segment) error {
	l := newLayer(Box{0, 0, r.plan.Width, r.plan.Height})
	if err := l.draw(func(img *image.RGBA) error { return drawPage(img, seg.Page) }); err != nil {
		return err
	}
	return r.show(seg.Start, seg.Frames, l)
}

// show composes picture and layers and shows them for some frames.
func (r *renderer) show(first, frames int, layers ...*layer) error {
	f := r.out.frame()
	copyFrame(f, r.picture)
	for _, l := range layers {
		l.over(f)
	}
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
	return r.out.send(f, first, frames)
}

// clips shows a segment of one clip or several.
func (r *renderer) clips(ctx context.Context, s *scenery) error {
	seg := s.seg
	screens, err := s.open(ctx, r)
	if err != nil {
		return err
	}
	var layers []*layer
	for _, p := range seg.Panes {
		layers = append(layers, newLayer(p.canvas()))
	}
	begun := 0 // first frame of what is waiting to be shown
	for i := range seg.Frames {
		moments, fresh, err := r.look(screens, i)
		if err != nil {
			return err
		}
		if i > begun && fresh {
			// What was composed before this frame stood until now.
			if err := r.show(seg.Start+begun, i-begun, layers...); err != nil {
				return err
			}
			begun = i
		}
		if fresh {
			if err := r.compose(screens, layers, moments); err != nil {
				return err
			}
		}
	}
	return r.show(seg.Start+begun, seg.Frames-begun, layers...)
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

// compose brings picture and layers up to the moments, all at once.
func (r *renderer) compose(screens []*screen, layers []*layer, moments []moment) error {
	var placed sync.WaitGroup
	defer placed.Wait()
	for i, s := range screens {
		if f := s.feed.cur; f.Index != s.shown {
			s.shown = f.Index
			placed.Go(func() { s.resampler.place(r.picture, f) })
		}
		before, m := s.drawn, moments[i]
		s.drawn = m
		if m == before || before.frame >= 0 && s.artist.still() {
			continue
		}
		if err := layers[i].draw(func(img *image.RGBA) error { return s.artist.draw(img, m) }); err != nil {
			return err
		}
	}
	return nil
}
