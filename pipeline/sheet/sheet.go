package sheet

import (
	"errors"
	"fmt"
	"maps"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"strokereel/pipeline/settings"
	"strokereel/track/marker"
	"strokereel/track/roll"
)

// Names of the files in a lesson's folder.
const (
	SheetFile       = "lesson.yaml"
	CardFile        = "student.yaml"
	CorrectionsFile = "corrections.yaml"
)

// Role says what a clip is in its lesson.
type Role string

// Roles of clips.
const (
	Before    Role = "before"
	After     Role = "after"
	Reference Role = "reference" // somebody else's stroke, to look at
	Drill     Role = "drill"
	Practice  Role = "practice" // measured, in no reel
	Unusable  Role = "unusable" // left out
)

// Roles lists the roles in the order in which they are shown.
func Roles() []Role { return []Role{Before, After, Reference, Drill, Practice, Unusable} }

// Sheet is what the coach wrote down about a lesson. What is not given is "" or
// 0; no quantity here can be 0.
type Sheet struct {
	Student        string // code
	Coach          string // code of the one who taught
	Date           string // yyyy-mm-dd
	Handedness     string // right or left
	Phone          string // code of the phone that filmed, for clips that do not say it
	View           string // face-on, down-the-line or other
	StickerColour  string
	Bands          Bands
	Grip           string
	PuttDistance   float64         // m
	GreenSpeed     float64         // ft, on the level
	CameraDistance float64         // m
	Rod            []float64       // m, distances of a rod's bands from the picture's left
	CaptureRate    float64         // frames/s while filming, for slow motion that is not tagged
	Clips          map[string]Role // by name within the lesson's folder
	Reference      Consent         // of the player in the reference clips, to be shown to this student
	Green          Readings
	Rolled         map[string][]float64 // m, how far the balls of a clip's putts really rolled
	Wishes         Wishes
}

// Card is what is remembered of a student.
type Card struct {
	Student       string
	Handedness    string
	StickerColour string
	Bands         Bands
	Grip          string
	Age           Age
	Consents      map[Purpose]Consent
}

// ParseSheet reads a lesson.yaml.
func ParseSheet(data []byte) (Sheet, error) {
	var s Sheet
	err := parse(data, entries{
		"student":           code(&s.Student),
		"coach":             code(&s.Coach),
		"date":              date(&s.Date),
		"handedness":        word(&s.Handedness, "right", "left"),
		"phone":             code(&s.Phone),
		"view":              word(&s.View, "face-on", "down-the-line", "other"),
		"sticker_colour":    word(&s.StickerColour, marker.ColourNames()...),
		"bands":             bands(&s.Bands),
		"grip":              word(&s.Grip, settings.Grips()...),
		"putt_distance_m":   number(&s.PuttDistance, 0.1, 40),
		"green_speed_ft":    number(&s.GreenSpeed, 3, 20),
		"camera_distance_m": number(&s.CameraDistance, 1, 20),
		"rod_bands_m":       rod(&s.Rod),
		"capture_rate":      number(&s.CaptureRate, 1, 2000),
		"clips":             roles(&s.Clips),
		"reference_consent": func(n *yaml.Node) (err error) { s.Reference, err = consent(n); return err },

		"green_speed_up_ft":   number(&s.Green.Up, roll.LeastSpeed, roll.MostSpeed),
		"green_speed_down_ft": number(&s.Green.Down, roll.LeastSpeed, roll.MostSpeed),
		"putt_runs":           word(&s.Green.Runs, Level, Uphill, Downhill),
		"rolled_m":            rolled(&s.Rolled),

		"wanted_distances_m":     lengths(&s.Wishes.Distances),
		"wanted_through_to_back": number(&s.Wishes.ThroughToBack, 0.5, 4),
		"wanted_backstroke_m":    number(&s.Wishes.Backstroke, 0.05, 1),
	})
	if err == nil {
		err = s.Green.check(s.GreenSpeed)
	}
	return s, err
}

// ParseCard reads a student.yaml.
func ParseCard(data []byte) (Card, error) {
	var c Card
	return c, parse(data, entries{
		"student":        code(&c.Student),
		"handedness":     word(&c.Handedness, "right", "left"),
		"sticker_colour": word(&c.StickerColour, marker.ColourNames()...),
		"bands":          bands(&c.Bands),
		"grip":           word(&c.Grip, settings.Grips()...),
		"age":            word((*string)(&c.Age), string(Minor), string(Adult)),
		"consent":        consents(&c.Consents),
	})
}

// With returns the sheet with what it leaves open taken from the student's card.
func (s Sheet) With(c Card) (Sheet, error) {
	for _, f := range []struct {
		key  string
		own  *string
		card string
	}{
		{"student", &s.Student, c.Student},
		{"handedness", &s.Handedness, c.Handedness},
		{"sticker_colour", &s.StickerColour, c.StickerColour},
		{"grip", &s.Grip, c.Grip},
	} {
		switch {
		case *f.own == "":
			*f.own = f.card
		case f.key == "student" && f.card != "" && f.card != *f.own:
			return s, fmt.Errorf("the sheet is about %q, the card beside it about %q", *f.own, f.card)
		}
	}
	worn := Bands{}
	maps.Copy(worn, c.Bands)
	maps.Copy(worn, s.Bands)
	s.Bands = worn
	return s, nil
}

// CheckCode refuses what cannot be a club's code of a student or coach.
func CheckCode(v string) error {
	if len([]rune(v)) > 40 || strings.ContainsFunc(v, func(r rune) bool { return r < ' ' || r == 0x7f }) {
		return errors.New("must be a short code on one line such as S-014")
	}
	return nil
}

func code(to *string) setter { return text(to, CheckCode) }

// rod takes the two distances of a rod's three bands.
func rod(to *[]float64) setter {
	return func(n *yaml.Node) error {
		if n.Kind != yaml.SequenceNode || len(n.Content) != 2 {
			return fmt.Errorf("must be two distances in metres from the picture's left as [0.40, 0.35]")
		}
		for _, v := range n.Content {
			var d float64
			if err := number(&d, 0.05, 2)(v); err != nil {
				return err
			}
			*to = append(*to, d)
		}
		return nil
	}
}

func date(to *string) setter {
	return text(to, func(v string) error {
		if _, err := time.Parse(time.DateOnly, v); err != nil {
			return fmt.Errorf("must be a date as 2026-01-17 (got %q)", v)
		}
		return nil
	})
}

func role(to *Role) setter {
	return func(n *yaml.Node) error {
		var names []string
		for _, r := range Roles() {
			names = append(names, string(r))
		}
		var v string
		if err := word(&v, names...)(n); err != nil {
			return err
		}
		*to = Role(v)
		return nil
	}
}

func roles(to *map[string]Role) setter {
	return func(n *yaml.Node) error {
		*to = map[string]Role{}
		return each(n, func(clip string, value *yaml.Node) error {
			var r Role
			err := role(&r)(value)
			(*to)[clip] = r
			return err
		})
	}
}
