package sheet

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"gopkg.in/yaml.v3"

	"strokereel/track/roll"
)

// Which way a putt runs on a green that slopes.
const (
	Level    = "level" // along the hill, or on the flat
	Uphill   = "uphill"
	Downhill = "downhill"
)

// Readings are green speeds read both ways along a slope.
type Readings struct {
	Up, Down float64 // ft
	Runs     string  // which way the putt runs
}

// check finds readings that do not go together.
func (r Readings) check(speed float64) error {
	switch {
	case r.Up == 0 && r.Down == 0 && r.Runs != "" && r.Runs != Level:
		return fmt.Errorf("putt_runs: %s needs green_speed_up_ft and green_speed_down_ft", r.Runs)
	case (r.Up == 0) != (r.Down == 0):
		return errors.New("green_speed_up_ft and green_speed_down_ft belong together: give both")
	case r.Up > r.Down:
		return fmt.Errorf("green_speed_up_ft must not be above green_speed_down_ft (got %g and %g)", r.Up, r.Down)
	case r.Up > 0 && speed > 0:
		return errors.New("give green_speed_ft or the two readings green_speed_up_ft and green_speed_down_ft, not all three")
	}
	return nil
}

// green is the speed of the green on the level (ft) and the slope along the putt
// (deg), as settings take them; empty when the sheet does not say.
func (s Sheet) green(o roll.Options) (speed, slope string, err error) {
	text := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	if s.Green.Up == 0 {
		if s.GreenSpeed > 0 {
			speed = text(s.GreenSpeed)
		}
		return speed, "", nil
	}
	f, err := s.Green.Facts(o)
	if err != nil {
		return "", "", err
	}
	return text(f.Speed), text(f.Slope * 180 / math.Pi), nil
}

// Facts is what the two readings say of the green along the putt.
func (r Readings) Facts(o roll.Options) (roll.Facts, error) {
	along, ok := map[string]float64{"": 0, Level: 0, Uphill: 1, Downhill: -1}[r.Runs]
	if !ok {
		return roll.Facts{}, fmt.Errorf("a putt runs %s, %s or %s (got %q)", Level, Uphill, Downhill, r.Runs)
	}
	f, err := roll.Uphill(r.Up, r.Down, o)
	f.Slope *= along
	return f, err
}

// rolled takes, for each clip, one distance or a list with one for each putt.
func rolled(to *map[string][]float64) setter {
	return func(n *yaml.Node) error {
		*to = map[string][]float64{}
		return each(n, func(clip string, value *yaml.Node) error {
			var d []float64
			err := takeLengths(value, &d)
			if len(d) > 0 {
				(*to)[clip] = d
			}
			return err
		})
	}
}
