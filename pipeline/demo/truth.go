package demo

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
)

// TruthSchema names the form of the truth files.
const TruthSchema = "strokereel/demo-truth/1"

// Truth is what really happened in a clip. Pixels are those of the upright
// picture, centre of the top-left pixel (0, 0), x right, y down. Metres of a
// stroke are along the putt line toward the target, from the marker's home at
// address, in the marker's own plane. Times are seconds from the first frame's
// stamp, which is the middle of its exposure. A moment or number that does not
// exist is null.
type Truth struct {
	Schema           string        `json:"schema"`
	GeneratorVersion int           `json:"generator_version"`
	Case             string        `json:"case"`
	Seed             int           `json:"seed"`
	Rate             string        `json:"rate"` // frames a second as a fraction
	Width            int           `json:"width"`
	Height           int           `json:"height"`
	Handedness       string        `json:"handedness"` // right, left; empty without a player
	TargetInImage    string        `json:"target_in_image"`
	Sticker          string        `json:"sticker_colour"` // empty without a sticker
	StickerDiameter  float64       `json:"sticker_diameter_m"`
	BallDiameter     float64       `json:"ball_diameter_m"`
	Bands            bool          `json:"bands"`
	FocalPx          float64       `json:"focal_px"`
	CameraYaw        float64       `json:"camera_yaw_deg"`
	CameraPitch      float64       `json:"camera_pitch_deg"`
	CameraRoll       float64       `json:"camera_roll_deg"`
	CameraDistance   float64       `json:"camera_distance_m"`
	CameraHeight     float64       `json:"camera_height_m"`
	MarkerPxPerM     float64       `json:"px_per_m_marker_plane"` // along the line, at the marker at address
	BallPxPerM       float64       `json:"px_per_m_ball_plane"`   // along the line, at the ball's spot
	PlaneOffset      float64       `json:"marker_plane_offset_m"`
	ChromaSiting     string        `json:"chroma_siting"`
	SoundClick       *float64      `json:"sound_click_s"`
	SoundOffset      *float64      `json:"sound_offset_s"` // click after impact: device and distance
	MarkerHome       [2]float64    `json:"marker_home_px"`
	Rod              *RodTruth     `json:"rod,omitempty"`
	Strokes          []StrokeTruth `json:"strokes"`
	Frames           []FrameTruth  `json:"frames"`
	Spec             Spec          `json:"spec"` // everything that was drawn
}

// StrokeTruth holds a stroke's events and measures by the names of the clip
// report.
type StrokeTruth struct {
	Kind     string                 `json:"kind"` // putt or practice
	Events   map[string]*float64    `json:"events_s"`
	Measures map[string]NumberTruth `json:"measures"`
	Pause    float64                `json:"pause_s"`
	Address  [2]float64             `json:"address_px"` // where the marker's address mean is seen
	HoldOpen bool                   `json:"hold_at_least"`
}

// NumberTruth is a measure's true value. AtLeast means that the clip ended
// first.
type NumberTruth struct {
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	AtLeast bool    `json:"at_least,omitempty"`
}

// FrameTruth is one frame at its stamp.
type FrameTruth struct {
	T            float64               `json:"t_s"`
	Marker       *[2]float64           `json:"marker_px"`
	MarkerMean   *[2]float64           `json:"marker_px_exposure_mean"` // where a blurred sticker's centre is
	MarkerBlur   float64               `json:"marker_blur_px"`
	MarkerWhole  bool                  `json:"marker_whole_in_view"`
	MarkerShare  *float64              `json:"marker_visible_share,omitempty"` // not hidden by something in front, when there is such a thing
	MarkerX      float64               `json:"marker_x_m"`
	MarkerY      float64               `json:"marker_y_m"`
	Ball         *[2]float64           `json:"ball_px"`
	BallMean     *[2]float64           `json:"ball_px_exposure_mean"`
	BallDiameter float64               `json:"ball_diameter_px"` // of the silhouette along the picture's x
	BallWhole    bool                  `json:"ball_whole_in_view"`
	BallX        float64               `json:"ball_x_m"`
	Shift        *[2]float64           `json:"camera_shift_px,omitempty"` // of a camera in the hand, in the stored picture
	Roll         float64               `json:"camera_roll_change_deg,omitempty"`
	Gain         float64               `json:"exposure_gain,omitempty"` // of changing light
	HeadTurn     float64               `json:"head_turn_deg"`
	Joints       map[string][2]float64 `json:"joints_px,omitempty"`
	BandsPx      map[string][2]float64 `json:"bands_px,omitempty"`
}

