package night

import "time"

// pace learns from what is done how long the rest will take. Work is the time
// that clips and reels took side by side; how much of it is done in a second
// tells how much the machine does at once.
type pace struct {
	began        time.Time
	clips, reels work
}

// work of one kind, in units that take about equally long.
type work struct {
	done, all float64
	took      time.Duration
}

// rest is the work that is left, by what a unit took so far.
func (w work) rest() (time.Duration, bool) {
	if w.done == 0 {
		return 0, w.all == 0
	}
	return time.Duration(float64(w.took) * (w.all - w.done) / w.done), true
}

// left is how long the rest will take, 0 when it cannot be told yet.
func (p *pace) left(now time.Time) time.Duration {
	clips, okClips := p.clips.rest()
	reels, okReels := p.reels.rest()
	if !okClips || !okReels {
		return 0
	}
	work, passed := p.clips.took+p.reels.took, now.Sub(p.began)
	return time.Duration(float64(clips+reels) * float64(passed) / float64(work))
}
