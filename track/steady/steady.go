// Package steady watches the whole picture: whether the camera stood still and
// whether anything in the picture moves at all.
//
// Shifts are luma pixels of the upright picture. Corners at the picture's sides,
// where the player does not stand, are followed from the first picture to later
// ones (corners: Shi and Tomasi, Proc. CVPR 1994, 593-600; flow: Lucas and
// Kanade, Proc. IJCAI 1981, 674-679, both from memory) a few times a second:
// enough to tell a tripod from a hand, and cheap. The median of their shifts is
// the camera's; a ball or a passer-by carries only a few of them. They are followed
// in pictures without light, so that a wandering shadow or a phone that opens up is
// no motion.
//
// How a camera held in a hand lies in every single frame is told by Sway (sway.go),
// so that sticker and ball can be put where a tripod would have shown them.
//
// What it refuses: a picture with too few corners, or of corners that go different
// ways, gives no shift.
package steady

import (
	"encoding/binary"
	"fmt"
	"image"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"strokereel/track"
)

// Options are the settings of the watch.
type Options struct {
	Every     float64 `key:"every" unit:"s" range:"0.05..5" help:"how often the whole picture is compared; 0.25 costs little and still catches a hand that wanders"`
	From      float64 `key:"from" unit:"s" range:"0..60" help:"the picture is compared from this long after the clip begins; 0 from its first frame; where a card is held up it begins after that, since a card has more corners than a wall"`
	Corners   int     `key:"corners" unit:"" range:"4..500" help:"fewest corners at the sides of the picture from which a shift is believed; 8 give a median that two or three strays cannot move"`
	Changed   float64 `key:"changed" unit:"levels" range:"2..100" help:"brightness change from which a shrunk pixel counts as moving; 12 is above noise and codec flicker"`
	MaxShift  float64 `key:"max_shift" unit:"px" range:"0.2..100" help:"camera shift over the clip, in a picture 1920 px wide, from which the clip is said to be filmed by hand; 3 px are 6 mm on the floor"`
	LivelyNow float64 `key:"lively" unit:"" range:"0..1" help:"share of the picture that must change somewhere in the clip for anybody to be in it; 0.002 is a hand"`
}

// DefaultOptions returns the settings for phone clips.
func DefaultOptions() Options {
	return Options{Every: 0.25, Corners: 8, Changed: 12, MaxShift: 3, LivelyNow: 0.002}
}

// Validate returns the first setting that cannot work.
func (o Options) Validate() error {
	return track.CheckRanges(o)
}

// Watch compares pictures of a clip with the first one it watches and with each
// other.
// Close frees what OpenCV holds.
type Watch struct {
	opt                Options
	first, last, small gocv.Mat
	evened             gocv.Mat // small without its light
	corners            gocv.Mat // in the first picture
	at                 float64
	n                  int
	scale              float64 // clip pixels per shrunk pixel
	shifts             []float64
	lively             float64
}

const (
	// shrunkWidth is the long side of the compared pictures, px: a quarter
	// pixel there is a pixel and a half in a 1920 px clip before averaging.
	shrunkWidth = 640
	// side is the share of the picture's width at either side in which corners
	// are followed.
	side = 0.3
	// maxCorners, cornerQuality and cornerDistance (px) are given to OpenCV:
	// many weak corners are better here than few good ones.
	maxCorners, cornerQuality, cornerDistance = 120, 0.02, 8
	// evenOver is over how many px (standard deviation) the light of a place is taken,
	// and evenGain how many levels a change of brightness by a factor of e becomes.
	evenOver, evenGain = 6, 100
	// mostAstray is how far, px, from where it began a corner may come out that is
	// followed there and back.
	mostAstray = 0.3
	// sameStep is how far, px, corners of one camera may differ: it turns a little in
	// a hand.
	sameStep = 1
)

// New returns a watch.
func New(opt Options) *Watch {
	return &Watch{opt: opt, first: gocv.NewMat(), last: gocv.NewMat(), small: gocv.NewMat(), evened: gocv.NewMat(), corners: gocv.NewMat()}
}

// Close frees the pictures held.
func (w *Watch) Close() {
	for _, m := range []*gocv.Mat{&w.first, &w.last, &w.small, &w.evened, &w.corners} {
		m.Close()
	}
}

