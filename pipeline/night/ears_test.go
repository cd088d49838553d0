package night

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"strokereel/pipeline"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
)

// evenings are lessons of one phone, whose sound lags as its clips say.
type evenings struct {
	*box
	heard []string                  // clips that were read for their sound
	told  map[string]pipeline.Delay // what each clip was told of it
	lag   float64                   // s, of clips that are read now
}

func (e *evenings) run(t *testing.T) *Morning {
	t.Helper()
	e.measured, e.reels, e.heard, e.told = nil, nil, nil, map[string]pipeline.Delay{}
	m, err := Run(context.Background(), e.job())
	must(t, err)
	return m
}

func (e *evenings) job() Job {
	j := e.box.job()
	measure := j.measure
	j.measure = func(ctx context.Context, c pipeline.Reading, dir string, s settings.Settings) (outcome, error) {
		e.told[strings.TrimPrefix(c.File, e.in+"/")] = c.Sound
		told := e.ears()
		if strings.HasSuffix(c.File, "drill.mp4") {
			told = pipeline.Ears{}
		}
		must(e.t, c.Memory.Keep(earsOf(c, s), told))
		return measure(ctx, c, dir, s)
	}
	j.ears = func(c pipeline.Reading, _ context.Context, _ settings.Settings) (pipeline.Ears, error) {
		e.heard = append(e.heard, strings.TrimPrefix(c.File, e.in+"/"))
		if strings.HasSuffix(c.File, "drill.mp4") {
			return pipeline.Ears{}, &clip.Refusal{Code: clip.NotAClip}
		}
		return e.ears(), nil
	}
	return j
}

// ears are what every clip of these tells.
func (e *evenings) ears() pipeline.Ears {
	return pipeline.Ears{MPerPx: 0.002, Lags: []pipeline.Lag{{Seen: 2, U: 0.0005, Clicks: []pipeline.Click{{T: 2 + e.lag, U: 0.0002}}}}}
}

// TestListen lets the clips of an evening tell each other of the sound of their
// phone, and a late clip change what they are told.
func TestListen(t *testing.T) {
	e := &evenings{box: newBox(t), lag: 0.03}
	for k := range 4 {
		name := fmt.Sprintf("S-%d", k)
		e.lesson(name)
		e.put(name+"/lesson.yaml", "phone: club\ndate: 2026-01-17\n")
	}
	e.lesson("alone") // of another phone
	e.put("alone/lesson.yaml", "phone: mine\ndate: 2026-01-17\n")
	e.lesson("unknown")
	e.put("S-0/drill.mp4", unreadable)
	m := e.run(t)
	wantStates(t, m, "S-0=done+1 S-1=done S-2=done S-3=done alone=done unknown=done")
	for _, name := range []string{"S-0/before.mp4", "S-3/after.mp4"} {
		if d := e.told[name]; math.Abs(d.S-0.03) > 0.0002 || !d.Sure() {
			t.Errorf("%s was told %+v", name, d)
		}
	}
	for _, name := range []string{"alone/after.mp4", "unknown/after.mp4"} {
		if d := e.told[name]; d != (pipeline.Delay{}) {
			t.Errorf("%s was told %+v", name, d)
		}
	}
	if len(e.heard) != 11 { // two of each phone's lessons, and the drill
		t.Errorf("read for their sound: %v", e.heard)
	}

	m = e.run(t)
	wantStates(t, m, "S-0=unchanged+1 S-1=unchanged S-2=unchanged S-3=unchanged alone=unchanged unknown=unchanged")
	if len(e.heard) > 0 {
		t.Errorf("what is remembered was read again: %v", e.heard)
	}

	// A late clip that says the same changes nothing but its own lesson.
	e.put("S-2/after 2.mp4", good)
	m = e.run(t)
	wantStates(t, m, "S-0=unchanged+1 S-1=unchanged S-2=done S-3=unchanged alone=unchanged unknown=unchanged")
	wantMeasured(t, e.box, "after 2.mp4")

	// Many that say otherwise change all that depends on it, and --why says so.
	e.lag = 0.0312
	for k := range 6 {
		e.put(fmt.Sprintf("S-3/after %d.mp4", k+2), good)
	}
	why := func() (all []string) {
		t.Helper()
		reasons, err := Why(context.Background(), e.job())
		must(t, err)
		for _, r := range reasons {
			all = append(all, r.String())
		}
		return all
	}
	if got := why(); !strings.Contains(got[0], "may change that") || strings.Contains(got[4], "may change that") {
		t.Errorf("before the new clips are read: %v", got)
	}
	m = e.run(t)
	wantStates(t, m, "S-0=done+1 S-1=done S-2=done S-3=done alone=unchanged unknown=unchanged")
	if d := e.told["S-1/before.mp4"]; d.S <= 0.0301 || !d.Sure() {
		t.Errorf("S-1/before.mp4 was told %+v", d)
	}
	must(t, e.job().Settings.Validate())
	e.put("S-3/corrections.yaml", "clips: {after.mp4: {unusable: true}, after 2.mp4: {unusable: true}, after 3.mp4: {unusable: true}, after 4.mp4: {unusable: true}, after 5.mp4: {unusable: true}, after 6.mp4: {unusable: true}}\n")
	if got := why(); !strings.Contains(got[1], "S-1 is made: ") || !strings.Contains(got[1], "what other clips of the phone tell of the sound in before.mp4 changed") {
		t.Errorf("after they were put aside: %v", got)
	}
}
