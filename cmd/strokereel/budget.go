package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"strokereel/overlay/scene"
	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/roll"
)

// budgetFlags are the flags of the command budget, as typed.
type budgetFlags struct {
	distances, reports, rolls                     []string
	green, up, down, slope, runs                  string
	back, through, ball, head, downTime, backTime string
	ratio, toBack, past                           string
	asJSON                                        bool
}

func (a *app) budgetCommand() *cobra.Command {
	var f budgetFlags
	c := &cobra.Command{
		Use:   "budget --distance 6m --green 9",
		Short: "say what stroke a putt asks of a player, without a film",
		Long: "budget prints the ball and head speed a putt needs and, from strokes of the player, the\n" +
			"backstroke and follow-through that would do it. Strokes come from the results of measure\n" +
			"(--strokes) or are typed (--back with --ball-speed). Everything is an interval: what is not\n" +
			"known of ball and green is in it, and balls whose roll was measured (--rolled) narrow it.\n" +
			"Lengths take m, cm or ft (a bare number is m), green speeds are in ft.",
		Example: "  strokereel budget --distance 6m --green 9\n" +
			"  strokereel budget --distance 6m --green 9 --strokes results/after --to-back 25cm\n" +
			"  strokereel budget --distance 10ft --up 8 --down 10 --runs uphill --back 28cm --ball-speed 2.1 --rolled 2.1=2.9m",
		Args: a.args(func(cmd *cobra.Command, args []string) error {
			if len(f.distances) == 0 {
				return errors.New("say how far the putt is: --distance 6m")
			}
			return noArgs(cmd, args)
		}),
		RunE: func(cmd *cobra.Command, _ []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			out, err := f.answer(s)
			if err != nil {
				return err
			}
			return a.voice.result(out)
		},
	}
	flags := c.Flags()
	flags.StringArrayVar(&f.distances, "distance", nil, "`LENGTH` of the putt (may be given again)")
	flags.StringVar(&f.green, "green", "", "`SPEED` of the green on the level, ft")
	flags.StringVar(&f.up, "up", "", "`SPEED` of the green read up its slope, ft (with --down)")
	flags.StringVar(&f.down, "down", "", "`SPEED` of the green read down its slope, ft")
	flags.StringVar(&f.runs, "runs", "level", "the putt runs level, uphill or downhill on it")
	flags.StringVar(&f.slope, "slope", "", "slope along the putt in `DEGREES`, uphill positive (instead of --up and --down)")
	flags.StringArrayVar(&f.reports, "strokes", nil, "result folder or `report.json` of a clip with the player's putts (may be given again)")
	flags.StringVar(&f.back, "back", "", "`LENGTH` of a backstroke of the player")
	flags.StringVar(&f.through, "through", "", "`LENGTH` of its follow-through")
	flags.StringVar(&f.ball, "ball-speed", "", "its ball speed, `M/S`")
	flags.StringVar(&f.head, "head-speed", "", "its head speed at impact, `M/S`")
	flags.StringVar(&f.downTime, "down-time", "", "its downstroke time, `SECONDS`")
	flags.StringVar(&f.backTime, "back-time", "", "its backstroke time, `SECONDS`")
	flags.StringArrayVar(&f.rolls, "rolled", nil, "a ball that really rolled so far, `M/S=LENGTH` (may be given again)")
	flags.StringVar(&f.ratio, "ratio", "", "wanted follow-through over backstroke, a `NUMBER`")
	flags.StringVar(&f.toBack, "to-back", "", "wanted `LENGTH` of the backstroke")
	flags.StringVar(&f.past, "past", "", "let a ball that misses roll so much `LENGTH` past the hole")
	flags.BoolVar(&f.asJSON, "json", false, "print it as JSON")
	return c
}

// answer is what the command prints. Anything wrong in it was typed.
func (f budgetFlags) answer(s settings.Settings) ([]byte, error) {
	const help = "strokereel budget --help"
	green, err := f.greenOf(s)
	if err != nil {
		return nil, usage(err, help)
	}
	player, err := f.player(s.Track.Roll)
	if err != nil {
		return nil, err
	}
	p := lesson.Putting{Green: green, Options: s.Track.Roll}
	var past float64
	for _, v := range []struct {
		name, text string
		to         *float64
		parse      func(string) (float64, error)
	}{{"ratio", f.ratio, &p.ThroughToBack, number}, {"past", f.past, &past, length}} {
		if err := typed(v.name, v.text, v.to, v.parse); err != nil {
			return nil, usage(err, help)
		}
	}
	if err := typed("to-back", f.toBack, &p.ToBack, length); err != nil {
		return nil, usage(err, help)
	}
	for _, text := range f.distances {
		var d float64
		if err := typed("distance", text, &d, length); err != nil {
			return nil, usage(err, help)
		}
		if _, err := green.Speed(d + past); err != nil {
			return nil, usage(err, help)
		}
		p.Distances = append(p.Distances, d+past)
	}
	r := lesson.WhatIf(player, green, p)
	if f.asJSON {
		data, err := json.MarshalIndent(r, "", "  ")
		return append(data, '\n'), err
	}
	return f.words(r, green, past)
}

