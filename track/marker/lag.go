package marker

import (
	"math"
	"slices"

	"strokereel/track"
)

// A codec leaves out changes that are too small to be worth their bits. The picture
// of a sticker that moves slowly therefore stays where it was until it is so far
// behind that the change is worth them, and is mended little by little when the
// sticker has stopped; a quicker one is moved along with its block. The distances
// are alike at 60 and 120 frames/s.
const (
	// chromaLag is the most that the colour planes show it behind, px. Luma, shifted by
	// quarters of a pixel, keeps up with it. The figures of this file are those of
	// rendered clips.
	chromaLag = 0.25
	// uLag is the standard uncertainty of that from clip to clip and from one moment to
	// another, as a share.
	uLag = 0.6
	// uLumaLag is the standard uncertainty of what luma may lag by all the same, px.
	uLumaLag = 0.03
	// lagTo is the speed, px per frame, at which two thirds of the most are gone.
	lagTo = 0.55
	// lagSpan is how many frames on either side tell the motion that a frame lags.
	lagSpan = 3
	// lagKept is the share of a lag that is left a frame later.
	lagKept = 0.85
)

// lag is what is known beforehand of how far a sample is seen behind its place.
type lag struct {
	most   float64 // px
	u      float64 // standard uncertainty of it, px
	mended float64 // share of it that the codec put right in this frame
}

// catchUp puts each sample forward, along its motion, by what it lags. Keys are the
// frames coded by themselves, which lag by nothing.
func catchUp(samples []track.Sample, lags []lag, keys []int) {
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
func catchUpBetween(samples []track.Sample, lags []lag, key bool) {
	seen := slices.Clone(samples)
	var x, y float64 // how far the picture is behind
	for i := range samples {
		if !seen[i].Seen || key && i == 0 {
			continue
		}
		vx, vy, u := drift(seen[max(0, i-lagSpan):min(len(seen), i+lagSpan+1)])
		v2 := vx*vx + vy*vy
		// What is as likely noise is believed by half.
		believed := v2 / math.Max(v2+2*u*u, math.SmallestNonzeroFloat64)
		left := 1 - lags[i].mended
		x, y = left*(lagKept*x+believed*vx), left*(lagKept*y+believed*vy)
		if most, l := lags[i].most*math.Exp(-v2/(lagTo*lagTo)), math.Hypot(x, y); l > most {
			x, y = x*most/l, y*most/l
		}
		samples[i].X += x
		samples[i].Y += y
	}
}

const (
	// A picture that changes by mendFrom px more than the motion explains begins to
	// make up for its lag, by mendFull px more it has made up for all of it.
	mendFrom, mendFull = 0.25, 0.65
	// mendTo is the speed, px per frame, at which two thirds of that are gone: beyond
	// it what is drawn anew is the motion.
	mendTo = 0.1
	// paceFrom and paceTo are the speeds, px per frame, at which the picture follows
	// and its change is in proportion; paceOf frames at least tell it.
	paceFrom, paceTo, paceOf = 1, 2.5, 5
)

// mended tells for each sample of a spot how much of its lag the codec put right in
// that frame: the picture of what hardly moves then changes by more than the motion
// explains.
func (s *Spot) mended() []lag {
	speed := make([]float64, len(s.samples))
	var perPx []float64 // levels per px moved
	for i := range s.samples {
		vx, vy, _ := drift(s.samples[max(0, i-lagSpan):min(len(s.samples), i+lagSpan+1)])
		speed[i] = math.Hypot(vx, vy)
		if d := s.details[i].change; s.samples[i].Seen && speed[i] > paceFrom && speed[i] < paceTo && !math.IsNaN(d) {
			perPx = append(perPx, d/speed[i])
		}
	}
	out := make([]lag, len(s.samples))
	if len(perPx) < paceOf || middle(perPx) <= 0 {
		return out
	}
	pace := middle(perPx)
	for i := range out {
		if d := s.details[i].change; s.samples[i].Seen && !math.IsNaN(d) {
			hardly := math.Exp(-speed[i] * speed[i] / (mendTo * mendTo))
			out[i].mended = hardly * clamp((d/pace-speed[i]-mendFrom)/(mendFull-mendFrom), 0, 1)
		}
	}
	return out
}

// lags is what is known beforehand of how far each sample of a spot lags.
func (s *Spot) lags(a comparison) []lag {
	out := s.mended()
	for i, p := range s.samples {
		out[i].most, out[i].u = chromaLag, uLag*chromaLag
		if l := s.details[i].luma; p.Seen && l.u > 0 {
			wc, wl := a.weights(p, s.details[i])
			out[i].most = wc * chromaLag / (wc + wl)
			out[i].u = (wc*uLag*chromaLag + wl*uLumaLag) / (wc + wl)
		}
	}
	return out
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
	if !s.repeats(t.keys) {
		return 0
	}
	var lags []float64
	for i, l := range s.lags(t.against(s)) {
		if s.samples[i].Seen {
			lags = append(lags, l.u)
		}
	}
	if len(lags) == 0 {
		return uLag * chromaLag
	}
	return median(lags)
}
