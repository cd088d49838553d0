package pipeline

import (
	"strokereel/track"
	"strokereel/track/body"
)

// heads follows the head's picture through one stroke after the other.
type heads struct {
	spans  []span
	now    int // the span begun last, from 1
	faces  []*body.Face
	cap    map[int]track.Sample
	pxPerM float64
}

func newHeads(l look) heads {
	h := heads{spans: l.faces, cap: map[int]track.Sample{}, pxPerM: l.pxPerM}
	for _, q := range l.cap.Samples {
		h.cap[q.Frame] = q
	}
	return h
}

// next takes a frame. A head is begun when it is first seen at address.
func (h *heads) next(f *track.Frame, p *body.Follower) error {
	for k, s := range h.spans {
		if f.T < s.from || f.T > s.to {
			continue
		}
		if h.now <= k {
			head, err := h.find(f, p)
			if err != nil {
				return err
			}
			if head != nil {
				h.faces, h.now = append(h.faces, head), k+1
			}
		}
		if h.now == k+1 {
			h.faces[len(h.faces)-1].Next(f)
			return nil
		}
	}
	return nil
}

// find looks for the head by the sticker on its cap, or without one by its ears.
func (h *heads) find(f *track.Frame, p *body.Follower) (*body.Face, error) {
	if len(h.cap) > 0 {
		if q := h.cap[f.Index]; q.Seen {
			return body.FaceUnderCap(q.X, q.Y, h.pxPerM), nil
		}
		return nil, nil
	}
	if p == nil {
		return nil, nil
	}
	ax, ay, bx, by, ok, err := p.Ears(f)
	if !ok || err != nil {
		return nil, err
	}
	return body.NewFace(ax, ay, bx, by), nil
}

func (h *heads) tracks() []track.Track {
	var out []track.Track
	for _, f := range h.faces {
		for i, tr := range f.Tracks() {
			if len(out) <= i {
				out = append(out, track.Track{Object: tr.Object})
			}
			out[i].Samples = append(out[i].Samples, tr.Samples...)
		}
	}
	return out
}