// typed reads a flag that may be left out.
func typed(name, text string, to *float64, parse func(string) (float64, error)) error {
	if text == "" {
		return nil
	}
	v, err := parse(text)
	if err != nil {
		return fmt.Errorf("--%s: %w", name, err)
	}
	*to = v
	return nil
}

// units of lengths, m.
var units = []struct {
	suffix string
	metres float64
}{{"cm", 0.01}, {"ft", roll.FootLength}, {"m", 1}}

// length reads a length with its unit, a bare number as metres.
func length(text string) (float64, error) {
	rest, factor := strings.TrimSpace(text), 1.0
	for _, u := range units {
		if bare, ok := strings.CutSuffix(rest, u.suffix); ok {
			rest, factor = strings.TrimSpace(bare), u.metres
			break
		}
	}
	v, err := strconv.ParseFloat(rest, 64)
	if err != nil || !(v > 0) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("must be a length above zero such as 6m, 240cm or 20ft (got %q)", text)
	}
	return v * factor, nil
}

// number reads a number above zero, with or without the unit it is in.
func number(text string) (float64, error) {
	rest := strings.TrimSpace(text)
	for _, u := range []string{"ft", "m/s", "s"} {
		rest = strings.TrimSpace(strings.TrimSuffix(rest, u))
	}
	v, err := strconv.ParseFloat(rest, 64)
	if err != nil || !(v > 0) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("must be a number above zero (got %q)", text)
	}
	return v, nil
}

// greenOf is what was typed of the green, else what the settings say.
func (f budgetFlags) greenOf(s settings.Settings) (roll.Green, error) {
	facts := roll.Facts{Speed: s.Sheet.GreenSpeed, Slope: s.Sheet.Slope * math.Pi / 180}
	var up, down float64
	for _, v := range []struct {
		name, text string
		to         *float64
	}{{"green", f.green, &facts.Speed}, {"up", f.up, &up}, {"down", f.down, &down}} {
		if err := typed(v.name, v.text, v.to, green); err != nil {
			return roll.Green{}, err
		}
	}
	along, ok := map[string]float64{"level": 0, "uphill": 1, "downhill": -1}[f.runs]
	switch {
	case !ok:
		return roll.Green{}, fmt.Errorf("--runs: must be level, uphill or downhill (got %q)", f.runs)
	case f.up != "" && f.down != "" && f.green == "" && f.slope == "":
		sloping, err := roll.Uphill(up, down, s.Track.Roll)
		if err != nil {
			return roll.Green{}, err
		}
		facts = roll.Facts{Speed: sloping.Speed, Slope: along * sloping.Slope}
	case f.up != "" || f.down != "" || along != 0:
		return roll.Green{}, errors.New("a sloping green needs --up and --down, and neither --green nor --slope beside them")
	case f.slope != "":
		deg, err := strconv.ParseFloat(strings.TrimSuffix(f.slope, "deg"), 64)
		if err != nil {
			return roll.Green{}, fmt.Errorf("--slope: must be a number of degrees (got %q)", f.slope)
		}
		facts.Slope = deg * math.Pi / 180
	}
	g, err := roll.NewGreen(facts, s.Track.Roll)
	if err != nil {
		return g, err
	}
	rolled, err := f.rolled()
	if err != nil {
		return g, err
	}
	return g.Fit(rolled)
}

// green reads a green speed; what is no number or no green is told alike.
func green(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "ft")), 64)
	if err != nil {
		return 0, fmt.Errorf("must be a green speed in ft such as 9 (got %q)", text)
	}
	return v, roll.CheckSpeed(v)
}

// typedError is how well a typed speed, length or time is taken to be known, as a
// relative standard uncertainty: 2 % is what a clip would give.
const typedError = 0.02

func typedQuantity(v float64) roll.Quantity { return roll.Quantity{Value: v, U: typedError * v} }

