package body

import (
	"fmt"
	"strings"

	"strokereel/track"
	"strokereel/track/marker"
)

// None is the colour of a band that is not worn.
const None = "none"

// Options are the settings of the package: the colours of the bands and stickers
// the player wears, and how they and the shaft are found.
type Options struct {
	LeadElbow     string  `key:"lead_elbow" help:"colour of the band below the elbow of the arm on the target side: none, or a colour as for the putter's sticker"`
	TrailElbow    string  `key:"trail_elbow" help:"colour of the band below the other elbow; both may have one colour"`
	LeadWrist     string  `key:"lead_wrist" help:"colour of the band at the wrist of the arm on the target side"`
	TrailWrist    string  `key:"trail_wrist" help:"colour of the band at the other wrist; both may have one colour"`
	Shoulders     string  `key:"shoulders" help:"colour of the two stickers on the shoulders"`
	Cap           string  `key:"cap" help:"colour of the sticker at the front edge of the cap's brim"`
	Model         string  `key:"model" help:"how joints without a band are found: auto uses the body model when it is installed, off never does"`
	ModelFolder   string  `key:"model_folder" help:"folder of the body model; auto is strokereel/models in the user's cache folder, where scripts/setup --pose puts it"`
	HueTolerance  float64 `key:"hue_tolerance" unit:"deg" range:"5..60" help:"how far a band's hue may lie from the named colour; 16 is half of the way to the nearest neighbour of the named colours, raise it under coloured lamps"`
	MinChroma     float64 `key:"min_chroma" unit:"levels" range:"10..120" help:"least colourfulness of a band; 42 is above the most colourful skin, lower it for pale bands"`
	MaxGap        float64 `key:"max_gap" unit:"s" range:"0.05..5" help:"a band unseen for longer is looked for anywhere; 0.5 covers a hand passing before it"`
	ShaftFrom     float64 `key:"shaft_from" unit:"mm" range:"20..400" help:"the shaft is looked for from this far above the sticker; 60 mm is clear of the head and of most necks"`
	ShaftTo       float64 `key:"shaft_to" unit:"mm" range:"100..800" help:"and up to this far above it; 420 mm ends below the hands of a grown player, a child's shaft is followed as far as it is seen"`
	ShaftWidth    float64 `key:"shaft_width" unit:"mm" range:"4..30" help:"width of the shaft; 11 mm is usual (common practice, no source)"`
	ShaftContrast float64 `key:"shaft_contrast" unit:"levels" range:"2..100" help:"least brightness difference of the shaft to either side; 5 is three times the noise after averaging along the shaft"`
}

// AutoFolder stands for the folder of the user's cache in which the set-up
// installs the model.
const AutoFolder = "auto"

// DefaultOptions returns the settings of a player without bands.
func DefaultOptions() Options {
	return Options{
		LeadElbow: None, TrailElbow: None, LeadWrist: None, TrailWrist: None, Shoulders: None, Cap: None,
		Model: "auto", ModelFolder: AutoFolder,
		HueTolerance: 16, MinChroma: 42, MaxGap: 0.5,
		ShaftFrom: 60, ShaftTo: 420, ShaftWidth: 11, ShaftContrast: 5,
	}
}

// worn is one colour and the places that wear it; two places are the lead and
// the trail one of a pair.
type worn struct {
	colour string
	places []string
}

func (o Options) pairs() []struct{ key, colour, place string } {
	return []struct{ key, colour, place string }{
		{"lead_elbow", o.LeadElbow, track.LeadElbow}, {"trail_elbow", o.TrailElbow, track.TrailElbow},
		{"lead_wrist", o.LeadWrist, track.LeadWrist}, {"trail_wrist", o.TrailWrist, track.TrailWrist},
		{"shoulders", o.Shoulders, track.LeadShoulder}, {"shoulders", o.Shoulders, track.TrailShoulder},
		{"cap", o.Cap, track.Cap},
	}
}

// worn lists the colours in use.
func (o Options) worn() []worn {
	var out []worn
next:
	for _, p := range o.pairs() {
		if p.colour == None || p.colour == "" {
			continue
		}
		for i := range out {
			if out[i].colour == p.colour {
				out[i].places = append(out[i].places, p.place)
				continue next
			}
		}
		out = append(out, worn{p.colour, []string{p.place}})
	}
	return out
}

// Validate returns the first setting that cannot work. One colour may only be
// worn by the two sides of one joint, since place alone does not tell an elbow
// from a wrist.
func (o Options) Validate() error {
	for _, p := range o.pairs() {
		if _, ok := marker.Hue(p.colour); !ok && p.colour != None {
			return fmt.Errorf("%s: must be none or one of %s (got %q)", p.key, strings.Join(marker.ColourNames(), ", "), p.colour)
		}
	}
	for _, w := range o.worn() {
		for _, place := range w.places[1:] {
			if len(w.places) > 2 || joint(place) != joint(w.places[0]) {
				return fmt.Errorf("%s: %q is also the colour of the %s: give them different colours", joint(place), w.colour, spoken(w.places[0]))
			}
		}
	}
	if o.Model != "auto" && o.Model != "off" {
		return fmt.Errorf("model: must be auto or off (got %q)", o.Model)
	}
	if o.ShaftTo <= o.ShaftFrom {
		return fmt.Errorf("shaft_to: must be above shaft_from, %g (got %g)", o.ShaftFrom, o.ShaftTo)
	}
	return track.CheckRanges(o)
}

// joint is a place without its side.
func joint(place string) string {
	_, after, ok := strings.Cut(place, "_")
	if !ok {
		return place
	}
	return after
}

func spoken(place string) string { return strings.ReplaceAll(place, "_", " ") }
