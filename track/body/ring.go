package body

import (
	"cmp"
	"math"
	"slices"
)

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
func (l *looker) ring() (x, y, u float64, ok bool) {
	ax, ay, major, minor := momentsOf(l.cells).axes() // unit vector across the forearm
	if major < ringShape*minor {
		return 0, 0, 0, false
	}
	r := l.between(ax, ay)
	var n, sg, sgg, sv, sgv float64
	for _, q := range l.cells {
		across, along := r.from(q.x, q.y)
		g := blurredBulge(across/r.half, ringBlur/r.half)
		n, sg, sgg, sv, sgv = n+q.w, sg+q.w*g, sgg+q.w*g*g, sv+q.w*along, sgv+q.w*g*along
	}
	den := n*sgg - sg*sg
	if !(den > 0) {
		return 0, 0, 0, false
	}
	bulge := (n*sgv - sg*sv) / den
	x, y = r.at(0, (sv-bulge*sg)/n)
	return x, y, ringShared, true
}

// ring is where a band's picture lies: its middle, chroma px of the window, the
// unit vector across the forearm, to the right, and half its width.
type ring struct{ x, y, ax, ay, half float64 }

// at is the place so far across the forearm and along it, down positive.
func (r ring) at(across, along float64) (x, y float64) {
	return r.x + across*r.ax - along*r.ay, r.y + across*r.ay + along*r.ax
}

// from is the reverse of at.
func (r ring) from(x, y float64) (across, along float64) {
	x, y = x-r.x, y-r.y
	return x*r.ax + y*r.ay, y*r.ax - x*r.ay
}

// between is the patch as a ring across a direction, its middle between its ends.
func (l *looker) between(ax, ay float64) ring {
	if ax < 0 {
		ax, ay = -ax, -ay
	}
	x, y := momentsOf(l.cells).middle()
	r := ring{x: x, y: y, ax: ax, ay: ay}
	lo, hi := l.ends(r)
	r.x, r.y = r.at((lo+hi)/2, 0)
	r.half = (hi - lo) / 2
	return r
}

const (
	// columnStep is the distance, px, of the lines along the forearm on which a band is
	// looked at; nearer to its ends than columnSpan of its half width corners are rounded.
	columnStep, columnSpan = 0.5, 0.85
	rimStep                = 0.25 // px between the places by which a rim is found
	// coverOf is the quantile of the columns that is as long as the band is wide. A column
	// that is shorter by less than coverFrom, px, is whole for all that rims are known to;
	// by more than coverFull it is surely covered.
	coverOf              = 0.9
	coverFrom, coverFull = 0.8, 1.8
)

// uncover puts back what the upper arm covers of a band below the elbow, and returns
// how unsure that leaves the middle, px. The rim toward the wrist is seen, and the
// band is as wide everywhere as where most is seen of it.
func (l *looker) uncover() (u float64) {
	seen := l.cells
	for range 2 { // what is put back may turn the band's direction
		ax, ay, major, minor := momentsOf(l.cells).axes()
		if major < ringShape*minor {
			return 0
		}
		r := l.between(ax, ay)
		cols := l.columns(r)
		width := widthOf(cols)
		l.cells = seen[:len(seen):len(seen)]
		covered := 0.0
		for i, c := range cols {
			gone := width - (c.lower - c.upper)
			sure := math.Max(0, math.Min(1, (gone-coverFrom)/(coverFull-coverFrom)))
			if sure == 0 {
				continue
			}
			covered += sure / float64(len(cols))
			// The columns nearest to the ends stand for what is beyond them.
			for u := c.u; math.Abs(u) < 1; u += math.Copysign(columnStep/r.half, c.u) {
				x, y := r.at(u*r.half, c.upper-gone/2)
				l.cells = append(l.cells, cell{x, y, columnStep * sure * gone})
				if i > 0 && i < len(cols)-1 {
					break
				}
			}
		}
		if covered == 0 {
			break
		}
		u = covered * coverFrom / 2
	}
	return u
}

