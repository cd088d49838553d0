package lesson

import (
	"fmt"
	"math"

	"strokereel/track"
	"strokereel/track/roll"
)

// Putting is what is known of the putts of a lesson beyond its clips.
type Putting struct {
	Green     roll.Green           // before any roll of the lesson
	Rolled    map[string][]float64 // m, really rolled, by clip and putt
	Distances []float64            // m, for which budgets are wanted
	// Wishes of the coach, 0 when there are none.
	ThroughToBack float64 // 1
	Shorter       float64 // share by which the backstroke is to be shorter
	ToBack        float64 // m, length the backstroke is to have
	Options       roll.Options
}

// Rolling is how the balls of a lesson rolled and what other distances would ask
// of this player.
type Rolling struct {
	Green     GreenFound       `json:"green"`
	Rolls     []Roll           `json:"rolls"`
	Player    PlayerFound      `json:"player"`
	Budgets   []Budget         `json:"budgets"`
	Published []PublishedValue `json:"published"`
}

// GreenFound is what is known of the green.
type GreenFound struct {
	Speed    Measure `json:"speed"`          // ft, on the level
	Measured int     `json:"measured_rolls"` // that it was fitted to
	// Doubted says that the speed given contradicts the measured rolls, which were
	// believed.
	Doubted bool   `json:"given_speed_doubted,omitempty"`
	Text    string `json:"text"`
}

// Roll is one ball's way.
type Roll struct {
	Clip      string   `json:"clip"`
	Stroke    int      `json:"stroke"`
	Predicted Measure  `json:"predicted"`
	Rolled    *float64 `json:"rolled_m"` // null when nobody measured it
}

// PlayerFound is what budgets are made from.
type PlayerFound struct {
	Strokes       int     `json:"strokes"`
	SeveralLength bool    `json:"several_lengths"`
	BallToHead    Measure `json:"ball_to_head"`
	Tempo         Measure `json:"tempo"`
	Text          string  `json:"text"`
}

// Budget is what a distance asks of the player; every value is a prediction.
type Budget struct {
	DistanceM float64            `json:"distance_m"`
	Text      string             `json:"text"` // which way of doing it
	Values    map[string]Measure `json:"values"`
	Reason    string             `json:"reason,omitempty"` // when there are none
}

