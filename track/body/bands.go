package body

import (
	"math"

	"strokereel/track"
	"strokereel/track/marker"
)

// class is one named colour as a direction in the Cb-Cr plane.
type class struct {
	u, v float64
	worn worn
}

// elbow reports whether a class is that of a band below an elbow.
func (c class) elbow() bool { return len(c.worn.places) > 0 && joint(c.worn.places[0]) == "elbow" }

// band reports whether a class is that of a band round a forearm.
func (c class) band() bool {
	return c.elbow() || len(c.worn.places) > 0 && joint(c.worn.places[0]) == "wrist"
}

// Bands follows the bands and stickers the player wears.
type Bands struct {
	opt      Options
	classes  []class
	table    [1 << 14]uint8 // class+1 by (Cb/2)<<7 | Cr/2; 0 for none
	blobs    []*blob
	stamps   []track.Sample // one unseen sample per frame
	keys     []int          // frames coded by themselves
	look     looker
	lastScan float64
	lastT    float64
	frames   int
	w, h     int // chroma
	unit     float64
	label    []uint8
	stack    []int
}

const (
	// scanEvery is how often, s, the whole picture is looked at for bands that
	// are not followed.
	scanEvery = 0.25
	// scanStep is the grid of that look, chroma px.
	scanStep = 2
	// mostBlobs of one colour are followed at a time.
	mostBlobs = 6
	// leastArea of a patch, chroma px of a 1920 px picture: a sticker of 25 mm at
	// 380 px/m covers 17.
	leastArea = 7
	// mostWide is the largest half side of a band, chroma px of a 1920 px
	// picture: 90 mm at 800 px/m is 36 luma px.
	mostWide = 32
	// quickest is the fastest motion of a band, chroma px per second of a 1920 px
	// picture: 2.5 m/s at 800 px/m.
	quickest = 1000
)

// NewBands returns a follower for a clip whose frames all have the given size.
// Without a colour in the options it follows nothing and costs nothing.
func NewBands(opt Options, width, height int) *Bands {
	b := &Bands{opt: opt, w: (width + 1) / 2, h: (height + 1) / 2, unit: float64(max(width, height)) / 1920}
	for _, w := range opt.worn() {
		hue, ok := marker.Hue(w.colour)
		if !ok {
			continue
		}
		s, c := math.Sincos(hue * math.Pi / 180)
		b.classes = append(b.classes, class{u: c, v: s, worn: w})
	}
	if len(b.classes) == 0 {
		return b
	}
	b.label = make([]uint8, (b.w/scanStep)*(b.h/scanStep))
	b.fillTable()
	return b
}

// fillTable gives every colour to the nearest of the named ones in use.
func (b *Bands) fillTable() {
	for i := range b.table {
		c := marker.Colour{U: float64(i>>7)*2 + 1 - 128, V: float64(i&127)*2 + 1 - 128}
		if math.Hypot(c.U, c.V) < b.opt.MinChroma {
			continue
		}
		best := b.opt.HueTolerance
		for k, cl := range b.classes {
			hue, _ := marker.Hue(cl.worn.colour)
			if d := marker.HueDistance(c.Hue(), hue); d <= best {
				best, b.table[i] = d, uint8(k+1)
			}
		}
	}
}

// Next takes the clip's next frame.
func (b *Bands) Next(f *track.Frame) {
	if len(b.classes) == 0 {
		return
	}
	b.stamps = append(b.stamps, track.Sample{Frame: f.Index, T: f.T})
	if f.Key {
		b.keys = append(b.keys, f.Index)
	}
	lost := b.frames == 0
	for _, o := range b.blobs {
		if !b.follow(f, o) {
			o.miss(f)
			lost = lost || o.seen > 10 && f.T-o.lastT < 3*b.opt.MaxGap
		}
	}
	if b.frames == 0 || f.T-b.lastScan >= scanEvery || lost && f.T-b.lastScan >= scanEvery/4 {
		b.scan(f)
	}
	b.frames++
	b.lastT = f.T
}

// follow looks for a blob where it should be by now.
func (b *Bands) follow(f *track.Frame, o *blob) bool {
	since := f.T - o.lastT
	if since > b.opt.MaxGap {
		return false
	}
	carry := math.Min(since, 0.1)
	x, y := o.x+o.vx*carry, o.y+o.vy*carry
	reach := 1.25*o.wide + 5*b.unit + 0.5*math.Hypot(o.vx, o.vy)*since + 200*b.unit*since
	s, ok := b.look.see(f, x, y, reach, b.classes[o.class], o.chroma)
	if !ok || math.Hypot(s.x-x, s.y-y) > reach || !o.resembles(s) || b.taken(o, s) {
		return false
	}
	o.add(f, s)
	return true
}

