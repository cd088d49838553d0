package scene

import (
	"math"

	"strokereel/overlay"
	"strokereel/track"
)

// HeadArea names the middle of the head, which nothing follows: as much of it
// must stay visible as its Radius says.
const HeadArea = "head area"

// How large a grown player's head and hands are, m, seen from the front at address
// (from memory).
const (
	headHigh = 0.10 // from the sticker at the front of the cap up to the middle of a bent head
	headHalf = 0.145
	handHalf = 0.055
	handOn   = 0.085 // from the wrist on, as the forearm points, to the middle of the hand
)

// Visible adds to what was seen in a picture the head and the hands, as far as
// places of the body tell where they are, so that labels keep clear of them.
// PerM is px of the clip per metre.
func Visible(seen []overlay.Object, perM float64) []overlay.Object {
	out := append([]overlay.Object(nil), seen...)
	m := overlay.Moment{View: overlay.FullView(), Objects: seen}
	if o, ok := m.Find(track.Cap); ok {
		out = append(out, area(HeadArea, o.X, o.Y-headHigh*perM, headHalf*perM))
	} else if o, ok := m.Find(track.HeadCrown); ok {
		if chin, also := m.Find(track.HeadChin); also {
			o.X, o.Y = (o.X+chin.X)/2, (o.Y+chin.Y)/2
		}
		out = append(out, area(HeadArea, o.X, o.Y, headHalf*perM))
	}
	for _, arm := range arms {
		elbow, ok := m.Find(arm[1])
		wrist, also := m.Find(arm[2])
		if far := math.Hypot(wrist.X-elbow.X, wrist.Y-elbow.Y); ok && also && far > 0 {
			k := handOn * perM / far
			out = append(out, area(arm[2]+" area", wrist.X, wrist.Y, handHalf*perM),
				area(arm[2]+" hand area", wrist.X+k*(wrist.X-elbow.X), wrist.Y+k*(wrist.Y-elbow.Y), handHalf*perM))
		}
	}
	if o, ok := m.Find(Hands); ok {
		out = append(out, area("hands area", o.X, o.Y, handHalf*perM))
	}
	return out
}

func area(name string, x, y, radius float64) overlay.Object {
	return overlay.Object{Name: name, X: x, Y: y, Radius: radius}
}
