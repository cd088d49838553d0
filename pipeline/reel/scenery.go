package reel

import (
	"context"
	"errors"
)

// together is how many clips are read at a time, those of the next segment
// included: each decoder holds some 70 MB.
const together = 2

// screen is a pane at work.
type screen struct {
	pane      Pane
	feed      *feed
	resampler *resampler
	artist    *artist
	shown     int    // frame of the clip in the picture, -1 at first
	drawn     moment // in its layer
}

// scenery is a segment whose screens are being made ready.
type scenery struct {
	seg     Segment
	screens []*screen
	ready   chan struct{} // closed when nobody works on it
	failed  error
}

// prepare begins to make the first screens of a segment ready.
func (r *renderer) prepare(ctx context.Context, seg Segment, screens int) *scenery {
	s := &scenery{seg: seg, ready: make(chan struct{})}
	go func() {
		defer close(s.ready)
		s.add(ctx, r, screens)
	}()
	return s
}

// add makes screens ready until there are so many.
func (s *scenery) add(ctx context.Context, r *renderer, screens int) {
	for len(s.screens) < min(screens, len(s.seg.Panes)) && s.failed == nil {
		var next *screen
		if next, s.failed = r.open(ctx, s.seg, s.seg.Panes[len(s.screens)]); s.failed == nil {
			s.screens = append(s.screens, next)
		}
	}
}

// open returns all screens.
func (s *scenery) open(ctx context.Context, r *renderer) ([]*screen, error) {
	<-s.ready
	s.add(ctx, r, len(s.seg.Panes))
	return s.screens, s.failed
}

// close ends the reading of its clips; closing twice is harmless.
func (s *scenery) close() (err error) {
	<-s.ready
	for _, c := range s.screens {
		err = errors.Join(err, c.feed.close())
	}
	return err
}

// open makes the screen of a pane, with its clip read up to its first picture.
func (r *renderer) open(ctx context.Context, seg Segment, p Pane) (*screen, error) {
	part := p.part(r.plan.Sources[p.Source])
	d, err := openFeed(ctx, r.heads[p.Source], part, r.o.Clip)
	if err != nil {
		return nil, err
	}
	first, _ := Time(p.Runs, 0, r.plan.Rate)
	a, err := newArtist(seg, p, r.plan.Sources, r.found)
	if err == nil {
		_, err = d.at(first)
	}
	if err != nil {
		return nil, errors.Join(err, d.close())
	}
	view, size := p.View, d.cur
	view.X, view.Y = view.X+view.Scale*float64(part.Area.Min.X), view.Y+view.Scale*float64(part.Area.Min.Y)
	return &screen{pane: p, feed: d, artist: a, shown: -1, drawn: moment{frame: -1},
		resampler: newResampler(size.Width, size.Height, part.Siting(d.reader.Info()), p.Box, view, p.Turn)}, nil
}
