// Package cast decides who plays which part in a clip: which of the coloured
// spots is the putter's sticker, which of the balls it addressed, which way the
// target lies, and how large a pixel is.
//
// # The idea
//
// Elbow bands, shoes and cups are coloured too, and more than one ball may lie
// on the mat. Only the putter's sticker lies still beside a ball and then
// travels as a stroke does; only the ball it addressed then rolls away.
//
// # Units
//
// Pixels of the upright picture, seconds.
//
// # What it refuses
//
// Without a sticker, without a ball beside it, or without motion there is no
// part to give: the Refusal says what is missing and how to film it.
package cast

import (
	"cmp"
	"math"
	"slices"

	"strokereel/track"
)

// Spot is a coloured spot that was followed through the clip.
type Spot struct {
	ID     int // the tracker's
	Track  track.Track
	Radius float64    // px
	Colour [2]float64 // Cb and Cr less 128
	ULag   float64    // px, standard uncertainty of how far it lags when it moves slowly
}

// Ball is a ball that lay still for a while.
type Ball struct {
	ID           int // the finder's
	Track        track.Track
	RestX, RestY float64 // px
	Width        float64 // px, horizontal; 0 when it could not be measured
	UWidth       float64
	First, Last  float64 // s, at rest
	Left         bool    // it left its place
}

// Cast is who plays which part.
type Cast struct {
	Putter Spot
	Ball   Ball   // the ruler: the ball that the putter addressed
	Struck []Ball // balls that rolled away from the putter, in order of time
	// DirX, DirY is the unit vector in the picture toward the target. It is
	// known only when a ball rolled.
	DirX, DirY     float64
	DirectionKnown bool
	// ClearBall is false when no ball was seen beside the sticker: then Ball is
	// empty and there is no ruler.
	ClearBall bool
}

// Options are the settings of the casting, in ball widths so that they hold for
// any zoom.
type Options struct {
	MinTravel  float64 `key:"min_travel" unit:"widths" range:"0.5..20" help:"a sticker that travels less along the picture in the whole clip made no stroke; 2.5 ball widths are 11 cm, less than any putt takes back and through"`
	MaxAddress float64 `key:"max_address" unit:"widths" range:"1..10" help:"farthest a sticker may lie from the ball at address; 3.6 ball widths are 15 cm, the longest head"`
	MinRoll    float64 `key:"min_roll" unit:"widths" range:"0.5..20" help:"a ball that leaves its place but is not seen to go this far was not struck; 1.5 widths are 6 cm"`
}

// DefaultOptions returns the settings for a sticker on the putter's head.
func DefaultOptions() Options { return Options{MinTravel: 2.5, MaxAddress: 3.6, MinRoll: 1.5} }

// Validate returns the first setting that cannot work.
func (o Options) Validate() error {
	return track.CheckRanges(o)
}

// Codes of a Refusal.
const (
	NoSticker = "no_sticker"
	NoBall    = "no_ball"
	NoStroke  = "no_stroke"
)

// Refusal says which part could not be given.
type Refusal struct {
	Code string
	Text string
	Hint string
}

func (r *Refusal) Error() string { return r.Text }

func noSticker(text string) *Refusal {
	return &Refusal{NoSticker, text,
		"put a flat matt sticker of 20-25 mm, of a colour unlike the floor, the ball and the clothes, on the side of the head toward the camera"}
}

func noStroke() *Refusal {
	return &Refusal{NoStroke, "the putter's sticker was found, but it never moves as a stroke does",
		"film the whole stroke: start the camera a second before and leave it running three seconds after"}
}

// typicalWidths is a ball's width in sticker radii when no ball shows it:
// 42.8 mm beside a sticker of 22.5 mm.
const typicalWidths = 42.8 / 11.25

// Choose gives the parts.
func Choose(spots []Spot, balls []Ball, o Options) (Cast, *Refusal) {
	if len(spots) == 0 {
		return Cast{}, noSticker("no coloured sticker was found on the putter")
	}
	type pair struct {
		spot   Spot
		ball   Ball
		struck []Ball
		travel float64 // ball widths
	}
	var pairs []pair
	for _, s := range spots {
		for _, b := range balls {
			if b.Width <= 0 || !addressed(s, b, o) {
				continue
			}
			p := pair{spot: s, ball: b, travel: travel(s.Track) / b.Width}
			for _, c := range balls {
				if c.rolled(o, b.Width) && addressed(s, c, o) {
					p.struck = append(p.struck, c)
				}
			}
			pairs = append(pairs, p)
		}
	}
	if len(pairs) == 0 {
		return alone(offBalls(spots, balls), balls, o)
	}
	best := slices.MaxFunc(pairs, func(a, b pair) int {
		return cmp.Or(
			cmp.Compare(min(1, len(a.struck)), min(1, len(b.struck))),
			cmp.Compare(min(1, int(a.travel/o.MinTravel)), min(1, int(b.travel/o.MinTravel))),
			cmp.Compare(btoi(a.ball.rolled(o, a.ball.Width)), btoi(b.ball.rolled(o, b.ball.Width))),
			cmp.Compare(len(a.spot.Track.Samples), len(b.spot.Track.Samples)),
			cmp.Compare(a.travel, b.travel))
	})
	c := Cast{Putter: best.spot, Ball: best.ball, Struck: best.struck, DirX: 1, ClearBall: true}
	slices.SortFunc(c.Struck, func(a, b Ball) int { return cmp.Compare(a.Last, b.Last) })
	if len(c.Struck) > 0 {
		c.DirX, c.DirY = direction(c.Struck[0])
		c.DirectionKnown = true
	}
	if best.travel < o.MinTravel {
		return c, noStroke()
	}
	return c, nil
}

