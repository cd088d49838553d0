package body

import (
	"math"
	"slices"

	"strokereel/track"
)

// blob is a patch of one colour followed through the clip.
type blob struct {
	class   int
	samples []track.Sample
	areas   []float64 // chroma px, one per sample
	x, y    float64   // last sighting, chroma px
	vx, vy  float64   // chroma px per second
	area    float64   // running mean, chroma px
	chroma  float64   // running mean of the projection on the colour, levels
	lastT   float64
	seen    int
	wide    float64 // half of the larger side of its box, chroma px
}

// sight is what one frame shows of a blob.
type sight struct {
	x, y, area, chroma, wide, u float64
}

const (
	// full and none bound how much of the band's own colour a sample must have
	// to count whole or not at all: half a sample's cover counts half.
	full, none = 0.72, 0.28
	// blobNoise is the standard uncertainty of a sample's share of the colour,
	// after the codec; neighbouring samples share it, so few are independent.
	blobNoise = 0.10
	// blobShared is what a centre errs by beyond noise, chroma px: shading, the
	// codec, the place of the edge between samples.
	blobShared = 0.06
)

// looker measures blobs in a frame; it holds work space.
type looker struct {
	cols   int // of the window
	share  []float64
	mark   []bool
	stack  []int
	levels []float64
	cells  []cell // the patch
}

// see measures the patch of a colour around (x, y), chroma px, within reach of
// it. Direction is the unit vector of the colour, chroma how far it is from grey.
func (l *looker) see(f *track.Frame, x, y, reach float64, c class, chroma float64) (sight, bool) {
	w, h := f.ChromaSize()
	x0, x1 := max(0, int(x-reach)), min(w-1, int(x+reach)+1)
	y0, y1 := max(0, int(y-reach)), min(h-1, int(y+reach)+1)
	if x1-x0 < 3 || y1-y0 < 3 {
		return sight{}, false
	}
	cols, rows := x1-x0+1, y1-y0+1
	even := light{level: 1}
	l.fill(f, x0, y0, cols, rows, w, c, chroma, even)
	seed := l.seed(x-float64(x0), y-float64(y0), cols)
	if seed < 0 {
		return sight{}, false
	}
	l.flood(seed, cols, rows)
	for turn := 0; c.band() && turn < lightTurns; turn++ {
		lit, ok := l.lightOn(f, x0, y0, cols, w, c, chroma)
		if !ok {
			break
		}
		l.fill(f, x0, y0, cols, rows, w, c, chroma, lit)
		if seed = l.seed(x-float64(x0), y-float64(y0), cols); seed < 0 {
			return sight{}, false
		}
		l.flood(seed, cols, rows)
	}
	return l.measure(seed, x0, y0, cols, rows, f, w, c)
}

// fill works out the share of the colour in every sample of the window.
func (l *looker) fill(f *track.Frame, x0, y0, cols, rows, w int, c class, chroma float64, lit light) {
	n := cols * rows
	if cap(l.share) < n {
		l.share, l.mark = make([]float64, n), make([]bool, n)
	}
	l.share, l.mark = l.share[:n], l.mark[:n]
	clear(l.mark)
	l.levels = l.levels[:0]
	whole := 0
	for j := range rows {
		at := (y0+j)*w + x0
		for i := range cols {
			u, v := float64(f.U[at+i])-128, float64(f.V[at+i])-128
			along := u*c.u + v*c.v
			across := math.Abs(u*c.v - v*c.u)
			s := 0.0
			if across < 0.6*along {
				s = along / chroma / lit.at(float64(i), float64(j))
			}
			l.share[j*cols+i] = s
			switch {
			case s > 0.8:
				whole++
			case s > 0.25 && s < 0.75:
				l.levels = append(l.levels, s)
			}
		}
	}
	// An orange band on skin, which is orange too: count from the skin's level.
	under := 0.0
	if len(l.levels) > 2*whole {
		slices.Sort(l.levels)
		under = l.levels[len(l.levels)/2]
	}
	for k, s := range l.share {
		s = (s - under) / (1 - under)
		l.share[k] = math.Max(0, math.Min(1, (s-none)/(full-none)))
	}
}

