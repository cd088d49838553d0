package marker

import (
	"math"
	"slices"

	"strokereel/track"
)

// A codec draws what moves as a part of the frame before, shifted by whole steps of a
// pixel or of a fraction of one, and codes the rest only as far as it is worth its bits.
// So a sticker is drawn between its place and where the shift alone would put it: its
// way since the frame before is pulled toward whole steps.
//
// How much depends on the encoder, and is told by the motion of the clip itself.
type pull [len(pullSteps)]float64 // px, the most for each kind of step, none below zero

// pullSteps are the steps, px, by which encoders shift (ITU-T H.264, 8.4.2.2: quarters
// of a sample; a quick search stops at whole ones).
var pullSteps = [...]float64{1, 0.5, 0.25}

const (
	// pullU is how much a way is pulled as far as is known beforehand (standard
	// deviation), as a share of the step: at most half of it.
	pullU = 0.1
	// pullOverlap is how many stretches of five frames, each a frame later than the one
	// before, tell as much as one.
	pullOverlap = 2
	// pullRounds settle the few kinds of steps, which hardly look alike in ways of all
	// lengths.
	pullRounds = 50
)

// of is how far a place is drawn from where it is when its way, px, was so long.
func (p pull) of(way float64) (off float64) {
	for k, step := range pullSteps {
		off += p[k] * stepped(way, step)
	}
	return off
}

// stepped is how far a place is drawn from where it is by a pull of 1 px: short of a way
// that is a little more than whole steps, beyond one that is a little less.
func stepped(way, step float64) float64 { return -math.Sin(2 * math.Pi * way / step) }

// unpulled returns a spot whose places lie where they would without the pull, told by
// the places that both kinds of fit show together.
func (s *Spot) unpulled(seen []track.Sample, keys []int) *Spot {
	ways := waysOf(seen, keys)
	p := learnPull(seen, ways)
	out := *s
	out.samples, out.details = slices.Clone(s.samples), slices.Clone(s.details)
	for i, w := range ways {
		if !w.known {
			continue
		}
		// What is slow stays behind as a whole, which is no matter of steps.
		moves := 1 - math.Exp(-(w.x*w.x+w.y*w.y)/(lagTo*lagTo))
		x, y := moves*p.of(w.x), moves*p.of(w.y)
		out.samples[i].X -= x
		out.samples[i].Y -= y
		out.details[i].luma.x -= x
		out.details[i].luma.y -= y
	}
	return &out
}

// way is how far a spot is drawn from where it was drawn in the frame before, px.
type way struct {
	x, y  float64
	known bool
}

// waysOf are the ways of samples. A frame that is coded by itself is not drawn from the
// one before.
func waysOf(samples []track.Sample, keys []int) []way {
	out := make([]way, len(samples))
	for i := 1; i < len(samples); i++ {
		p, q := samples[i-1], samples[i]
		if _, key := slices.BinarySearch(keys, q.Frame); p.Seen && q.Seen && q.Frame == p.Frame+1 && !key {
			out[i] = way{q.X - p.X, q.Y - p.Y, true}
		}
	}
	return out
}

// learnPull fits the pull to fourth differences, in which a stroke nearly vanishes,
// against what is known of it beforehand.
func learnPull(samples []track.Sample, ways []way) (p pull) {
	var got []float64
	var base []pull
	for i := 4; i < len(samples); i++ {
		of := samples[i-4 : i+1]
		if slices.ContainsFunc(ways[i-4:i+1], func(w way) bool { return !w.known }) || !evenly(of) {
			continue
		}
		if math.Abs(of[4].X-of[0].X) > errsMoved {
			got = append(got, fourth(func(k int) float64 { return of[k].X }))
			base = append(base, pullTerms(func(k int) float64 { return ways[i-4+k].x }))
		}
		if math.Abs(of[4].Y-of[0].Y) > errsMoved {
			got = append(got, fourth(func(k int) float64 { return of[k].Y }))
			base = append(base, pullTerms(func(k int) float64 { return ways[i-4+k].y }))
		}
	}
	if len(got) < errsOf {
		return pull{}
	}
	rest := slices.Clone(got)
	for range 3 {
		if p = fitPull(got, base, scatter(slices.Clone(rest))); p == (pull{}) {
			break
		}
		for i := range rest {
			rest[i] = got[i]
			for k := range p {
				rest[i] -= p[k] * base[i][k]
			}
		}
	}
	return p
}

// pullTerms are the fourth differences of what each kind of step does.
func pullTerms(way func(int) float64) (t pull) {
	for k, step := range pullSteps {
		t[k] = fourth(func(i int) float64 { return stepped(way(i), step) })
	}
	return t
}

// fitPull is the least-squares fit to differences that scatter by so much, with no pull
// below zero: toward whole steps a codec pulls, but it pushes nothing away from them, and
// what looks like that is other errors of the codec (Gauss-Seidel steps, each kept within
// what is allowed: Cryer, SIAM Journal on Control 9, 1971, 385-392, from memory).
func fitPull(got []float64, base []pull, scatter float64) (p pull) {
	var n [len(pullSteps)]pull
	var g pull
	for k, step := range pullSteps {
		n[k][k] = 1 / sq(pullU*step)
	}
	w := 1 / (pullOverlap * sq(math.Max(scatter, math.SmallestNonzeroFloat32)))
	for i, b := range base {
		for k := range b {
			g[k] += w * b[k] * got[i]
			for l := range b {
				n[k][l] += w * b[k] * b[l]
			}
		}
	}
	for range pullRounds {
		for k := range p {
			rest := g[k]
			for l := range p {
				if l != k {
					rest -= n[k][l] * p[l]
				}
			}
			p[k] = math.Max(0, rest/n[k][k])
		}
	}
	return p
}
