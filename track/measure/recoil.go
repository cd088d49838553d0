package measure

import (
	"math"

	"strokereel/track"
	"strokereel/track/path"
)

// recoilStep is how finely the path is looked at for a movement back.
const recoilStep = 0.01 // s

// after measures what the putter does after its stop.
func (w *work) after() {
	const id = "recoil"
	if !w.needs(id, track.Stop) {
		return
	}
	stop := w.stroke.Event(track.Stop).T
	c, err := path.NewCurve(w.in.Putter, []float64{w.stroke.Event(track.Impact).T}, w.in.FrameExposure(), w.in.Smoothing)
	if err != nil {
		w.refuse(id, "the putter's path after the stop cannot be followed")
		return
	}
	var most, high, uHigh, u float64
	high = math.Inf(-1)
	t := stop
	for ; t <= stop+w.o.RecoilTime; t += recoilStep {
		f, err := c.At(t)
		if err != nil {
			break
		}
		if f.X > high {
			high, uHigh = f.X, f.UTurn()
		}
		if high-f.X >= most {
			most, u = high-f.X, math.Hypot(math.Hypot(uHigh, f.UTurn()), math.Hypot(math.Sqrt2*w.in.Slow, math.Sqrt2*w.in.ULag))
		}
	}
	if math.IsInf(high, -1) {
		w.refuse(id, "the putter was not seen after the stop")
		return
	}
	w.add(id, "m", "largest movement back along the line soon after the stop", append(w.scaleTerms(),
		Input{Symbol: "b", Name: "movement back in the scale used", Unit: "m", Value: most, U: u},
		Input{Symbol: "e", Name: "noise taken for movement, as extremes are picked", Unit: "m", U: 0.7 * u}),
		func(v []float64) float64 { return (v[scaleTermCount] + v[scaleTermCount+1]) / v[iScale] })
	if t <= stop+w.o.RecoilTime {
		w.limit(id, track.AtLeast, "the putter could not be followed for as long as a recoil may take")
	}
}
