package sheet

import (
	"slices"

	"gopkg.in/yaml.v3"

	"strokereel/track/marker"
)

// Bands are the colours of bands and stickers on the player, by place; a place
// that wears none is missing.
type Bands map[string]string

// bandPlaces are the places that can be named, as in the settings.
var bandPlaces = []string{"lead_elbow", "trail_elbow", "lead_wrist", "trail_wrist", "shoulders", "cap"}

func bands(to *Bands) setter {
	return func(n *yaml.Node) error {
		*to = Bands{}
		known := entries{}
		colours := map[string]*string{}
		for _, place := range bandPlaces {
			colours[place] = new(string)
			known[place] = word(colours[place], append(slices.Clone(marker.ColourNames()), "none")...)
		}
		if err := fill(n, known); err != nil {
			return err
		}
		for place, c := range colours {
			if *c != "" {
				(*to)[place] = *c
			}
		}
		return nil
	}
}
