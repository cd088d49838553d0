package reel

import (
	"image"
	"strings"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// beside is the share of a pane's width that is free beside the player.
const beside = 0.38

// noticeWide is the share of a pane's width that a notice may take where the
// player is not.
const noticeWide = 0.9

// artist draws what is said about one pane.
type artist struct {
	canvas   *overlay.Canvas
	view     overlay.View
	elements []overlay.Element
	ending   []overlay.Element // drawn at the stop at the end
	objects  map[int][]overlay.Object
}

// newArtist prepares the drawings of a pane of a segment.
func newArtist(seg Segment, p Pane, sources []Source, found []lesson.Findings) (*artist, error) {
	on := p.canvas()
	c, err := overlay.NewCanvas(on.W, on.H)
	if err != nil {
		return nil, err
	}
	a := &artist{canvas: c, view: overlay.View{Scale: p.View.Scale, X: p.View.X, Y: p.View.Y + float64(p.Head)}}
	src, own := sources[p.Source], found[p.Source]
	own.Observed = p.tracks(src, own.Observed)
	src = p.shown(src)
	role := roleOf(src.Role)
	tag := scene.NewTag(role, slowest(p.Runs))
	a.elements = []overlay.Element{tag}
	if notice := strings.TrimSpace(src.Notice + " " + p.Notice); notice != "" {
		n := scene.NewNotice(notice)
		switch n.Wide = noticeWide; {
		case p.Head > 0:
			n.Slot = overlay.TopLeft
		case len(seg.Panes) > 1 && src.Ground == nil:
			// It is not known where the ground is, and in the middle stands the player.
			n.Slot, n.Wide = overlay.TopRight, beside
		}
		a.elements = append(a.elements, n)
	}
	if src.Stroke < 0 {
		return a, nil
	}
	stance, err := scene.NewStance(src.Ground.scene(), src.head)
	if err != nil {
		return nil, err
	}
	a.elements = append(a.elements, stance)
	if seg.Kind == Full {
		return a, nil
	}
	a.objects = objects(own, src)
	stroke := own.Report.Strokes[src.Stroke]
	drawn, err := strokeElements(src, stroke, own, len(seg.Panes))
	if err != nil {
		return nil, err
	}
	if seg.Kind == Slow {
		a.elements = append(a.elements, timers(stroke)...)
	}
	for _, e := range drawn {
		if e, ok := e.(*scene.Eyes); ok {
			e.Away, e.Head = stance, float64(p.Head)
		}
	}
	a.elements = append(a.elements, drawn...)
	if seg.Kind == Both {
		compare, err := compared(src, seg.Panes, sources, found)
		if err != nil {
			return nil, err
		}
		if compare != nil {
			a.ending = []overlay.Element{tag, stance, compare}
		}
	}
	return a, nil
}

// slowest is the speed of the moving runs.
func slowest(runs []Run) float64 {
	speed := 1.0
	for _, r := range runs {
		if r.Speed > 0 {
			speed = min(speed, r.Speed)
		}
	}
	return speed
}

// What must stay visible around an object's centre, m: a putter head behind its
// sticker, and a ball.
var keepRadius = map[string]float64{track.Putter: 0.03, track.Ball: ballRadius}

// objects lists what was seen in each frame, with head and hands.
func objects(f lesson.Findings, src Source) map[int][]overlay.Object {
	out := map[int][]overlay.Object{}
	for _, o := range f.Observed {
		for _, s := range o.Track.Samples {
			if s.Seen {
				out[s.Frame] = append(out[s.Frame], overlay.Object{Name: o.Track.Object, X: s.X, Y: s.Y, U: s.U,
					Radius: keepRadius[o.Track.Object] * src.PxPerM})
			}
		}
	}
	for i, seen := range out {
		out[i] = scene.Visible(seen, src.PxPerM)
	}
	return out
}

// moment is what an artist draws: a frame of the clip, a time on its clock, and
// whether it is the stand at the end.
type moment struct {
	frame int
	t     float64
	end   bool
}

// momentOf is the moment of a frame of the clip that is shown in a run. At a
// stop the nearest frame may be a little early or late; what is drawn is of the
// event itself.
func momentOf(f *track.Frame, r Run) moment {
	m := moment{frame: f.Index, t: f.T, end: r.At == atEnd}
	if r.At != "" && !m.end {
		m.t = r.FromS
	}
	return m
}

// draw draws a moment on an image of the pane.
func (a *artist) draw(img *image.RGBA, m moment) error {
	c := a.canvas
	if err := c.Begin(img); err != nil {
		return err
	}
	elements := a.elements
	if m.end && a.ending != nil {
		elements = a.ending
	}
	overlay.Draw(c, overlay.Moment{T: m.t, View: a.view, Objects: a.objects[m.frame]}, elements...)
	return c.Err()
}

// still reports whether the artist draws the same at every moment.
func (a *artist) still() bool { return a.objects == nil && a.ending == nil }
