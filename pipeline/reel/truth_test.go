package reel_test

import (
	"context"
	"math"
	"testing"

	"strokereel/pipeline"
	"strokereel/pipeline/demo"
	"strokereel/pipeline/demo/demotest"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

// filmed is a drawn clip of club and ball, measured, with its truth.
func filmed(t *testing.T, seed int, camera demo.Camera) (reel.Clip, demo.Truth) {
	t.Helper()
	s := demotest.CloseUp(t, "clean")
	s.Camera, s.Seed = camera, seed
	file, truth := demotest.Film(t, s)
	r, err := pipeline.Measure(context.Background(), file, settings.Default(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if r.Measured() != 1 {
		t.Fatal(r.Verdict())
	}
	return reel.Clip{Findings: lesson.Findings{File: file, Report: r.Report, Observed: r.Observed, Smooth: r.Smooth}}, truth
}

// camera stands at a distance, turned about its axis.
func camera(w, h int, focal, distance, roll, yaw float64) demo.Camera {
	const rise = 0.8
	return demo.Camera{Width: w, Height: h, FocalMM: focal, Distance: distance, Rise: rise, Roll: roll, Yaw: yaw,
		Pitch: -math.Atan2(rise-0.12, distance) * 180 / math.Pi, Aside: 0.03 - distance*math.Tan(yaw*math.Pi/180)}
}

// Two cameras that stood differently: side by side the truth is as long, as high
// and as level in both halves, and struck on the same frame.
func TestSideBySideInTruth(t *testing.T) {
	var l reel.Lesson
	var truths [2]demo.Truth
	var before, after reel.Clip
	before, truths[0] = filmed(t, 1, camera(800, 352, 56, 3.0, 2.4, 1.2))
	after, truths[1] = filmed(t, 2, camera(720, 404, 40, 2.6, -1.9, -0.8))
	l.Before, l.After = []reel.Clip{before}, []reel.Clip{after}
	for _, shape := range []reel.Shape{reel.Wide, reel.Tall} {
		t.Run(string(shape), func(t *testing.T) {
			p, err := reel.Make(l, l.Compare(), shape, reel.DefaultOptions())
			if err != nil {
				t.Fatal(err)
			}
			for _, seg := range p.Segments {
				if seg.Kind == reel.Both {
					checkInTruth(t, p, seg, []reel.Clip{before, after}, truths)
				}
			}
		})
	}
}

func checkInTruth(t *testing.T, p reel.Plan, seg reel.Segment, clips []reel.Clip, truths [2]demo.Truth) {
	t.Helper()
	var reported, truly, rulers, ground, impact [2]float64
	for i, pane := range seg.Panes {
		src, truth := p.Sources[pane.Source], truths[i]
		reported[i], truly[i] = pane.View.Scale*src.PxPerM, pane.View.Scale*truth.MarkerPxPerM
		rulers[i] = src.U95 / src.PxPerM
		_, ground[i] = pane.Place(src, truth.Strokes[0].Address[0], truth.Strokes[0].Address[1])
		impact[i] = frameOf(pane.Runs, track.Impact)
		if late := shownAt(pane.Runs, track.Impact) - *truth.Strokes[0].Events[track.Impact]; math.Abs(late) > 0.5/60 {
			t.Errorf("half %d: impact is shown %+.1f ms from the true one", i, 1000*late)
		}
		roll := clips[i].Report.Camera.RollDeg
		if pane.Turn == 0 || math.Abs(*roll.Value-truth.CameraRoll) > *roll.U95 {
			t.Errorf("half %d: turned by %g degrees, the camera's roll is %g, reported as %+v", i, pane.Turn, truth.CameraRoll, roll)
		}
		if slope := rolls(pane, src, truth); math.Abs(slope) > *roll.U95 {
			t.Errorf("half %d: the ball rolls at %.2f degrees to the level, known to %.2f", i, slope, *roll.U95)
		}
	}
	if apart := math.Abs(reported[0]/reported[1] - 1); apart > 0.002 {
		t.Errorf("by the reports a metre is %v px long", reported)
	}
	if apart, allowed := math.Abs(truly[0]/truly[1]-1), math.Hypot(rulers[0], rulers[1]); apart > allowed {
		t.Errorf("in truth a metre is %v px long, %.2f %% apart, the rulers allow %.2f %%", truly, 100*apart, 100*allowed)
	}
	if math.Abs(ground[0]-ground[1]) > 2 {
		t.Errorf("the grounds are at %v px", ground)
	}
	if impact[0] != impact[1] || impact[0] < 0 {
		t.Errorf("impact is on the frames %v", impact)
	}
	t.Logf("%s: scales %.4f %% apart by the reports, %.2f %% in truth; grounds %.2f px apart", p.Shape,
		100*math.Abs(reported[0]/reported[1]-1), 100*math.Abs(truly[0]/truly[1]-1), math.Abs(ground[0]-ground[1]))
}

// frameOf is the first frame of a stop, -1 without it.
func frameOf(runs []reel.Run, at string) float64 {
	n := 0
	for _, r := range runs {
		if r.At == at {
			return float64(n)
		}
		n += r.Frames
	}
	return -1
}

// shownAt is the time of the clip that is shown at a stop.
func shownAt(runs []reel.Run, at string) float64 {
	for _, r := range runs {
		if r.At == at {
			return r.FromS
		}
	}
	return math.NaN()
}

// rolls is the slope of the true ball's way on the reel, degrees.
func rolls(pane reel.Pane, src reel.Source, truth demo.Truth) float64 {
	var x, y []float64
	for _, f := range truth.Frames {
		if f.Ball != nil && f.BallWhole {
			px, py := pane.Place(src, f.Ball[0], f.Ball[1])
			x, y = append(x, px), append(y, py)
		}
	}
	n := len(x) - 1
	return math.Atan2(y[n]-y[0], x[n]-x[0]) * 180 / math.Pi
}
