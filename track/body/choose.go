package body

import (
	"cmp"
	"math"
	"slices"

	"strokereel/track"
)

// Scene is what is known of the clip once putter and ball have been told.
type Scene struct {
	X, Y   float64 // px, the ball's place
	PxPerM float64 // 0 when nothing gives the scale
	Toward float64 // +1 when the target is at the picture's right, -1 at its left
	SiteX  float64 // luma px, offset of the colour samples
	SiteY  float64
}

// reachOf is where, in metres above the ball, a joint may be at address: of
// players between 1.1 and 2 m tall.
var reachOf = map[string][2]float64{
	"wrist": {0.30, 1.20}, "elbow": {0.45, 1.45}, "shoulder": {0.60, 1.80}, "cap": {0.55, 1.95},
}

// aside is how far to either side of the ball a joint may be, m.
const aside = 0.85

// leastSeen is the share of the frames in which a band must be seen to be one.
const leastSeen = 0.25

// Tracks returns the places of the body that were found, px, at most one track
// each, in the order of the options.
func (b *Bands) Tracks(sc Scene) []track.Track {
	var out []track.Track
	for k, c := range b.classes {
		found := b.candidates(k, sc)
		places := c.worn.places
		if len(found) < len(places) && len(places) == 2 {
			continue // which of the two it is cannot be told
		}
		found = found[:min(len(found), len(places))]
		if len(found) == 2 {
			// The lead place is the one on the target's side.
			slices.SortFunc(found, func(p, q *blob) int {
				if (p.middle()-q.middle())*sc.Toward > 0 {
					return -1
				}
				return 1
			})
		}
		for i, o := range found {
			out = append(out, b.trackOf(o, places[i], sc))
		}
	}
	return out
}

// candidates lists the blobs that can be a joint, the likeliest first.
func (b *Bands) candidates(k int, sc Scene) []*blob {
	var out []*blob
	reach := reachOf[joint(b.classes[k].worn.places[0])]
	for _, o := range b.blobs {
		if o.class != k || float64(o.seen) < leastSeen*float64(b.frames) || o.seen < 5 {
			continue
		}
		if sc.PxPerM > 0 {
			first := o.samples[slices.IndexFunc(o.samples, func(s track.Sample) bool { return s.Seen })]
			up, side := (sc.Y-2*first.Y)/sc.PxPerM, math.Abs(2*first.X-sc.X)/sc.PxPerM
			if up < reach[0] || up > reach[1] || side > aside {
				continue
			}
		}
		out = append(out, o)
	}
	// Cloth is more colourful than what else has its hue.
	worth := func(o *blob) float64 { return float64(o.seen) * o.chroma * o.chroma }
	slices.SortStableFunc(out, func(p, q *blob) int { return cmp.Compare(worth(q), worth(p)) })
	return out
}

// middle is the median of a blob's x.
func (o *blob) middle() float64 {
	var x []float64
	for _, s := range o.samples {
		if s.Seen {
			x = append(x, s.X)
		}
	}
	slices.Sort(x)
	return x[len(x)/2]
}

// partHidden is the share of its usual area below which a band counts as partly
// hidden: its middle is then off by up to half of what is missing.
const partHidden = 0.88

// trackOf turns a blob into luma pixels. A band that shows less of itself than
// usual is less sure.
func (b *Bands) trackOf(o *blob, place string, sc Scene) track.Track {
	tr := track.Track{Object: place}
	tr.Samples = append(tr.Samples, b.stamps[:len(b.stamps)-len(o.samples)]...)
	usual := median(seenAreas(o))
	for i, s := range o.samples {
		if s.Seen {
			if part := o.areas[i] / usual; part < partHidden {
				s.U = math.Hypot(s.U, (1-part)*o.wide/2)
			}
			s.X, s.Y, s.U = 2*s.X+sc.SiteX, 2*s.Y+sc.SiteY, 2*s.U
		}
		tr.Samples = append(tr.Samples, s)
	}
	return tr
}

func seenAreas(o *blob) []float64 {
	var out []float64
	for _, a := range o.areas {
		if a > 0 {
			out = append(out, a)
		}
	}
	return out
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}
