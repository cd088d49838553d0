package body

import (
	"cmp"
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
	share  []float64
	mark   []bool
	stack  []int
	across []weighted
	levels []float64
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
	l.fill(f, x0, y0, cols, rows, w, c, chroma)
	seed := l.seed(x-float64(x0), y-float64(y0), cols)
	if seed < 0 {
		return sight{}, false
	}
	return l.measure(seed, x0, y0, cols, rows, f, w, c)
}

// fill works out the share of the colour in every sample of the window.
func (l *looker) fill(f *track.Frame, x0, y0, cols, rows, w int, c class, chroma float64) {
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
				s = along / chroma
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
	var m moments
	for _, k := range l.stack {
		share := l.share[k]
		m.add(share, float64(k%cols), float64(k/cols))
		if share > 0.9 {
			at := (y0+k/cols)*w + x0 + k%cols
			s.chroma += (float64(f.U[at])-128)*c.u + (float64(f.V[at])-128)*c.v
			core++
		}
	}
	if loX == 0 || loY == 0 || hiX == cols-1 || hiY == rows-1 || core < 2 {
		return sight{}, false // cut by the window, or hardly there
	}
	s.chroma /= core
	s.area = m.n
	s.wide = float64(max(hiX-loX, hiY-loY)+1) / 2
	rim := float64(2 * (hiX - loX + hiY - loY)) // samples that decide on the middle
	s.u = math.Hypot(blobShared, blobNoise*math.Sqrt(m.spread()*rim)*1.4/s.area)
	s.x, s.y = m.middle()
	if x, y, u, ok := l.ring(m, cols); ok {
		s.x, s.y, s.u = x, y, math.Hypot(s.u, u)
	}
	s.x += float64(x0)
	s.y += float64(y0)
	return s, true
}

// flood lists the patch's samples in l.stack and returns their box.
func (l *looker) flood(seed, cols, rows int) (loX, hiX, loY, hiY int) {
	loX, loY = cols, rows
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

const (
	// ringShape is how many times as large the variance across the forearm must
	// be as that along it for a patch to be a band round it and no round sticker.
	ringShape = 1.9
	// ringShared is what the bend of a band's picture is misread by, chroma px.
	ringShared = 0.25
	// ringBlur is the blur of the colour planes, chroma px: that of lens and sensor,
	// of their samples and of the codec.
	ringBlur = 0.7
)

// ring returns the middle of a band round a forearm. Only the half toward the
// camera is seen, and of a forearm that points toward or away from the camera
// that half bulges along the forearm: a sample at u of the half width from the
// middle by d sqrt(1-u^2). The band's middle is between the two ends, where the
// bulge is nil, so the bulge is fitted, blurred as the picture is, and taken out.
func (l *looker) ring(m moments, cols int) (x, y, u float64, ok bool) {
	mx, my := m.middle()
	ax, ay, major, minor := m.axes() // unit vector across the forearm
	if major < ringShape*minor {
		return 0, 0, 0, false
	}
	lo, hi := l.ends(mx, my, ax, ay, cols)
	half, middle := (hi-lo)/2, (lo+hi)/2
	mx, my = mx+middle*ax, my+middle*ay
	var sg, sgg, sv, sgv float64
	for _, k := range l.stack {
		w, dx, dy := l.share[k], float64(k%cols)-mx, float64(k/cols)-my
		across, along := dx*ax+dy*ay, dy*ax-dx*ay
		g := blurredBulge(across/half, ringBlur/half)
		sg, sgg, sv, sgv = sg+w*g, sgg+w*g*g, sv+w*along, sgv+w*g*along
	}
	den := m.n*sgg - sg*sg
	if !(den > 0) {
		return 0, 0, 0, false
	}
	bulge := (m.n*sgv - sg*sv) / den
	shift := (sv - bulge*sg) / m.n
	return mx - shift*ay, my + shift*ax, ringShared, true
}

// blurTaps weigh places this many blurs apart, by a normal blur.
var blurTaps = []struct{ at, w float64 }{{-2, 0.135}, {-1.2, 0.487}, {-0.4, 0.923}, {0.4, 0.923}, {1.2, 0.487}, {2, 0.135}}

// blurredBulge is how far a band bulges at u of its half width, as a share of its
// bulge in the middle, where the picture is blurred by a share of the half width: near
// the ends what is seen comes from farther in.
func blurredBulge(u, blur float64) float64 {
	var sum, n float64
	for _, tap := range blurTaps {
		if at := u + tap.at*blur; at > -1 && at < 1 {
			sum, n = sum+tap.w*math.Sqrt(1-at*at), n+tap.w
		}
	}
	if n == 0 {
		return 0
	}
	return sum / n
}

// endShare of a patch lies beyond each of its ends as taken: a ring may be thin
// where it turns out of sight, so its middle is between its ends rather than
// where most of it is.
const endShare = 0.03

// ends returns how far the patch reaches to either side along a unit vector from
// a point.
func (l *looker) ends(mx, my, ax, ay float64, cols int) (lo, hi float64) {
	l.across = l.across[:0]
	total := 0.0
	for _, k := range l.stack {
		l.across = append(l.across, weighted{(float64(k%cols)-mx)*ax + (float64(k/cols)-my)*ay, l.share[k]})
		total += l.share[k]
	}
	slices.SortFunc(l.across, func(a, b weighted) int { return cmp.Compare(a.at, b.at) })
	reach := func(from, step int) float64 {
		sum := 0.0
		for i := from; i >= 0 && i < len(l.across); i += step {
			if sum += l.across[i].w; sum >= endShare*total {
				return l.across[i].at
			}
		}
		return 0
	}
	lo, hi = reach(0, 1), reach(len(l.across)-1, -1)
	more := (hi - lo) * endShare / (1 - 2*endShare) // what is beyond, were it filled evenly
	return lo - more, hi + more
}

// weighted is a place with its share.
type weighted struct{ at, w float64 }

// moments are the weighted sums of a patch.
type moments struct{ n, x, y, xx, xy, yy float64 }

func (m *moments) add(w, x, y float64) {
	m.n += w
	m.x += w * x
	m.y += w * y
	m.xx += w * x * x
	m.xy += w * x * y
	m.yy += w * y * y
}

func (m moments) middle() (x, y float64) { return m.x / m.n, m.y / m.n }

func (m moments) variances() (xx, xy, yy float64) {
	x, y := m.middle()
	return m.xx/m.n - x*x, m.xy/m.n - x*y, m.yy/m.n - y*y
}

func (m moments) spread() float64 {
	xx, _, yy := m.variances()
	return math.Max(xx, yy)
}

// axes returns the direction in which a patch is longest and the variances along
// that and across it.
func (m moments) axes() (x, y, major, minor float64) {
	xx, xy, yy := m.variances()
	half, diff := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	y, x = math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	return x, y, half + diff, half - diff
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
