package settings

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/practice"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/site"
	"strokereel/track/ball"
	"strokereel/track/body"
	"strokereel/track/cast"
	"strokereel/track/marker"
	"strokereel/track/measure"
	"strokereel/track/path"
	"strokereel/track/phase"
	"strokereel/track/roll"
	"strokereel/track/sound"
	"strokereel/track/steady"
)

// Settings are the settings of the whole product.
type Settings struct {
	Clip     clip.Options     `key:"clip" help:"which clips are read"`
	Sheet    Sheet            `key:"sheet" help:"what is known of a clip that has no sheet"`
	Track    Track            `key:"track" help:"how pictures and sound are measured"`
	Reel     reel.Options     `key:"reel" help:"length, speed and coding of the film"`
	Practice practice.Options `key:"practice" help:"the sheet of drills beside the film"`
	Site     site.Options     `key:"site" help:"the look of the pages that students open"`
	Night    Night            `key:"night" help:"what a night may use"`
}

// Track are the settings of the packages that measure.
type Track struct {
	Marker  marker.Options  `key:"marker" help:"finding the coloured sticker"`
	Ball    ball.Options    `key:"ball" help:"finding the ball"`
	Body    body.Options    `key:"body" help:"bands on arms and cap, and the shaft"`
	Steady  steady.Options  `key:"steady" help:"whether the camera stood still"`
	Sound   sound.Options   `key:"sound" help:"finding the click of the struck ball"`
	Cast    cast.Options    `key:"cast" help:"which spot is the putter, which ball was struck"`
	Path    path.Options    `key:"path" help:"from single positions to one path with speeds"`
	Phase   phase.Options   `key:"phase" help:"the events of a stroke; those that define an event change what is measured"`
	Measure measure.Options `key:"measure" help:"what is known beforehand of balls, stickers and cameras"`
	Roll    roll.Options    `key:"roll" help:"rolls, greens and stroke budgets: disputed numbers with both their ends"`
}

// Default returns every package's defaults.
func Default() Settings {
	return Settings{
		Clip:  clip.DefaultOptions(),
		Sheet: DefaultSheet(),
		Track: Track{
			Marker:  marker.DefaultOptions(),
			Ball:    ball.DefaultOptions(),
			Body:    body.DefaultOptions(),
			Steady:  steady.DefaultOptions(),
			Sound:   sound.DefaultOptions(),
			Cast:    cast.DefaultOptions(),
			Path:    path.DefaultOptions(),
			Phase:   phase.DefaultOptions(),
			Measure: measure.DefaultOptions(),
			Roll:    roll.DefaultOptions(),
		},
		Reel:     reel.DefaultOptions(),
		Practice: practice.DefaultOptions(),
		Site:     site.DefaultOptions(),
		Night:    DefaultNight(),
	}
}

// Filming returns the reel's settings with those of the packages it reads clips
// and sound with.
func (s Settings) Filming() reel.Options {
	o := s.Reel
	o.Clip, o.Sound = s.Clip, s.Track.Sound
	return o
}

// Load returns the defaults, changed by the file (none when path is empty) and
// then by the sets, each of the form key=value, and checked.
func Load(path string, sets []string) (Settings, error) {
	s := Default()
	if path != "" {
		data, err := os.ReadFile(path)
		if err != nil {
			return Settings{}, fmt.Errorf("reading settings: %w", err)
		}
		if s, err = Parse(data); err != nil {
			return Settings{}, fmt.Errorf("settings %q: %w", path, err)
		}
	}
	if err := s.Apply(sets); err != nil {
		return Settings{}, err
	}
	if err := s.Validate(); err != nil {
		return Settings{}, fmt.Errorf("settings: %w", err)
	}
	return s, nil
}

// Apply changes settings by sets of the form key=value.
func (s *Settings) Apply(sets []string) error {
	for _, set := range sets {
		key, value, ok := strings.Cut(set, "=")
		if !ok {
			return fmt.Errorf("--set %q: write key=value", set)
		}
		if err := s.Set(strings.TrimSpace(key), strings.TrimSpace(value)); err != nil {
			return fmt.Errorf("--set: %w", err)
		}
	}
	return nil
}

// Set changes one setting by its dotted key.
func (s *Settings) Set(key, value string) error {
	f, err := find(fields(s), key)
	if err != nil {
		return err
	}
	return f.set(value)
}

// Text is the value of one setting as a file has it, "" for an unknown key.
func (s Settings) Text(key string) string {
	f, err := find(fields(&s), key)
	if err != nil {
		return ""
	}
	return f.text()
}

// Validate asks every package to check its settings, and names the first that
// makes no sense by its full key.
func (s Settings) Validate() error {
	for _, sec := range sections(&s) {
		checked, ok := sec.value.Interface().(interface{ Validate() error })
		if !ok {
			continue
		}
		if err := checked.Validate(); err != nil {
			if strings.HasPrefix(err.Error(), sec.key+".") {
				return err
			}
			return errors.New(sec.key + "." + err.Error())
		}
	}
	if _, err := s.Green(); err != nil {
		return fmt.Errorf("sheet.putt_slope: %w", err)
	}
	return nil
}

// Measuring names the sections that decide what is measured in a clip.
func Measuring() []string { return []string{"clip", "sheet", "track", "night.cards"} }

// Films names the sections that decide what a film looks like.
func Films() []string { return []string{"clip", "track.sound", "reel"} }

// Fingerprint is a short name for the values in some sections, or in all when
// none is named: equal settings have equal fingerprints whatever file they came
// from.
func (s Settings) Fingerprint(sections ...string) string {
	h := sha256.New()
	for _, f := range within(fields(&s), sections) {
		fmt.Fprintf(h, "%s=%s\n", f.key, f.text())
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}

// Changed lists the settings in some sections, or in all when none is named, that
// are not at their defaults; nil when all are.
func (s Settings) Changed(sections ...string) map[string]string {
	var out map[string]string
	defaults := Default()
	was := within(fields(&defaults), sections)
	for i, f := range within(fields(&s), sections) {
		if f.text() == was[i].text() {
			continue
		}
		if out == nil {
			out = map[string]string{}
		}
		out[f.key] = f.text()
	}
	return out
}

// within keeps the fields of some sections; of all when none is named.
func within(all []field, sections []string) []field {
	if len(sections) == 0 {
		return all
	}
	var out []field
	for _, f := range all {
		if slices.ContainsFunc(sections, func(section string) bool { return strings.HasPrefix(f.key, section+".") }) {
			out = append(out, f)
		}
	}
	return out
}

// Of returns the settings of which a report keeps the changes from the defaults
// and, to make sure, the fingerprint.
func Of(changed map[string]string, fingerprint string) (Settings, error) {
	s := Default()
	for _, key := range slices.Sorted(maps.Keys(changed)) {
		if err := s.Set(key, changed[key]); err != nil {
			return Settings{}, err
		}
	}
	if s.Fingerprint(Measuring()...) != fingerprint {
		return Settings{}, errors.New("its settings cannot be restored: defaults have changed since it was made")
	}
	return s, s.Validate()
}
