package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
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

// budgetHelp is what to type when something was typed wrong.
const budgetHelp = "strokereel budget --help"

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
			q, err := f.question(s)
			if err != nil {
				return err
			}
			answer, err := q.Answer()
			if err != nil {
				return usage(err, budgetHelp)
			}
			if !f.asJSON {
				return a.voice.result(budgetWords(answer))
			}
			data, err := json.MarshalIndent(answer, "", "  ")
			if err != nil {
				return err
			}
			return a.voice.result(append(data, '\n'))
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

// question is what was typed, with the strokes of the reports that were named.
func (f budgetFlags) question(s settings.Settings) (lesson.Question, error) {
	q, err := f.typed(s)
	if err != nil {
		return q, usage(err, budgetHelp)
	}
	var filmed []roll.Stroke
	for _, path := range f.reports {
		strokes, err := strokesIn(path)
		if err != nil {
			return q, err
		}
		filmed = append(filmed, strokes...)
	}
	q.Strokes = append(filmed, q.Strokes...)
	return q, nil
}

// strokesIn are the putts in the results of a clip.
func strokesIn(path string) ([]roll.Stroke, error) {
	if st, err := os.Stat(path); err == nil && st.IsDir() {
		below, err := filepath.Glob(filepath.Join(path, "*", pipeline.ReportFile))
		path = filepath.Join(path, pipeline.ReportFile)
		if _, missing := os.Stat(path); missing != nil && err == nil && len(below) > 0 {
			return nil, fmt.Errorf("reading strokes: %q holds several clips: name one, such as %q", filepath.Dir(path), filepath.Dir(below[0]))
		}
	}
	in, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("reading strokes: %w", err)
	}
	defer in.Close()
	r, err := lesson.ReadReport(in)
	if err != nil {
		return nil, fmt.Errorf("reading strokes %q: %w", path, err)
	}
	return lesson.StrokesOf(lesson.Putts([]lesson.Findings{{Report: r}})), nil
}

// typed is what was typed.
func (f budgetFlags) typed(s settings.Settings) (lesson.Question, error) {
	q := lesson.Question{}
	q.Options = s.Track.Roll
	facts, err := f.facts(s)
	if err != nil {
		return q, err
	}
	if q.Green, err = roll.NewGreen(facts, q.Options); err != nil {
		return q, err
	}
	if q.Rolls, err = f.rolled(); err != nil {
		return q, err
	}
	stroke, err := f.stroke()
	if err != nil {
		return q, err
	}
	if stroke != (roll.Stroke{}) {
		q.Strokes = []roll.Stroke{stroke}
	}
	for _, text := range f.distances {
		var d float64
		if err := read(typed{"distance", text, &d, length}); err != nil {
			return q, err
		}
		q.Distances = append(q.Distances, d)
	}
	return q, read(typed{"ratio", f.ratio, &q.ThroughToBack, number}, typed{"to-back", f.toBack, &q.ToBack, length}, typed{"past", f.past, &q.Past, length})
}

// facts is what was typed of the green, else what the settings say.
func (f budgetFlags) facts(s settings.Settings) (roll.Facts, error) {
	facts := roll.Facts{Speed: s.Sheet.GreenSpeed, Slope: s.Sheet.Slope * math.Pi / 180}
	both := sheet.Readings{Runs: f.runs}
	slope := facts.Slope * 180 / math.Pi
	if err := read(typed{"green", f.green, &facts.Speed, green}, typed{"up", f.up, &both.Up, green}, typed{"down", f.down, &both.Down, green}, typed{"slope", f.slope, &slope, degrees}); err != nil {
		return facts, err
	}
	facts.Slope = slope * math.Pi / 180
	switch {
	case f.up != "" && f.down != "" && f.green == "" && f.slope == "":
		return both.Facts(s.Track.Roll)
	case f.up != "" || f.down != "" || f.runs != sheet.Level:
		return facts, errors.New("a putt uphill or downhill needs --up and --down, and neither --green nor --slope beside them")
	}
	return facts, nil
}

// typedError is how well a typed speed, length or time is taken to be known, as a
// relative standard uncertainty: 2 % is what a clip would give.
const typedError = 0.02

func typedQuantity(v float64) roll.Quantity { return roll.Quantity{Value: v, U: typedError * v} }

// rolled are the measured rolls.
func (f budgetFlags) rolled() ([]roll.Measured, error) {
	var out []roll.Measured
	for _, text := range f.rolls {
		speed, far, _ := strings.Cut(text, "=")
		v, errSpeed := number(speed)
		d, errFar := length(far)
		if errSpeed != nil || errFar != nil {
			return nil, fmt.Errorf("--rolled %q: write ball speed and distance as 2.1=2.9m", text)
		}
		out = append(out, roll.Measured{Speed: typedQuantity(v), Distance: d})
	}
	return out, nil
}

// stroke is the typed stroke, empty when there is none.
func (f budgetFlags) stroke() (roll.Stroke, error) {
	var back, through, ball, head, down, backTime float64
	err := read(typed{"back", f.back, &back, length}, typed{"through", f.through, &through, length}, typed{"ball-speed", f.ball, &ball, number},
		typed{"head-speed", f.head, &head, number}, typed{"down-time", f.downTime, &down, number}, typed{"back-time", f.backTime, &backTime, number})
	own := roll.Stroke{Back: typedQuantity(back), Through: typedQuantity(through), BallSpeed: typedQuantity(ball),
		HeadSpeed: typedQuantity(head), DownTime: typedQuantity(down), BackTime: typedQuantity(backTime)}
	if err == nil && own != (roll.Stroke{}) && (back == 0 || ball == 0) {
		err = errors.New("a typed stroke needs --back and --ball-speed: distance is not told from head speed alone")
	}
	return own, err
}
