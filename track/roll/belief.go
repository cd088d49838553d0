package roll

import (
	"errors"
	"fmt"
	"math"
)

// What is uncertain of a green and of the balls on it.
const (
	pReading  = iota // logarithm of ft
	pRamp            // m/s
	pFriction        // 1
	pSpin            // rad/s
	pSlope           // rad
	pShare           // 1
	parameters
)

// Facts are what is known of a green beforehand.
type Facts struct {
	Speed float64 // ft, on the level; 0 when not known
	Slope float64 // rad, along the putt, uphill positive
}

// Uphill are the facts of a putt along a line on which the green was read both
// ways, toward where it rises.
func Uphill(up, down float64, o Options) (Facts, error) {
	for _, v := range []float64{up, down} {
		if err := CheckSpeed(v); err != nil {
			return Facts{}, err
		}
	}
	if up > down {
		return Facts{}, fmt.Errorf("a ball rolls farther downhill: the readings are %g ft up and %g ft down", up, down)
	}
	share := rectangular(o.SlopeShareMin, o.SlopeShareMax).Value
	return Facts{Speed: LevelSpeed(up, down), Slope: SlopeFromReadings(up, down, o.RampSpeed, share)}, nil
}

// Green is what is known of how balls roll on a green: means of the parameters
// and their covariance.
type Green struct {
	mean    [parameters]float64
	cov     [parameters][parameters]float64
	low     [parameters]float64 // limits in which a parameter lies
	high    [parameters]float64
	scatter float64 // of single rolls, relative
	tape    float64 // m
	read    bool    // the speed was given or fitted

	Rolls int  // measured ones that are in it
	Aside bool // the given speed did not fit the measured rolls and was set aside
}

// anyReading is that of a green nobody read: anything usual.
func anyReading() Quantity { return rectangular(math.Log(LeastUsualSpeed), math.Log(MostUsualSpeed)) }

// anyLimits are those of what is taken for a green.
func anyLimits() (low, high float64) { return math.Log(LeastSpeed), math.Log(MostSpeed) }

// steepest is the largest slope that is taken for one of a putt, rad: 6 degrees,
// twice what any green takes (see Ground.SlopeShare).
const steepest = 6 * math.Pi / 180

// NewGreen gathers what is known before any roll was measured.
func NewGreen(f Facts, o Options) (Green, error) {
	if err := o.Validate(); err != nil {
		return Green{}, err
	}
	if !(math.Abs(f.Slope) <= steepest) {
		return Green{}, fmt.Errorf("the slope must be between -%[1]g and %[1]g degrees (got %.3[2]g)", steepest*180/math.Pi, f.Slope*180/math.Pi)
	}
	g := Green{scatter: o.SurfaceScatter / 100, tape: o.TapeError, read: f.Speed != 0}
	reading := anyReading()
	if g.read {
		if err := CheckSpeed(f.Speed); err != nil {
			return Green{}, err
		}
		reading = Quantity{math.Log(f.Speed), o.ReadingError / f.Speed / math.Sqrt(3)}
	}
	slope := o.SlopeError * math.Pi / 180
	for i, q := range [parameters]Quantity{
		pReading:  reading,
		pRamp:     disputed(o.RampSpeed, o.RampSpeedMax),
		pFriction: rectangular(o.FrictionMin, o.FrictionMax),
		pSpin:     rectangular(o.SpinMin, o.SpinMax),
		pSlope:    rectangular(f.Slope-slope, f.Slope+slope),
		pShare:    rectangular(o.SlopeShareMin, o.SlopeShareMax),
	} {
		g.mean[i], g.cov[i][i] = q.Value, q.U*q.U
		// Half the width of a rectangle (JCGM 100:2008, 4.3.7).
		g.low[i], g.high[i] = q.Value-math.Sqrt(3)*q.U, q.Value+math.Sqrt(3)*q.U
	}
	// Both published speeds of the ramp lie within its limits.
	apart := math.Abs(o.RampSpeedMax - o.RampSpeed)
	g.low[pRamp], g.high[pRamp] = o.RampSpeed-apart, o.RampSpeed+apart
	if !g.read {
		g.low[pReading], g.high[pReading] = anyLimits()
	}
	if g.read && !(g.ground(g.mean).Rolling() > 0) {
		return Green{}, fmt.Errorf("a green of %g ft with a slope of %.2g degrees: %w", f.Speed, f.Slope*180/math.Pi, ErrNeverStops)
	}
	return g, nil
}

// Known reports whether distances can be told: the green's speed was given or
// rolls were measured.
func (g Green) Known() bool { return g.read || g.Rolls > 0 }

var errUnread = errors.New("nothing is known of the green: give its speed, or distances that balls really rolled")