// resembles reports whether a sighting can be this blob by its size. A band
// half behind a hand is not the band: its middle is elsewhere.
func (o *blob) resembles(s sight) bool {
	return o.seen < 5 || s.area > 0.6*o.area && s.area < 1.7*o.area
}

// taken reports whether another blob of the colour is already there.
func (b *Bands) taken(o *blob, s sight) bool {
	for _, q := range b.blobs {
		if q != o && q.class == o.class && q.seen > 0 && math.Hypot(q.x-s.x, q.y-s.y) < q.wide {
			return true
		}
	}
	return false
}

// scan looks for patches anywhere: those that were lost go on, others begin.
func (b *Bands) scan(f *track.Frame) {
	b.lastScan = f.T
	cols, rows := b.w/scanStep, b.h/scanStep
	for j := range rows {
		at := j * scanStep * b.w
		for i := range cols {
			b.label[j*cols+i] = b.table[int(f.U[at+i*scanStep]>>1)<<7|int(f.V[at+i*scanStep]>>1)]
		}
	}
	for k, l := range b.label {
		if l != 0 {
			x, y, hits := b.flood(f, k, cols, rows)
			if hits >= 2 {
				b.begin(f, int(l)-1, x, y)
			}
		}
	}
}

// flood takes out one patch of the grid and returns its most colourful place in
// chroma px: a band may run into skin of a similar hue.
func (b *Bands) flood(f *track.Frame, k, cols, rows int) (x, y float64, hits int) {
	l := b.label[k]
	c, most := b.classes[l-1], 0.0
	b.stack = append(b.stack[:0], k)
	b.label[k] = 0
	for len(b.stack) > 0 {
		k := b.stack[len(b.stack)-1]
		b.stack = b.stack[:len(b.stack)-1]
		i, j := k%cols, k/cols
		hits++
		at := j*scanStep*b.w + i*scanStep
		if p := (float64(f.U[at])-128)*c.u + (float64(f.V[at])-128)*c.v; p > most {
			most, x, y = p, float64(i*scanStep), float64(j*scanStep)
		}
		for dj := -1; dj <= 1; dj++ {
			for di := -1; di <= 1; di++ {
				a, c := i+di, j+dj
				if a >= 0 && c >= 0 && a < cols && c < rows && b.label[c*cols+a] == l {
					b.label[c*cols+a] = 0
					b.stack = append(b.stack, c*cols+a)
				}
			}
		}
	}
	return x, y, hits
}

// begin takes a patch of a colour for a blob: one that was lost nearby, else a
// fresh one.
func (b *Bands) begin(f *track.Frame, k int, x, y float64) {
	live := 0
	for _, o := range b.blobs {
		if o.class != k {
			continue
		}
		if o.lastT == f.T && math.Hypot(o.x-x, o.y-y) < 2*o.wide+4*b.unit {
			return
		}
		if o.lastT == f.T {
			live++
		}
	}
	chroma := b.colourAt(f, k, x, y)
	s, ok := b.look.see(f, x, y, (mostWide+4)*b.unit, b.classes[k], chroma)
	for again := 0; ok && again < 3; again++ { // with the patch's own colour and place
		s, ok = b.look.see(f, s.x, s.y, (mostWide+4)*b.unit, b.classes[k], s.chroma)
	}
	if !ok || s.area < leastArea*b.unit*b.unit || s.wide > mostWide*b.unit || live >= mostBlobs {
		return
	}
	if o := b.lostNear(f, k, s); o != nil {
		o.samples, o.areas = o.samples[:len(o.samples)-1], o.areas[:len(o.areas)-1]
		o.vx, o.vy = 0, 0
		o.add(f, s)
		return
	}
	o := &blob{class: k}
	o.add(f, s)
	b.blobs = append(b.blobs, o)
}

// lostNear finds the lost blob that a patch may be.
func (b *Bands) lostNear(f *track.Frame, k int, s sight) *blob {
	var best *blob
	nearest := math.Inf(1)
	for _, o := range b.blobs {
		if o.class != k || o.lastT == f.T || !o.resembles(s) {
			continue
		}
		d := math.Hypot(o.x-s.x, o.y-s.y)
		if d < quickest*b.unit*(f.T-o.lastT)+o.wide && d < nearest {
			best, nearest = o, d
		}
	}
	return best
}

// colourAt is how far from grey the most colourful samples around a place are.
func (b *Bands) colourAt(f *track.Frame, k int, x, y float64) float64 {
	most := b.opt.MinChroma
	r := int(3*b.unit) + 1
	for j := max(0, int(y)-r); j <= min(b.h-1, int(y)+r); j++ {
		for i := max(0, int(x)-r); i <= min(b.w-1, int(x)+r); i++ {
			u, v := float64(f.U[j*b.w+i])-128, float64(f.V[j*b.w+i])-128
			most = math.Max(most, u*b.classes[k].u+v*b.classes[k].v)
		}
	}
	return most
}
