package marker

import (
	"math"

	"strokereel/track"
)

// inlay puts each sample to where the learnt inlay explains the picture: that place is
// known to what the noise allows, as the head that ends close to the sticker no longer
// draws it aside. Where more than noise is left unexplained, by a codec or by a head of
// another shape, nothing is put right. A sample in whose picture something else is seen
// moves by what the others do.
func (s *Spot) inlay(samples []track.Sample, a comparison) {
	p := &proof{offsetX: math.Round(2*a.x) / 2, offsetY: math.Round(2*a.y) / 2}
	index, views := s.pupils(p)
	m, usual, ok := p.teach(s.Radius, views)
	if !ok {
		return
	}
	share := p.exposure(&m, views)
	var dx, dy []float64
	found := make([]bool, len(samples))
	for k, i := range index {
		q, f := &samples[i], p.find(&m, views[k].v, views[k].at.exposed(share))
		u := math.Hypot(f.u, poseShared)
		if !q.Seen || !(f.rms < poseWorse*usual) || !(f.u < q.U) || math.Hypot(f.x-q.X, f.y-q.Y) > poseMove {
			continue
		}
		dx, dy = append(dx, f.x-q.X), append(dy, f.y-q.Y)
		q.X, q.Y, q.U, found[i] = f.x, f.y, u, true
	}
	if len(dx) == 0 {
		return
	}
	mx, my := median(dx), median(dy)
	for i := range samples {
		if samples[i].Seen && !found[i] {
			samples[i].X += mx
			samples[i].Y += my
		}
	}
}

// teach returns the inlay that slow views, spread over the clip, teach, and the usual
// residuals of its poses; false where it does not explain them, or where the spot never
// moves.
func (p *proof) teach(r float64, views []pupil) (m inlay, usual float64, ok bool) {
	var slow []pupil
	for _, v := range views {
		if math.Hypot(v.at.mx, v.at.my) < learnSlow {
			v.at.mx, v.at.my = 0, 0
			slow = append(slow, v)
		}
	}
	if len(slow) < learnFrames || len(slow) == len(views) {
		return m, 0, false
	}
	if p.noise, ok = noiseOf(slow); !ok {
		return m, 0, false
	}
	lessons := make([]pupil, learnFrames)
	for k := range lessons {
		lessons[k] = slow[k*(len(slow)-1)/(learnFrames-1)]
	}
	if m, ok = p.learn(startOf(r, lessons), lessons); !ok {
		return m, 0, false
	}
	misfits := make([]float64, learnFrames)
	for k, l := range lessons {
		misfits[k] = p.find(&m, l.v, l.at).rms
	}
	usual = median(misfits)
	return m, usual, usual < mostMisfit
}

// pupils returns the views that were kept, each with the place that was found in it and
// the motion from frame to frame, and the indexes of their samples.
func (s *Spot) pupils(p *proof) (index []int, views []pupil) {
	for i, q := range s.samples {
		before, after := s.samples[max(0, i-1)], s.samples[min(len(s.samples)-1, i+1)]
		if v := s.details[i].view; v != nil && before.Seen && after.Seen && after.Frame > before.Frame {
			n := float64(after.Frame - before.Frame)
			at := pose{x: q.X + p.offsetX, y: q.Y + p.offsetY, mx: (after.X - before.X) / n, my: (after.Y - before.Y) / n}
			index, views = append(index, i), append(views, pupil{v, at})
		}
	}
	return index, views
}

// noiseOf is the noise of luma and of the planes of the colour, levels, by how views of
// what stands still differ from one to the next; false where nothing does.
func noiseOf(views []pupil) (noise [2]float64, ok bool) {
	var apiece [2][]float64
	for i := 1; i < len(views); i++ {
		a, b := views[i-1].v, views[i].v
		if a.x0 != b.x0 || a.y0 != b.y0 || a.side != b.side {
			continue
		}
		n := float64(len(a.u))
		apiece[0] = append(apiece[0], float64(apart(a.y, b.y, 2*a.side, 0, 0, 2*a.side))/(4*n))
		apiece[1] = append(apiece[1], float64(apart(a.u, b.u, a.side, 0, 0, a.side)+apart(a.v, b.v, a.side, 0, 0, a.side))/(2*n))
	}
	if len(apiece[0]) == 0 {
		return noise, false
	}
	for k := range noise {
		// The mean size of the difference of two normal deviates is 2/sqrt(pi) of their sigma.
		noise[k] = math.Max(math.Sqrt(rounding), median(apiece[k])*math.Sqrt(math.Pi)/2)
	}
	return noise, true
}

// rounding is the variance of rounding to whole levels.
const rounding = 1.0 / 12

// startOf is what an inlay looks like at first sight: each surface by the middle of what
// is seen where it should be.
func startOf(r float64, views []pupil) inlay {
	m := inlay{r: r, flat: 1, top: r + 1.3, bottom: r + 1.3, edge: 0.25}
	var seen [4][3][]float64
	for _, s := range views {
		v := s.v
		for j := range v.side {
			for i := range v.side {
				// The middle of the four pixels of a colour sample.
				x, y := float64(2*(v.x0+i))+0.5-s.at.x, float64(2*(v.y0+j))+0.5-s.at.y
				k, ok := surfaceAt(x, y, r)
				if !ok {
					continue
				}
				row := v.y[4*j*v.side+2*i:]
				luma := (float64(row[0]) + float64(row[1]) + float64(row[2*v.side]) + float64(row[2*v.side+1])) / 4
				at := j*v.side + i
				for c, level := range [3]float64{luma - 16, float64(v.u[at]) - 128, float64(v.v[at]) - 128} {
					seen[k][c] = append(seen[k][c], level)
				}
			}
		}
	}
	for k, s := range seen {
		if len(s[0]) == 0 {
			m.surfaces[k] = m.surfaces[1]
			continue
		}
		m.surfaces[k] = lightOfLevels(median(s[0]), median(s[1]), median(s[2]))
	}
	return m
}

// surfaceAt is which surface of an inlay is surely seen at a place from the middle of
// its disc, if one is.
func surfaceAt(x, y, r float64) (k int, ok bool) {
	d := math.Hypot(x, y)
	switch across := math.Abs(x) < r/2; {
	case d < 0.6*r:
		return 0, true
	case d > r+1.5 && d < r+4 && math.Abs(y) < r/2:
		return 1, true
	case across && y < -r-2 && y > -r-4:
		return 2, true
	case across && y > r+2.5 && y < r+5:
		return 3, true
	}
	return 0, false
}
