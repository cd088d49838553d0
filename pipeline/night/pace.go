package night

import "time"

// pace learns from what is done how long the rest will take. Clips are measured on
// some lanes, reels are drawn one after the other beside them: the slower of the
// two decides, and the last reel follows the last clip.
type pace struct {
	lanes        int
	clips, reels work
}

// work of one kind, in units that take about equally long.
type work struct {
	done, all float64
	took      time.Duration
}

// rest is how long the units that are left take one after the other, by what a
// unit took so far; ok is false before the first.
func (w work) rest() (rest time.Duration, ok bool) { return w.of(w.all - w.done) }

func (w work) of(units float64) (time.Duration, bool) {
	if w.done == 0 {
		return 0, w.all == 0
	}
	return time.Duration(float64(w.took) * units / w.done), true
}

// left is how long the rest will take, 0 when it cannot be told yet.
func (p *pace) left() time.Duration {
	clips, okClips := p.clips.rest()
	reels, okReels := p.reels.rest()
	last, _ := p.reels.of(min(1, p.reels.all-p.reels.done))
	if !okClips || !okReels {
		return 0
	}
	return max(clips/time.Duration(p.lanes)+last, reels)
}
