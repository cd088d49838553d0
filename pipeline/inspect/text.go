package inspect

import (
	"fmt"
	"image"
	"image/color"

	"strokereel/overlay"
	"strokereel/track"
	"strokereel/track/phase"
)

// Sizes of type in the text of the film, shares of its shorter side.
const (
	headType overlay.Share = 0.056
	bodyType overlay.Share = 0.045
)

// legend says what the drawing means.
const legend = "In colour: of a sticker's colour; in strong colour: it stands out too. Dashed: where was looked. Crossed: not taken."

// mostFaults is how many reasons have room in a frame.
const mostFaults = 8

// drawText says what the numbers in a frame mean.
func (a *artist) drawText(to *image.RGBA, f *track.Frame, looks []track.Glance) error {
	c := a.text
	if err := c.Begin(to); err != nil {
		return err
	}
	x, y := 0.05*c.Frame().W(), 0.04*c.Frame().H()
	say := func(size overlay.Share, w overlay.Weight, ink color.RGBA, format string, args ...any) {
		run := overlay.Run{Text: fmt.Sprintf(format, args...), Size: size, Weight: w, Colour: ink}
		for _, row := range c.Wrap(run, 0.92*c.Frame().W()) {
			c.Write(overlay.Point{X: x, Y: y}, row)
			y += c.Height(row)
		}
	}
	say(headType, overlay.Bold, overlay.Chalk, "frame %d, %.4f s", f.Index, f.T)
	say(bodyType, overlay.Regular, overlay.Mist, "%s", a.phaseAt(f.T))
	y += 0.02 * c.Frame().H()
	say(bodyType, overlay.Medium, overlay.Yellow, "sticker: %s", a.sticker(f, looks))
	say(bodyType, overlay.Medium, overlay.Sky, "ball: %s", ballIn(looks))
	y += 0.02 * c.Frame().H()
	n := 0
	for _, g := range looks {
		if g.Taken() {
			continue
		}
		if n++; n <= mostFaults {
			say(bodyType, overlay.Regular, overlay.Chalk, "%d  %s: %s", n, noun[g.Finder], g.Why)
		}
	}
	switch {
	case n > mostFaults:
		say(bodyType, overlay.Regular, overlay.Mist, "and %d more", n-mostFaults)
	case len(looks) == 0:
		say(bodyType, overlay.Regular, overlay.Mist, "nothing was looked at: no spot stands out")
	case n == 0:
		say(bodyType, overlay.Regular, overlay.Mist, "everything looked at was taken")
	}
	y = 0.84 * c.Frame().H()
	say(bodyType, overlay.Regular, overlay.Mist, "%s", legend)
	return c.Err()
}

// sticker tells of the putter's sticker in a frame.
func (a *artist) sticker(f *track.Frame, looks []track.Glance) string {
	p := a.Result.Parts.Putter
	for _, s := range p.Track.Samples {
		if s.Frame != f.Index || !s.Seen {
			continue
		}
		text := fmt.Sprintf("± %.2f px", track.Coverage*s.U)
		for _, g := range looks {
			if g.Finder == track.Putter && g.ID == p.ID && g.Taken() {
				text += fmt.Sprintf(", misfit %.2f, radius %.1f px", g.Score, g.Radius)
			}
		}
		if a.strays[f.Index] {
			text += ", left out: far from its neighbours"
		}
		return text
	}
	return "not seen"
}

// ballIn tells of the ball that was followed in a frame.
func ballIn(looks []track.Glance) string {
	for _, g := range looks {
		if g.Finder == track.Ball && g.ID != track.NoID && g.Taken() {
			return fmt.Sprintf("edge of %.0f levels", g.Score)
		}
	}
	for _, g := range looks {
		if g.Finder == track.Ball && g.ID != track.NoID {
			return "followed, not seen"
		}
	}
	return "none is followed"
}

// phaseAt is the part of the stroke at a time.
func (a *artist) phaseAt(t float64) string { return phaseOf(a.Result.Strokes, t) }

// parts are the parts of a stroke, each up to an event.
var parts = []struct{ name, until string }{
	{"address", track.Start}, {"backstroke", track.Top}, {"downstroke", track.Impact}, {"follow-through", track.Stop}, {"hold", track.HoldEnd},
}

func phaseOf(strokes []phase.Stroke, t float64) string {
	for _, s := range strokes {
		for _, p := range parts {
			if e := s.Event(p.until); e.Known() && t < e.T {
				return fmt.Sprintf("stroke %d: %s", s.Index+1, p.name)
			}
		}
	}
	if len(strokes) == 0 {
		return "no stroke was found"
	}
	return "after the stroke"
}
