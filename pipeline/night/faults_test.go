package night

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline/clip/cliptest"
)

// TestFaultyClips lets a night meet a clip of every known fault, beside a good
// one: each gets a result or a refusal with its code and what to do.
func TestFaultyClips(t *testing.T) {
	if testing.Short() {
		return
	}
	b := newBox(t)
	b.put("faults/notes.txt", "makes the folder")
	all, err := cliptest.Make(filepath.Join(b.in, "faults"))
	must(t, err)
	j := b.job()
	j.measure, j.Reel = nil, nil
	j.Settings.Night.Lanes, j.Settings.Night.Cards, j.Settings.Night.ClipTime = 2, 0, 20
	began := time.Now()
	m, err := Run(context.Background(), j)
	must(t, err)
	if took := time.Since(began); took > 30*time.Second*time.Duration(len(all)) {
		t.Errorf("%d clips took %v", len(all), took)
	}
	if len(m.Lessons) != 1 || m.Lessons[0].Result == nil {
		t.Fatalf("the night ended with %s", states(m))
	}
	l := m.Lessons[0]
	got, asked := map[string]ResultClip{}, map[string]Need{}
	for _, c := range l.Result.Clips {
		got[c.Name] = c
	}
	for _, n := range l.Needs {
		if n.Clip != "" {
			asked[n.Clip] = n
		}
	}
	notes := strings.Join(l.Notes, " ")
	for _, f := range all {
		c, there := got[f.File]
		n := asked[f.File]
		switch {
		case !there:
			// A side file is hidden, a folder is no clip, and the same film counts once.
			if !strings.HasPrefix(f.File, "._") && !strings.Contains(notes, plain(f.File)) {
				t.Errorf("%s: nothing is said of it", f.Name)
			}
		case f.Refused != "":
			if c.State != refused || c.Code != f.Refused || n.Code != f.Refused || n.What == "" || n.Do == "" {
				t.Errorf("%s: %+v, %+v; want it refused as %s", f.Name, c, n, f.Refused)
			}
		case f.Frames == 1:
			if c.State != refused || n.Do == "" {
				t.Errorf("%s: %+v, %+v", f.Name, c, n)
			}
		case c.State == refused || c.State == gaveUp || len(c.Reasons) == 0:
			t.Errorf("%s: %+v", f.Name, c)
		}
	}
	if c := got[cliptest.Control().File]; c.State == "" && !strings.Contains(notes, cliptest.Control().File) {
		t.Error("the good clip has no result")
	}
}