// offBalls leaves out the spots that a ball made: a coloured ball is a coloured
// spot too, and travels farther than any putter.
func offBalls(spots []Spot, balls []Ball) []Spot {
	return slices.DeleteFunc(slices.Clone(spots), func(s Spot) bool {
		return slices.ContainsFunc(balls, func(b Ball) bool { return s.lies(b) })
	})
}

// lies reports whether a spot is mostly where a ball is at rest; a putter passes
// there now and then.
func (s Spot) lies(b Ball) bool {
	on, seen := 0, 0
	for _, p := range s.Track.Samples {
		if p.Seen && p.T >= b.First && p.T <= b.Last {
			seen++
			on += btoi(math.Hypot(p.X-b.RestX, p.Y-b.RestY) < s.Radius)
		}
	}
	return 2*on > seen
}

// alone casts a clip without a ball that could be measured: the widest travelling
// spot may be the putter, but nothing gives the scale.
func alone(spots []Spot, balls []Ball, o Options) (Cast, *Refusal) {
	if len(spots) == 0 {
		return Cast{DirX: 1}, noSticker("no coloured sticker was found on the putter")
	}
	best := slices.MaxFunc(spots, func(a, b Spot) int { return cmp.Compare(travel(a.Track), travel(b.Track)) })
	c := Cast{Putter: best, DirX: 1}
	if travel(best.Track)/(typicalWidths*best.Radius) < o.MinTravel {
		// A ball's outline is measured when the putter is away: of one that only
		// waggles there is none.
		for _, s := range spots {
			for _, b := range balls {
				if b.Width = typicalWidths * s.Radius; addressed(s, b, o) {
					c.Putter = s
					return c, noStroke()
				}
			}
		}
		return c, noSticker("no coloured sticker moves as a putter does")
	}
	return c, &Refusal{NoBall, "no ball was seen at rest beside the putter's sticker, so there is no ruler",
		"film with a ball at address, not hidden behind the head, lighter than the floor; or give the scale in the sheet"}
}

// addressed reports whether a sticker lay beside a ball while that was at rest;
// beside, not on it: a warm-white ball on a green mat is a coloured spot too.
func addressed(s Spot, b Ball, o Options) bool {
	frames := 0
	for _, p := range s.Track.Samples {
		if p.Seen && p.T >= b.First && p.T <= b.Last &&
			math.Abs(p.X-b.RestX) > 0.6*b.Width && math.Abs(p.X-b.RestX) < o.MaxAddress*b.Width && math.Abs(p.Y-b.RestY) < 1.5*b.Width {
			frames++
		}
	}
	return frames >= 5
}

// rolled reports whether the ball was seen rolling away.
func (b Ball) rolled(o Options, width float64) bool {
	if !b.Left {
		return false
	}
	for _, p := range b.Track.Samples {
		if p.Seen && math.Abs(p.X-b.RestX) > o.MinRoll*width {
			return true
		}
	}
	return false
}

// direction returns the unit vector along which a ball rolled, by least squares
// over its sightings on the way.
func direction(b Ball) (dx, dy float64) {
	var n, sx, sy, sxx, sxy float64
	for _, p := range b.Track.Samples {
		if !p.Seen || math.Abs(p.X-b.RestX) < b.Width/2 {
			continue
		}
		x, y := p.X-b.RestX, p.Y-b.RestY
		n++
		sx += x
		sy += y
		sxx += x * x
		sxy += x * y
	}
	if n < 2 || sxx*n-sx*sx <= 0 {
		return 1, 0
	}
	slope := (n*sxy - sx*sy) / (n*sxx - sx*sx)
	dx = math.Copysign(1, sx)
	dy = slope * dx
	l := math.Hypot(dx, dy)
	return dx / l, dy / l
}

// travel returns how far a spot moved along the picture, px, ignoring the
// outermost hundredth of its sightings.
func travel(tr track.Track) float64 {
	var xs []float64
	for _, p := range tr.Samples {
		if p.Seen {
			xs = append(xs, p.X)
		}
	}
	if len(xs) == 0 {
		return 0
	}
	slices.Sort(xs)
	k := len(xs) / 100
	return xs[len(xs)-1-k] - xs[k]
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
