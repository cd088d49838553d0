package phase

import "strokereel/track"

const crossing = "u(t) = u(x) / speed, as half the time the path needs from u below the line to u above it;  u(x)² = u(x)² of the smoothed path + u(x_0)² + e²"

var club = []string{track.Putter}

// formulas are those of the events. The distances are settings of this package.
var formulas = map[string]track.Formula{
	track.Start: {What: "the putter has moved 2 mm along the line from where it lay, and does not come back",
		Text: "x(t) = x_0 − 2 mm, the last time before the top;  " + crossing, Source: "our definition", Moments: []string{track.Start}, Objects: club},
	track.Top: {What: "the putter turns at the end of the backstroke",
		Text:   "t = (t_1 + t_2) / 2;  after a pause of more than 150 ms t = t_2 − 25 ms",
		Source: "our definition", Moments: []string{track.Top}, Objects: club},
	track.Impact: {What: "face and ball touch",
		Text:    "t = Σ(t_i / u_i²) / Σ(1 / u_i²) over the witnesses that agree;  when some disagree u is multiplied by √(χ² / (n − 1)) of all of them",
		Source:  "weighted mean (textbook); the factor is Birge's ratio (Birge 1932, Phys. Rev. 40, 207, from memory)",
		Moments: []string{track.Impact}, Objects: []string{track.Putter, track.Ball}},
	track.Stop: {What: "the putter is within 2 mm of its largest forward position",
		Text: "x(t) = x_0 − 2 mm, the first time;  " + crossing, Source: "our definition", Moments: []string{track.Stop}, Objects: club},
	track.HoldEnd: {What: "the putter is more than 5 mm from where it was held",
		Text: "distance(t) from the place = x_0 + 5 mm, the first time;  " + crossing, Source: "our definition", Moments: []string{track.HoldEnd}, Objects: club},
	track.LookUp: {What: "the head has turned 3 degrees, or moved 8 mm, from its place at address",
		Text:   "|x(t) − x_0 − w| = r, or |y(t) − y_0| = 8 mm, the first time;  u(t) = √(u(x)² + u(x_0)² + u(w)² + u(r)² + d²) / speed, and f",
		Source: "our definition; r is the cap's reach times sin 3°", Moments: []string{track.Start, track.LookUp}, Objects: []string{track.Cap}},
}

// FormulaOf is the formula of an event; false when there is no such event.
func FormulaOf(name string) (track.Formula, bool) {
	f, ok := formulas[name]
	return f, ok
}
