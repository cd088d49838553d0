package pipeline

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
)

// kept is a Memory in JSON, as files keep it.
type kept struct {
	entries map[string][]byte
	missed  int
}

func (k *kept) Recall(name string, v any) bool {
	data, ok := k.entries[name]
	if !ok {
		k.missed++
		return false
	}
	return json.Unmarshal(data, v) == nil
}

func (k *kept) Keep(name string, v any) (err error) {
	k.entries[name], err = json.Marshal(v)
	return err
}

// repeats checks that a clip measured again gives the same bytes, with a memory
// of what was seen in it and without; and that a change of settings that reading
// does not follow reads nothing.
func repeats(t *testing.T, first *Result, file string) {
	t.Helper()
	memory := &kept{entries: map[string][]byte{}}
	measure := func(s settings.Settings, m Memory) *Result {
		t.Helper()
		r, err := Reading{File: file, SHA256: first.Report.Clip.SHA256, Memory: m}.Measure(context.Background(), s)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	s := settings.Default()
	same(t, "measured with an empty memory", measure(s, memory), first)
	if memory.missed != 3 {
		t.Errorf("%d things were looked for in the empty memory, want frames, sound and the closer look", memory.missed)
	}
	same(t, "remembered", measure(s, memory), first)

	s.Track.Phase.HoldDistance = 3 * s.Track.Phase.HoldDistance
	memory.missed = 0
	changed := measure(s, memory)
	if memory.missed != 0 {
		t.Errorf("%d things were read again for a setting of the events", memory.missed)
	}
	same(t, "with another setting, remembered", changed, measure(s, nil))
	if *changed.Report.Strokes[0].Events["hold_end"].TS == *first.Report.Strokes[0].Events["hold_end"].TS {
		t.Error("a hold that may be left three times as far ends as early")
	}
	s.Track.Marker.MinChroma--
	if measure(s, memory); memory.missed == 0 {
		t.Error("a setting of the sticker was changed and the frames not read again")
	}
}

// same compares reports, tracks and paths to the last digit.
func same(t *testing.T, what string, got, want *Result) {
	t.Helper()
	text := func(r *Result) []byte {
		report, err := r.Report.Marshal()
		if err != nil {
			t.Fatal(err)
		}
		b := bytes.NewBuffer(report)
		if err := lesson.WriteTracks(b, append(r.Observed, r.Smooth...)); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	if !bytes.Equal(text(got), text(want)) {
		t.Errorf("%s: the report or its tracks differ", what)
	}
}
