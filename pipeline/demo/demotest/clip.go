// Package demotest draws short clips with known truth for tests.
package demotest

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"strokereel/pipeline/demo"
)

// CloseUp is a short stroke of a case, 800x352, of club and ball alone: 400 px/m
// and a sticker of 9 px.
func CloseUp(t *testing.T, name string) demo.Spec {
	t.Helper()
	s, err := demo.Case(name, 1)
	if err != nil {
		t.Fatal(err)
	}
	const distance, rise, yaw = 3.0, 0.8, 1.2
	s.Camera = demo.Camera{Width: 800, Height: 352, FocalMM: 56, Distance: distance, Rise: rise, Roll: 0.8, Yaw: yaw,
		Pitch: -math.Atan2(rise-0.12, distance) * 180 / math.Pi,
		Aside: 0.03 - distance*math.Tan(yaw*math.Pi/180)}
	s.Video.BitRate = 6e6
	s.Player.Present = false
	s.Duration = 0.6
	if len(s.Strokes) > 0 {
		st := &s.Strokes[0]
		st.Waggles, st.Onset, st.Pause = nil, 0.7, 0
		st.Back, st.BackTime, st.DownTime, st.Through = 0.25, 0.65, 0.30, 0.30
		st.Loss, st.Hold, st.Return, st.ReturnIn = 0.2, 0.3, 0.08, 0.3
		s.Duration = 3.2
	}
	return s
}

// Film renders a clip and returns it with its truth.
func Film(t *testing.T, s demo.Spec) (string, demo.Truth) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "clip.mp4")
	if err := demo.Render(context.Background(), s, file); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(demo.TruthPath(file))
	if err != nil {
		t.Fatal(err)
	}
	var truth demo.Truth
	if err := json.Unmarshal(data, &truth); err != nil {
		t.Fatal(err)
	}
	return file, truth
}