// truth writes down the scene.
func (sc *scene) truth() Truth {
	s, v := sc.spec, sc.view
	spot := vec{0, s.Ball.Diameter / 2, 0}
	t := Truth{Schema: TruthSchema, GeneratorVersion: GeneratorVersion, Case: s.Case, Seed: s.Seed,
		Rate:  fmt.Sprintf("%d/%d", s.Video.RateNum, s.Video.RateDen),
		Width: s.Camera.Width, Height: s.Camera.Height, TargetInImage: "right",
		StickerDiameter: s.Putter.StickerSize, BallDiameter: s.Ball.Diameter, Bands: s.Player.Present && s.Player.Bands,
		FocalPx: v.focal, CameraYaw: s.Camera.Yaw, CameraPitch: s.Camera.Pitch, CameraRoll: s.Camera.Roll,
		CameraDistance: s.Camera.Distance, CameraHeight: s.Camera.Rise,
		MarkerPxPerM: sc.lineScale(sc.home), BallPxPerM: sc.lineScale(spot), PlaneOffset: s.Putter.PlaneOffset,
		ChromaSiting: "centre", MarkerHome: pair(v.see(sc.home)), Strokes: []StrokeTruth{}, Spec: s}
	if s.Video.ChromaLeft {
		t.ChromaSiting = "left"
	}
	hand := "right"
	if s.Camera.Mirrored {
		t.TargetInImage, hand = "left", "left"
	}
	if s.Player.Present {
		t.Handedness = hand
	}
	if s.Rod != nil {
		t.Rod = sc.rodTruth()
	}
	if s.Putter.Present && s.Putter.Sticker {
		t.Sticker = s.Putter.StickerName
	}
	if sc.putt >= 0 && !s.Sound.None {
		click := sc.clickAt(sc.motion.swings[sc.putt].contact)
		offset := click - sc.motion.swings[sc.putt].contact
		t.SoundClick, t.SoundOffset = &click, &offset
	}
	for k := range sc.motion.swings {
		t.Strokes = append(t.Strokes, sc.strokeTruth(k))
	}
	for _, at := range sc.stamps() {
		t.Frames = append(t.Frames, sc.frameTruth(at))
	}
	return t
}

func pair(p point) [2]float64 { return [2]float64{round4(p.x), round4(p.y)} }

func round4(v float64) float64 { return math.Round(v*1e4) / 1e4 }

// lineScale is px per metre along the putt line.
func (sc *scene) lineScale(p vec) float64 {
	const d = 1e-4
	return sc.view.see(p.add(vec{d, 0, 0})).distance(sc.view.see(p.sub(vec{d, 0, 0}))) / (2 * d)
}

// stampTick is the finest step in which an uneven clip's stamps are stored, s.
const stampTick = 1.0 / 90000

// stamps are the frames' times. In an uneven clip some frames are missing and
// the others are exposed off the beat; the first is kept at zero.
func (sc *scene) stamps() []float64 {
	v := sc.spec.Video
	n := int(math.Round(sc.spec.Duration * v.pace()))
	d := dice{rand.New(rand.NewPCG(sc.spec.noiseSeed(), 0x7d))}
	out := make([]float64, 0, n)
	for i := range n {
		t := float64(i) / v.pace()
		if i > 0 && v.uneven() {
			if d.chance(v.DropShare) {
				continue
			}
			t = math.Round((t+d.in(0, v.StampJitter))/stampTick) * stampTick
		}
		out = append(out, t)
	}
	return out
}