// rolled are the measured rolls.
func (f budgetFlags) rolled() ([]roll.Measured, error) {
	var out []roll.Measured
	for _, text := range f.rolls {
		speed, far, ok := strings.Cut(text, "=")
		if !ok {
			return nil, fmt.Errorf("--rolled %q: write ball speed and distance as 2.1=2.9m", text)
		}
		v, errSpeed := number(speed)
		d, errFar := length(far)
		if err := errors.Join(errSpeed, errFar); err != nil {
			return nil, fmt.Errorf("--rolled %q: write ball speed and distance as 2.1=2.9m", text)
		}
		out = append(out, roll.Measured{Speed: typedQuantity(v), Distance: d})
	}
	return out, nil
}

// player is fitted to the strokes named and typed.
func (f budgetFlags) player(o roll.Options) (roll.Player, error) {
	const help = "strokereel budget --help"
	var strokes []roll.Stroke
	for _, path := range f.reports {
		if st, err := os.Stat(path); err == nil && st.IsDir() {
			path = filepath.Join(path, pipeline.ReportFile)
		}
		in, err := os.Open(path)
		if err != nil {
			return roll.Player{}, fmt.Errorf("reading strokes: %w", err)
		}
		r, err := lesson.ReadReport(in)
		in.Close()
		if err != nil {
			return roll.Player{}, fmt.Errorf("reading strokes %q: %w", path, err)
		}
		strokes = append(strokes, lesson.StrokesOf(lesson.Putts([]lesson.Findings{{Report: r}}))...)
	}
	var own roll.Stroke
	some := false
	for _, v := range []struct {
		name, text string
		to         *roll.Quantity
		parse      func(string) (float64, error)
	}{
		{"back", f.back, &own.Back, length}, {"through", f.through, &own.Through, length}, {"ball-speed", f.ball, &own.BallSpeed, number},
		{"head-speed", f.head, &own.HeadSpeed, number}, {"down-time", f.downTime, &own.DownTime, number}, {"back-time", f.backTime, &own.BackTime, number},
	} {
		var got float64
		if err := typed(v.name, v.text, &got, v.parse); err != nil {
			return roll.Player{}, usage(err, help)
		}
		if got > 0 {
			*v.to, some = typedQuantity(got), true
		}
	}
	if some {
		if !(own.Back.Value > 0) || !(own.BallSpeed.Value > 0) {
			return roll.Player{}, usage(errors.New("a typed stroke needs --back and --ball-speed: distance is not told from head speed alone"), help)
		}
		strokes = append(strokes, own)
	}
	if len(strokes) == 0 {
		return roll.Anyone(o)
	}
	return roll.NewPlayer(strokes, o)
}

// words puts it into a table for people.
func (f budgetFlags) words(r *lesson.Rolling, g roll.Green, past float64) ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "green: %s (%s)\nplayer: %s\n", spokenValue("green_speed", r.Green.Speed), r.Green.Text, r.Player.Text)
	for _, k := range r.Budgets {
		fmt.Fprintf(&b, "\n%s, %s\n", metres(k.DistanceM), k.Text)
		if past > 0 {
			fmt.Fprintf(&b, "  (%s to the hole and %s past it)\n", metres(k.DistanceM-past), metres(past))
		}
		if k.Reason != "" {
			fmt.Fprintf(&b, "  %s\n", k.Reason)
			continue
		}
		for _, id := range lesson.BudgetOrder() {
			if m := k.Values[id]; m.Status == track.Predicted {
				fmt.Fprintf(&b, "  %-22s %s\n", scene.MeasureName(id), spokenValue(id, m))
			}
		}
	}
	if past > 0 {
		v, err := g.Ground().PastHole(past)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, "\nat the hole: about %.2f m/s; a ball falls in freely up to %.2f m/s and, with the rim's help, up to %.2f m/s\n",
			v, roll.Capture(roll.HoleRadius, roll.BallRadius, 0), roll.RimCapture)
	}
	b.WriteString("\nof skilled players, for comparison and not as an aim:\n")
	for _, v := range r.Published {
		fmt.Fprintf(&b, "  %-22s %s [%s]\n", v.What, v.Text, v.Source)
	}
	return b.Bytes(), nil
}

// spokenValue is a value of a budget in words.
func spokenValue(id string, m lesson.Measure) string {
	v := m.Computed(id)
	if v.Status == track.Predicted && v.Lo95 == v.Hi95 {
		return fmt.Sprintf("%.3g cm, as wished for", 100*v.Value)
	}
	return strings.TrimPrefix(scene.Show(v).String(), "expected ")
}

func metres(m float64) string { return strconv.FormatFloat(math.Round(m*100)/100, 'f', -1, 64) + " m" }
