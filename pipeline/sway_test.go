package pipeline

import (
	"math"
	"testing"

	"strokereel/pipeline/clip"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/steady"
)

// A sticker and a ball that lie still before a camera in a hand are seen to move with
// the picture: put right, they lie still.
func TestStillParts(t *testing.T) {
	w := &seen{Info: clip.Info{Width: 1920, Height: 1080}}
	parts := cast.Cast{Putter: cast.Spot{}, Ball: cast.Ball{First: 0.1, Last: 1.5}}
	const x, y, ballX, ballY = 700.0, 880.0, 760.0, 875.0
	for i := range 120 {
		at := float64(i) / 60
		p := steady.Pose{X: 1.2 * at, Y: 0.3 * math.Sin(50*at), Roll: 0.0015 * math.Sin(3*at), U: 0.05}
		w.Poses = append(w.Poses, p)
		see := func(x, y float64) track.Sample {
			dx, dy := x-959.5, y-539.5
			return track.Sample{Frame: i, T: at, X: x + p.X - p.Roll*dy, Y: y + p.Y + p.Roll*dx, U: 0.1, Seen: true}
		}
		parts.Putter.Track.Samples = append(parts.Putter.Track.Samples, see(x, y))
		b := see(ballX, ballY)
		if at <= parts.Ball.Last {
			parts.Ball.RestX, parts.Ball.RestY = b.X, b.Y
		}
		parts.Ball.Track.Samples = append(parts.Ball.Track.Samples, b)
	}
	still := w.still(parts)
	for _, s := range still.Putter.Track.Samples {
		if math.Hypot(s.X-x, s.Y-y) > 0.01 || !(s.U > 0.1) {
			t.Fatalf("frame %d: the sticker lies at (%.2f, %.2f) +- %.3f, want (%.0f, %.0f)", s.Frame, s.X, s.Y, s.U, x, y)
		}
	}
	if math.Hypot(still.Ball.RestX-ballX, still.Ball.RestY-ballY) > 0.02 {
		t.Errorf("the ball rests at (%.2f, %.2f), want (%.0f, %.0f)", still.Ball.RestX, still.Ball.RestY, ballX, ballY)
	}
	back := w.swayed(w.stillTrack(parts.Putter.Track))
	for i, s := range back.Samples {
		if p := parts.Putter.Track.Samples[i]; math.Hypot(s.X-p.X, s.Y-p.Y) > 0.01 {
			t.Fatalf("frame %d: back at (%.2f, %.2f), seen at (%.2f, %.2f)", s.Frame, s.X, s.Y, p.X, p.Y)
		}
	}
	if first := parts.Putter.Track.Samples[60]; first.X == still.Putter.Track.Samples[60].X {
		t.Error("what was seen was changed")
	}
}
