package cast

import (
	"math"
	"testing"

	"strokereel/track"
)

// band is a spot that lies still for a second and is then carried off.
func band(x, y float64, colour [2]float64) Spot {
	tr := track.Track{}
	for i := range 90 {
		p := track.Sample{Frame: i, T: float64(i) / 60, X: x, Y: y, U: 0.1, Seen: true}
		if p.T > 1 {
			p.Y += 400 * (p.T - 1)
		}
		tr.Samples = append(tr.Samples, p)
	}
	return Spot{Track: tr, Radius: 6, Colour: colour}
}

func TestFindRod(t *testing.T) {
	blue, red := [2]float64{70, -30}, [2]float64{-30, 80}
	ball := Ball{RestX: 500, RestY: 600, Width: 24}
	row := []Spot{band(320, 602, blue), band(510, 606, blue), band(730, 611, blue)}
	distances := [2]float64{0.38, 0.44}
	for _, c := range []struct {
		name      string
		spots     []Spot
		distances [2]float64
		ball      Ball
		found     bool
	}{
		{"three bands", row, distances, ball, true},
		{"among stickers and shoes", append([]Spot{band(430, 603, red), band(600, 520, blue), swinging(460, 600, 1)}, row...), distances, ball, true},
		{"distances the other way round", row, [2]float64{0.44, 0.38}, ball, false},
		{"of two colours", []Spot{row[0], band(510, 606, red), row[2]}, distances, ball, false},
		{"not in a row", []Spot{row[0], band(510, 620, blue), row[2]}, distances, ball, false},
		{"behind the ball's line", row, distances, Ball{RestX: 500, RestY: 640, Width: 24}, false},
		{"only two bands", row[:2], distances, ball, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			rod, found := FindRod(c.spots, c.distances, c.ball)
			if found != c.found {
				t.Fatalf("found %v, want %v", found, c.found)
			}
			if !found {
				return
			}
			for i, x := range [3]float64{320, 510, 730} {
				if math.Abs(rod.X[i]-x) > 0.1 {
					t.Errorf("band %d at %.1f px, want %.0f", i, rod.X[i], x)
				}
			}
		})
	}
}
