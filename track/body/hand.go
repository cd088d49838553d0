package body

import (
	"math"

	"strokereel/track"
)

// beyondBand is how far the middle of a hand is beyond the band at its wrist, m:
// a hand's half length and the width of the band (common practice, no source).
const beyondBand = 0.11

// LeadHand is the point of the shaft that the lead hand holds. The forearm,
// carried on past the wrist, tells at address how far up the shaft that is; from
// then on the hand keeps its place on the club. Foot and top are the shaft's two
// points; from and to bound address, s.
func LeadHand(foot, top, elbow, wrist track.Track, pxPerM, from, to float64) (track.Track, bool) {
	var along []float64
	tops, elbows, wrists := byFrame(top), byFrame(elbow), byFrame(wrist)
	for _, p := range foot.Samples {
		q, e, w := tops[p.Frame], elbows[p.Frame], wrists[p.Frame]
		if !p.Seen || !q.Seen || !e.Seen || !w.Seen || p.T < from || p.T > to {
			continue
		}
		arm, shaft := math.Hypot(w.X-e.X, w.Y-e.Y), math.Hypot(q.X-p.X, q.Y-p.Y)
		if arm == 0 || shaft == 0 {
			continue
		}
		k := beyondBand * pxPerM / arm
		x, y := w.X+k*(w.X-e.X)-p.X, w.Y+k*(w.Y-e.Y)-p.Y
		along = append(along, (x*(q.X-p.X)+y*(q.Y-p.Y))/(shaft*shaft))
	}
	if len(along) < 3 {
		return track.Track{}, false
	}
	k := median(along)
	hand := track.Track{Object: track.LeadHand}
	for _, p := range foot.Samples {
		s := track.Sample{Frame: p.Frame, T: p.T}
		if q := tops[p.Frame]; p.Seen && q.Seen {
			s.X, s.Y, s.Seen = p.X+k*(q.X-p.X), p.Y+k*(q.Y-p.Y), true
			s.U = math.Hypot((1-k)*p.U, k*q.U)
		}
		hand.Samples = append(hand.Samples, s)
	}
	return hand, true
}

func byFrame(t track.Track) map[int]track.Sample {
	out := make(map[int]track.Sample, len(t.Samples))
	for _, s := range t.Samples {
		out[s.Frame] = s
	}
	return out
}
