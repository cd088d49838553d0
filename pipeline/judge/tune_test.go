package judge

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"strokereel/pipeline/runs"
)

// tuning judges profiles, each a change of the clips as they were given.
func tuning(t *testing.T, changes ...func(k int, f *film)) *Tuning {
	t.Helper()
	dir := t.TempDir()
	var all []*runs.Run
	for i, c := range changes {
		name := "given"
		if i > 0 {
			name = fmt.Sprintf("profile-%d", i)
		}
		all = append(all, write(t, dir, name, lessonClips(c)))
	}
	got, err := Tune(context.Background(), all, marks())
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func late(by float64) func(k int, f *film) { return func(_ int, f *film) { f.stop += by } }

func TestTuneFindsItsWayBack(t *testing.T) {
	got := tuning(t, late(0.025), late(0.040), late(0), late(0.015))
	if !got.Better() || got.Best != 2 || !strings.HasPrefix(got.Verdict(), "profile-2 is better than given") {
		t.Errorf("best %d: %s", got.Best, got.Verdict())
	}
	for k, p := range got.Chosen {
		if p != 2 {
			t.Errorf("on clip %d profile %d was judged", k, p)
		}
	}
	var b bytes.Buffer
	got.Print(&b)
	if err := got.WritePage(&b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"4 profiles on 10 clips", "profile-2 is better than given", "<svg", "S-009/before.mp4"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing", want)
		}
	}
}

// Each profile helps one clip a lot and harms none: the best of them over all
// clips is the best by luck, since on the clip that it was not chosen by it is no
// better.
func TestGainByLuckIsNoGain(t *testing.T) {
	changes := []func(int, *film){late(0.010)}
	for lucky := range 10 {
		changes = append(changes, func(k int, f *film) {
			f.stop += 0.010
			if k == lucky {
				f.stop -= 0.009
			}
		})
	}
	got := tuning(t, changes...)
	if got.Better() || got.Best == 0 || !strings.HasPrefix(got.Verdict(), "no better than given: the gain") {
		t.Errorf("best %d: %s", got.Best, got.Verdict())
	}
}

func TestDefaultThatIsBestStays(t *testing.T) {
	if got := tuning(t, late(0), late(0), late(0.02)); got.Best != 0 || got.Verdict() != "no profile is better than given" {
		t.Errorf("best %d: %s", got.Best, got.Verdict())
	}
}
