package clip

import (
	"context"
	"errors"
	"io"

	"strokereel/track"
)

// Glance is a clip at a glance: small grey pictures, one after the other, by which
// a copy of a film is told from another take of the same scene.
type Glance []byte

const (
	glanceEvery = 0.25 // s
	glanceW     = 16
	glanceH     = 9
	// alike is how far the mean brightness of a part of the picture, a sixteenth by
	// a ninth, may differ between copies, levels: coding again at a tenth of the bit
	// rate moves it by 2, an arm that lies elsewhere by 10 and more.
	alike = 5
)

// GlanceOf reads a clip at a glance.
func GlanceOf(ctx context.Context, path string, o Options) (Glance, error) {
	r, err := Open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var g Glance
	var f track.Frame
	for next := 0.0; ; {
		switch err := r.Next(&f); {
		case errors.Is(err, io.EOF):
			return g, nil
		case err != nil:
			return nil, err
		case f.T < next-1e-6:
			continue
		}
		next += glanceEvery
		g = append(g, means(&f)...)
	}
}

// means are the mean brightnesses of the parts of a picture.
func means(f *track.Frame) []byte {
	out := make([]byte, 0, glanceW*glanceH)
	for row := range glanceH {
		for column := range glanceW {
			sum, n := 0, 0
			for y := row * f.Height / glanceH; y < (row+1)*f.Height/glanceH; y++ {
				for _, v := range f.Y[y*f.Width+column*f.Width/glanceW : y*f.Width+(column+1)*f.Width/glanceW] {
					sum, n = sum+int(v), n+1
				}
			}
			out = append(out, byte(sum/max(n, 1)))
		}
	}
	return out
}

// Copies reports whether two clips show the same film: part by part and moment by
// moment, but for how bright the whole is.
func (g Glance) Copies(h Glance) bool {
	const size = glanceW * glanceH
	if d := len(g) - len(h); min(len(g), len(h)) < 4*size || d > size || d < -size {
		return false
	}
	for at := 0; at+size <= min(len(g), len(h)); at += size {
		sum := 0
		for k := range size {
			sum += int(g[at+k]) - int(h[at+k])
		}
		for k := range size {
			if d := int(g[at+k]) - int(h[at+k]) - sum/size; d > alike || d < -alike {
				return false
			}
		}
	}
	return true
}
