package cast

import "fmt"

// Why says of every spot and ball why it got no part, "" of those that have one.
// It is for people who look into a clip; Choose decides.
func (c Cast) Why(spots []Spot, balls []Ball, o Options) (ofSpots, ofBalls []string) {
	for _, s := range spots {
		ofSpots = append(ofSpots, c.whySpot(s, balls, o))
	}
	for _, b := range balls {
		ofBalls = append(ofBalls, c.whyBall(b, o))
	}
	return ofSpots, ofBalls
}

func (c Cast) whySpot(s Spot, balls []Ball, o Options) string {
	if len(c.Putter.Track.Samples) > 0 && s.ID == c.Putter.ID {
		return ""
	}
	width := 0.0
	for _, b := range balls {
		if b.Width > 0 && addressed(s, b, o) {
			width = b.Width
		}
	}
	if width == 0 {
		return "it never lay beside a ball at rest"
	}
	if way := travel(s.Track) / width; way < o.MinTravel {
		return fmt.Sprintf("it moves %.1f ball widths, a stroke needs %.1f", way, o.MinTravel)
	}
	return "another one moves more as a putter does"
}

func (c Cast) whyBall(b Ball, o Options) string {
	if c.ClearBall && b.ID == c.Ball.ID {
		return ""
	}
	for _, s := range c.Struck {
		if s.ID == b.ID {
			return ""
		}
	}
	switch {
	case b.Width <= 0:
		return "its outline could not be measured"
	case len(c.Putter.Track.Samples) == 0 || !addressed(c.Putter, b, o):
		return "the putter never lay beside it"
	case !b.Left:
		return "it stayed where it was"
	case !b.rolled(o, b.Width):
		return fmt.Sprintf("it left its place, but was not seen to roll %.1f widths", o.MinRoll)
	}
	return "another one is the ruler"
}
