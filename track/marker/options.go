package marker

import (
	"fmt"
	"strings"

	"strokereel/track"
)

// Options are the settings of the marker tracker. Sizes are given for a
// picture whose longer side is 1920 px and scale with it.
type Options struct {
	Colour       string  `key:"colour" unit:"" help:"the sticker's colour: auto, or red, orange, yellow, lime, green, cyan, blue, violet, magenta; name it when something of another colour is taken for the sticker"`
	HueTolerance float64 `key:"hue_tolerance" unit:"deg" range:"5..180" help:"how far a spot's hue may lie from the named colour; 28 spans lamps from warm to cold white, lower it when clothes are of a similar colour"`
	MinChroma    float64 `key:"min_chroma" unit:"levels" range:"4..120" help:"least colourfulness of a spot (distance from grey in the Cb-Cr plane); 16 keeps stickers in shade, lower it for pale ones"`
	MinContrast  float64 `key:"min_contrast" unit:"levels" range:"4..120" help:"least colour difference between spot and surroundings; 14 is about six times the noise of a phone indoors"`
	SearchFrom   float64 `key:"search_from" unit:"" range:"0..0.95" help:"the sticker is looked for below this share of the picture's height; 0.45 because the putter is on the ground while the whole player is in view"`
	MaxGap       float64 `key:"max_gap" unit:"s" range:"0.05..5" help:"a spot unseen for longer is given up and found afresh; 0.5 covers a hand passing before it"`
	MaxSpeed     float64 `key:"max_speed" unit:"px/s" range:"100..20000" help:"fastest motion of a spot in a picture 1920 px wide; 3000 is 5 m/s at 600 px/m"`
}

// DefaultOptions returns the settings that suit a 20-25 mm sticker filmed by a
// phone on a tripod.
func DefaultOptions() Options {
	return Options{
		Colour:       "auto",
		HueTolerance: 28,
		MinChroma:    16,
		MinContrast:  14,
		SearchFrom:   0.45,
		MaxGap:       0.5,
		MaxSpeed:     3000,
	}
}

// Validate returns the first setting that cannot work.
func (o Options) Validate() error {
	if _, ok := Hue(o.Colour); !ok && o.Colour != "auto" {
		return fmt.Errorf("colour: must be auto or one of %s (got %q)", strings.Join(ColourNames(), ", "), o.Colour)
	}
	return track.CheckRanges(o)
}
