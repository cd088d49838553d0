package night

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
)

// nightOf is the environment variable by which a test starts its own program
// again as the process to be killed: inbox and outbox.
const nightOf = "STROKEREEL_TEST_NIGHT"

func TestMain(m *testing.M) {
	if dirs := os.Getenv(nightOf); dirs != "" {
		in, out, _ := strings.Cut(dirs, "|")
		if err := slowNight(in, out); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// slowNight takes its time over everything, so that a kill finds it at work.
func slowNight(in, out string) error {
	b := &box{in: in, out: out}
	j := b.job()
	j.Settings.Night.Lanes = 2
	j.measure = func(_ context.Context, c pipeline.Reading, dir string, _ settings.Settings) (outcome, error) {
		if err := slowly(filepath.Join(dir, "track.csv"), 8); err != nil {
			return outcome{}, err
		}
		return readInstead(c.File, dir)
	}
	j.Reel = func(_ context.Context, l Lesson, out string) error {
		if err := slowly(filepath.Join(out, "reel.vtt"), 8); err != nil {
			return err
		}
		return listInstead(l, out)
	}
	_, err := Run(context.Background(), j)
	return err
}

// slowly writes a file in pieces.
func slowly(path string, pieces int) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	for k := range pieces {
		if _, err := fmt.Fprintln(f, k); err != nil {
			return errors.Join(err, f.Close())
		}
		time.Sleep(time.Millisecond)
	}
	return f.Close()
}

// child starts the program of this test as the night to be killed.
func child(t *testing.T, b *box) *exec.Cmd {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), nightOf+"="+b.in+"|"+b.out)
	cmd.Stderr = os.Stderr
	must(t, cmd.Start())
	return cmd
}

// times are what differs between two runs that do the same.
var times = []string{workDir, pageFile, textFile, jsonFile, resultFile}

// TestKilled kills nights at random moments and lets the next one go on. What
// is visible at any time is complete, and in the end all is there, as from a
// night that nobody disturbed.
func TestKilled(t *testing.T) {
	const kills, seed = 40, 1
	dice := rand.New(rand.NewPCG(seed, 0))
	b := newBox(t)
	for k := range 3 {
		b.lesson(fmt.Sprintf("lesson %d", k))
	}
	originals := tree(t, b.in)
	quiet := &box{t: t, in: b.in, out: b.out + " undisturbed"}
	began := time.Now()
	must(t, child(t, quiet).Wait())
	whole := time.Since(began)
	want := tree(t, quiet.out, times...)

	for done, killed := 0, 0; killed < kills; {
		cmd := child(t, b)
		end := make(chan error, 1)
		go func() { end <- cmd.Wait() }()
		select {
		case <-time.After(time.Duration(dice.Float64() * float64(whole))):
			must(t, cmd.Process.Kill())
			<-end
			killed++
		case err := <-end:
			must(t, err)
			done++
			// Begin anew, or take one lesson away: a night after a night.
			if done%2 == 0 {
				must(t, os.RemoveAll(b.out))
			} else {
				must(t, os.RemoveAll(filepath.Join(b.out, "lesson 1")))
			}
		}
		visible(t, b, want)
	}
	must(t, child(t, b).Wait())
	wantStates(t, b.run(), "lesson 0=unchanged lesson 1=unchanged lesson 2=unchanged")
	if got := tree(t, b.out, times...); !maps.Equal(got, want) {
		t.Errorf("results\n%v\ndiffer from those of an undisturbed night\n%v", sorted(got), sorted(want))
	}
	if !maps.Equal(originals, tree(t, b.in)) {
		t.Error("the inbox has changed")
	}
	noTemporaries(t, b)
}

// visible checks that each lesson is as it should be or not there.
func visible(t *testing.T, b *box, want map[string]string) {
	t.Helper()
	places, err := filepath.Glob(filepath.Join(b.out, "lesson *"))
	must(t, err)
	for _, place := range places {
		for name, hash := range tree(t, place, times...) {
			if full := filepath.Base(place) + "/" + name; want[full] != hash {
				t.Fatalf("%s is visible and not as in an undisturbed night", full)
			}
		}
		var res Result
		if !readJSON(filepath.Join(place, resultFile), &res) || !res.Files.there(place) {
			t.Fatalf("%s is visible and not complete", place)
		}
	}
	if data, err := os.ReadFile(filepath.Join(b.out, jsonFile)); err == nil && !json.Valid(data) {
		t.Fatal("half a morning page is visible")
	}
}

// noTemporaries checks that nothing is left of what was being written.
func noTemporaries(t *testing.T, b *box) {
	t.Helper()
	for name := range tree(t, b.out) {
		if strings.Contains(name, ".writing-") || strings.HasPrefix(name, workDir) &&
			!strings.HasPrefix(name, workDir+"/clips/") && !strings.HasPrefix(name, workDir+"/readings/") && name != workDir+"/lock" && name != workDir+"/facts.json" {
			t.Errorf("%s is left", name)
		}
	}
	clips, err := os.ReadDir(filepath.Join(b.out, workDir, "clips"))
	if err != nil || len(clips) != 6 {
		t.Errorf("results of %d clips are kept, want 6 (%v)", len(clips), err)
	}
}

func TestSecondProcess(t *testing.T) {
	b := newBox(t)
	b.lesson("a")
	o, err := openOutbox(b.out)
	must(t, err)
	defer o.close()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), nightOf+"="+b.in+"|"+b.out)
	said, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || !strings.Contains(string(said), fmt.Sprintf("is in use by process %d on ", os.Getpid())) {
		t.Errorf("it ended with %v and said %q", err, said)
	}
	if _, err := os.Stat(filepath.Join(b.out, "a")); err == nil {
		t.Error("it worked on the outbox all the same")
	}
}

// TestReplacing breaks off a replacement after each of its steps.
func TestReplacing(t *testing.T) {
	step := func(t *testing.T, steps int) (b *box, place string) {
		b = newBox(t)
		b.lesson("a")
		b.run()
		place = filepath.Join(b.out, "a")
		must(t, os.WriteFile(filepath.Join(place, "coach's notes.txt"), []byte("keep"), 0o644))
		must(t, os.WriteFile(filepath.Join(place, "before-1", "mine.txt"), []byte("keep"), 0o644))
		o := &outbox{dir: b.out, work: filepath.Join(b.out, workDir)}
		if steps > 0 {
			must(t, os.Rename(place, filepath.Join(o.replaced(), "a")))
		}
		if steps > 1 {
			must(t, os.CopyFS(place, os.DirFS(filepath.Join(o.replaced(), "a"))))
			must(t, os.Remove(filepath.Join(place, "coach's notes.txt")))
			must(t, os.Remove(filepath.Join(place, "before-1", "mine.txt")))
		}
		return b, place
	}
	for _, c := range []struct {
		name  string
		steps int
	}{{"before", 0}, {"the earlier one has stepped aside", 1}, {"the new one has arrived", 2}} {
		t.Run(c.name, func(t *testing.T) {
			b, place := step(t, c.steps)
			wantStates(t, b.run(), "a=unchanged")
			b.put("a/after 2.mp4", good)
			wantStates(t, b.run(), "a=done")
			for _, name := range []string{"coach's notes.txt", "before-1/mine.txt"} {
				if data, err := os.ReadFile(filepath.Join(place, name)); err != nil || string(data) != "keep" {
					t.Errorf("%s is %q, %v", name, data, err)
				}
			}
			left, err := os.ReadDir(filepath.Join(b.out, workDir, "replaced"))
			if err != nil || len(left) > 0 {
				t.Errorf("left %v, %v", left, err)
			}
		})
	}
}
