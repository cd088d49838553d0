package marker

import (
	"math"
	"slices"

	"strokereel/track"
)

// CatchUp puts the samples of a patch that was found by its colour, px, forward by
// what the codec lets it lag in slow motion. Keys are the frames coded by
// themselves.
func CatchUp(samples []track.Sample, keys []int) {
	seen := slices.Clone(samples)
	lags := make([]lag, len(samples))
	for i := range lags {
		lags[i].most = colourLag
	}
	catchUp(samples, lags, keys)
	last := 0
	for i, s := range seen {
		if _, found := slices.BinarySearch(keys, s.Frame); found {
			catchUpToKey(samples, seen, last, i)
			last = i
		}
	}
}

const (
	// colourLag is the most that a patch lags which is told by its colour alone, as
	// those far from the putter are, on which codecs spend less, px.
	colourLag = 0.25
	// stoodFrames on either side of a key frame tell whether a patch stands still
	// there: it drifts by no more than stoodDrift, px per frame.
	stoodFrames, stoodDrift = 5, 0.04
	// stoodNear is how far, px, a patch that stands still may be seen from its place.
	stoodNear = 0.15
	// mostJump is the largest lag, px: what a patch is farther off in a key frame, it
	// has crept.
	mostJump = 0.5
)

// catchUpToKey puts a patch that came to a stop between two key frames, the samples
// last and k, forward by what it jumps at the second along its last motion: that is
// what it had lagged. Seen are the samples as they were seen.
func catchUpToKey(samples, seen []track.Sample, last, k int) {
	if k-last < stoodFrames || k+stoodFrames > len(seen) {
		return
	}
	before, still := stood(seen[k-stoodFrames : k])
	after, stays := stood(seen[k : k+stoodFrames])
	if !still || !stays {
		return
	}
	stop := k
	for stop > last+1 && seen[stop-1].Seen && math.Hypot(seen[stop-1].X-before.X, seen[stop-1].Y-before.Y) <= stoodNear {
		stop--
	}
	vx, vy, _ := drift(seen[max(0, stop-lagSpan) : stop+1])
	v := math.Hypot(vx, vy)
	if v < stoodDrift {
		return
	}
	lag := math.Max(0, math.Min(mostJump, ((after.X-before.X)*vx+(after.Y-before.Y)*vy)/v))
	for i := stop; i < k; i++ {
		samples[i].X, samples[i].Y = seen[i].X+lag*vx/v, seen[i].Y+lag*vy/v
	}
}

// stood returns the middle of samples and whether all are seen and stand still.
func stood(samples []track.Sample) (at track.Sample, still bool) {
	var x, y []float64
	for _, s := range samples {
		if !s.Seen {
			return at, false
		}
		x, y = append(x, s.X), append(y, s.Y)
	}
	vx, vy, _ := drift(samples)
	return track.Sample{X: median(x), Y: median(y)}, math.Hypot(vx, vy) <= stoodDrift
}