// column is where a band's rims are along the forearm at u of its half width.
type column struct{ u, upper, lower float64 }

// widthOf is how long columns are that are whole.
func widthOf(cols []column) float64 {
	if len(cols) == 0 {
		return 0
	}
	var all []float64
	for _, c := range cols {
		all = append(all, c.lower-c.upper)
	}
	slices.Sort(all)
	var sum, n float64
	for _, v := range all {
		if v > all[int(coverOf*float64(len(all)-1))]-coverFrom {
			sum, n = sum+v, n+1
		}
	}
	return sum / n
}

// columns looks for both rims on lines along the forearm, from within the band outward.
func (l *looker) columns(r ring) []column {
	var out []column
	reach := 0.0
	for _, q := range l.cells {
		_, along := r.from(q.x, q.y)
		reach = math.Max(reach, math.Abs(along))
	}
	half := math.Floor(columnSpan * r.half / columnStep)
	for k := -half; k <= half; k++ {
		across := k * columnStep
		from, most := 0.0, 0.0
		for d := -reach; d <= reach; d += 2 * rimStep {
			if v := l.shareAt(r.at(across, d)); v > most {
				from, most = d, v
			}
		}
		lower, ok1 := l.edge(r, across, from, rimStep, most/2)
		upper, ok2 := l.edge(r, across, from, -rimStep, most/2)
		if ok1 && ok2 {
			out = append(out, column{across / r.half, upper, lower})
		}
	}
	return out
}

// edge is where the share falls below a limit along the forearm, in steps from a place
// within the patch. In shade a band is less colourful, so the limit is half of what
// it is there.
func (l *looker) edge(r ring, across, from, step, limit float64) (float64, bool) {
	before := l.shareAt(r.at(across, from))
	for d := from + step; before > 0; d += step {
		v := l.shareAt(r.at(across, d))
		if v < limit {
			return d - step*(limit-v)/(before-v), true
		}
		before = v
	}
	return 0, false
}

// shareAt is the share of the colour at a place between samples, of the patch alone.
func (l *looker) shareAt(x, y float64) float64 {
	rows := len(l.share) / l.cols
	x, y = math.Max(0, math.Min(x, float64(l.cols)-1.001)), math.Max(0, math.Min(y, float64(rows)-1.001))
	i, j := int(x), int(y)
	a, b := x-float64(i), y-float64(j)
	of := func(k int) float64 {
		if l.mark[k] {
			return l.share[k]
		}
		return 0
	}
	k := j*l.cols + i
	return (of(k)*(1-a)+of(k+1)*a)*(1-b) + (of(k+l.cols)*(1-a)+of(k+l.cols+1)*a)*b
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

// ends returns how far the patch reaches to either side across the forearm.
func (l *looker) ends(r ring) (lo, hi float64) {
	type weighted struct{ at, w float64 }
	var across []weighted
	total := 0.0
	for _, q := range l.cells {
		at, _ := r.from(q.x, q.y)
		across = append(across, weighted{at, q.w})
		total += q.w
	}
	slices.SortFunc(across, func(a, b weighted) int { return cmp.Compare(a.at, b.at) })
	reach := func(from, step int) float64 {
		sum := 0.0
		for i := from; i >= 0 && i < len(across); i += step {
			if sum += across[i].w; sum >= endShare*total {
				return across[i].at
			}
		}
		return 0
	}
	lo, hi = reach(0, 1), reach(len(across)-1, -1)
	more := (hi - lo) * endShare / (1 - 2*endShare) // what is beyond, were it filled evenly
	return lo - more, hi + more
}

// cell is a place of a patch, chroma px of the window, with its share of the colour.
type cell struct{ x, y, w float64 }

// moments are the weighted sums of a patch.
type moments struct{ n, x, y, xx, xy, yy float64 }

// momentsOf are those of a patch's cells.
func momentsOf(cells []cell) moments {
	var m moments
	for _, q := range cells {
		m.add(q.w, q.x, q.y)
	}
	return m
}

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
