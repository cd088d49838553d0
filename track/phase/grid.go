package phase

import (
	"math"

	"strokereel/track/path"
)

// step of the grid on which lines are crossed. Between nodes the motion is taken
// as straight: at 10 m/s^2 that is wrong by 20 micrometres.
const step = 0.004 // s

// grid is a curve looked at every few milliseconds. Fits are kept, as several
// events look at the same stretch.
type grid struct {
	curve *path.Curve
	fits  map[int]node
}

// node is the motion at one moment; ok is false where the curve has none.
type node struct {
	t, x, y, vx, u float64
	ok             bool
}

func newGrid(c *path.Curve) *grid { return &grid{curve: c, fits: map[int]node{}} }

func index(t float64) int { return int(math.Round(t / step)) }

func (g *grid) at(i int) node {
	n, known := g.fits[i]
	if !known {
		t := float64(i) * step
		n.t = t
		if f, err := g.curve.At(t); err == nil {
			n = node{t: t, x: f.X, y: f.Y, vx: f.VX, u: f.UTurn(), ok: true}
		}
		g.fits[i] = n
	}
	return n
}

// stretch returns the nodes from t0 to t1, as far as the curve goes without a
// hole; whole is false when it ended early.
func (g *grid) stretch(t0, t1 float64) (nodes []node, whole bool) {
	last := int(math.Floor(t1/step + 1e-9))
	for i := int(math.Ceil(t0/step - 1e-9)); i <= last; i++ {
		n := g.at(i)
		if !n.ok {
			return nodes, false
		}
		nodes = append(nodes, n)
	}
	return nodes, true
}

// cross finds where value, over nodes, passes level: the first time, or the
// last when last is set. rising says in which direction. U is half the time
// value needs to pass from level-u to level+u around it.
func cross(nodes []node, value func(node) float64, level, u float64, rising, last bool) (t, ut float64, ok bool) {
	sign := 1.0
	if !rising {
		sign = -1
	}
	at := -1
	for i := 1; i < len(nodes); i++ {
		a, b := sign*(value(nodes[i-1])-level), sign*(value(nodes[i])-level)
		if a < 0 && b >= 0 {
			at = i
			if !last {
				break
			}
		}
	}
	if at < 0 {
		return 0, 0, false
	}
	a, b := value(nodes[at-1]), value(nodes[at])
	t = nodes[at-1].t + step*(level-a)/(b-a)
	before, after := nodes[0].t, nodes[len(nodes)-1].t
	for i := at - 1; i >= 0; i-- {
		if d := sign * (value(nodes[i]) - level); d <= -u {
			next := sign * (value(nodes[i+1]) - level)
			before = nodes[i].t + step*(-u-d)/(next-d)
			break
		}
	}
	for i := at; i < len(nodes); i++ {
		if d := sign * (value(nodes[i]) - level); d >= u {
			prev := sign * (value(nodes[i-1]) - level)
			after = nodes[i].t - step*(d-u)/(d-prev)
			break
		}
	}
	return t, (after - before) / 2, true
}

// largest returns the node with the largest value and what that value really
// is: the largest of many noisy values lies too far out. The expected excess
// over the values as they stand (the bootstrap's estimate of bias, with
// independent noise in one node per spacing seconds) is too large when the
// values differ in truth and right when they do not: half of it is taken off,
// and half is kept as doubt.
func largest(nodes []node, value func(node) float64, spacing float64) (at int, v, u float64) {
	for i := range nodes {
		if value(nodes[i]) > value(nodes[at]) {
			at = i
		}
	}
	top := value(nodes[at])
	hop := max(1, int(math.Round(spacing/step)))
	var rivals []node
	for i := at % hop; i < len(nodes); i += hop {
		if top-value(nodes[i]) < 6*nodes[i].u {
			rivals = append(rivals, nodes[i])
		}
	}
	own := ownNoise(rivals, value, spacing)
	excess, variance := beyond(top, rivals, value, own)
	su := own * nodes[at].u
	shared := (1 - own*own) * nodes[at].u * nodes[at].u
	return at, top - excess/2, math.Sqrt(shared + math.Max(variance, 0.1*su*su) + excess*excess/4)
}

// beyond returns the mean of the largest of some values, each uncertain by a share of
// its u, less the largest as they stand, and its variance, from its distribution
// function, the product of theirs.
func beyond(top float64, nodes []node, value func(node) float64, share float64) (mean, variance float64) {
	lo, hi := math.Inf(-1), 0.0
	for _, n := range nodes {
		lo, hi = math.Max(lo, value(n)-top-6*share*n.u), math.Max(hi, value(n)-top+8*share*n.u)
	}
	const cells = 400
	h := (hi - lo) / cells
	var square, before float64
	for k := 0; k <= cells; k++ {
		z := lo + float64(k)*h
		p := 1.0
		for _, n := range nodes {
			p *= 0.5 * math.Erfc((value(n)-top-z)/(share*n.u*math.Sqrt2))
		}
		mean += (p - before) * (z - h/2)
		square += (p - before) * (z - h/2) * (z - h/2)
		before = p
	}
	return mean, square - mean*mean
}

// ownNoise is the share of their uncertainty by which neighbouring nodes err each
// on its own: they scatter by no more than that from one to the next, whatever
// they share. Only what is new from node to node makes the largest too large.
func ownNoise(nodes []node, value func(node) float64, spacing float64) float64 {
	const fewest, least = 3, 0.05
	var sum float64
	var pairs int
	for i := 1; i < len(nodes); i++ {
		a, b := nodes[i-1], nodes[i]
		if b.t-a.t > 1.5*spacing {
			continue // another stretch
		}
		d := value(b) - value(a)
		sum += d * d / (a.u*a.u + b.u*b.u)
		pairs++
	}
	if pairs < fewest {
		return 1
	}
	return math.Max(least, math.Min(1, math.Sqrt(sum/float64(pairs))))
}
