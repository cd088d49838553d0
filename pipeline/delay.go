package pipeline

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/phase"
	"strokereel/track/sound"
)

// Delay is how long after the picture of an impact its sound stands in a clip, s:
// the device's own offset and the way of the sound. U is its standard
// uncertainty, 0 when nothing is known.
type Delay struct{ S, U float64 }

// surely is how well a delay must be known, with 95 % coverage, for the sound to
// time an impact, s.
const surely = 0.001

// Sure reports whether the delay is known well enough to time an impact.
func (d Delay) Sure() bool { return d.U > 0 && lesson.Coverage*d.U < surely }

// coarse is the step of delays that are passed on between clips, s. A further
// putt moves the mean by less as a rule, and then nothing is made again for it.
const coarse = 0.00025

// Coarse rounds a delay to a step, and its uncertainty up.
func (d Delay) Coarse() Delay {
	if d.U == 0 {
		return d
	}
	u := math.Hypot(d.U, coarse/math.Sqrt(12)) // JCGM 100:2008, F.2.2.1
	return Delay{coarse * math.Round(d.S/coarse), coarse / 5 * math.Ceil(u/coarse*5)}
}

// toldFormat is how a report names a delay that was told, in ms.
const toldFormat = "delay %.2f ms, u %.2f ms"

func (d Delay) String() string { return fmt.Sprintf(toldFormat, 1000*d.S, 1000*d.U) }

// Told is the delay that other clips told when a report was made, so that it can be
// repeated.
func Told(r lesson.Report) Delay {
	var d Delay
	if n, err := fmt.Sscanf(r.MadeBy.Steps[soundStep], strings.ReplaceAll(toldFormat, "%.2f", "%f"), &d.S, &d.U); err != nil || n != 2 {
		return Delay{}
	}
	return Delay{d.S / 1000, d.U / 1000}
}

// soundStep names what was told in a report.
const soundStep = "sound"

// Ears are what a clip tells of the delay of its sound.
type Ears struct {
	Lags   []Lag
	MPerPx float64 // at the ball: grows with the distance of the camera
}

// Lag is an impact that was seen, and the clicks that may be its.
type Lag struct {
	Seen, U float64 // s
	Clicks  []Click
}

// Click is a click of a clip as it stands there, s.
type Click struct{ T, U float64 }

// picked is the click of a stroke: the delay it tells, and where it stands.
type picked struct {
	track.Witness
	at float64
}

const (
	// fewestClicks are needed to tell a delay: one click may be another's.
	fewestClicks = 2
	// apart is how far from each other, in standard uncertainties, delays may be
	// that are the same.
	apart = 3
	// shared is what the seen impacts of a device have in common, so that a mean
	// does not lower it, s: a twentieth of the time between frames of 240/s, our
	// judgement.
	shared = 0.0002
)

// agreed picks of each stroke the click by which most of them agree; others are
// noises. What other clips told goes first, and is dropped when the strokes do not
// bear it out.
func agreed(lags []Lag, told Delay) ([]picked, Delay) {
	if told.U > 0 {
		if p := near(lags, told.S, told.U); 2*len(p) > len(lags) {
			return p, told
		}
	}
	var best []picked
	var least float64
	for _, l := range lags {
		for _, c := range l.Clicks {
			p := near(lags, c.T-l.Seen, math.Hypot(c.U, l.U))
			if off := scatter(p); len(p) > len(best) || len(p) == len(best) && off < least {
				best, least = p, off
			}
		}
	}
	if len(best) < fewestClicks || 2*len(best) <= len(lags) {
		return nil, Delay{}
	}
	return best, Delay{}
}

// near picks the clicks that stand for one delay.
func near(lags []Lag, s, u float64) []picked {
	var out []picked
	for _, l := range lags {
		nearest := slices.MinFunc(l.Clicks, func(a, b Click) int {
			return cmp.Compare(math.Abs(a.T-l.Seen-s), math.Abs(b.T-l.Seen-s))
		})
		w := track.Witness{T: nearest.T - l.Seen, U: math.Hypot(nearest.U, l.U)}
		if math.Abs(w.T-s) <= apart*math.Hypot(u, w.U) {
			out = append(out, picked{w, nearest.T})
		}
	}
	return out
}

// scatter is the chi-square of picked delays about their mean.
func scatter(p []picked) float64 {
	m, sum := phase.Mean(witnesses(p)), 0.0
	for _, w := range p {
		sum += (w.T - m.T) * (w.T - m.T) / (w.U * w.U)
	}
	return sum
}

func witnesses(p []picked) (out []track.Witness) {
	for _, w := range p {
		out = append(out, w.Witness)
	}
	return out
}

func withoutNth(p []picked, k int) []picked { return slices.Delete(slices.Clone(p), k, k+1) }

// together is the mean of witnesses, as unsure as they scatter (Birge ratio).
func together(w []track.Witness) track.Witness {
	m := phase.Mean(w)
	if len(w) > 1 {
		sum := 0.0
		for _, x := range w {
			sum += (x.T - m.T) * (x.T - m.T) / (x.U * x.U)
		}
		m.U *= math.Max(1, math.Sqrt(sum/float64(len(w)-1)))
	}
	return m
}

// delayOf joins what strokes tell with what other clips told; false when there is
// nothing.
func delayOf(p []picked, told Delay) (Delay, bool) {
	w := witnesses(p)
	if len(w) > 0 {
		m := together(w)
		w = []track.Witness{{T: m.T, U: math.Hypot(m.U, shared)}}
	}
	if told.U > 0 {
		w = append(w, track.Witness{T: told.S, U: told.U})
	}
	if len(w) == 0 {
		return Delay{}, false
	}
	m := phase.Mean(w)
	return Delay{m.T, math.Max(m.U, shared)}, true
}

// DelayFor is what other clips of a device tell of the delay in a clip. The way of
// the sound grows with the distance of the camera, and so does what a pixel covers;
// but it does that also when the lens is turned, so that half of a difference is
// not known.
func DelayFor(own Ears, others []Ears, s settings.Settings) Delay {
	if own.MPerPx <= 0 {
		return Delay{}
	}
	way := sound.Travel(s.Track.Measure.CameraDistance().Value, s.Sheet.Temperature)
	var pool []Lag
	var further float64
	for _, e := range others {
		if e.MPerPx <= 0 {
			continue
		}
		more := way * (e.MPerPx/own.MPerPx - 1)
		for _, l := range e.Lags {
			l.Clicks = slices.Clone(l.Clicks)
			for k := range l.Clicks {
				l.Clicks[k].T -= more
			}
			pool = append(pool, l)
			further += more
		}
	}
	p, _ := agreed(pool, Delay{})
	if len(p) == 0 {
		return Delay{}
	}
	d, _ := delayOf(p, Delay{})
	d.U = math.Hypot(d.U, further/float64(len(pool))/math.Sqrt(3))
	return d
}
