package reel

import (
	"image"
	"testing"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
)

// cameras are ways in which phones stand and players play; of none of the players
// anything but the putter was seen.
func cameras() map[string]filmed {
	near, far, upright, square, left, long, low, aside := usual(), usual(), usual(), usual(), usual(), usual(), usual(), usual()
	near.perM, near.y = 720, 1010
	far.perM, far.y = 260, 800
	upright.w, upright.h, upright.perM, upright.x, upright.y = 1080, 1920, 520, 500, 1500
	square.w, square.perM, square.x, square.y = 1440, 600, 700, 1035
	left.left = true
	long.back, long.through = 0.7, 0.9
	low.perM, low.y = 600, 1050 // the ground is at the lower edge
	aside.x, aside.perM, aside.back = 330, 600, 0.3
	return map[string]filmed{"at the side": aside, "usual": usual(), "near": near, "far": far, "held upright": upright, "four to three": square,
		"left-handed": left, "a long putt": long, "low": low}
}

// panesOf calls f with every pane of the parts that show a clip alone or beside
// another, in both shapes.
func panesOf(t *testing.T, l Lesson, f func(t *testing.T, p Plan, found []lesson.Findings, seg Segment, pane Pane)) {
	for _, shape := range []Shape{Wide, Tall} {
		t.Run(string(shape), func(t *testing.T) {
			p := planOf(t, l, shape, DefaultOptions())
			for _, seg := range p.Segments {
				for _, pane := range seg.Panes {
					f(t, p, []lesson.Findings{l.Before[0].Findings, l.After[0].Findings}, seg, pane)
				}
			}
		})
	}
}

// The head is in the picture wherever the clip has it, and the putt line leaves
// the room that lengths take.
func TestFramingShowsTheHeadAndLeavesRoom(t *testing.T) {
	for name, in := range cameras() {
		t.Run(name, func(t *testing.T) {
			panesOf(t, lessonOf(in.measured(), second().measured()), func(t *testing.T, p Plan, _ []lesson.Findings, seg Segment, pane Pane) {
				src := p.Sources[pane.Source]
				high, short := float64(pane.Box.H), float64(min(pane.canvas().W, pane.canvas().H))
				top := pane.View.Y + pane.View.Scale*max(0, src.Ground.Y-scene.AnyHead.High*src.PxPerM)
				if cut := -top; cut > hairline*high {
					t.Errorf("%s of source %d: %.0f px of the head are cut off", seg.Kind, pane.Source, cut)
				}
				if len(seg.Panes) == 1 && p.Shape == Wide {
					return // beside the stroke there is room
				}
				putt := pane.View.Y + pane.View.Scale*src.Ground.Y
				if room := (high - putt) / short; room < lengthHigh-1e-9 {
					t.Errorf("%s of source %d: %.3f of the frame are left below the putt line, lengths need %.3f", seg.Kind, pane.Source, room, lengthHigh)
				}
			})
		})
	}
}

// A clip with numbers keeps that room beside one without.
func TestFramingBesideAClipWithoutNumbers(t *testing.T) {
	click := 2.5
	blind := withoutNumbers(usual().measured(), "no_sticker")
	blind.Click = &click
	panesOf(t, lessonOf(blind, second().measured()), func(t *testing.T, p Plan, _ []lesson.Findings, seg Segment, pane Pane) {
		src := p.Sources[pane.Source]
		if seg.Kind != Both || src.Ground == nil {
			return
		}
		high, short := float64(pane.Box.H), float64(min(pane.Box.W, pane.Box.H))
		if room := (high - pane.View.Y - pane.View.Scale*src.Ground.Y) / short; room < linesRoom-1e-9 {
			t.Errorf("%.3f are left below the putt line, want %.3f", room, linesRoom)
		}
	})
}

// Over the whole cut nothing is written on the head, and no text is left out.
func TestNothingIsWrittenOnTheHead(t *testing.T) {
	for name, in := range cameras() {
		t.Run(name, func(t *testing.T) {
			panesOf(t, lessonOf(in.measured(), second().measured()), func(t *testing.T, p Plan, found []lesson.Findings, seg Segment, pane Pane) {
				if seg.Kind == Full {
					return
				}
				a, err := newArtist(seg, pane, p.Sources, found)
				if err != nil {
					t.Fatal(err)
				}
				on, src := pane.canvas(), p.Sources[pane.Source]
				head := headBox(a.view, src).Pixels().Intersect(image.Rect(0, 0, on.W, on.H))
				const step = 37 // frames
				for i := 0; i < seg.Frames; i += step {
					at, run := Time(pane.Runs, i, p.Rate)
					img := image.NewRGBA(image.Rect(0, 0, on.W, on.H))
					if err := a.canvas.Begin(img); err != nil {
						t.Fatal(err)
					}
					elements := a.elements
					if run.At == atEnd && a.ending != nil {
						elements = a.ending
					}
					m := overlay.Moment{T: at, View: a.view, Objects: a.objects[int(at*60)]}
					if left := overlay.Draw(a.canvas, m, elements...); len(left) > 0 {
						t.Errorf("%s of source %d at %.2f s: no room for %q", seg.Kind, pane.Source, at, left)
					}
					if x, y, yes := drawnOn(img, head); yes {
						t.Fatalf("%s of source %d at %.2f s: drawn at %d, %d, on the head %v", seg.Kind, pane.Source, at, x, y, head)
					}
				}
			})
		})
	}
}

// headBox is where a head may be on the canvas.
func headBox(v overlay.View, s Source) overlay.Box {
	g, h := s.Ground, s.head
	return overlay.Span(v.At(g.X+h.From*g.DX, g.Y-h.Low*s.PxPerM), v.At(g.X+h.To*g.DX, g.Y-h.High*s.PxPerM)).Grow(-2)
}

func drawnOn(img *image.RGBA, r image.Rectangle) (x, y int, yes bool) {
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if img.Pix[img.PixOffset(x, y)+3] > 0 {
				return x, y, true
			}
		}
	}
	return 0, 0, false
}
