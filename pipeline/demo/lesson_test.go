package demo

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The two strokes tell the lesson's story, and both are the same putt of about three
// metres.
func TestLessonTellsItsStory(t *testing.T) {
	loose, held, err := lessonSpecs()
	if err != nil {
		t.Fatal(err)
	}
	truth := map[string]StrokeTruth{}
	for name, s := range map[string]Spec{"before": loose, "after": held} {
		sc, err := newScene(s)
		if err != nil {
			t.Fatal(err)
		}
		truth[name] = sc.strokeTruth(0)
		far, _ := newRoll(s.Ball, sc.speedBefore(sc.motion.swings[0].contact), 20).at(20)
		within(t, name+" rolls", far, 2.6, 4)
	}
	value := func(clip, measure string) float64 { return truth[clip].Measures[measure].Value }
	within(t, "the same putt", value("after", "ball_speed")/value("before", "ball_speed"), 0.997, 1.003)
	within(t, "shorter backstroke", value("before", "backstroke_length")-value("after", "backstroke_length"), 0.08, 0.3)
	within(t, "wrist before", value("before", "lead_wrist_finish"), 25, 50)
	within(t, "wrist after", value("after", "lead_wrist_finish"), -6, 6)
	within(t, "elbows before", value("before", "elbow_spread_finish"), 1.12, 1.25)
	within(t, "look-up after impact, before", value("before", "look_up_after_impact"), -0.2, 0.2)
	within(t, "look-up after impact, after", value("after", "look_up_after_impact"), 1, 3)
	within(t, "recoil before", value("before", "recoil"), 0.07, 0.09)
	within(t, "recoil after", value("after", "recoil"), 0, 0.003)
	if !truth["after"].HoldOpen || truth["before"].HoldOpen {
		t.Error("the after clip is held to its end, the before clip is not")
	}
}

func TestSheet(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lesson.yaml")
	s := closeUp(t, 1)
	if err := writeSheet(path, s); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"student: S-014", "putt_distance_m: 3\n", "wanted_distances_m: [2, 4, 6]\n", "sticker_colour: magenta", "before.mp4: before", "after.mp4: after"} {
		if !strings.Contains(string(b), want) {
			t.Errorf("%q is missing in the sheet:\n%s", want, b)
		}
	}
}
