package demo

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
)

// Progress tells how far the making of a lesson is.
type Progress struct {
	Clip        string // file name
	Done, Total int    // frames
}

// The demo lesson: a student of a community club's winter putting clinic on the
// indoor green.
const (
	lessonStudent  = "S-014"
	lessonDate     = "2026-01-17"
	lessonDistance = 3.0 // m
	lessonGreen    = 9.0 // ft
	lessonCase     = "lesson"
)

// lessonSheet is the coach's sheet of the demo lesson.
const lessonSheet = `# The sheet of an invented lesson: club's indoor winter putting clinic.
student: %s
date: "%s"
handedness: right
putt_distance_m: %g
green_speed_ft: %g
wanted_distances_m: [2, 4, 6]
sticker_colour: %s
bands: {lead_elbow: yellow, trail_elbow: blue, lead_wrist: orange, trail_wrist: violet, shoulders: cyan, cap: red}
clips:
  before.mp4: before
  after.mp4: after
`

// Lesson makes the demo lesson in dir: before.mp4, a long loose stroke,
// after.mp4, a compact one that is held, the sheet lesson.yaml, and the truths
// in the folder truth. Clips that are already there are kept. Told may be nil.
func Lesson(ctx context.Context, dir string, told func(Progress)) error {
	if told == nil {
		told = func(Progress) {}
	}
	truths := filepath.Join(dir, "truth")
	if err := os.MkdirAll(truths, 0o755); err != nil {
		return fmt.Errorf("making the demo lesson: %w", err)
	}
	before, after, err := lessonSpecs()
	if err != nil {
		return fmt.Errorf("making the demo lesson: %w", err)
	}
	for _, c := range []struct {
		name string
		spec Spec
	}{{"before", before}, {"after", after}} {
		clip, truth := filepath.Join(dir, c.name+".mp4"), filepath.Join(truths, c.name+".truth.json")
		if isFile(clip) && isFile(truth) {
			continue
		}
		step := func(done, total int) { told(Progress{c.name + ".mp4", done, total}) }
		if err := render(ctx, c.spec, clip, truth, step); err != nil {
			return fmt.Errorf("making the demo lesson: %w", err)
		}
	}
	return writeSheet(filepath.Join(dir, "lesson.yaml"), before)
}

func writeSheet(path string, s Spec) error {
	text := fmt.Sprintf(lessonSheet, lessonStudent, lessonDate, lessonDistance, lessonGreen, s.Putter.StickerName)
	if err := os.WriteFile(path+".part", []byte(text), 0o644); err != nil {
		return fmt.Errorf("writing the sheet: %w", err)
	}
	return os.Rename(path+".part", path)
}

// lessonSpecs draws one room, player, club and camera, and two strokes that
// send the ball equally far.
func lessonSpecs() (before, after Spec, err error) {
	d := newDice(lessonCase, 1)
	s := draw(d, lessonCase, 2)
	s.Video.Noise, s.Video.Shutter, s.Video.ChromaLeft = 0.009, 1.0/500, true
	s.Ball.GreenSpeed, s.Ball.Ratio = lessonGreen, 1.55
	s.Putter.StickerName, s.Putter.StickerRGB = stickerColours[0].name, stickerColours[0].rgb
	s.Player.BandRGB = []rgb{bandColours[0], bandColours[1], bandColours[2], bandColours[3], bandColours[4], bandColours[5]}
	s.Player.LongSleeve, s.Player.Cap, s.Player.Bands, s.Player.Height = false, true, true, 1.76
	fitClub(d, &s)

	loose := s
	loose.Player.WristTop, loose.Player.WristFinish, loose.Player.ElbowFinish = -5, 38, 1.18
	loose.Player.HeadTurn, loose.Player.HeadTurnAt, loose.Player.HeadTurnIn, loose.Player.Sway = 34, 0.02, 0.35, 0.016
	loose.Strokes = []Stroke{lessonStroke(d, 1.42, func(st *Stroke) {
		st.Back, st.Through, st.BackTime = d.in(0.36, 0.42), d.in(0.48, 0.54), d.in(0.85, 0.98)
		st.Hold, st.Return, st.ReturnIn = 0.28, 0.085, 0.34
	})}
	if err := aim(d, &loose, framing{width: 1920, height: 1080, scaleLo: 500, scaleHi: 620}); err != nil {
		return Spec{}, Spec{}, err
	}
	if err := clipLength(d, &loose); err != nil {
		return Spec{}, Spec{}, err
	}

	held := s
	held.Camera, held.Seed = loose.Camera, 3
	held.Player.WristTop, held.Player.WristFinish, held.Player.ElbowFinish = -1, 3, 1.02
	held.Player.HeadTurn, held.Player.HeadTurnAt, held.Player.HeadTurnIn, held.Player.Sway = 30, 1.7, 0.5, 0.004
	held.Strokes = []Stroke{lessonStroke(d, 1.38, func(st *Stroke) {
		st.Back, st.Through, st.BackTime = d.in(0.22, 0.26), d.in(0.26, 0.31), d.in(0.64, 0.74)
		st.Hold, st.Drift, st.Return, st.ReturnIn = 6, 0.001, 0, 0.5
	})}
	if err := clipLength(d, &held); err != nil {
		return Spec{}, Spec{}, err
	}
	err = samePutt(&held, loose)
	return loose, held, err
}

// samePutt lets a stroke send the ball as another one does: what its slower head gives
// up, a better strike gives back.
func samePutt(s *Spec, as Spec) error {
	var speeds [2]float64
	for i, of := range []Spec{*s, as} {
		sc, err := newScene(of)
		if err != nil {
			return err
		}
		speeds[i] = of.Ball.Ratio * sc.speedBefore(sc.motion.swings[0].contact)
	}
	s.Ball.Ratio *= speeds[1] / speeds[0]
	return nil
}

// lessonStroke draws a stroke with an impact speed near the one asked, for the
// putt's distance.
func lessonStroke(d dice, speed float64, shape func(*Stroke)) Stroke {
	for {
		st := drawStroke(d, d.in(1.2, 1.4), func(st *Stroke) { st.Waggles, st.Pause = nil, 0; shape(st) })
		if v := newSwing(st, 0.006).before; v > speed-0.08 && v < speed+0.08 {
			return st
		}
	}
}
