package body

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"strokereel/track"
)

// straight is a shaft in a picture: a straight line, x over up, px from the sticker, the
// light on which is a share of that its stripe was learnt in.
type straight struct {
	x, slope, light float64
	streak          streak
	middle          float64 // px up, of what it rests on
	spread          float64 // sum of squares about the middle, px^2
	n               float64 // rows it rests on
	sd              float64 // px, of the rows about it
	support         float64 // share of the rows that tell something and lie near it
	told            float64 // 1/px^2, what all rows that agree tell of its place
}

// streak is the square of how far a shaft goes across itself during the exposure, at the
// sticker's row, and its standard uncertainty, px^2.
type streak struct{ square, u float64 }

const (
	// lightU is by what share the light on a shaft may differ from what it was when last
	// seen, standard uncertainty, and strangeLightU before it was studied.
	lightU, strangeLightU = 0.03, 0.3
	// A line is fitted in rounds, in the first of which only the strongest rows count, and in
	// none of which it goes farther than mostStep, px.
	rounds, strongRounds, mostStep = 8, 4, 1.0
	// darkest is the least light there may be, as a share.
	darkest = 0.2
	// tellingRow is how well a row must tell the shaft's place to count as one that does, px.
	tellingRow = 0.5
	// fewestRows are needed for a line.
	fewestRows = 10
	// strong is the least a row may stand out, as a share of what the strongest fifth of
	// the rows do, in the first rounds and while the light on the shaft is not known.
	strong = 0.6
	// nearLine is how close a row must lie to support a line, px.
	nearLine = 1.5
	// leastScatter is the least standard deviation of rows about a line that is believed, px.
	leastScatter = 0.03
	// alikeRows is how many rows of a picture err alike: half a block of a codec.
	alikeRows = 8
)

func (l straight) at(up float64) float64 { return l.x + l.slope*up }

// across is the distance from the line per px along a row.
func (l straight) across() float64 { return 1 / math.Sqrt(1+l.slope*l.slope) }

// u is the standard uncertainty of the line's place at a height, px.
func (l straight) u(up float64) float64 {
	return math.Hypot(l.sd*math.Sqrt(alikeRows/rowStep/l.n), (up-l.middle)*l.uSlope())
}

func (l straight) uSlope() float64 { return l.sd * math.Sqrt(alikeRows/rowStep/l.spread) }

// span is the height of the stretch it rests on, px, if its rows lie evenly.
func (l straight) span() float64 { return math.Sqrt(12 * l.spread / l.n) }

// beliefs are what is known of a shaft before a picture is looked at.
type beliefs struct {
	light, uLight float64
	streak        streak
	studied       bool // how it is lit
}

// worth tells which of two lines a picture shows rather: that of which more is told and
// about which rows scatter less. A few rows that lie well on something else, and all of
// them when they lie badly, must not win.
func (l straight) worth() float64 { return l.told / l.sd }

// fit brings a line nearer to the picture. All rows have one line, one light and one streak,
// so that those before something as bright as the shaft, which show only that it is not lit
// evenly, err no more than others. They count only once those before which it stands out
// have brought the line near, and only when it is known how it is lit.
func (l straight) fit(f *track.Frame, y float64, rows []int, known beliefs, all *stripes) (straight, bool) {
	l.light, l.streak = known.light, known.streak
	scatter := nearLine
	for round := range rounds {
		fits := l.look(f, y, rows, all)
		if !known.studied || round < strongRounds {
			fits = strongest(fits)
		}
		if !l.judge(fits) {
			return l, false
		}
		scatter = math.Max(scatter/2, l.sd)
		step, ok := l.step(fits, scatter, known)
		if !ok {
			return l, false
		}
		if round == rounds-1 {
			l.streak.square += step[lineStreak]
			break
		}
		// Far off, what was taken for small is not.
		most := math.Max(1, math.Abs(step[lineX]+step[lineSlope]*l.middle)/mostStep)
		l.x, l.slope = l.x+step[lineX]/most, l.slope+step[lineSlope]/most
		l.light = math.Max(darkest, l.light+step[lineLight]/most)
		l.streak.square = math.Max(0, l.streak.square+step[lineStreak]/most)
	}
	return l, l.spread > 0
}