// PublishedValue is what was found of skilled players, without a verdict.
type PublishedValue struct {
	What   string `json:"what"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// Names of a budget's values beyond those of measures.
const (
	HeadSpeed    = "head_speed"
	Acceleration = "downstroke_acceleration"
)

// BudgetOrder lists the values of a budget as they are shown.
func BudgetOrder() []string {
	return []string{"ball_speed", HeadSpeed, "backstroke_length", "follow_through_length", "backstroke_time", "downstroke_time", Acceleration}
}

// RollOut finds out about green and player from the clips of a lesson. Budgets are
// made from the strokes after, whose way the player is to keep, or from those
// before when there are no others.
func RollOut(before, after []Findings, p Putting) *Rolling {
	all := append(append([]Findings{}, before...), after...)
	var rolls []roll.Measured
	for _, f := range all {
		for i, s := range Putts([]Findings{f}) {
			if d, ok := p.rolled(f, i); ok {
				if v := quantity(s.Measure("ball_speed")); v.Value > 0 {
					rolls = append(rolls, roll.Measured{Speed: v, Distance: d})
				}
			}
		}
	}
	green, err := p.Green.Fit(rolls)
	if err != nil {
		green = p.Green
	}
	own := Putts(after)
	player, noStroke := roll.NewPlayer(StrokesOf(own), p.Options)
	if noStroke != nil {
		player, noStroke = roll.NewPlayer(StrokesOf(Putts(before)), p.Options)
	}
	out := WhatIf(player, green, p)
	if err != nil {
		out.Green.Text += "; " + err.Error()
	}
	if noStroke != nil {
		out.Budgets, out.Player = []Budget{}, PlayerFound{Text: noStroke.Error(), BallToHead: MeasureOf(missing("ball_to_head", noStroke.Error())), Tempo: MeasureOf(missing("tempo", noStroke.Error()))}
	}
	for _, f := range all {
		for i, s := range Putts([]Findings{f}) {
			r := Roll{Clip: f.Report.Clip.File, Stroke: s.Index, Predicted: MeasureOf(predicted(green, s))}
			if d, ok := p.rolled(f, i); ok {
				r.Rolled = Number(d)
			}
			out.Rolls = append(out.Rolls, r)
		}
	}
	return out
}

// WhatIf is what the wanted distances ask of a player on a green.
func WhatIf(player roll.Player, green roll.Green, p Putting) *Rolling {
	out := &Rolling{Green: greenFound(green), Rolls: []Roll{}, Player: playerFound(player), Budgets: []Budget{}}
	for _, v := range roll.PublishedSpread() {
		out.Published = append(out.Published, PublishedValue(v))
	}
	for _, d := range p.Distances {
		out.Budgets = append(out.Budgets, budgets(player, green, d, p)...)
	}
	return out
}

// rolled is how far the ball of a clip's putt really rolled.
func (p Putting) rolled(f Findings, putt int) (float64, bool) {
	d := p.Rolled[f.Name()]
	if putt >= len(d) {
		return 0, false
	}
	return d[putt], true
}

// Name is the clip's name as sheets have it.
func (f Findings) Name() string {
	if f.Within != "" {
		return f.Within
	}
	return f.Report.Clip.File
}

// quantity is a measured value with its standard uncertainty; zero when it was
// not measured.
func quantity(m track.Measure) roll.Quantity {
	if m.Status != track.Measured || !(m.Value > 0) || !(m.U95 > 0) {
		return roll.Quantity{}
	}
	return roll.Quantity{Value: m.Value, U: m.U95 / Coverage}
}

// StrokesOf is what budgets need of putts.
func StrokesOf(putts []Stroke) []roll.Stroke {
	var out []roll.Stroke
	for _, s := range putts {
		q := func(id string) roll.Quantity { return quantity(s.Measure(id)) }
		out = append(out, roll.Stroke{Back: q("backstroke_length"), Through: q("follow_through_length"),
			BackTime: q("backstroke_time"), DownTime: q("downstroke_time"), HeadSpeed: q("impact_speed"), BallSpeed: q("ball_speed")})
	}
	return out
}

// predicted is a putt's roll on a green.
func predicted(g roll.Green, s Stroke) track.Measure {
	speed := s.Measure("ball_speed")
	v := quantity(speed)
	if v.Value == 0 {
		return missing("roll_distance", "needs the ball speed: "+speed.Reason)
	}
	e, err := g.Distance(v)
	if err != nil {
		return missing("roll_distance", err.Error())
	}
	return estimated(e, "m", "skid and roll of a sphere")
}

// estimated is an estimate as a report has it.
func estimated(e roll.Estimate, unit, how string) track.Measure {
	m := track.Measure{Value: e.Value, Unit: unit, Status: track.Predicted, How: how}
	m.Lo95, m.Hi95 = e.Interval()
	return m
}

func greenFound(g roll.Green) GreenFound {
	out := GreenFound{Measured: g.Rolls, Doubted: g.Aside}
	switch {
	case !g.Known():
		out.Text = "nothing is known of the green: write its speed on the sheet, or the distances that balls really rolled"
		out.Speed = MeasureOf(missing("green_speed", out.Text))
		return out
	case g.Aside:
		out.Text = fmt.Sprintf("the green speed given contradicts the measured rolls (%d), which are believed", g.Rolls)
	case g.Rolls > 0:
		out.Text = fmt.Sprintf("the green as this player's measured rolls (%d) show it", g.Rolls)
	default:
		out.Text = "the green speed given; no roll was measured"
	}
	out.Speed = MeasureOf(estimated(g.Reading(), "ft", "on the level"))
	return out
}

func playerFound(p roll.Player) PlayerFound {
	out := PlayerFound{Strokes: p.Strokes, SeveralLength: p.Several}
	how := "as usual heads and balls make it"
	if p.Measured {
		how = "mean of the strokes"
	}
	out.BallToHead = MeasureOf(estimated(p.Ratio, "1", how))
	out.Text = basisText(p)
	if p.Tempo.Known() {
		out.Tempo = MeasureOf(estimated(p.Tempo, "1", "mean of the strokes"))
	} else {
		out.Tempo = MeasureOf(missing("tempo", "no stroke has both its times"))
	}
	return out
}

// basisText says what the budgets of a player rest on.
func basisText(p roll.Player) string {
	if p.Strokes == 0 {
		return "no stroke of a player is known: head speed by usual heads and balls, no lengths and times"
	}
	text := fmt.Sprintf("a scaled model: strokes of one length only (%d), so other lengths assume a nearly constant downstroke time", p.Strokes)
	if p.Several {
		text = fmt.Sprintf("fitted to %d strokes of several lengths", p.Strokes)
	}
	if r := p.Ratio.Value; p.Measured && (r < roll.LeastRatio || r > roll.MostRatio) {
		text += fmt.Sprintf("; the ball leaves %.2f times as fast as the head, outside the usual %g to %g: look at sticker and ball in the stills", r, roll.LeastRatio, roll.MostRatio)
	}
	return text
}

// budgets is what a distance asks of a player: as the player strikes, and with
// each of the coach's wishes.
func budgets(player roll.Player, g roll.Green, distance float64, p Putting) []Budget {
	b, err := player.Budget(g, distance)
	way := "as this player strikes"
	if player.Strokes == 0 {
		way = "whoever strikes"
	}
	out := []Budget{budgetOf(distance, way, b, err)}
	if err != nil {
		return out
	}
	if p.ThroughToBack > 0 {
		w, err := player.WithRatio(b, p.ThroughToBack)
		out = append(out, budgetOf(distance, fmt.Sprintf("with a follow-through of %.3g times the backstroke", p.ThroughToBack), w, err))
	}
	if p.Shorter > 0 {
		back := roll.Exactly(b.Back.Value * (1 - p.Shorter))
		w, err := player.Shorter(b, back)
		out = append(out, budgetOf(distance, fmt.Sprintf("with a backstroke %.0f %% shorter", 100*p.Shorter), w, err))
	}
	if p.ToBack > 0 {
		w, err := player.Shorter(b, roll.Exactly(p.ToBack))
		out = append(out, budgetOf(distance, fmt.Sprintf("with a backstroke of %.0f cm", 100*p.ToBack), w, err))
	}
	return out
}

func budgetOf(distance float64, text string, b roll.Budget, err error) Budget {
	out := Budget{DistanceM: distance, Text: text, Values: map[string]Measure{}}
	if err != nil {
		out.Reason = err.Error()
		return out
	}
	for _, v := range []struct {
		id, unit string
		e        roll.Estimate
	}{
		{"ball_speed", "m/s", b.BallSpeed}, {HeadSpeed, "m/s", b.HeadSpeed}, {"backstroke_length", "m", b.Back}, {"follow_through_length", "m", b.Through},
		{"backstroke_time", "s", b.BackTime}, {"downstroke_time", "s", b.DownTime}, {Acceleration, "m/s2", b.Acceleration},
	} {
		switch {
		case v.e.Known() && v.e.U > 0:
			out.Values[v.id] = MeasureOf(estimated(v.e, v.unit, ""))
		case v.e.Known(): // a wish
			out.Values[v.id] = MeasureOf(track.Measure{Value: v.e.Value, Lo95: v.e.Value, Hi95: v.e.Value, Unit: v.unit, Status: track.Predicted, How: "as wished for"})
		default:
			out.Values[v.id] = MeasureOf(missing(v.id, "no stroke of the player has what it needs"))
		}
	}
	return out
}

// Of returns the budget of a distance as the player strikes, if there is one.
func (r *Rolling) Of(distance float64) (Budget, bool) {
	for _, b := range r.Budgets {
		if math.Abs(b.DistanceM-distance) < 1e-9 && b.Reason == "" {
			return b, true
		}
	}
	return Budget{}, false
}
