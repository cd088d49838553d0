package body

import (
	"math"

	"strokereel/track"
)

// ridgeMap says for the rows above a sticker how much each place looks like a
// narrow line that crosses the row.
type ridgeMap struct {
	x, y       float64 // px, the sticker
	from, to   float64 // px above it
	left, cols int
	rows       []int // picture rows, from the lowest up
	r          []float64
	width      float64 // px
	contrast   float64
}

const (
	// rowStep is how many picture rows are passed over; neighbouring rows say the
	// same.
	rowStep = 2
	// fullRidge is the difference, levels, beyond which a ridge counts no more:
	// one bright seam must not outweigh a faint shaft along its whole length.
	fullRidge = 24
)

// fill works out the map. A row in which the picture ends is left out.
func (m *ridgeMap) fill(f *track.Frame, x, y, from, to, reach, width, contrast float64) bool {
	m.x, m.y, m.from, m.to, m.width, m.contrast = x, y, from, to, math.Max(1.5, width), contrast
	m.left = max(0, int(x-reach))
	m.cols = min(f.Width, int(x+reach)+1) - m.left
	m.rows = m.rows[:0]
	for up := from; up <= to; up += rowStep {
		if row := int(math.Round(y - up)); row >= 0 && row < f.Height {
			m.rows = append(m.rows, row)
		}
	}
	if len(m.rows) < 12 || m.cols < 20 {
		return false
	}
	n := len(m.rows) * m.cols
	if cap(m.r) < n {
		m.r = make([]float64, n)
	}
	m.r = m.r[:n]
	half := int(math.Round(m.width/2 + 1.5)) // from the middle to clear of the edge
	for k, row := range m.rows {
		line := f.Y[row*f.Width+m.left : row*f.Width+m.left+m.cols]
		out := m.r[k*m.cols : (k+1)*m.cols]
		clear(out)
		for i := half + 1; i < m.cols-half-1; i++ {
			c := (int(line[i-1]) + 2*int(line[i]) + int(line[i+1])) / 2
			l, r := c-int(line[i-half])-int(line[i-half-1]), c-int(line[i+half])-int(line[i+half+1])
			switch {
			case l > 0 && r > 0:
				out[i] = math.Min(float64(min(l, r))/2, fullRidge)
			case l < 0 && r < 0:
				out[i] = math.Min(float64(-max(l, r))/2, fullRidge)
			}
		}
	}
	return true
}

// at is the column of a line at a row, from the map's left.
func (m *ridgeMap) at(row int, angle, offset float64) float64 {
	// The line's foot of the perpendicular from the sticker is offset to the
	// right of it; going up by dy it moves right by dy tan(angle).
	s, c := math.Sincos(angle)
	dy := m.y - float64(row)
	return m.x + offset/c + dy*s/c - float64(m.left)
}

// search finds the line on which the ridges add up to most, in steps of a
// quarter of a degree and of a pixel.
func (m *ridgeMap) search(middle, lean, offset, slack float64) (angle, off float64, ok bool) {
	const step = math.Pi / 180 / 3
	best := 0.0
	for a := middle - lean; a <= middle+lean; a += step {
		for o := offset - slack; o <= offset+slack; o += 1.2 {
			x0, x1 := m.at(m.rows[0], a, o), m.at(m.rows[len(m.rows)-1], a, o)
			slope := (x1 - x0) / float64(len(m.rows)-1)
			sum := 0.0
			for k := range m.rows {
				if i := int(x0 + slope*float64(k) + 0.5); i >= 0 && i < m.cols {
					sum += m.r[k*m.cols+i]
				}
			}
			if sum > best {
				best, angle, off = sum, a, o
			}
		}
	}
	return angle, off, best > m.contrast*0.4*float64(len(m.rows))
}

// refine fits a straight line to the middles of the ridge, row by row.
func (m *ridgeMap) refine(f *track.Frame, angle, offset float64) (ShaftLine, bool) {
	type point struct{ up, x, w float64 }
	var pts []point
	for k, row := range m.rows {
		guess := m.at(row, angle, offset)
		if x, w, ok := m.middle(f, k, row, guess); ok {
			pts = append(pts, point{m.y - float64(row), x, w})
		}
	}
	if len(pts) < 10 {
		return ShaftLine{}, false
	}
	var a, b, sd, sxx float64
	weight := make([]float64, len(pts))
	for i := range pts {
		weight[i] = pts[i].w
	}
	for range 8 {
		var n, sx, sy, xx, xy float64
		for i, p := range pts {
			n, sx, sy, xx, xy = n+weight[i], sx+weight[i]*p.up, sy+weight[i]*p.x, xx+weight[i]*p.up*p.up, xy+weight[i]*p.up*p.x
		}
		sxx = xx - sx*sx/n
		if !(sxx > 0) {
			return ShaftLine{}, false
		}
		b = (xy - sx*sy/n) / sxx
		a = (sy - b*sx) / n
		sd = 0
		for i, p := range pts {
			r := p.x - a - b*p.up
			sd += weight[i] * r * r
		}
		sd = math.Max(0.15, math.Sqrt(sd/n))
		for i, p := range pts { // Tukey's biweight at 3 sd (from memory)
			z := (p.x - a - b*p.up) / (3 * sd)
			weight[i] = p.w * math.Pow(math.Max(0, 1-z*z), 2)
		}
	}
	near := 0
	for _, p := range pts {
		if math.Abs(p.x-a-b*p.up) < 1.5 {
			near++
		}
	}
	l := ShaftLine{Angle: math.Atan(b), Support: float64(near) / float64(len(m.rows))}
	// Rows of one block of the codec err together: about four rows of ours.
	l.U = math.Hypot(2*sd/math.Sqrt(sxx), lineShared/(m.to-m.from)) / (1 + b*b)
	// Both points keep their place on the club: they are measured along the
	// shaft from where it passes the sticker.
	passing := (a - m.x) * b / (1 + b*b) // px above the sticker, with sign
	c := math.Cos(l.Angle)
	foot, top := -passing+m.from*c, -passing+m.to*c
	l.FootX, l.FootY = a+b*foot, m.y-foot
	l.TopX, l.TopY = a+b*top, m.y-top
	return l, true
}

// lineShared is how far, px, either end of a line may be off by what all rows
// share: uneven light on the shaft, something dark along it.
const lineShared = 0.35

// middle is the centre of the ridge in one row near a guess, by the weight of
// its difference from the straight line between its two sides.
func (m *ridgeMap) middle(f *track.Frame, k, row int, guess float64) (x, w float64, ok bool) {
	best := 0.0
	at := -1
	for i := int(guess - 3); i <= int(guess+4); i++ {
		if i >= 0 && i < m.cols && m.r[k*m.cols+i] > best {
			best, at = m.r[k*m.cols+i], i
		}
	}
	half := int(math.Round(m.width/2 + 2))
	if at < half || at+half >= m.cols || best < m.contrast {
		return 0, 0, false
	}
	line := f.Y[row*f.Width+m.left : row*f.Width+m.left+m.cols]
	l, r := float64(line[at-half]), float64(line[at+half])
	sign := 1.0
	if float64(line[at]) < (l+r)/2 {
		sign = -1
	}
	var sum, sx float64
	for i := at - half; i <= at+half; i++ {
		base := l + (r-l)*float64(i-at+half)/float64(2*half)
		if d := sign * (float64(line[i]) - base); d > 0 {
			sum += d
			sx += d * float64(i)
		}
	}
	if sum == 0 {
		return 0, 0, false
	}
	return sx/sum + float64(m.left), best, true
}
