package ball

import "strokereel/track"

// Why a look for a ball took nothing: with the number found and the limit.
const (
	nothingRound = "nothing round stands out here"
	notStillYet  = "lies still for %.2f s, a ball for at least %.2f"
	faintEdge    = "edge of %.0f levels, least %.0f"
	shifted      = "edge %.1f px from its place, most %.1f"
	notAway      = "%.1f px from its place, a ball on its way is at least %.1f"
	lost         = "given up: not seen in %.0f frames"
	farEnough    = "followed far enough"
	notGone      = "given up: gone from its place, not seen leaving"
)

type fault = track.Fault

// tell lets a listener hear of a look for a ball in a window; a fresh one has the
// identity track.NoID.
func (fd *Finder) tell(f *track.Frame, id int, w window, c circle, bad fault) {
	if fd.Listen == nil {
		return
	}
	fd.Listen(track.Glance{Frame: f.Index, T: f.T, Finder: track.Ball, ID: id,
		X: (w.x0 + w.x1) / 2, Y: (w.y0 + w.y1) / 2, W: (w.x1 - w.x0) / 2, H: (w.y1 - w.y0) / 2,
		Found: c.score > 0, FX: c.x, FY: c.y, Radius: c.r, Score: c.score, Why: bad})
}

// faint tells whether a circle's edge stands out less than a ball's must.
func faint(c circle, least float64) fault {
	switch {
	case c.score == 0:
		return fault{Text: nothingRound}
	case c.score <= least:
		return fault{Text: faintEdge, Got: c.score, Limit: least}
	}
	return fault{}
}