// look compares all rows with the line.
func (l straight) look(f *track.Frame, y float64, rows []int, all *stripes) []rowFit {
	var fits []rowFit
	for _, row := range rows {
		up := y - float64(row)
		if r, ok := fitRow(f.Y[row*f.Width:(row+1)*f.Width], l.at(up), l.across(), l.light, all.at(up, l.streak.square)); ok {
			r.up = up
			fits = append(fits, r)
		}
	}
	return fits
}

// strongest leaves out the rows that tell much less than the best fifth do.
func strongest(fits []rowFit) []rowFit {
	if len(fits) == 0 {
		return nil
	}
	told := make([]float64, len(fits))
	for i, r := range fits {
		told[i] = r.n[shifted][shifted]
	}
	slices.Sort(told)
	least := strong * strong * told[len(told)*4/5]
	return slices.DeleteFunc(fits, func(r rowFit) bool { return r.n[shifted][shifted] < least })
}

// judge notes how rows scatter about the line and how many support it; false when too few
// tell anything.
func (l *straight) judge(fits []rowFit) bool {
	var telling []rowFit
	near, all := 0, 0.0
	for _, r := range fits {
		if r.u() > tellingRow {
			continue
		}
		telling = append(telling, r)
		all += r.n[shifted][shifted]
		if math.Abs(r.off) < nearLine {
			near++
		}
	}
	if len(telling) < fewestRows {
		return false
	}
	l.support = float64(near) / float64(len(telling))
	// The median by how much rows tell: many that tell little must not outvote a few that
	// tell much.
	slices.SortFunc(telling, func(a, b rowFit) int { return cmp.Compare(math.Abs(a.off), math.Abs(b.off)) })
	sum := 0.0
	for _, r := range telling {
		if sum += r.n[shifted][shifted]; sum >= all/2 {
			// The median of the size of a normal deviate is 0.6745 of its sigma.
			l.sd = math.Max(leastScatter, math.Abs(r.off)/0.6745)
			break
		}
	}
	return true
}

// What a line is told by, as places in its normal equations.
const (
	lineX = iota
	lineSlope
	lineLight
	lineStreak
	lineParams
)

// step is how far the line should go, and tells the streak. Rows count by how well they tell
// and, with Tukey's biweight (from memory), by how near they lie.
func (l *straight) step(fits []rowFit, scatter float64, known beliefs) (step [lineParams]float64, ok bool) {
	normal, right := mat.NewSymDense(lineParams, nil), mat.NewVecDense(lineParams, nil)
	for at, b := range map[int]struct{ off, u float64 }{
		lineLight:  {known.light - l.light, known.uLight},
		lineStreak: {known.streak.square - l.streak.square, known.streak.u},
	} {
		normal.SetSym(at, at, 1/(b.u*b.u))
		right.SetVec(at, b.off/(b.u*b.u))
	}
	var n, su, uu, all float64
	for _, r := range fits {
		u := r.u()
		z := r.off / (3.5 * math.Hypot(scatter, u))
		if z*z >= 1 {
			continue
		}
		w := math.Pow(1-z*z, 2)
		share := w / (u*u + leastScatter*leastScatter)
		n, su, uu, all = n+share, su+share*r.up, uu+share*r.up*r.up, all+share*share
		w /= alikeRows / rowStep * math.Pow(math.Max(r.rest, leastRest), 2)
		of := [lineParams]struct {
			row    int
			factor float64
		}{{shifted, 1}, {shifted, r.up}, {lit, 1}, {smearing, 1}}
		for p, a := range of {
			for q, b := range of[:p+1] {
				normal.SetSym(q, p, normal.At(q, p)+w*a.factor*b.factor*r.n[a.row][b.row])
			}
			right.SetVec(p, right.AtVec(p)+w*a.factor*r.left[a.row])
		}
	}
	var chol mat.Cholesky
	var solved mat.VecDense
	var covariance mat.SymDense
	if n == 0 || !chol.Factorize(normal) || chol.SolveVecTo(&solved, right) != nil || chol.InverseTo(&covariance) != nil {
		return step, false
	}
	l.middle, l.n, l.told = su/n, n*n/all, n
	l.spread = (uu/n - l.middle*l.middle) * l.n
	copy(step[:], solved.RawVector().Data)
	l.streak.u = math.Sqrt(covariance.At(lineStreak, lineStreak))
	return step, true
}
