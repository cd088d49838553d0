package settings

import (
	"math"

	"strokereel/track/roll"
)

// Green is what the settings say of the green; nothing of it is known when they
// name no speed.
func (s Settings) Green() (roll.Green, error) {
	return roll.NewGreen(roll.Facts{Speed: s.Sheet.GreenSpeed, Slope: s.Sheet.Slope * math.Pi / 180}, s.Track.Roll)
}