func (v Video) uneven() bool { return v.DropShare > 0 || v.StampJitter > 0 }

// exposureSteps averages a place over the exposure.
const exposureSteps = 64

func (sc *scene) exposureMean(t float64, at func(float64) vec) point {
	var m point
	for k := range exposureSteps {
		when := t + sc.spec.Video.Shutter*((float64(k)+0.5)/exposureSteps-0.5)
		p := sc.viewAt(when).see(at(when))
		m.x += p.x / exposureSteps
		m.y += p.y / exposureSteps
	}
	return m
}

func (sc *scene) frameTruth(t float64) FrameTruth {
	s, v := sc.spec, sc.viewAt(t)
	f := FrameTruth{T: math.Round(t*1e7) / 1e7}
	if s.Camera.Shake.any() {
		shift := pair(v.shift)
		f.Shift, f.Roll = &shift, round4(v.spin/degree)
	}
	if l := sc.lightAt(t); l.gain != 1 {
		f.Gain = round4(float64(l.gain))
	}
	if s.Putter.Present && s.Putter.Sticker {
		half := s.Video.Shutter / 2
		m := sc.marker(t)
		now, mean := pair(v.see(m)), pair(sc.exposureMean(t, sc.marker))
		f.Marker, f.MarkerMean = &now, &mean
		f.MarkerBlur = round4(v.see(sc.marker(t - half)).distance(v.see(sc.marker(t + half))))
		f.MarkerWhole = v.inside(v.see(m), s.Putter.StickerSize/2*v.scale(m)+f.MarkerBlur/2)
		if sc.hasFront() {
			share := round4(sc.visible(t))
			f.MarkerShare = &share
			f.MarkerWhole = f.MarkerWhole && share == 1
		}
		f.MarkerX, f.MarkerY = m.x-sc.home.x, m.y-sc.home.y
	}
	if sc.ballShown(t) {
		c := sc.ballCentre(t)
		now, mean := pair(v.see(c)), pair(sc.exposureMean(t, sc.ballCentre))
		f.Ball, f.BallMean, f.BallX = &now, &mean, c.x
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range v.outline(c, s.Ball.Diameter/2, 256) {
			x := v.upright(p).x
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
		f.BallDiameter = round4(hi - lo)
		f.BallWhole = v.inside(v.see(c), f.BallDiameter/2)
	}
	if s.Player.Present {
		sc.bodyTruth(&f, t)
	}
	return f
}

func (sc *scene) bodyTruth(f *FrameTruth, t float64) {
	b := sc.bodyAt(t)
	v := sc.viewAt(t)
	see := func(p vec) [2]float64 { return pair(v.see(p)) }
	f.HeadTurn = round4(b.turn / degree)
	f.Joints = map[string][2]float64{"neck": see(b.neck), "head": see(b.head), "grip_top": see(b.gripTop), "shaft_foot": see(b.shaftFoot)}
	for i, side := range []string{"lead", "trail"} {
		for name, p := range map[string]vec{"shoulder": b.shoulder[i], "elbow": b.elbow[i], "wrist": b.wrist[i], "hand": b.hand[i],
			"hip": b.hip[i], "knee": b.knee[i], "ankle": b.ankle[i]} {
			f.Joints[side+"_"+name] = see(p)
		}
	}
	if !sc.spec.Player.Bands {
		return
	}
	f.BandsPx = map[string][2]float64{"cap": see(b.capSticker)}
	for i, side := range []string{"lead", "trail"} {
		f.BandsPx[side+"_elbow"] = see(b.elbowBand[i])
		f.BandsPx[side+"_wrist"] = see(b.wristBand[i])
		f.BandsPx[side+"_shoulder"] = see(b.shoulderSticker[i])
	}
}

// encode gives the truth as JSON, one frame a line.
func (t Truth) encode() ([]byte, error) {
	b, err := json.Marshal(t)
	if err != nil {
		return nil, fmt.Errorf("writing the truth of case %q seed %d: %w", t.Case, t.Seed, err)
	}
	return append(b, '\n'), nil
}
