package pipeline

import (
	"math"
	"slices"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/measure"
	"strokereel/track/path"
	"strokereel/track/phase"
)

// inMetres sets up the scales and turns the tracks into paths.
func (r *Result) inMetres(parts cast.Cast, w *seen, h heard, s settings.Settings) (measure.Clip, error) {
	dirX, dirY := parts.DirX, parts.DirY
	directed := parts.DirectionKnown
	switch s.Sheet.Handedness {
	// Seen from the front, a right-hander putts to the picture's right.
	case "right":
		if !directed {
			dirX, dirY, directed = 1, 0, true
		}
	case "left":
		if !directed {
			dirX, dirY, directed = -1, 0, true
		}
	}
	from, err := r.ruler(r.Parts, w.Spots, s.Sheet, s.Track.Measure)
	if err != nil {
		return measure.Clip{}, err
	}
	ballScale := from.ball
	markerScale, err := measure.MarkerScale(ballScale, s.Track.Measure.StickerOffset(), s.Track.Measure.CameraDistance())
	if err != nil {
		return measure.Clip{}, err
	}
	if dirX < 0 {
		from.yaw.Value = -from.yaw.Value
	}
	r.Frame = path.PuttFrame{OriginX: parts.Ball.RestX, OriginY: parts.Ball.RestY, DirX: dirX, DirY: dirY, Scale: markerScale}
	ballFrame := r.Frame
	ballFrame.Scale = ballScale
	putter := path.WithoutStrays(path.InMetres(parts.Putter.Track, r.Frame), s.Track.Path)
	in := measure.Clip{
		Input: phase.Input{
			Putter:         path.WithOwnNoise(putter),
			Clicks:         h.clicks(),
			FrameInterval:  w.Interval,
			Slow:           slowU(putter),
			Own:            math.Sqrt(1 - slowShare*slowShare),
			ULag:           parts.Putter.ULag / markerScale.PxPerM,
			DirectionKnown: directed,
			Smoothing:      s.Track.Path,
		},
		MarkerScale: markerScale, BallScale: ballScale, Yaw: from.yaw,
	}
	if in.Green, err = s.Green(); err != nil {
		return measure.Clip{}, err
	}
	for _, b := range parts.Struck {
		launch, err := path.FitLaunch(path.InMetres(b.Track, ballFrame), restOf(b, ballFrame), s.Track.Path)
		if err != nil {
			r.warn("ball_lost", "a ball left its place but could not be followed: "+err.Error())
			continue
		}
		in.Launches = append(in.Launches, launch)
	}
	from.budget.K = lesson.Coverage
	why := lesson.UncertaintyOf(from.budget)
	r.Report.Camera.Ruler = &lesson.Ruler{From: markerScale.From, PxPerM: *lesson.Number(markerScale.PxPerM),
		U95: *lesson.Number(lesson.Coverage * markerScale.U), Plane: markerScale.Plane, Uncertainty: &why}
	return in, nil
}

const (
	// slowShare is how much of a sticker's position error neighbouring frames share, as
	// seen on rendered clips: a codec repeats what it got wrong, and lets slow motion lag.
	slowShare = 0.85
	// slowMore is by how much more than path.SlowU a slow sticker errs there.
	slowMore = 1.15
)

// slowU is the standard uncertainty that neighbouring positions of a path share.
func slowU(p track.Path) float64 {
	if u, known := path.SlowU(p); known {
		return slowMore * u
	}
	var u []float64
	for _, q := range p.Points {
		if q.Seen {
			u = append(u, q.U)
		}
	}
	if len(u) == 0 {
		return 0
	}
	return slowShare * median(u)
}

// restU is the standard uncertainty, px, of the mean place of a ball at rest.
const restU = 0.1

// restOf is where a ball lay before it was struck, in metres of its plane.
func restOf(b cast.Ball, f path.PuttFrame) path.Rest {
	at := path.InMetres(track.Track{Samples: []track.Sample{{X: b.RestX, Y: b.RestY, Seen: true}}}, f).Points[0]
	return path.Rest{X: at.X, U: restU / f.Scale.PxPerM, T0: b.First, T1: b.Last}
}

// originAtAddress moves the origin of the metres to the marker's mean position
// at address of the first putt (else of the first stroke), as reports say.
func (r *Result) originAtAddress(parts cast.Cast) {
	i := r.firstPutt()
	if i < 0 {
		i = slices.IndexFunc(r.Strokes, func(s phase.Stroke) bool { return s.Address.Known })
	}
	if i < 0 {
		return
	}
	s := r.Strokes[i]
	if s.Reversed {
		r.Frame.DirX, r.Frame.DirY = -r.Frame.DirX, -r.Frame.DirY
	}
	var x, y, n float64
	for _, p := range parts.Putter.Track.Samples {
		if p.Seen && p.T >= s.Address.T0 && p.T <= s.Address.T1 {
			x, y, n = x+p.X, y+p.Y, n+1
		}
	}
	if n > 0 {
		r.Frame.OriginX, r.Frame.OriginY = x/n, y/n
	}
}

// firstPutt is the first putt whose address is known, -1 without one.
func (r *Result) firstPutt() int {
	return slices.IndexFunc(r.Strokes, func(s phase.Stroke) bool { return s.Kind == track.Putt && s.Address.Known })
}

// pixels is the inverse of path.InMetres.
func pixels(p track.Path, f path.PuttFrame) track.Track {
	tr := track.Track{Object: p.Object, Samples: make([]track.Sample, len(p.Points))}
	// Up in the picture is y falling, whichever way the target lies.
	upX, upY := f.DirY, -f.DirX
	if upY > 0 {
		upX, upY = -upX, -upY
	}
	for i, q := range p.Points {
		k := f.Scale.PxPerM
		tr.Samples[i] = track.Sample{Frame: q.Frame, T: q.T, Seen: q.Seen, U: q.U * k,
			X: f.OriginX + k*(q.X*f.DirX+q.Y*upX), Y: f.OriginY + k*(q.X*f.DirY+q.Y*upY)}
	}
	return tr
}

func median(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}
