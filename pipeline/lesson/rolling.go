package lesson

import (
	"errors"
	"math"

	"strokereel/track/roll"
)

// Putting is what is known of the putts of a lesson beyond its clips.
type Putting struct {
	Green     roll.Green           // before any roll of the lesson
	Rolled    map[string][]float64 // m, really rolled, by clip and putt
	Distances []float64            // m, for which budgets are wanted
	// Wishes of the coach, 0 when there are none.
	ThroughToBack float64 // 1
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
	AtHole    *AtHole          `json:"at_hole,omitempty"`
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
	// DistanceM is missing where wishes were made without a distance: the ball is
	// then as fast as the typical one of the lesson, on whatever green.
	DistanceM float64            `json:"distance_m,omitempty"`
	Text      string             `json:"text"` // which way of doing it
	Values    map[string]Measure `json:"values"`
	Reason    string             `json:"reason,omitempty"` // when there are none
}

// AtHole is the ball at the hole when it is to roll past it.
type AtHole struct {
	BeyondM float64 `json:"beyond_m"`
	Speed   Measure `json:"speed"`
	// Limits up to which a ball on the centre line can drop, m/s.
	FallsFreely float64 `json:"falls_freely_up_to_m_s"`
	WithRim     float64 `json:"with_the_rim_up_to_m_s"`
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
	green, err := p.Green.Fit(p.measuredRolls(all))
	if err != nil {
		green = p.Green
	}
	own := after
	player, noStroke := roll.NewPlayer(StrokesOf(Putts(own)), p.Options)
	if noStroke != nil {
		own = before
		player, noStroke = roll.NewPlayer(StrokesOf(Putts(own)), p.Options)
	}
	out := whatIf(player, green, p)
	if len(p.Distances) == 0 && p.wishes() {
		out.Budgets = sameBall(player, own, p)
	}
	if err != nil {
		out.Green.Text += "; " + err.Error()
	}
	if noStroke != nil {
		out.Budgets, out.Player = []Budget{}, noPlayer(noStroke.Error())
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

// wishes reports whether the coach would like the stroke otherwise.
func (p Putting) wishes() bool { return p.ThroughToBack > 0 || p.ToBack > 0 }

// sameBall is what the coach's wishes ask of the player for a ball as fast as the
// typical one of some clips: an equal roll, whatever the green.
func sameBall(player roll.Player, clips []Findings, p Putting) []Budget {
	s, ok := stroke(clips, Choose(clips))
	if !ok {
		return []Budget{}
	}
	v := quantity(s.Measure("ball_speed"))
	if v.Value == 0 {
		return []Budget{budgetOf(roll.Budget{}, ownWay(player), errors.New("the ball speed of the typical putt was not measured"))}
	}
	return ways(player, player.For(roll.Estimate{Value: v.Value, U: v.U / v.Value}), p)
}

// measuredRolls are the balls of which speed and way are both known.
func (p Putting) measuredRolls(clips []Findings) []roll.Measured {
	var rolls []roll.Measured
	for _, f := range clips {
		for i, s := range Putts([]Findings{f}) {
			v := quantity(s.Measure("ball_speed"))
			if d, ok := p.rolled(f, i); ok && v.Value > 0 {
				rolls = append(rolls, roll.Measured{Speed: v, Distance: d})
			}
		}
	}
	return rolls
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

// Of returns the budget of a distance as the player strikes, if there is one.
func (r *Rolling) Of(distance float64) (Budget, bool) {
	for _, b := range r.Budgets {
		if math.Abs(b.DistanceM-distance) < 1e-9 && b.Reason == "" {
			return b, true
		}
	}
	return Budget{}, false
}
