package marker

import (
	"math"
	"slices"

	"strokereel/track"
)

// A codec leaves out changes that are too small to be worth their bits. A sticker
// that moves less than half a pixel from frame to frame is therefore seen behind
// its place, by nearly the same distance at a tenth and at a third of a pixel per
// frame and at 60 and 120 frames/s; a quicker one is moved along with its block.
const (
	// chromaLag and lumaLag are the most it is behind, px. The figures of this
	// file are those of rendered clips.
	chromaLag, lumaLag = 0.2, 0.12
	// uLag is the standard uncertainty of that from clip to clip, as a share.
	uLag = 0.55
	// lagFrom and lagTo are the speeds, px per frame, at which two thirds of the lag
	// are reached and two thirds are gone.
	lagFrom, lagTo = 0.03, 0.55
	// lagSpan is how many frames on either side tell the motion that a frame lags.
	lagSpan = 3
	// lagKept is the share of a lag that is left a frame later when the sticker has
	// stopped: the codec mends what stands still little by little.
	lagKept = 0.85
)

// catchUp puts each sample forward, along its motion, by what it lags: lags are the
// most it may, px, keys the frames coded by themselves, which lag by nothing.
func catchUp(samples []track.Sample, lags []float64, keys []int) {
	isKey := func(i int) bool { _, found := slices.BinarySearch(keys, samples[i].Frame); return found }
	for from := 0; from < len(samples); {
		to := from + 1
		for to < len(samples) && !isKey(to) {
			to++
		}
		catchUpBetween(samples[from:to], lags[from:to], isKey(from))
		from = to
	}
}

// catchUpBetween is catchUp for the frames from one key frame to the next: what a
// sticker jumps there is no motion.
func catchUpBetween(samples []track.Sample, lags []float64, key bool) {
	seen := slices.Clone(samples)
	var x, y float64 // how far the picture is behind
	for i := range samples {
		if !seen[i].Seen || key && i == 0 {
			continue
		}
		vx, vy, u := drift(seen[max(0, i-lagSpan):min(len(seen), i+lagSpan+1)])
		v := math.Hypot(vx, vy)
		fades := lagKept * math.Exp(-v*v/(lagTo*lagTo))
		x, y = fades*x, fades*y
		// What is as likely noise is believed by half.
		if l := lags[i] * lagShare(v) * v * v / (v*v + 2*u*u); l > math.Hypot(x, y) {
			x, y = l*vx/v, l*vy/v
		}
		samples[i].X += x
		samples[i].Y += y
	}
}

// lagShare is the share of the most a sticker may lag at a speed, px per frame.
func lagShare(v float64) float64 {
	return (1 - math.Exp(-v/lagFrom)) * math.Exp(-v*v/(lagTo*lagTo))
}

// drift returns the median step through samples, px per frame, and its standard
// uncertainty by their scatter; nothing when too few are seen. A codec that mends a
// block makes the picture jump once: that is no motion.
func drift(samples []track.Sample) (vx, vy, u float64) {
	const fewest = 3
	var dx, dy []float64
	for i := 1; i < len(samples); i++ {
		if p, q := samples[i-1], samples[i]; p.Seen && q.Seen {
			dx, dy = append(dx, q.X-p.X), append(dy, q.Y-p.Y)
		}
	}
	if len(dx) < fewest {
		return 0, 0, 0
	}
	vx, vy = middle(dx), middle(dy)
	var rest float64
	for i := range dx {
		rest += (dx[i]-vx)*(dx[i]-vx) + (dy[i]-vy)*(dy[i]-vy)
	}
	// Neighbouring steps share a sample, so that errors of places cancel in a sum.
	n := float64(len(dx))
	return vx, vy, math.Sqrt(rest / (2 * n) / (3 * n))
}

// middle is the median, of an even number the mean of the two in the middle, so
// that the mirror image of a motion has that of its middle.
func middle(v []float64) float64 {
	s := slices.Sorted(slices.Values(v))
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}

// ULag is the standard uncertainty, px, of how far a spot that moves slowly is seen
// from its place.
func (t *Tracker) ULag(s *Spot) float64 {
	a := t.against(s)
	var lags []float64
	for i, p := range s.samples {
		switch l := s.luma[i]; {
		case !p.Seen:
		case l.u > 0:
			wc, wl := a.weights(p.U, l.u)
			lags = append(lags, uLag*(wc*chromaLag+wl*lumaLag)/(wc+wl))
		default:
			lags = append(lags, uLag*chromaLag)
		}
	}
	if len(lags) == 0 {
		return uLag * chromaLag
	}
	return median(lags)
}
