package runs

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
)

// gridOf is the environment variable by which a test starts its own program again
// as the process to be killed: the folder of the studio.
const gridOf = "STROKEREEL_TEST_GRID"

func TestMain(m *testing.M) {
	if dir := os.Getenv(gridOf); dir != "" {
		if err := measureGrid(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// measureGrid measures four profiles slowly, and notes each measuring as it begins
// and as it ends.
func measureGrid(dir string) error {
	clips, err := Find(filepath.Join(dir, "clips"))
	if err != nil {
		return err
	}
	axis, err := ParseAxis("track.phase.stop_distance=2.5,3,3.5")
	if err != nil {
		return err
	}
	profiles, _, err := Grid(Profile{Name: "default", Base: settings.Default()}, []Axis{axis})
	if err != nil {
		return err
	}
	log, err := os.OpenFile(filepath.Join(dir, "log"), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	defer log.Close()
	_, err = Measure(context.Background(), Job{Dir: filepath.Join(dir, "tune"), Clips: clips, Profiles: profiles, Lanes: 2,
		measure: func(c pipeline.Reading, _ context.Context, s settings.Settings) (*pipeline.Result, error) {
			what := filepath.Base(c.File) + " " + s.Text("track.phase.stop_distance")
			fmt.Fprintln(log, "begin", what)
			if err := c.Memory.Keep("seen-"+c.SHA256, what); err != nil {
				return nil, err
			}
			time.Sleep(4 * time.Millisecond)
			fmt.Fprintln(log, "end", what)
			return &pipeline.Result{Report: lesson.Report{Schema: lesson.ReportSchema, Strokes: []lesson.Stroke{}}}, nil
		}})
	return err
}

// TestKilledGridGoesOnWithoutRepeating kills the process again and again, until it
// is done: what it had finished is never measured again, and nothing half is left.
func TestKilledGridGoesOnWithoutRepeating(t *testing.T) {
	if testing.Short() {
		return
	}
	s := newStudio(t, "a.mp4", "b.mp4", "c.mp4", "d.mp4", "e.mp4")
	log := filepath.Join(s.dir, "log")
	kills := 0
	// Each process is killed after a few lines more, at another place of a measuring.
	for alive := true; alive; kills++ {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), gridOf+"="+s.dir)
		cmd.Stderr = os.Stderr
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		enough := size(log) + int64(40*(2+kills%4))
		done := make(chan error, 1)
		go func() { done <- cmd.Wait() }()
		for alive && size(log) < enough {
			select {
			case err := <-done:
				if err != nil {
					t.Fatal(err)
				}
				alive = false
			case <-time.After(time.Millisecond):
			}
		}
		if alive {
			cmd.Process.Kill()
			<-done
		}
		if kills > 100 {
			t.Fatal("it does not get on")
		}
	}
	data, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	begun, ended := map[string]int{}, map[string]int{}
	for line := range strings.Lines(string(data)) {
		word, what, _ := strings.Cut(strings.TrimSpace(line), " ")
		if word == "begin" {
			begun[what]++
		} else {
			ended[what]++
		}
	}
	again := 0
	for what, n := range ended {
		again += n - 1
		if begun[what] < n {
			t.Errorf("%s ended more often than it began", what)
		}
	}
	// A kill may fall between the end of a measuring and its result: two lanes.
	if len(ended) != 20 || again > 2*kills {
		t.Errorf("%d of 20 measured, %d of them again after %d kills", len(ended), again, kills)
	}
	t.Logf("%d kills, %d measured again", kills, again)
	for _, profile := range []string{"default", "stop_distance=2.5", "stop_distance=3", "stop_distance=3.5"} {
		r, err := Open(filepath.Join(s.dir, "tune"), profile)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range r.Clips {
			if _, _, err := r.Report(e); err != nil {
				t.Error(err)
			}
		}
		if left, err := filepath.Glob(filepath.Join(r.Dir, draftDir, "*")); err != nil || len(left) > 0 {
			t.Errorf("left behind: %v, %v", left, err)
		}
	}
}

func size(path string) int64 {
	st, err := os.Stat(path)
	if err != nil {
		return 0
	}
	return st.Size()
}

func TestGrid(t *testing.T) {
	p := Profile{Name: "default", Base: settings.Default(), Sets: []string{"track.phase.start_distance=3"}}
	axis := func(text string) Axis {
		t.Helper()
		a, err := ParseAxis(text)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	got, senseless, err := Grid(p, []Axis{axis("track.phase.stop_distance=2, 3,6,3"), axis("track.marker.colour=auto,blue")})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, g := range got {
		names = append(names, g.Name)
	}
	// As given is left out once, and a stop farther than the return makes no sense.
	want := "default|stop_distance=2 colour=blue|stop_distance=3 colour=auto|stop_distance=3 colour=blue"
	if strings.Join(names, "|") != want || len(senseless) != 2 || !strings.HasPrefix(senseless[0], "stop_distance=6 colour=auto: ") {
		t.Errorf("profiles %v, senseless %v", names, senseless)
	}
	if sets := got[3].Sets; strings.Join(sets, " ") != "track.phase.start_distance=3 track.phase.stop_distance=3 track.marker.colour=blue" {
		t.Errorf("sets %v", sets)
	}
	for _, text := range []string{"", "key", "=1", "key=", "key=,"} {
		if _, err := ParseAxis(text); err == nil {
			t.Errorf("%q is taken for an axis", text)
		}
	}
	if _, _, err := Grid(p, []Axis{axis("track.phase.stop_distance=2")}); err == nil {
		t.Error("a grid of nothing new is fine")
	}
	if _, _, err := Grid(p, []Axis{axis("track.gone=1")}); err == nil {
		t.Error("a setting that is not there is fine")
	}
}