// seed is the sample nearest to a place that is surely of the colour, -1 for
// none.
func (l *looker) seed(x, y float64, cols int) int {
	best, nearest := -1, math.Inf(1)
	for k, s := range l.share {
		if s < 0.8 {
			continue
		}
		dx, dy := float64(k%cols)-x, float64(k/cols)-y
		if d := dx*dx + dy*dy; d < nearest {
			best, nearest = k, d
		}
	}
	return best
}

// measure floods the patch from its seed and returns its middle.
func (l *looker) measure(seed, x0, y0, cols, rows int, f *track.Frame, w int, c class) (sight, bool) {
	loX, hiX, loY, hiY := l.flood(seed, cols, rows)
	var s sight
	var core float64
	l.cols, l.cells = cols, l.cells[:0]
	for _, k := range l.stack {
		l.cells = append(l.cells, cell{float64(k % cols), float64(k / cols), l.share[k]})
		if l.share[k] > 0.9 {
			at := (y0+k/cols)*w + x0 + k%cols
			s.chroma += (float64(f.U[at])-128)*c.u + (float64(f.V[at])-128)*c.v
			core++
		}
	}
	if loX == 0 || loY == 0 || hiX == cols-1 || hiY == rows-1 || core < 2 {
		return sight{}, false // cut by the window, or hardly there
	}
	s.chroma /= core
	m := momentsOf(l.cells)
	s.area = m.n
	s.wide = float64(max(hiX-loX, hiY-loY)+1) / 2
	rim := float64(2 * (hiX - loX + hiY - loY)) // samples that decide on the middle
	s.u = math.Hypot(blobShared, blobNoise*math.Sqrt(m.spread()*rim)*1.4/s.area)
	s.x, s.y = m.middle()
	if c.elbow() {
		s.u = math.Hypot(s.u, l.uncover())
	}
	if x, y, u, ok := l.ring(); ok {
		s.x, s.y, s.u = x, y, math.Hypot(s.u, u)
	}
	s.x += float64(x0)
	s.y += float64(y0)
	return s, true
}

// flood lists the patch's samples in l.stack and returns their box.
func (l *looker) flood(seed, cols, rows int) (loX, hiX, loY, hiY int) {
	loX, loY = cols, rows
	clear(l.mark)
	l.stack = append(l.stack[:0], seed)
	l.mark[seed] = true
	for at := 0; at < len(l.stack); at++ {
		k := l.stack[at]
		i, j := k%cols, k/cols
		loX, hiX, loY, hiY = min(loX, i), max(hiX, i), min(loY, j), max(hiY, j)
		if l.share[k] < 0.5 {
			continue // the rim counts but does not lead on
		}
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			a, b := i+d[0], j+d[1]
			if a < 0 || b < 0 || a >= cols || b >= rows {
				continue
			}
			if n := b*cols + a; !l.mark[n] && l.share[n] > 0 {
				l.mark[n] = true
				l.stack = append(l.stack, n)
			}
		}
	}
	return loX, hiX, loY, hiY
}

func (b *blob) add(f *track.Frame, s sight) {
	if dt := f.T - b.lastT; b.seen > 0 && dt > 0 {
		b.vx, b.vy = 0.4*b.vx+0.6*(s.x-b.x)/dt, 0.4*b.vy+0.6*(s.y-b.y)/dt
	}
	k := 1 / math.Min(float64(b.seen+1), 30)
	b.area += k * (s.area - b.area)
	b.chroma += k * (s.chroma - b.chroma)
	b.wide += k * (s.wide - b.wide)
	b.x, b.y, b.lastT = s.x, s.y, f.T
	b.seen++
	b.samples = append(b.samples, track.Sample{Frame: f.Index, T: f.T, X: s.x, Y: s.y, U: s.u, Seen: true})
	b.areas = append(b.areas, s.area)
}

func (b *blob) miss(f *track.Frame) {
	b.samples = append(b.samples, track.Sample{Frame: f.Index, T: f.T})
	b.areas = append(b.areas, 0)
}
