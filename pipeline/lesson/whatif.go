package lesson

import (
	"fmt"

	"strokereel/track"
	"strokereel/track/roll"
)

// Question asks what putts take of a player, without a film.
type Question struct {
	Putting                 // its green as it was before any of the rolls
	Strokes []roll.Stroke   // of the player; without any, whoever strikes
	Rolls   []roll.Measured // balls that really rolled so far
	Past    float64         // m, how far a ball that misses is to roll past the hole
}

// Answer finds the strokes for the distances asked for; those of putts that are
// to roll past the hole are longer by that.
func (q Question) Answer() (*Rolling, error) {
	green, err := q.Green.Fit(q.Rolls)
	if err != nil {
		return nil, err
	}
	player, err := roll.Anyone(q.Options)
	if len(q.Strokes) > 0 {
		player, err = roll.NewPlayer(q.Strokes, q.Options)
	}
	if err != nil {
		return nil, err
	}
	p := q.Putting
	p.Distances = nil
	for _, d := range q.Distances {
		if _, err := green.Speed(d + q.Past); err != nil {
			return nil, err
		}
		p.Distances = append(p.Distances, d+q.Past)
	}
	out := whatIf(player, green, p)
	if q.Past > 0 {
		out.AtHole, err = atHole(green, q.Past)
	}
	return out, err
}

func atHole(g roll.Green, beyond float64) (*AtHole, error) {
	v, err := g.PastHole(beyond)
	if err != nil {
		return nil, fmt.Errorf("finding the speed at the hole: %w", err)
	}
	return &AtHole{BeyondM: beyond, Speed: MeasureOf(estimated(v, "m/s", "already rolling")),
		FallsFreely: roll.Capture(roll.HoleRadius, roll.BallRadius, 0), WithRim: roll.RimCapture}, nil
}

// whatIf is what the wanted distances ask of a player on a green.
func whatIf(player roll.Player, green roll.Green, p Putting) *Rolling {
	out := &Rolling{Green: greenFound(green), Rolls: []Roll{}, Player: playerFound(player), Budgets: []Budget{}}
	for _, v := range roll.PublishedSpread() {
		out.Published = append(out.Published, PublishedValue(v))
	}
	for _, d := range p.Distances {
		out.Budgets = append(out.Budgets, budgets(player, green, d, p)...)
	}
	return out
}

// budgets is what a distance asks of a player.
func budgets(player roll.Player, g roll.Green, distance float64, p Putting) []Budget {
	own, err := player.Budget(g, distance)
	if err != nil {
		return []Budget{budgetOf(roll.Budget{Distance: distance}, ownWay(player), err)}
	}
	return ways(player, own, p)
}

// ways of making a putt: as the player strikes, and with each of the coach's
// wishes, the length of the backstroke last.
func ways(player roll.Player, own roll.Budget, p Putting) []Budget {
	out := []Budget{budgetOf(own, ownWay(player), nil)}
	add := func(way string, b roll.Budget, err error) {
		b.Distance = own.Distance
		out = append(out, budgetOf(b, way, err))
	}
	if r := p.ThroughToBack; r > 0 {
		b, err := player.WithRatio(own, r)
		add(ratioWay(r), b, err)
	}
	if p.ToBack > 0 {
		b, err := player.Shorter(own, roll.Exactly(p.ToBack))
		add(lengthWay(p.ToBack), b, err)
	}
	return out
}

func budgetOf(b roll.Budget, way string, err error) Budget {
	out := Budget{DistanceM: b.Distance, Text: way, Values: map[string]Measure{}}
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
		case v.e.Known():
			out.Values[v.id] = MeasureOf(track.Measure{Value: v.e.Value, Lo95: v.e.Value, Hi95: v.e.Value, Unit: v.unit, Status: track.Predicted, How: wishedFor})
		default:
			out.Values[v.id] = MeasureOf(missing(v.id, noBasis))
		}
	}
	return out
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
