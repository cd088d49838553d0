package roll

import "math"

// point is a pair of logarithms with their standard uncertainties.
type point struct{ x, y, ux, uy float64 }

// line is y over x as fitted to a player's strokes.
type line struct {
	n            float64
	x0, y0       float64 // middle of the strokes
	slope        float64
	uSlope       float64
	scatter, dof float64 // of single strokes about the line
	own          float64 // share of the slope that the strokes tell, 0 to 1
}

// prior is what is known of a line beforehand.
type prior struct {
	slope, uSlope   float64
	scatter, weight float64 // of single strokes, and how many of them it weighs
}

// fitLine is a least-squares line in which the slope known beforehand is one more
// observation, so that strokes of one length keep it and strokes of several
// replace it. Scatter is pooled from the strokes' own about the line and from the
// one known beforehand, by their degrees of freedom; both contain what the
// readings add.
func fitLine(points []point, k prior) (line, bool) {
	if len(points) == 0 {
		return line{}, false
	}
	l := line{n: float64(len(points)), slope: k.slope}
	var read float64
	for _, p := range points {
		l.x0, l.y0 = l.x0+p.x/l.n, l.y0+p.y/l.n
		read += (p.uy*p.uy + k.slope*k.slope*p.ux*p.ux) / l.n
	}
	var sxx, sxy float64
	for _, p := range points {
		sxx, sxy = sxx+(p.x-l.x0)*(p.x-l.x0), sxy+(p.x-l.x0)*(p.y-l.y0)
	}
	known := k.scatter*k.scatter + read
	variance := known
	for range 20 {
		precision := sxx/variance + 1/(k.uSlope*k.uSlope)
		l.slope = (sxy/variance + k.slope/(k.uSlope*k.uSlope)) / precision
		l.uSlope, l.own = 1/math.Sqrt(precision), sxx/variance/precision
		rest := 0.0
		for _, p := range points {
			miss := p.y - l.y0 - l.slope*(p.x-l.x0)
			rest += miss * miss
		}
		l.dof = k.weight + math.Max(0, l.n-1-l.own)
		variance = (k.weight*known + rest) / l.dof
	}
	l.scatter = math.Sqrt(variance)
	return l, true
}

// at is one more stroke at a wanted place.
func (l line) at(x Estimate) Estimate {
	away := math.Log(x.Value) - l.x0
	stroke := l.scatter * l.scatter * (1 + 1/l.n)
	rest := math.Hypot(away*l.uSlope, l.slope*x.U)
	e := Estimate{Value: math.Exp(l.y0 + l.slope*away), U: math.Hypot(math.Sqrt(stroke), rest)}
	e.DOF = math.Pow(e.U, 4) / (stroke * stroke / l.dof)
	return e
}

// mean is a factor that a player keeps: the mean of the strokes, uncertain by
// their scatter.
func mean(points []point, k prior) Estimate {
	l, ok := fitLine(points, k)
	if !ok {
		return Estimate{}
	}
	return Estimate{Value: math.Exp(l.y0), U: l.scatter / math.Sqrt(l.n), DOF: l.dof}
}