// Next takes the clip's next frame; most are passed over.
func (w *Watch) Next(f *track.Frame) error {
	if f.T < w.opt.From || w.n > 0 && f.T-w.at < w.opt.Every {
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
	w.even()
	if w.n == 1 {
		w.evened.CopyTo(&w.first)
		return w.findCorners()
	}
	w.compare()
	return nil
}

// even turns the shrunk picture into one in which light does not count: more or less
// of it adds to the logarithm of brightness, and a soft edge of shade hardly differs
// from its surroundings.
func (w *Watch) even() {
	light, around := gocv.NewMat(), gocv.NewMat()
	defer light.Close()
	defer around.Close()
	w.small.ConvertTo(&light, gocv.MatTypeCV32F)
	gocv.Log(light, &light)
	gocv.GaussianBlur(light, &around, image.Point{}, evenOver, evenOver, gocv.BorderReplicate)
	gocv.Subtract(light, around, &light)
	light.ConvertToWithParams(&w.evened, gocv.MatTypeCV8U, evenGain, 128)
}

// findCorners looks for corners at the sides of the first picture, each side by
// itself: OpenCV measures quality against the best corner, which is the
// player's.
func (w *Watch) findCorners() error {
	var points []byte
	width := int(side * float64(w.first.Cols()))
	for _, x0 := range [2]int{0, w.first.Cols() - width} {
		region := w.first.Region(image.Rect(x0, 0, x0+width, w.first.Rows()))
		found := gocv.NewMat()
		gocv.GoodFeaturesToTrack(region, &found, maxCorners/2, cornerQuality, cornerDistance)
		for i := 0; i < found.Rows(); i++ {
			at := found.GetVecfAt(i, 0)
			points = binary.NativeEndian.AppendUint32(points, math.Float32bits(at[0]+float32(x0)))
			points = binary.NativeEndian.AppendUint32(points, math.Float32bits(at[1]))
		}
		found.Close()
		region.Close()
	}
	if len(points) == 0 {
		return nil
	}
	m, err := gocv.NewMatFromBytes(len(points)/8, 1, gocv.MatTypeCV32FC2, points)
	if err != nil {
		return fmt.Errorf("watching the first frame: %w", err)
	}
	w.corners.Close()
	w.corners = m
	return nil
}

// compare follows the corners of the first picture into this one.
func (w *Watch) compare() {
	if w.corners.Empty() || w.corners.Rows() < w.opt.Corners {
		return
	}
	now, back := gocv.NewMat(), gocv.NewMat()
	defer now.Close()
	defer back.Close()
	there, again := gocv.NewMat(), gocv.NewMat()
	defer there.Close()
	defer again.Close()
	residual := gocv.NewMat()
	defer residual.Close()
	gocv.CalcOpticalFlowPyrLK(w.first, w.evened, w.corners, now, &there, &residual)
	gocv.CalcOpticalFlowPyrLK(w.evened, w.first, now, back, &again, &residual)
	var steps [][2]float64
	for i := 0; i < w.corners.Rows(); i++ {
		was, is, returned := w.corners.GetVecfAt(i, 0), now.GetVecfAt(i, 0), back.GetVecfAt(i, 0)
		astray := math.Hypot(float64(returned[0]-was[0]), float64(returned[1]-was[1])) > mostAstray
		if there.GetUCharAt(i, 0) == 0 || again.GetUCharAt(i, 0) == 0 || astray {
			continue
		}
		steps = append(steps, [2]float64{float64(is[0] - was[0]), float64(is[1] - was[1])})
	}
	if shift, ok := common(steps, w.opt.Corners); ok {
		w.shifts = append(w.shifts, shift*w.scale)
	}
}

// common is how far corners went together, px: the length of their median step. It
// reports false when fewer than so many, or less than half of them, went so: a camera
// carries all.
func common(steps [][2]float64, fewest int) (shift float64, ok bool) {
	if len(steps) < fewest {
		return 0, false
	}
	var dx, dy []float64
	for _, s := range steps {
		dx, dy = append(dx, s[0]), append(dy, s[1])
	}
	slices.Sort(dx)
	slices.Sort(dy)
	x, y, together := dx[len(dx)/2], dy[len(dy)/2], 0
	for _, s := range steps {
		if math.Hypot(s[0]-x, s[1]-y) <= sameStep {
			together++
		}
	}
	return math.Hypot(x, y), together >= fewest && 2*together > len(steps)
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
