// Package steady watches the whole picture: whether the camera stood still and
// whether anything in the picture moves at all.
//
// Shifts are luma pixels of the upright picture; they are found by phase
// correlation (Kuglin and Hines, Proc. IEEE Int. Conf. Cybernetics and Society,
// 1975, 163-165) of the picture shrunk to a small grey one, several times a
// second: enough to tell a tripod from a hand, and cheap.
//
// What it refuses: a picture without texture gives no shift.
package steady

import (
	"fmt"
	"image"
	"math"

	"gocv.io/x/gocv"

	"strokereel/track"
)

// Options are the settings of the watch.
type Options struct {
	Every     float64 `key:"every" unit:"s" range:"0.05..5" help:"how often the whole picture is compared; 0.25 costs little and still catches a hand that wanders"`
	MinTrust  float64 `key:"min_trust" unit:"" range:"0..1" help:"least phase correlation with which a shift is believed; 0.1 is far above that of unrelated pictures"`
	Changed   float64 `key:"changed" unit:"levels" range:"2..100" help:"brightness change from which a shrunk pixel counts as moving; 12 is above noise and codec flicker"`
	MaxShift  float64 `key:"max_shift" unit:"px" range:"0.2..100" help:"camera shift over the clip, in a picture 1920 px wide, from which the clip is said to be filmed by hand; 3 px are 6 mm on the floor"`
	LivelyNow float64 `key:"lively" unit:"" range:"0..1" help:"share of the picture that must change somewhere in the clip for anybody to be in it; 0.002 is a hand"`
}

// DefaultOptions returns the settings for phone clips.
func DefaultOptions() Options {
	return Options{Every: 0.25, MinTrust: 0.1, Changed: 12, MaxShift: 3, LivelyNow: 0.002}
}

// Validate returns the first setting that cannot work.
func (o Options) Validate() error {
	return track.CheckRanges(o)
}

// Watch compares pictures of a clip with its first one and with each other.
// Close frees what OpenCV holds.
type Watch struct {
	opt         Options
	first       [2]gocv.Mat // left and right strip of the first picture
	last, small gocv.Mat
	window      gocv.Mat
	at          float64
	n           int
	scale       float64 // clip pixels per shrunk pixel
	shifts      []float64
	lively      float64
}

// shrunkWidth is the long side of the compared pictures, px.
const shrunkWidth = 320

// New returns a watch.
func New(opt Options) *Watch {
	return &Watch{opt: opt, first: [2]gocv.Mat{gocv.NewMat(), gocv.NewMat()}, last: gocv.NewMat(), small: gocv.NewMat(), window: gocv.NewMat()}
}

// Close frees the pictures held.
func (w *Watch) Close() {
	for _, m := range []*gocv.Mat{&w.first[0], &w.first[1], &w.last, &w.small, &w.window} {
		m.Close()
	}
}

// Next takes the clip's next frame; most are passed over.
func (w *Watch) Next(f *track.Frame) error {
	if w.n > 0 && f.T-w.at < w.opt.Every {
		return nil
	}
	w.at = f.T
	w.n++
	grey, err := gocv.NewMatFromBytes(f.Height, f.Width, gocv.MatTypeCV8U, f.Y)
	if err != nil {
		return fmt.Errorf("watching frame %d: %w", f.Index, err)
	}
	defer grey.Close()
	w.scale = float64(max(f.Width, f.Height)) / shrunkWidth
	size := image.Pt(int(math.Round(float64(f.Width)/w.scale)), int(math.Round(float64(f.Height)/w.scale)))
	gocv.Resize(grey, &w.small, size, 0, 0, gocv.InterpolationArea)
	w.countMoving()
	w.small.CopyTo(&w.last)
	w.compare()
	return nil
}

// compare finds the shift of the strips at the picture's sides against those of
// the first picture. The player stands between them; a ball or a passer-by
// moves in one of them only, so the smaller shift is the camera's.
func (w *Watch) compare() {
	shift, trusted := math.Inf(1), false
	width := w.small.Cols() / 4
	if w.window.Empty() {
		hann(&w.window, width, w.small.Rows())
	}
	for i, x := range [2]int{0, w.small.Cols() - width} {
		strip := w.small.Region(image.Rect(x, 0, x+width, w.small.Rows()))
		now := gocv.NewMat()
		strip.ConvertTo(&now, gocv.MatTypeCV32F)
		strip.Close()
		if w.n == 1 {
			now.CopyTo(&w.first[i])
		} else if d, trust := gocv.PhaseCorrelate(w.first[i], now, w.window); trust >= w.opt.MinTrust {
			shift, trusted = math.Min(shift, math.Hypot(float64(d.X), float64(d.Y))*w.scale), true
		}
		now.Close()
	}
	if trusted {
		w.shifts = append(w.shifts, shift)
	}
}

// hann fills m with a window that falls to zero at its borders: without it the
// borders, which do not move, pull the shift toward nothing.
func hann(m *gocv.Mat, width, height int) {
	m.Close()
	*m = gocv.NewMatWithSize(height, width, gocv.MatTypeCV32F)
	bell := func(i, n int) float64 { return 0.5 * (1 - math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n))) }
	for y := 0; y < height; y++ {
		for x := 0; x < width; x++ {
			m.SetFloatAt(y, x, float32(bell(x, width)*bell(y, height)))
		}
	}
}

// countMoving notes the share of the picture that changed since the last look.
func (w *Watch) countMoving() {
	if w.last.Empty() {
		return
	}
	diff := gocv.NewMat()
	defer diff.Close()
	gocv.AbsDiff(w.small, w.last, &diff)
	gocv.Threshold(diff, &diff, float32(w.opt.Changed), 255, gocv.ThresholdBinary)
	share := float64(gocv.CountNonZero(diff)) / float64(diff.Total())
	w.lively = math.Max(w.lively, share)
}

// Shift returns the largest shift of the camera against the first picture, px,
// and whether it could be seen.
func (w *Watch) Shift() (px float64, ok bool) {
	for _, s := range w.shifts {
		px = math.Max(px, s)
	}
	return px, len(w.shifts) > 0
}

// Lively reports whether anything in the picture moved.
func (w *Watch) Lively() bool { return w.lively >= w.opt.LivelyNow }
