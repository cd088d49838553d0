package marker

import "strokereel/track"

// Why a look at a place shows no sticker that can be taken: with the number found
// and the limit it broke.
const (
	offPicture  = "its window leaves the picture"
	pale        = "stands out by %.0f levels, least %.0f"
	sparse      = "%.2f of a disc is there, least %.2f"
	noDisc      = "no disc fits"
	elsewhere   = "the disc lies %.0f px aside, most %.0f"
	poorFit     = "misfit %.2f, most %.2f"
	tooSmall    = "radius %.1f px, least %.1f"
	tooLarge    = "radius %.1f px, most %.1f"
	tooFar      = "%.0f px from where it should be, most %.0f"
	otherColour = "colour %.1f times as far off as another light may make it, most %.0f"
	shrunk      = "%.2f times as large as before, least %.2f"
	swollen     = "%.2f times as large as before, most %.2f"
	tooUnsure   = "its place is known to %.1f px, wanted %.1f"
	outOfSight  = "given up: not seen for %.2f s, most %.2f"
	noSticker   = "given up: no disc of one colour, mean misfit %.2f, most %.2f"
	flickers    = "given up: seen in %.0f of its first %.0f frames"
)

type fault = track.Fault

// tell lets a listener hear of a look at (x, y) for a spot, nil for a fresh one.
func (t *Tracker) tell(f *track.Frame, s *Spot, x, y, reach float64, l look, bad fault) {
	if t.Listen == nil {
		return
	}
	g := track.Glance{Frame: f.Index, T: f.T, Finder: track.Putter, ID: track.NoID, X: x, Y: y, W: reach, H: reach,
		Found: l.radius > 0, FX: l.x, FY: l.y, Radius: l.radius, Score: l.rms, Why: bad}
	if s != nil {
		g.ID = s.ID
	}
	t.Listen(g)
}

// tellUnsure lets a listener hear that a sighting is not taken after all.
func (t *Tracker) tellUnsure(s *Spot, p track.Sample) {
	if t.Listen != nil {
		t.Listen(track.Glance{Frame: p.Frame, T: p.T, Finder: track.Putter, ID: s.ID, X: p.X, Y: p.Y, Why: fault{Text: tooUnsure, Got: p.U, Limit: mostU}})
	}
}

// tellRetired lets a listener hear of a spot that is given up.
func (t *Tracker) tellRetired(now float64, s *Spot, bad bool) {
	if t.Listen == nil {
		return
	}
	why := fault{Text: outOfSight, Got: now - s.lastT, Limit: t.opt.MaxGap}
	switch {
	case bad && s.rms > t.worst(junkRMS):
		why = fault{Text: noSticker, Got: s.rms, Limit: t.worst(junkRMS)}
	case bad:
		why = fault{Text: flickers, Got: float64(s.seen), Limit: float64(len(s.samples))}
	}
	t.Listen(track.Glance{Frame: s.samples[len(s.samples)-1].Frame, T: now, Finder: track.Putter, ID: s.ID, X: s.x, Y: s.y, Why: why})
}
