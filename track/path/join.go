package path

import (
	"math"
	"slices"
	"sort"

	"strokereel/track"
)

// Joint is a marker's path made surer by another part of the same rigid club, which lies
// beside it in the picture.
type Joint struct {
	Path track.Path
	// apart is how far the marker lies from the part along the line, magnified.
	apart track.Path
	o     Options
}

// magnify is how much smaller what turns a club makes the distance between two of its parts
// change than the stroke goes: a part 6 cm farther from a camera 3 m away seems to go 2 %
// less far, and a face that turns by 4 degrees moves a sticker 6 cm from the shaft by 4 mm
// in a stroke of 30 to 40 cm.
const magnify = 50

const (
	// jointFrames are the fewest in which both must be seen.
	jointFrames = 20
	// alikeFrames is how many frames in a row a codec makes err alike, which are worth one.
	alikeFrames = 2
	// jointFactor is how many standard uncertainties the two may contradict each other by.
	jointFactor = 4
	// jointRounds are enough to find those that do.
	jointRounds = 4
	// jointSpan is how far around a moment they are compared, s: something else behind
	// the part misleads it for as long as it passes.
	jointSpan = 0.07
)

// Join returns the path of a marker with what a part of the same club tells of where it is
// along the line. How far the two are apart changes as a stroke does, only less, and is
// told by all frames around; where the part contradicts that, it is believed less. Across
// the line the part tells nothing. Lag is by how much the marker may lie off for a while, m;
// breaks are moments (s) at which speeds may jump.
func Join(marker, part track.Path, lag float64, breaks []float64, exposure float64, o Options) (Joint, error) {
	j := Joint{Path: marker, o: o, apart: track.Path{Object: marker.Object}}
	at := map[int]track.Point{}
	for _, q := range WithoutStrays(part, o).Points {
		if q.Seen {
			at[q.Frame] = q
		}
	}
	for _, q := range marker.Points {
		if p, ok := at[q.Frame]; ok && q.Seen && !q.Given {
			j.apart.Points = append(j.apart.Points, track.Point{Frame: q.Frame, T: q.T, Seen: true, X: magnify * (q.X - p.X), U: magnify * math.Sqrt(alikeFrames) * math.Hypot(q.U, p.U)})
		}
	}
	if !j.Told() {
		return j, nil
	}
	c, off, err := j.compare(lag, breaks, exposure)
	if err != nil {
		return j, err
	}
	j.Path = track.Path{Object: marker.Object, Points: slices.Clone(marker.Points)}
	byFrame := map[int]*track.Point{}
	for i := range j.Path.Points {
		byFrame[j.Path.Points[i].Frame] = &j.Path.Points[i]
	}
	for i, q := range j.apart.Points {
		m, err := c.At(q.T)
		if err != nil || !q.Seen {
			continue
		}
		own, p := byFrame[q.Frame], at[q.Frame]
		own.UY = own.U
		u := j.partU(i, off, math.Hypot(own.U, lag), p.U)
		ws, wp := 1/(own.U*own.U), 1/(u*u)
		own.X = (ws*own.X + wp*(p.X+m.X/magnify)) / (ws + wp)
		own.U = 1 / math.Sqrt(ws+wp)
	}
	return j, nil
}

// compare finds how the two are apart, leaving out where they contradict each other, and
// by how many standard uncertainties each place lies off that.
func (j Joint) compare(lag float64, breaks []float64, exposure float64) (c *Curve, off []float64, err error) {
	off = make([]float64, len(j.apart.Points))
	for range jointRounds {
		if c, err = NewCurve(j.apart, breaks, exposure, j.o); err != nil {
			return nil, nil, err
		}
		changed := false
		for i, q := range j.apart.Points {
			off[i] = math.Inf(1)
			m, err := c.At(q.T)
			if err != nil {
				continue
			}
			off[i] = math.Abs(q.X-m.X) / math.Hypot(q.U/math.Sqrt(alikeFrames), magnify*lag)
			if seen := off[i] < jointFactor; seen != q.Seen {
				j.apart.Points[i].Seen, changed = seen, true
			}
		}
		if !changed {
			break
		}
	}
	return c, off, nil
}

// partU is the standard uncertainty of the i-th place of the part, given how far all lie
// off what they should by, in standard uncertainties: for as long as more than half do by
// more than chance would have it, the part is to blame for the excess.
func (j Joint) partU(i int, off []float64, u, uPart float64) float64 {
	var near []float64
	t := j.apart.Points[i].T
	for k, q := range j.apart.Points {
		if math.Abs(q.T-t) <= jointSpan {
			near = append(near, off[k])
		}
	}
	sort.Float64s(near)
	// The median of the size of a normal deviate is 0.6745 of its sigma, and that of n of
	// them scatters by 1.2/sqrt(n) of it (from memory).
	excess := math.Max(1, near[len(near)/2]/0.6745/(1+1.2/math.Sqrt(float64(len(near)))))
	return math.Sqrt(excess*excess*(u*u+uPart*uPart) - u*u)
}

// Told reports whether a part tells of the marker.
func (j Joint) Told() bool { return len(j.apart.Points) >= jointFrames }

// USpeed is the standard uncertainty of the speed of the marker against the part before a
// break at t (s), m/s; 0 when no part tells of the marker.
func (j Joint) USpeed(t float64, exposure float64) float64 {
	if !j.Told() {
		return 0
	}
	c, err := NewCurve(j.apart, []float64{t}, exposure, j.o)
	if err != nil {
		return 0
	}
	m, err := c.At(t)
	if err != nil {
		return 0
	}
	return m.U(1) / magnify
}

// U is the usual standard uncertainty of the distance between both, m; 0 when no part
// tells of the marker.
func (j Joint) U() float64 {
	if !j.Told() {
		return 0
	}
	c, err := NewCurve(j.apart, nil, 0, j.o)
	if err != nil {
		return 0
	}
	var u []float64
	for _, q := range j.apart.Points {
		if m, err := c.At(q.T); err == nil {
			u = append(u, m.U(0)/magnify)
		}
	}
	if len(u) == 0 {
		return 0
	}
	sort.Float64s(u)
	return u[len(u)/2]
}
