package body

import (
	"cmp"
	"math"
	"slices"

	"strokereel/track"
	"strokereel/track/marker"
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

// Patches are the patches of the bands' colours that were followed through a
// clip: plain data, from which Tracks tells the places of the body once the
// scene is known.
type Patches struct {
	Places [][]string     // of each colour, the places that wear it
	Stamps []track.Sample // one unseen sample per frame
	Keys   []int          // frames coded by themselves
	All    []Patch
}

// Patch is one patch, chroma px. It has a sample for each frame from its first on.
type Patch struct {
	Colour  int // index of its places
	Samples []track.Sample
	Areas   []float64 // one per sample
	Seen    int       // samples in which it is seen
	Chroma  float64   // how far from grey, levels
	Wide    float64   // half of the larger side
}

// Patches returns what was followed so far.
func (b *Bands) Patches() Patches {
	p := Patches{Stamps: b.stamps, Keys: b.keys}
	for _, c := range b.classes {
		p.Places = append(p.Places, c.worn.places)
	}
	for _, o := range b.blobs {
		p.All = append(p.All, Patch{o.class, o.samples, o.areas, o.seen, o.chroma, o.wide})
	}
	return p
}

// Tracks returns the places of the body that were found, px, at most one track
// each, in the order of the options.
func (p Patches) Tracks(sc Scene) []track.Track {
	var out []track.Track
	for k, places := range p.Places {
		found := p.candidates(k, sc)
		if len(found) < len(places) && len(places) == 2 {
			continue // which of the two it is cannot be told
		}
		found = found[:min(len(found), len(places))]
		if len(found) == 2 {
			// The lead place is the one on the target's side.
			slices.SortFunc(found, func(a, b Patch) int {
				if (a.middle()-b.middle())*sc.Toward > 0 {
					return -1
				}
				return 1
			})
		}
		for i, o := range found {
			out = append(out, p.trackOf(o, places[i], sc))
		}
	}
	return out
}

// candidates lists the patches that can be a joint, the likeliest first.
func (p Patches) candidates(k int, sc Scene) []Patch {
	var out []Patch
	reach := reachOf[joint(p.Places[k][0])]
	for _, o := range p.All {
		if o.Colour != k || float64(o.Seen) < leastSeen*float64(len(p.Stamps)) || o.Seen < 5 {
			continue
		}
		if sc.PxPerM > 0 {
			first := o.Samples[slices.IndexFunc(o.Samples, func(s track.Sample) bool { return s.Seen })]
			up, side := (sc.Y-2*first.Y)/sc.PxPerM, math.Abs(2*first.X-sc.X)/sc.PxPerM
			if up < reach[0] || up > reach[1] || side > aside {
				continue
			}
		}
		out = append(out, o)
	}
	// Cloth is more colourful than what else has its hue.
	worth := func(o Patch) float64 { return float64(o.Seen) * o.Chroma * o.Chroma }
	slices.SortStableFunc(out, func(a, b Patch) int { return cmp.Compare(worth(b), worth(a)) })
	return out
}

// middle is the median of a patch's x.
func (o Patch) middle() float64 {
	var x []float64
	for _, s := range o.Samples {
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

// trackOf turns a patch into luma pixels. A band that shows less of itself than
// usual is less sure. What the codec lets a slow one lag is put right.
func (p Patches) trackOf(o Patch, place string, sc Scene) track.Track {
	tr := track.Track{Object: place}
	tr.Samples = append(tr.Samples, p.Stamps[:len(p.Stamps)-len(o.Samples)]...)
	usual := median(seenAreas(o))
	for i, s := range o.Samples {
		if s.Seen {
			if part := o.Areas[i] / usual; part < partHidden {
				s.U = math.Hypot(s.U, (1-part)*o.Wide/2)
			}
			s.X, s.Y, s.U = 2*s.X+sc.SiteX, 2*s.Y+sc.SiteY, 2*s.U
		}
		tr.Samples = append(tr.Samples, s)
	}
	// A left-hander's motion is put forward as that of the mirror image.
	turn(tr.Samples, sc.Toward)
	marker.CatchUp(tr.Samples, p.Keys)
	turn(tr.Samples, sc.Toward)
	return tr
}

// turn mirrors samples left to right when the target is at the left.
func turn(samples []track.Sample, toward float64) {
	for i := range samples {
		if toward < 0 && samples[i].Seen {
			samples[i].X = -samples[i].X
		}
	}
}

func seenAreas(o Patch) []float64 {
	var out []float64
	for _, a := range o.Areas {
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
