package lesson

import (
	"fmt"
	"strconv"

	"strokereel/track/roll"
)

// What budgets are said to be.
const (
	wishedFor = "as wished for"
	noBasis   = "no stroke of the player has what it needs"
)

// ownWay is the way of making a putt that is not changed by a wish.
func ownWay(p roll.Player) string {
	if p.Strokes == 0 {
		return "whoever strikes"
	}
	return "as this player strikes"
}

func ratioWay(throughToBack float64) string {
	return fmt.Sprintf("with a follow-through of %.3g times the backstroke", throughToBack)
}

func lengthWay(back float64) string {
	return "with a backstroke of " + strconv.FormatFloat(back*100, 'g', 3, 64) + " cm"
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
	if v := g.Reading().Value; v < roll.LeastUsualSpeed || v > roll.MostUsualSpeed {
		out.Text += fmt.Sprintf("; greens are rarely outside %g to %g ft: look at it again", roll.LeastUsualSpeed, roll.MostUsualSpeed)
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

// noPlayer says why nothing is known of a player.
func noPlayer(why string) PlayerFound {
	return PlayerFound{Text: why, BallToHead: MeasureOf(missing("ball_to_head", why)), Tempo: MeasureOf(missing("tempo", why))}
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
