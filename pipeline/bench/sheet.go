package bench

import (
	"math"

	"strokereel/pipeline/demo"
	"strokereel/pipeline/settings"
	"strokereel/track/marker"
)

// WithSheet adds what a coach's sheet would say: the distances of the rod's bands
// and the colours of those that are worn.
func WithSheet(s settings.Settings, t demo.Truth) settings.Settings {
	if t.Rod != nil {
		s.Sheet.RodLeft, s.Sheet.RodRight = t.Rod.Distances[0], t.Rod.Distances[1]
		if t.Rod.Bands[0][0] > t.Rod.Bands[2][0] { // the target is on the left
			s.Sheet.RodLeft, s.Sheet.RodRight = s.Sheet.RodRight, s.Sheet.RodLeft
		}
	}
	if !t.Bands {
		return s
	}
	worn := t.Spec.Player.BandRGB
	b := &s.Track.Body
	for i, to := range []*string{&b.LeadElbow, &b.TrailElbow, &b.LeadWrist, &b.TrailWrist, &b.Shoulders, &b.Cap} {
		*to = colourName(float64(worn[i][0]), float64(worn[i][1]), float64(worn[i][2]))
	}
	return s
}

// colourName is the name nearest in hue to a colour in linear light.
func colourName(r, g, b float64) string {
	r, g, b = coded(r), coded(g), coded(b)
	y := 0.2126*r + 0.7152*g + 0.0722*b
	hue := marker.Colour{U: (b - y) / 1.8556, V: (r - y) / 1.5748}.Hue()
	best, nearest := "", math.Inf(1)
	for _, name := range marker.ColourNames() {
		h, _ := marker.Hue(name)
		if d := marker.HueDistance(h, hue); d < nearest {
			best, nearest = name, d
		}
	}
	return best
}

// coded is the transfer function of video (ITU-R BT.709-6, 1.2).
func coded(v float64) float64 {
	if v < 0.018 {
		return 4.5 * v
	}
	return 1.099*math.Pow(v, 0.45) - 0.099
}
