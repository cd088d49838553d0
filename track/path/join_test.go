package path

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
	"strokereel/track/tracktest"
)

// club films a drawn stroke: its sticker, and a part of the shaft from which the sticker
// is led away by a turning face; both scatter by what is given, m.
func club(rng *rand.Rand, uMarker, uPart float64) (s tracktest.Stroke, truth func(t float64) float64, marker, part track.Path) {
	s = tracktest.Draw(rng, tracktest.Wish{})
	truth = func(t float64) float64 { x, _ := s.At(t); return x }
	turn := rng.Float64() * 8 * math.Pi / 180 / 0.5 // rad per m
	seconds := s.Truth().Stop + 0.5
	for i := range int(seconds * 60) {
		t := float64(i) / 60
		x, y := s.At(t)
		p := track.Point{Frame: i, T: t, Seen: true}
		p.X, p.Y, p.U = x+uMarker*rng.NormFloat64(), y+uMarker*rng.NormFloat64(), uMarker
		marker.Points = append(marker.Points, p)
		p.X, p.U = x*0.985-0.06*math.Sin(turn*x)+0.01+uPart*rng.NormFloat64(), uPart
		part.Points = append(part.Points, p)
	}
	return s, truth, marker, part
}

// misfit is how far places lie off between two moments, and by how much more than they
// and what is shared by all say.
func misfit(p track.Path, shared float64, truth func(t float64) float64, from, to float64) (rms, own float64) {
	var n float64
	for _, q := range p.Points {
		if q.T >= from && q.T <= to {
			d := q.X - truth(q.T)
			rms, own, n = rms+d*d, own+d*d/(q.U*q.U+shared*shared), n+1
		}
	}
	return math.Sqrt(rms / n), math.Sqrt(own / n)
}

func TestJoinBringsTheMarkerNearer(t *testing.T) {
	const uMarker, uPart = 0.00016, 0.00004
	var alone, joined, own, speedAlone, speedJoined, speedOwn float64
	const strokes = 20
	for k := range strokes {
		rng := rand.New(rand.NewPCG(uint64(k), 3))
		s, truth, marker, part := club(rng, uMarker, uPart)
		at := s.Truth()
		j, err := Join(marker, part, 0, []float64{at.Impact}, 0.004, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		a, _ := misfit(marker, 0, truth, at.Start-0.3, at.Stop)
		b, o := misfit(j.Path, j.U(), truth, at.Start-0.3, at.Stop)
		alone, joined, own = alone+a*a, joined+b*b, own+o*o
		speed := (truth(at.Impact-1e-5) - truth(at.Impact-2e-5)) / 1e-5
		for i, p := range []track.Path{marker, j.Path} {
			c, err := NewCurve(p, []float64{at.Impact}, 0.004, DefaultOptions())
			if err != nil {
				t.Fatal(err)
			}
			m, err := c.At(at.Impact)
			if err != nil {
				t.Fatal(err)
			}
			d := m.VX - speed
			if i == 0 {
				speedAlone += d * d
			} else {
				speedJoined += d * d
				u := math.Hypot(m.U(1), j.USpeed(at.Impact, 0.004))
				speedOwn += d * d / (u * u)
			}
		}
	}
	if joined > 0.35*alone {
		t.Errorf("places err by %.3f mm, the marker's alone by %.3f", 1000*math.Sqrt(joined/strokes), 1000*math.Sqrt(alone/strokes))
	}
	if o := math.Sqrt(own / strokes); o < 0.6 || o > 1.3 {
		t.Errorf("places err by %.2f of what they say", o)
	}
	if speedJoined > 0.4*speedAlone {
		t.Errorf("speeds err by %.1f mm/s, the marker's alone by %.1f", 1000*math.Sqrt(speedJoined/strokes), 1000*math.Sqrt(speedAlone/strokes))
	}
	if o := math.Sqrt(speedOwn / strokes); o < 0.5 || o > 1.4 {
		t.Errorf("speeds err by %.2f of what they say", o)
	}
}

// Something else behind the shaft leads it astray for a while.
func TestJoinBelievesTheMarkerWhereThePartIsLedAstray(t *testing.T) {
	const uMarker, uPart = 0.00016, 0.00004
	rng := rand.New(rand.NewPCG(8, 8))
	s, truth, marker, part := club(rng, uMarker, uPart)
	at := s.Truth()
	from, to := at.Impact+0.1, at.Impact+0.3
	for i, q := range part.Points {
		if q.T > from && q.T < to {
			part.Points[i].X += 0.002 + 0.01*(q.T-from)
		}
	}
	j, err := Join(marker, part, 0, []float64{at.Impact}, 0.004, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	a, _ := misfit(marker, 0, truth, from, to)
	b, own := misfit(j.Path, j.U(), truth, from, to)
	if b > 1.2*a || own > 1.5 {
		t.Errorf("astray: places err by %.3f mm (%.2f of what they say), the marker's alone by %.3f", 1000*b, own, 1000*a)
	}
}

func TestJoinWithoutAPartChangesNothing(t *testing.T) {
	_, _, marker, part := club(rand.New(rand.NewPCG(1, 1)), 0.0002, 0.0001)
	for i := range part.Points {
		part.Points[i].Seen = i < jointFrames-1
	}
	j, err := Join(marker, part, 0, nil, 0.004, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	for i, q := range j.Path.Points {
		if q != marker.Points[i] {
			t.Fatalf("frame %d: %+v became %+v", i, marker.Points[i], q)
		}
	}
	if u := j.USpeed(1, 0.004); u != 0 {
		t.Errorf("the speed against no part is told to %g m/s", u)
	}
}
