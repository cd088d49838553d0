package reel

import (
	"bytes"
	"testing"
)

func FuzzReadPlan(f *testing.F) {
	whole := Plan{Schema: Schema, Shape: Wide, Width: 1920, Height: 1080, Rate: 60, Frames: 90,
		Sources:  []Source{{Role: "before", File: "a.mp4", Stroke: -1}},
		Segments: []Segment{{Kind: "stroke", Frames: 90, Panes: []Pane{{Runs: []Run{{Frames: 90, Speed: 1}}}}, Page: &Page{Title: "S-014"}}},
		Stills:   []Still{{Name: "before-top", Frame: 12}}}
	data, err := whole.Marshal()
	if err != nil {
		f.Fatal(err)
	}
	if got, err := ReadPlan(data); err != nil || got.Segments[0].Page.Title != "S-014" {
		f.Fatalf("a whole plan gives %+v, %v", got, err)
	}
	f.Add(data)
	f.Add(data[:len(data)/2])
	f.Add([]byte(`{"schema": "` + Schema + `", "rate": 1e99}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ReadPlan(data)
		if err != nil {
			return
		}
		again, err := p.Marshal()
		if err != nil {
			t.Fatalf("a plan that was taken cannot be written: %v", err)
		}
		q, err := ReadPlan(again)
		if err != nil {
			t.Fatalf("a plan that was written is not taken: %v", err)
		}
		if third, err := q.Marshal(); err != nil || !bytes.Equal(again, third) {
			t.Errorf("read again and written it is\n%s\nnot\n%s (%v)", third, again, err)
		}
	})
}
