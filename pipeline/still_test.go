package pipeline

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/slate"
)

// TestCardIsNoMovingCamera films a card that is taken away before a wall.
func TestCardIsNoMovingCamera(t *testing.T) {
	dir := t.TempDir()
	card, file := filepath.Join(dir, "card.png"), filepath.Join(dir, "clip.mp4")
	out, err := os.Create(card)
	if err != nil {
		t.Fatal(err)
	}
	if err := (slate.Slate{Student: "S-014"}).PNG(out, "a5", 1); err != nil {
		t.Fatal(err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	// The wall is bare: but for the card there is nothing to go by.
	args := []string{"-v", "error", "-f", "lavfi", "-i", "color=gray:s=1280x720:r=30:d=4",
		"-i", card, "-filter_complex", "[1]scale=-1:420[c];[0][c]overlay=x='40+max(0,t-1)*12':y='150+max(0,t-1)*100+max(0,t-1.6)*1200':shortest=0,format=yuv420p",
		"-c:v", "libx264", "-preset", "veryfast", "-t", "4", file}
	if text, err := exec.Command("ffmpeg", args...).CombinedOutput(); err != nil {
		t.Fatalf("ffmpeg: %v: %s", err, text)
	}
	for _, c := range []struct {
		cards float64 // s, in which cards are looked for
		want  bool
	}{{0, true}, {2.5, false}} {
		s := settings.Default()
		s.Night.Cards = c.cards
		r, err := Measure(context.Background(), file, s, nil)
		if err != nil {
			t.Fatal(err)
		}
		warned := slices.ContainsFunc(r.Report.Warnings, func(w lesson.Warning) bool { return w.Code == "camera_moved" })
		if warned != c.want {
			t.Errorf("cards looked for within %g s: warned of a moved camera %v, shake %v px", c.cards, warned, *r.Report.Camera.ShakePx.Value)
		}
	}
}
