package body

import (
	"math"

	"strokereel/track"
)

// ridgeMap says for the rows above a sticker how much each place looks like a
// narrow line that crosses the row.
type ridgeMap struct {
	x, y       float64 // px, the sticker
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

// fill works out the map for a line smeared over a streak. A row in which the picture
// ends is left out.
func (m *ridgeMap) fill(f *track.Frame, x, y, from, to, reach, width, streak, contrast float64) bool {
	m.x, m.y, m.width, m.contrast = x, y, math.Max(1.5, width), contrast
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
	half := int(math.Round((m.width+streak)/2 + 1.5)) // from the middle to clear of the edge
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
