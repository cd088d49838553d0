package measure

import (
	"math"

	"strokereel/track"
)

// head measures what the head does.
func (w *work) head(p *pose) {
	e := w.lookUp(p)
	for _, d := range []struct{ id, from string }{{"look_up_after_impact", track.Impact}, {"look_up_after_stop", track.Stop}} {
		if !e.Known() {
			w.refuse(d.id, e.Reason)
			continue
		}
		if !w.needs(d.id, d.from) {
			continue
		}
		in := []Input{w.time(d.from), {Symbol: timeSymbol[track.LookUp], Name: "time of the look-up", Unit: "s", Value: e.T, U: e.U}}
		w.add(d.id, "s", spoken(d.from)+" to look-up", in, func(v []float64) float64 { return v[1] - v[0] })
		w.limit(d.id, e.Status, e.Reason)
		if m := w.done[d.id]; m.Status == track.Measured && m.U95 > w.o.MostLookU95 {
			w.refuse(d.id, "the head moved too slowly for its moment to be told")
		}
	}
	w.headMoves(p, e)
	w.headOverBall(p)
}

// headName is the place that stands for the head: a sticker on the cap, else
// the middle of the ears.
func (p *pose) headName() string {
	if _, ok := p.w.in.Body.Paths[track.Cap]; !ok {
		if _, ok := p.w.in.Body.Paths[track.Head]; ok {
			return track.Head
		}
	}
	return track.Cap
}

// headMoves are shift and rise of the head from address to impact.
func (w *work) headMoves(p *pose, look track.Event) {
	head := p.headName()
	in, missing := p.gather([]need{{name: head, event: track.Start}, {name: head, event: track.Impact}})
	if impact := w.stroke.Event(track.Impact); missing == "" && look.Status == track.Measured && look.T < impact.T {
		missing = "the head had turned or moved before impact, which one sticker does not tell apart"
	}
	if missing != "" {
		w.refuse("head_shift", missing)
		w.refuse("head_rise", missing)
		return
	}
	what := "middle of the ears"
	if head == track.Cap {
		what = "sticker on the cap"
	}
	reach := (w.o.CapReachMin + w.o.CapReachMax) / 2000
	terms := append(w.scaleTerms(), Input{Symbol: "e", Name: "small turn of the head taken for a shift", Unit: "m", U: reach * smallTurn * math.Pi / 180})
	terms = append(terms, in...)
	const k = scaleTermCount + 1
	w.add("head_shift", "m", what+" along the line from address to impact, toward the target positive", terms,
		func(v []float64) float64 { return (v[k+2]-v[k])/v[iScale] + v[k-1] })
	w.add("head_rise", "m", what+" from address to impact, up positive", terms,
		func(v []float64) float64 { return (v[k+3]-v[k+1])/v[iScale] + v[k-1] })
}

// smallTurn is how far, degrees (standard uncertainty), the head may have turned
// by impact without it being called a look-up.
const smallTurn = 0.8

// headOverBall is how far the cap's sticker is to the side of the ball. It is
// nearer to the camera than the ball, which is allowed for.
func (w *work) headOverBall(p *pose) {
	const id = "head_over_ball"
	in, missing := p.gather([]need{{name: p.headName(), event: track.Start}})
	if missing == "" && !w.in.BallKnown {
		missing = "no ball was seen"
	}
	if missing != "" {
		w.refuse(id, missing)
		return
	}
	z := w.in.Distance
	nearer := Quantity{Value: capNearer, U: capNearerU}
	terms := append(w.scaleTerms(), in...)
	terms = append(terms,
		Input{Symbol: "z", Name: "distance of the camera", Unit: "m", Value: z.Value, U: z.U},
		Input{Symbol: "c", Name: "cap nearer to the camera than the ball", Unit: "m", Value: nearer.Value, U: nearer.U},
		Input{Symbol: "m", Name: "place of the picture's middle along the line", Unit: "m", Value: w.in.MiddleX, U: middleU},
		Input{Symbol: "e", Name: "sideways turn of the head at address", Unit: "m", U: capTurned})
	const k = scaleTermCount
	w.add(id, "m", "head to the side of the ball at address, by the cap's sticker or the ears, toward the target positive", terms, func(v []float64) float64 {
		side := func(x, nearer float64) float64 { return (x - v[k+4]) / v[iScale] * (v[k+2] - nearer) / v[k+2] }
		// A camera turned from square and looking down sees the line tilted, and
		// what stands upright leans by as much once the line is made level.
		lean := (v[k+1] - w.in.BallY) * math.Sin(v[iYaw]) * LookDown.Value
		return side(v[k], v[k+3]) - side(w.in.BallX, 0) - v[k+3]*math.Sin(v[iYaw]) - lean + v[k+5]
	})
}

const (
	// capNearer is how much nearer to the camera a cap's brim is than the ball, m:
	// with the eyes over the ball the brim is a hand before it.
	capNearer, capNearerU = 0.10, 0.06
	// middleU is how well the picture's middle is the lens's, m at the player.
	middleU = 0.02
	// capTurned is how far the sticker may be from the middle of the head, m.
	capTurned = 0.008
)
