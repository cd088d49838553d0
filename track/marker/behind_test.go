package marker

import "testing"

// A patch that stands still behind its place until the next key frame is put to where
// that frame shows it, whether or not a key frame came between its motion and its
// stop.
func TestKeyFrameTellsWhereAPatchHadStopped(t *testing.T) {
	const play, next = 0.35, 80
	for _, stop := range []int{30, 58, 63} {
		truth := append(even(stop, 40, -0.2), repeat(40-0.2*float64(stop-1), 110-stop)...)
		keys := []int{0, 60, next}
		seen := played(truth, play, keys...)
		stood := max(stop, 61) + 2
		before := worst(seen, truth, stop-4, next)
		CatchUp(seen, keys)
		if w := worst(seen, truth, stood, len(truth)); w > 0.06 || before < 0.9*play {
			t.Errorf("stopped at frame %d: %.3f px off, up to %.3f before", stop, w, before)
		}
	}
}

// What moves on through a key frame, or comes back across it, did not lag there.
func TestMotionAcrossAKeyFrameIsNoLag(t *testing.T) {
	back := append(even(40, 40, 0.2), repeat(40+0.2*39, 20)...)
	back = append(back, repeat(back[59]-0.3, 30)...) // the other way, between two frames
	seen := played(back, 0, 0, 60)
	CatchUp(seen, []int{0, 60})
	if w := worst(seen, back, 45, 60); w > 1e-9 {
		t.Errorf("put against its motion by %.3f px", w)
	}
}
