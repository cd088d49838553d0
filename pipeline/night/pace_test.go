package night

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
)

// TestTimeLeft measures three hundred clips of lengths that vary fivefold, on two
// lanes, in time that only passes while something is measured or drawn: once
// with reels that keep up with the clips, once with reels that do not.
func TestTimeLeft(t *testing.T) {
	for name, reel := range map[string]float64{"clips decide": 10, "reels decide": 90} {
		t.Run(name, func(t *testing.T) { timeLeft(t, reel) })
	}
}

// timeLeft carries out a night whose reels take some seconds each.
func timeLeft(t *testing.T, reel float64) {
	synctest.Test(t, func(t *testing.T) {
		const clips, perLesson = 300, 10
		dice := rand.New(rand.NewPCG(3, 0))
		b := newBox(t)
		for k := range clips {
			role := []string{"before", "after"}[k%2]
			b.put(fmt.Sprintf("S-%03d/%s %d.mp4", k/perLesson, role, k), good+"\n"+strings.Repeat("x", 200+dice.IntN(800)))
		}
		j := b.job()
		j.Settings.Night.Lanes = 2
		j.measure = func(_ context.Context, c pipeline.Reading, dir string, _ settings.Settings) (outcome, error) {
			st, err := os.Stat(c.File)
			if err != nil {
				return outcome{}, err
			}
			// A clip takes about as long as it is large, and some for no reason longer.
			time.Sleep(time.Duration(float64(st.Size()) * (0.7 + 0.6*dice.Float64()) * float64(10*time.Millisecond)))
			return readInstead(c.File, dir)
		}
		j.Reel = func(_ context.Context, l Lesson, out string) error {
			time.Sleep(time.Duration(reel * (0.8 + 0.4*dice.Float64()) * float64(time.Second)))
			return listInstead(l, out)
		}
		type guess struct {
			at   time.Time
			left time.Duration
		}
		guesses := map[int]guess{}
		j.Told = func(e Event) {
			if e.Clip != "" && e.About() != "" {
				guesses[e.Done] = guess{time.Now(), e.Left}
			}
		}
		m, err := Run(context.Background(), j)
		must(t, err)
		end := time.Now()
		if m.Done() != clips/perLesson {
			t.Fatalf("the night ended with %s", states(m))
		}
		for _, done := range []int{clips / 5, clips / 2, clips * 9 / 10} {
			g, ok := guesses[done]
			if !ok {
				t.Fatalf("after %d clips no time left was told", done)
			}
			off := g.left.Seconds()/end.Sub(g.at).Seconds() - 1
			t.Logf("after %d of %d clips: %v left, off by %+.1f %%", done, clips, g.left.Round(time.Second), 100*off)
			if math.Abs(off) > 0.25 {
				t.Errorf("after %d clips the time left is off by %.0f %%", done, 100*off)
			}
		}
	})
}

// TestManyDone lets a night find three hundred clips done.
func TestManyDone(t *testing.T) {
	b := newBox(t)
	for k := range 100 {
		b.lesson(fmt.Sprintf("S-%03d", k))
		b.put(fmt.Sprintf("S-%03d/after 2.mp4", k), good)
	}
	b.run()
	began := time.Now()
	m := b.run()
	took := time.Since(began)
	if strings.Count(states(m), "unchanged") != 100 || len(b.measured) > 0 {
		t.Fatalf("the second night ended with %s", states(m))
	}
	t.Logf("%v for 300 clips", took)
	if took > 6*time.Second {
		t.Errorf("a night over 300 clips that are done takes %v", took)
	}
	if left, err := filepath.Glob(filepath.Join(b.out, workDir, "clips", "*")); err != nil || len(left) != 300 {
		t.Errorf("results of %d clips are kept, %v", len(left), err)
	}
}
