package pipeline

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
	"strokereel/track"
	"strokereel/track/body"
	"strokereel/track/sound"
)

// Memory keeps what reading a clip gave, by name, so that another measuring
// with settings that do not touch the reading need not read again. What it gives
// back is exactly what was kept.
type Memory interface {
	// Recall fills in what was kept under a name and reports whether there was
	// anything.
	Recall(name string, v any) bool
	Keep(name string, v any) error
}

// recalled returns what the memory has under a name; else it is found and kept.
// Without a memory it is only found.
func recalled[T any](m Memory, name func() string, find func() (T, error)) (T, error) {
	if m == nil {
		return find()
	}
	var v T
	key := name()
	if m.Recall(key, &v) {
		return v, nil
	}
	v, err := find()
	if err != nil {
		return v, err
	}
	return v, m.Keep(key, v)
}

// Fingerprint is a short name for values whose Go form says all about them.
func Fingerprint(parts ...any) string {
	h := sha256.New()
	for _, p := range parts {
		fmt.Fprintf(h, "%#v\n", p)
	}
	return hex.EncodeToString(h.Sum(nil))[:24]
}

// ResultKey is the fingerprint of all that a clip's report follows from: its
// bytes, its name as the report shows it, the settings and the program.
func ResultKey(sha256, name string, s settings.Settings) string {
	return Fingerprint(ProgramKey(s), sha256, name, s.Fingerprint(settings.Measuring()...))
}

// ProgramKey is the fingerprint of what measures: the versions of the steps, and
// whether the body model is installed.
func ProgramKey(s settings.Settings) string {
	return Fingerprint(Version, TrackVersion, MeasureVersion, body.Installed(modelFolder(s.Track.Body)))
}

// Reading is a clip's file with what is known of it beside its pictures and sound.
type Reading struct {
	File     string
	SHA256   string // of the file, found out when it is ""; must be given with a memory
	Memory   Memory // nil when nothing is remembered
	Fix      sheet.Correction
	Sound    Delay // as other clips of the device tell it
	Progress func(float64)
	Listen   track.Listener // hears of every look for stickers and balls; nil when nobody asks
}

// seen returns what the first reading of the frames finds.
func (c Reading) seen(ctx context.Context, s settings.Settings) (*seen, error) {
	w, err := recalled(c.Memory, func() string {
		return "seen-" + Fingerprint(Version, TrackVersion, c.SHA256, s.Sheet.HasRod(),
			s.Fingerprint("clip", "track.marker", "track.ball", "track.body", "track.steady", "night.cards"))
	}, func() (*seen, error) {
		w, err := follow(ctx, c.File, s, c.Progress, c.Listen)
		if err == nil && w.moved(s) {
			err = w.afterCard(ctx, c.File, s)
		}
		return w, err
	})
	if err == nil {
		w.Info.Path = c.File // the same bytes may have moved
	}
	return w, err
}

// clicks are the clicks in a clip's sound; silent when it has none.
type clicks struct {
	Found  []sound.Click
	Silent bool
}

func (c Reading) clicks(ctx context.Context, s settings.Settings) (clicks, error) {
	return recalled(c.Memory, func() string {
		return "clicks-" + Fingerprint(Version, TrackVersion, c.SHA256, s.Fingerprint("clip", "track.sound"))
	}, func() (clicks, error) {
		samples, err := clip.Sound(ctx, c.File, s.Clip)
		if errors.Is(err, clip.ErrNoSound) {
			return clicks{Silent: true}, nil
		}
		if err != nil {
			return clicks{}, err
		}
		found, err := sound.Clicks(samples, s.Track.Sound)
		return clicks{Found: found}, err
	})
}

// closer is what the second reading finds: two points of the shaft, where its line crosses
// the sticker's row and, with the body model, the joints; where there is one or a sticker
// on the cap, two points of the head's picture.
type closer struct {
	Shaft, Joints []track.Track
	Beside        track.Track
	Exposure      float64 // s, of a frame; 0 when the shaft does not tell
}

// look is all that the second reading goes by.
type look struct {
	spans    []span
	strokes  []span    // in which the shaft's line is looked for in every frame
	starts   []float64 // s, of the strokes
	sticker  track.Track
	interval float64 // s, from frame to frame
	pxPerM   float64
	leftward bool   // the target is at the picture's left
	faces    []span // in which the head's picture is followed, from address on
	cap      track.Track
}

// key names a look's result.
func (l look) key(c Reading, s settings.Settings) string {
	return "closer-" + Fingerprint(Version, TrackVersion, c.SHA256, s.Fingerprint("clip", "track.body"),
		body.Installed(modelFolder(s.Track.Body)), l.spans, l.strokes, l.starts, l.sticker, math.Float64bits(l.interval), math.Float64bits(l.pxPerM), l.leftward, l.faces, l.cap)
}
