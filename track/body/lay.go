package body

import "math"

// pattern is how a limb looks near its elbow at address: what is there as the limb
// moves on and what of its surroundings stays beside it.
type pattern struct {
	length float64 // px, of the limb
	dir    float64 // rad
	points []point
	coarse []point // some of them, for the search
}

// point is a place of a pattern, px along the limb and across it from the elbow, what
// is seen there, and how much it tells of where the limb is.
type point struct {
	along, across, w float64
	levels
}

// shift tells how a pattern lies in a patch: the elbow's place, px along the limb and
// across it from where the model put it, and the turn against the model's limb, rad.
type shift struct{ along, across, turn float64 }

// All lengths are shares of the limb.
const (
	// Points are alongStep apart along the limb, where little changes, and acrossStep
	// across it, up to acrossTo to either side: the arm's edges are within.
	alongStep, acrossStep, acrossTo = 0.04, 0.02, 0.26
	// slopeStep is the distance over which a slope is taken, and full the slope, levels,
	// from which an edge tells no more; flat is what a place without one counts.
	slopeStep, slopeFull, flat = 0.0133, 15, 0.1
	// mostOff and mostTurned bound the search around what the model says.
	mostOff, mostTurned = 0.08, 8 * math.Pi / 180
	// usualOff and usualTurned are how far off the model usually is; as far off a place
	// must agree better by a level to be preferred.
	usualOff, usualTurned = 0.053, 5 * math.Pi / 180
	// mostUnalike is the difference, levels, that counts in full: what lies behind an arm
	// changes as it moves.
	mostUnalike = 60
	// leastIn is the share of a pattern that must lie within a patch.
	leastIn = 0.7
)

// patternOf is the mean look of a limb in some patches, between from and to along it.
func patternOf(seen []*patch, from, to float64) pattern {
	var t pattern
	var x, y, dx, dy float64
	n := float64(len(seen))
	for _, p := range seen {
		s, c := math.Sincos(p.dir)
		x, y, dx, dy = x+p.x/n, y+p.y/n, dx+c*p.length/n, dy+s*p.length/n
	}
	t.length, t.dir = math.Hypot(dx, dy), math.Atan2(dy, dx)
	mean := patch{x: x, y: y, dir: t.dir, side: seen[0].side}
	at := func(along, across float64) (levels, bool) {
		var sum levels
		px, py := mean.picture(along*t.length, across*t.length)
		for _, p := range seen {
			l, ok := p.at(p.from(px, py))
			if !ok {
				return sum, false
			}
			for i := range l {
				sum[i] += l[i] / float32(n)
			}
		}
		return sum, true
	}
	slope := func(a, b, da, db float64) float64 {
		p, ok1 := at(a+da, b+db)
		q, ok2 := at(a-da, b-db)
		if !ok1 || !ok2 {
			return 0
		}
		return float64(p.unlike(q))
	}
	rows, cols := int((to-from)/alongStep), int(math.Round(acrossTo/acrossStep))
	for i := 0; i <= rows; i++ {
		for j := -cols; j <= cols; j++ {
			a, b := from+float64(i)*alongStep, float64(j)*acrossStep
			l, ok := at(a, b)
			if !ok {
				continue
			}
			steep := math.Hypot(slope(a, b, slopeStep, 0), slope(a, b, 0, slopeStep))
			q := point{a * t.length, b * t.length, flat + math.Min(steep, slopeFull)/slopeFull, l}
			t.points = append(t.points, q)
			if i%2 == 0 && j%2 == 0 {
				t.coarse = append(t.coarse, q)
			}
		}
	}
	return t
}

// unlike is how much a patch differs from the pattern laid over it somewhere, levels;
// infinite when that is more than most, or when too little lies within the patch.
func (t *pattern) unlike(p *patch, at shift, points []point, most float64) float64 {
	all := 0.0
	for i := range points {
		all += points[i].w
	}
	s, c := math.Sincos(at.turn)
	var sum, in float64
	for i := range points {
		q := &points[i]
		l, ok := p.at(at.along+c*q.along-s*q.across, at.across+s*q.along+c*q.across)
		if !ok {
			continue
		}
		in += q.w
		sum += q.w * float64(min(q.unlike(l), mostUnalike))
		if sum > most*all {
			return math.Inf(1)
		}
	}
	if in < leastIn*all {
		return math.Inf(1)
	}
	return sum / in
}

// odd is how much better, levels, a place must agree for being off the model's.
func (t *pattern) odd(off shift) float64 {
	far, turned := math.Hypot(off.along, off.across)/(usualOff*t.length), off.turn/usualTurned
	return far*far + turned*turned
}

// plus is a place that is off another one.
func (at shift) plus(k, turn float64, off shift) shift {
	return shift{at.along + k*off.along, at.across + k*off.across, at.turn + turn*off.turn}
}

// lay finds where the pattern lies in a patch: by trying places all around where the
// model says, then by ever smaller steps from the best. It tells how much the two differ
// there.
func (t *pattern) lay(p *patch, guess shift) (best shift, least float64, ok bool) {
	const n, turns = 5, 2
	worth := math.Inf(1)
	try := func(at shift, points []point) bool {
		odd := t.odd(shift{at.along - guess.along, at.across - guess.across, at.turn - guess.turn})
		u := t.unlike(p, at, points, worth-odd)
		if u+odd >= worth {
			return false
		}
		best, least, worth = at, u, u+odd
		return true
	}
	off, turn := mostOff*t.length/n, mostTurned/turns
	for i := -n; i <= n; i++ {
		for j := -n; j <= n; j++ {
			for k := -turns; k <= turns; k++ {
				try(guess.plus(off, turn, shift{float64(i), float64(j), float64(k)}), t.coarse)
			}
		}
	}
	worth = math.Inf(1)
	try(best, t.points)
	for range 3 {
		off, turn = off/2, turn/2
		for moved := true; moved; {
			moved = false
			from := best
			for _, d := range steps {
				moved = try(from.plus(off, turn, d), t.points) || moved
			}
		}
	}
	return best, least, !math.IsInf(worth, 1)
}

// steps are the ways a place is tried to be bettered: shifts, turns, and both at once,
// since a pattern that turns about the elbow moves at its other end.
var steps = func() []shift {
	var out []shift
	for _, turn := range []float64{0, 1, -1} {
		for _, d := range [][2]float64{{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			if turn != 0 || d != [2]float64{} {
				out = append(out, shift{d[0], d[1], turn})
			}
		}
	}
	return out
}()
