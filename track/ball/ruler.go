package ball

import (
	"errors"
	"math"
)

// meanPatch is the mean picture of a still ball under one exposure. Pictures that sway
// are laid over each other by whole pixels.
type meanPatch struct {
	x0, y0, side int
	n            int
	sum          []float64
	leftX, leftY float64 // px, sum of the sway that whole pixels left
	level        float64 // brightness of the ball
}

const (
	// sameLight is by how many levels a ball's brightness may differ in the pictures
	// of one mean: a tenth of its light. Phones change their exposure in steps.
	sameLight = 12
	// clippedFrom is the level from which a mean picture is cut off here and there.
	clippedFrom = 225
)

// patch returns the mean picture for a brightness of the ball.
func (b *Ball) patch(level float64) *meanPatch {
	for i := range b.sums {
		if m := &b.sums[i]; math.Abs(m.level-level) <= sameLight {
			return m
		}
	}
	b.sums = append(b.sums, meanPatch{level: level})
	return &b.sums[len(b.sums)-1]
}

// best returns the mean picture that shows most of the ball's shading: of those of
// enough frames one that is not cut off, of these the one of most frames; else the
// darkest.
func (b *Ball) best() *meanPatch {
	var best *meanPatch
	for i := range b.sums {
		m := &b.sums[i]
		switch {
		case m.n < minRulerFrames:
		case best == nil:
			best = m
		case m.level < clippedFrom && best.level < clippedFrom:
			if m.n > best.n {
				best = m
			}
		case m.level < best.level:
			best = m
		}
	}
	return best
}

// add takes one frame's picture of a ball; the first call sets the window.
func (m *meanPatch) add(p plane, b *Ball) {
	swayX, swayY := math.Round(b.swayX), math.Round(b.swayY)
	if m.n == 0 {
		half := int(math.Ceil(1.8 * b.Radius))
		m.side = 2*half + 1
		m.x0, m.y0 = int(math.Round(b.RestX-swayX))-half, int(math.Round(b.RestY-swayY))-half
		m.sum = make([]float64, m.side*m.side)
	}
	x0, y0 := m.x0+int(swayX), m.y0+int(swayY)
	if x0 < 0 || y0 < 0 || x0+m.side > p.w || y0+m.side > p.h {
		return
	}
	m.leftX, m.leftY = m.leftX+b.swayX-swayX, m.leftY+b.swayY-swayY
	for j := 0; j < m.side; j++ {
		row := p.pix[(y0+j)*p.w+x0:]
		for i := 0; i < m.side; i++ {
			m.sum[j*m.side+i] += float64(row[i])
		}
	}
	m.n++
}

// ErrNoRuler is returned when the ball was never seen alone at rest.
var ErrNoRuler = errors.New("the ball was never seen at rest away from the putter")

const (
	// gammaLow and gammaHigh bound what has to be undone before an edge is even on
	// both sides: the lens blurs light, sharpening, scaling and the codec blur the
	// codes that stand for it, which follow about its square root (ITU-R BT.709).
	// The mean of the two widths is taken and half their difference is a term of U:
	// a bright ball's edge is wider in codes than in light.
	gammaLow, gammaHigh = 1, 2
	// edgeShape is what else is not known of a blur, as a share of its softness: a box
	// instead of a bell changes the width by 0.08 of it, curves that bend more than
	// a square root (up to the power 2.4) by 0.2.
	edgeShape = 0.18
	// mostFlat is by how much an outline may be wider than tall, as a share.
	mostFlat = 0.04
	// minRulerFrames is how many frames the mean picture needs.
	minRulerFrames = 6
)

// Outline is the measured outline of a ball at rest, px.
type Outline struct {
	X, Y     float64 // centre
	Width    float64 // horizontal: this is the ruler
	Height   float64
	UWidth   float64 // standard uncertainty: scatter, where the blur came from, the blur's shape, the ball's shape
	Softness float64 // standard deviation of the edge's blur
}

// Outline measures the ball from its mean picture at rest.
func (b *Ball) Outline() (Outline, error) {
	m := b.best()
	if m == nil {
		return Outline{}, ErrNoRuler
	}
	high, weights, err := b.fitSphere(m, gammaHigh, nil)
	if err != nil {
		return Outline{}, err
	}
	low, _, err := b.fitSphere(m, gammaLow, weights)
	if err != nil {
		return Outline{}, err
	}
	uCurve := math.Abs(high.a-low.a) / math.Sqrt(3)
	uFit := 2 * math.Max(low.ua, high.ua)
	softness := (low.sigma + high.sigma) / 2
	uShape := edgeShape * softness
	over := bloom * high.clipped * high.clipped
	// Seen from above a ball is never wider than tall: what makes it look so (another
	// thing at its side, too much light) spoils its width by about as much.
	flat := math.Max(0, low.a+high.a-low.b-high.b)
	if flat > mostFlat*(low.a+high.a) {
		return Outline{}, ErrNoRuler
	}
	return Outline{
		X: (low.x + high.x) / 2, Y: (low.y + high.y) / 2,
		Width: low.a + high.a - over, Height: low.b + high.b,
		UWidth:   math.Sqrt(uFit*uFit + uCurve*uCurve + uShape*uShape + over*over + flat*flat),
		Softness: softness,
	}, nil
}

// corner is where the window's first sample lies in the picture in which a ball was last
// seen at rest.
func (m *meanPatch) corner(b *Ball) (x, y float64) {
	return float64(m.x0) + b.swayX - m.leftX/float64(m.n), float64(m.y0) + b.swayY - m.leftY/float64(m.n)
}

// light is the mean picture in light that is linear if the transfer curve is a power
// of gamma, 1 being the end of the scale.
func (m *meanPatch) light(gamma float64) []float64 {
	light := make([]float64, len(m.sum))
	for i, s := range m.sum {
		light[i] = linear(s/float64(m.n), gamma)
	}
	return light
}

func linear(level, gamma float64) float64 { return math.Pow(math.Max(0, (level-16)/219), gamma) }
