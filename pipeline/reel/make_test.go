package reel

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/track"
)

func planOf(t *testing.T, l Lesson, shape Shape, o Options) Plan {
	t.Helper()
	p, err := Make(l, l.Compare(), shape, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func part(t *testing.T, p Plan, kind string, source int) Segment {
	t.Helper()
	for _, s := range p.Segments {
		if s.Kind == kind && (len(s.Panes) != 1 || s.Panes[0].Source == source) {
			return s
		}
	}
	t.Fatalf("the plan has no part %q of source %d", kind, source)
	return Segment{}
}

func TestMakeOrder(t *testing.T) {
	p := planOf(t, lessonOf(usual().measured(), second().measured()), Wide, DefaultOptions())
	var kinds []string
	at := 0
	for _, s := range p.Segments {
		kinds = append(kinds, s.Kind)
		if s.Start != at {
			t.Errorf("%s begins at frame %d, want %d", s.Kind, s.Start, at)
		}
		for _, pane := range s.Panes {
			if n := length(pane.Runs); n != s.Frames {
				t.Errorf("%s has %d frames, its pane %d", s.Kind, s.Frames, n)
			}
		}
		at += s.Frames
	}
	if want := []string{Opening, Full, Slow, Full, Slow, Both, Closing}; !reflect.DeepEqual(kinds, want) {
		t.Errorf("parts %v, want %v", kinds, want)
	}
	if p.Frames != at || p.LengthS > 75 || p.LengthS != float64(at)/60 {
		t.Errorf("%d frames, %g s", p.Frames, p.LengthS)
	}
}

// From 1 s before the start to 1 s after the hold, at most 3 s after the stop.
func TestWhatIsShownOfAClip(t *testing.T) {
	brief, long, early := usual(), usual(), usual()
	long.over = 6.4
	early.start = 0.4
	cut := usual()
	cut.end = 4
	for _, c := range []struct {
		name     string
		in       filmed
		from, to float64
	}{
		{"a short hold", brief, 0.3, 4.6},
		{"a long hold", long, 0.3, 6.2},
		{"a start soon after the clip's", early, 0, 4.6},
		{"a clip that ends", cut, 0.3, 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := planOf(t, lessonOf(c.in.measured(), second().measured()), Wide, DefaultOptions())
			if s := p.Sources[0]; math.Abs(s.FromS-c.from) > 1e-9 || math.Abs(s.ToS-c.to) > 1e-9 {
				t.Errorf("shown from %g to %g s, want %g to %g", s.FromS, s.ToS, c.from, c.to)
			}
		})
	}
	unmeasured := brief.measured()
	look := lesson.EventOf(track.Event{T: 4.4, U: 0.01, Status: track.Measured})
	unmeasured.Report.Strokes[0].Events[track.LookUp] = look
	p := planOf(t, lessonOf(unmeasured, second().measured()), Wide, DefaultOptions())
	if got := p.Sources[0].ToS; math.Abs(got-5.4) > 1e-9 {
		t.Errorf("with a look-up at 4.4 s the clip is shown to %g s, want 5.4", got)
	}
}

// The opening page says which putts are shown, and never the name of a file: it
// may be a person's.
func TestOpeningNamesNoFile(t *testing.T) {
	named, several := usual().measured(), second().measured()
	named.Report.Clip.File, named.File = "Jo Doe.mp4", "/in/Jo Doe.mp4"
	several.Report.Clip.File = "Doe after.mp4"
	for _, c := range []struct {
		name          string
		in            Lesson
		before, after string
	}{
		{"one putt each", lessonOf(named, several), "one putt", "one putt"},
		{"without numbers", lessonOf(withoutNumbers(named, "no_stroke"), several), "without numbers", "one putt"},
		{"of several clips", Lesson{Before: []Clip{named, named}, After: []Clip{several}}, "putt 1 of clip 1, the most typical of 2", "one putt"},
		{"of several clips without numbers", Lesson{Before: []Clip{withoutNumbers(named, "no_stroke"), withoutNumbers(named, "no_stroke")}, After: []Clip{several}}, "clip 1, without numbers", "one putt"},
	} {
		t.Run(c.name, func(t *testing.T) {
			mark := 2.55
			for i := range c.in.Before {
				c.in.Before[i].Mark = &mark
			}
			p := planOf(t, c.in, Tall, DefaultOptions())
			if said := part(t, p, Opening, 0).Page.Clips; said[0].Text != c.before || said[1].Text != c.after {
				t.Errorf("the page says %+v", said)
			}
			if all, err := json.Marshal(p.Segments); err != nil || strings.Contains(string(all), "Doe") {
				t.Errorf("a file is named: %s, %v", all, err)
			}
		})
	}
}

// Stops last as long as set and show the very moment of their event.
func TestStops(t *testing.T) {
	p := planOf(t, lessonOf(usual().measured(), second().measured()), Wide, DefaultOptions())
	s := part(t, p, Slow, 0)
	for _, c := range []struct {
		at string
		t  float64
	}{{track.Top, 2.1}, {track.Impact, 2.55}, {track.Stop, 3.2}} {
		first, ok := stopFrame(s.Panes[0].Runs, c.at)
		if !ok {
			t.Errorf("no stop at %s", c.at)
			continue
		}
		for _, i := range []int{first, first + 71} {
			if got, r := Time(s.Panes[0].Runs, i, 60); math.Abs(got-c.t) > 1e-9 || r.At != c.at {
				t.Errorf("frame %d shows %g s in %q, want %g s in %q", i, got, r.At, c.t, c.at)
			}
		}
		speed := s.Panes[0].Runs[0].Speed
		before, _ := Time(s.Panes[0].Runs, first-1, 60)
		after, _ := Time(s.Panes[0].Runs, first+72, 60)
		if math.Abs(before-(c.t-speed/60)) > 1e-9 || math.Abs(after-c.t) > speed/60 {
			t.Errorf("around %s the clip goes from %g to %g s, not by single steps past %g s", c.at, before, after, c.t)
		}
	}
	full := part(t, p, Full, 0)
	if len(full.Panes[0].Runs) != 1 || full.Panes[0].Runs[0].Speed != 1 {
		t.Errorf("full speed has runs %+v", full.Panes[0].Runs)
	}
}

func TestSlownessFits(t *testing.T) {
	l := lessonOf(usual().measured(), second().measured())
	last := math.Inf(1)
	for _, most := range []float64{75, 60, 50} {
		o := DefaultOptions()
		o.MaxLength = most
		p := planOf(t, l, Wide, o)
		slow := 1 / part(t, p, Slow, 0).Panes[0].Runs[0].Speed
		if p.LengthS > most || slow > 2.5+1e-9 || slow < 1-1e-9 || slow > last {
			t.Errorf("at most %g s: %g s, %g times slower", most, p.LengthS, slow)
		}
		if slow < 2.5 {
			// A quarter slower would not have fitted.
			b := builder{lesson: l, comparison: l.Compare(), o: o, sources: p.Sources, chosen: make([]lesson.Typical, 2)}
			if more := b.plan(Wide, slow+0.25); more.LengthS <= most {
				t.Errorf("at most %g s: %g times slower would fit in %g s", most, slow+0.25, more.LengthS)
			}
		}
		last = slow
	}
}

// Both halves: one scale by the rulers, one ground, impact on one frame.
func TestSideBySide(t *testing.T) {
	far, upright := second(), second()
	far.perM, far.x, far.y = 300, 700, 800
	upright.w, upright.h, upright.perM, upright.x, upright.y = 1080, 1920, 430, 500, 1500
	for _, c := range []struct {
		name string
		in   filmed
	}{{"alike", second()}, {"from further away", far}, {"held upright", upright}} {
		for _, shape := range []Shape{Wide, Tall} {
			t.Run(c.name+", "+string(shape), func(t *testing.T) {
				p := planOf(t, lessonOf(usual().measured(), c.in.measured()), shape, DefaultOptions())
				s := part(t, p, Both, 0)
				var perM, ground, address [2]float64
				for i, pane := range s.Panes {
					g := p.Sources[i].Ground
					perM[i] = pane.View.Scale * p.Sources[i].PxPerM
					ground[i] = pane.View.Y + g.Y*pane.View.Scale
					address[i] = pane.View.X + g.X*pane.View.Scale
					first, ok := stopFrame(pane.Runs, track.Impact)
					if want, _ := stopFrame(s.Panes[0].Runs, track.Impact); !ok || first != want {
						t.Errorf("impact is on frame %d and on frame %d", first, want)
					}
					if got, _ := Time(pane.Runs, first, p.Rate); got != p.Sources[i].ImpactS {
						t.Errorf("the impact shows %g s, want %g s", got, p.Sources[i].ImpactS)
					}
					end := pane.View.X + (g.X+p.Sources[i].PxPerM*0.53)*pane.View.Scale
					if back := pane.View.X + (g.X-p.Sources[i].PxPerM*0.36)*pane.View.Scale; back < 0 || end > float64(pane.Box.W) {
						t.Errorf("the longest stroke from %g to %g px leaves a box %d px wide", back, end, pane.Box.W)
					}
				}
				if math.Abs(perM[0]/perM[1]-1) > 1e-9 {
					t.Errorf("scales %v px/m", perM)
				}
				if math.Abs(ground[0]-ground[1]) > 1e-6 || math.Abs(address[0]-address[1]) > 1e-6 {
					t.Errorf("grounds at %v, addresses at %v px", ground, address)
				}
				if y := ground[0] / float64(s.Panes[0].Box.H); y < 0.5 || y > 0.97 {
					t.Errorf("the ground is at %g of the box", y)
				}
			})
		}
	}
}

// A left-hander's target is at the left of the picture, also on the reel.
func TestGroundOfALeftHander(t *testing.T) {
	f := usual()
	f.left = true
	p := planOf(t, lessonOf(f.measured(), second().measured()), Wide, DefaultOptions())
	g := p.Sources[0].Ground
	if math.Abs(g.DX+520) > 0.5 || math.Abs(g.DY) > 0.5 || math.Abs(g.X-900) > 0.5 {
		t.Errorf("ground %+v, want 520 px/m to the left from 900", g)
	}
}

func TestSingleShowsTheWholeStroke(t *testing.T) {
	for _, shape := range []Shape{Wide, Tall} {
		p := planOf(t, lessonOf(usual().measured(), second().measured()), shape, DefaultOptions())
		for i, f := range []filmed{usual(), second()} {
			pane := part(t, p, Slow, i).Panes[0]
			for _, x := range []float64{-f.back - 0.1, f.through + 0.1} {
				at := pane.View.X + (f.x+x*f.perM)*pane.View.Scale
				if at < 0 || at > float64(pane.Box.W) {
					t.Errorf("%s: a point at %g m lies at %g px of %d", shape, x, at, pane.Box.W)
				}
			}
			if filled := float64(f.h) * pane.View.Scale / float64(pane.Box.H); filled < 0.8 {
				t.Errorf("%s: the picture fills %g of the height", shape, filled)
			}
		}
	}
}

func TestClipsWithoutNumbers(t *testing.T) {
	click, mark, distance := 2.5, 1.9, 3.434
	bare := withoutNumbers(usual().measured(), "no_sticker")
	heard, marked, rolled, side := bare, bare, bare, usual().measured()
	heard.Click, heard.Report.Camera.DistanceM.Value = &click, &distance
	marked.Click, marked.Mark = &click, &mark
	rolled.Observed = usual().measured().Observed[1:]
	side.Report.Clip.View = "other"
	for _, c := range []struct {
		name, by, notice string
		in               Clip
		impact, tol      float64
	}{
		{"by the click, 10 ms late", byClick, "no sticker", heard, 2.49, 1e-4},
		{"by hand, which wins", byMark, "no sticker", marked, 1.9, 0},
		{"by the ball", byBall, "no sticker", rolled, usual().impact, 1.0 / 60},
		{"filmed from another side", byBall, "from the front", side, usual().impact, 1.0 / 60},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := planOf(t, lessonOf(c.in, second().measured()), Wide, DefaultOptions())
			s := p.Sources[0]
			if s.LinedUpBy != c.by || math.Abs(s.ImpactS-c.impact) > c.tol || s.Ground != nil || !strings.Contains(s.Notice, c.notice) {
				t.Errorf("source %+v", s)
			}
			last := p.Segments[len(p.Segments)-1].Page
			notes := strings.Join(last.Notes, " ")
			if len(last.Rows) != 0 || !strings.Contains(notes, c.notice) || !strings.Contains(notes, "Backstroke 24.0 cm ± 0.7") {
				t.Errorf("closing page %+v", last)
			}
			for _, text := range part(t, p, Slow, 0).Texts {
				if strings.Contains(text.Text, "±") {
					t.Errorf("a number is told: %q", text.Text)
				}
			}
		})
	}
	if _, err := Make(lessonOf(bare, second().measured()), lesson.Comparison{Before: lesson.Typical{Stroke: -1}}, Wide, DefaultOptions()); err == nil || !strings.Contains(err.Error(), "by hand") {
		t.Errorf("a clip with nothing to line it up gave %v", err)
	}
}

func TestClosingPage(t *testing.T) {
	other := second()
	other.ball = 1.5
	p := planOf(t, lessonOf(usual().measured(), other.measured()), Wide, DefaultOptions())
	page := p.Segments[len(p.Segments)-1].Page
	if !strings.Contains(strings.Join(page.Notes, " "), "not the same putt") {
		t.Errorf("notes %q", page.Notes)
	}
	for _, r := range page.Rows {
		if r.ID == "backstroke_length" || r.ID == "follow_through_length" || r.ID == "hold_time" {
			t.Errorf("%s is compared between unlike putts", r.ID)
		}
	}
	p = planOf(t, lessonOf(usual().measured(), second().measured()), Wide, DefaultOptions())
	page = p.Segments[len(p.Segments)-1].Page
	if len(page.Rows) == 0 || page.Rows[1].ID != "backstroke_length" || page.Rows[1].Direction != lesson.Down {
		t.Errorf("rows %+v", page.Rows)
	}
}

// Only what surrounds the impact is heard, where the clip is at full speed.
func TestSounds(t *testing.T) {
	p := planOf(t, lessonOf(usual().measured(), second().measured()), Wide, DefaultOptions())
	if len(p.Sounds) != 2 {
		t.Fatalf("%d sounds", len(p.Sounds))
	}
	for i, s := range p.Sounds {
		full := part(t, p, Full, i)
		run := full.Panes[0].Runs[0]
		impact := p.Sources[i].ImpactS
		if math.Abs(s.FromS-(impact-0.4)) > 1e-9 || math.Abs(s.ToS-(impact+0.4)) > 1e-9 {
			t.Errorf("kept from %g to %g s around %g s", s.FromS, s.ToS, impact)
		}
		heard := s.AtS + impact - s.FromS
		seen := float64(full.Start)/60 + impact - run.FromS
		if math.Abs(heard-seen) > 1e-9 {
			t.Errorf("the impact is heard at %g s and seen at %g s", heard, seen)
		}
	}
}

func TestMakeRefuses(t *testing.T) {
	good := usual().measured()
	far := -5.0
	late := good
	late.Mark = &far
	wild := DefaultOptions()
	wild.Slowest = math.NaN()
	for _, c := range []struct {
		name string
		in   Lesson
		o    Options
		want string
	}{
		{"no clip after", Lesson{Before: []Clip{good}}, DefaultOptions(), "a clip before and a clip after (got 1 and 0)"},
		{"a mark outside the clip", lessonOf(late, good), DefaultOptions(), "does not lie in \"before.mp4\""},
		{"a setting", lessonOf(good, good), wild, "slowest: must be between"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Make(c.in, c.in.Compare(), Wide, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

// A reference stands beside the clip after, in step at impact, and it is said
// when it was another putt; a drill is a chapter of its own, lined up or not.
func TestReferenceAndDrill(t *testing.T) {
	other := usual()
	other.file, other.perM, other.ball = "reference.mp4", 610, 3
	l := lessonOf(usual().measured(), second().measured())
	l.Reference, l.Drill = []Clip{other.measured()}, []Clip{withoutNumbers(usual().measured(), "no_ball")}
	p := planOf(t, l, Tall, DefaultOptions())
	var kinds []string
	for _, s := range p.Segments {
		kinds = append(kinds, s.Kind)
	}
	if want := []string{Opening, Full, Slow, Full, Slow, Both, Beside, Full, Closing}; !reflect.DeepEqual(kinds, want) {
		t.Fatalf("parts %v, want %v", kinds, want)
	}
	if p.LengthS > 75 {
		t.Errorf("%g s", p.LengthS)
	}
	s := p.Segments[6]
	if a, b := p.Sources[s.Panes[0].Source].Role, p.Sources[s.Panes[1].Source].Role; a != "after" || b != "reference" {
		t.Errorf("%s beside %s", a, b)
	}
	for i, pane := range s.Panes {
		if k, ok := stopFrame(pane.Runs, track.Impact); !ok || pane.Runs[1].FromS != p.Sources[pane.Source].ImpactS {
			t.Errorf("pane %d stops at impact on frame %d, %v", i, k, ok)
		}
	}
	perM := func(k int) float64 { return s.Panes[k].View.Scale * p.Sources[s.Panes[k].Source].PxPerM }
	if math.Abs(perM(0)/perM(1)-1) > 1e-9 {
		t.Errorf("scales %g and %g px/m", perM(0), perM(1))
	}
	if n := s.Panes[1].Notice; n != "Not the same putt: the ball speeds differ." || s.Panes[0].Notice != "" {
		t.Errorf("it says %q", n)
	}
	drill := p.Segments[7]
	if src := p.Sources[drill.Panes[0].Source]; src.Role != "drill" || src.LinedUpBy != byNone || len(p.Sounds) != 2 {
		t.Errorf("drill %+v, %d sounds", src, len(p.Sounds))
	}
	other.ball = second().ball
	l.Reference = []Clip{other.measured()}
	if n := planOf(t, l, Wide, DefaultOptions()).Segments[6].Panes[1].Notice; n != "" {
		t.Errorf("of the same putt it says %q", n)
	}
}

// What is written as reel.json is the whole plan.
// A left-hander beside a right-hander is mirrored, and said to be: both go the
// same way on the reel, and the number of neither changes.
func TestBesideMirrorsTheOtherHand(t *testing.T) {
	student, other := second(), usual()
	other.file, other.left = "other.mp4", true
	l := lessonOf(usual().measured(), student.measured())
	l.Reference = []Clip{other.measured()}
	l.After[0].Report.Clip.Handedness, l.Reference[0].Report.Clip.Handedness = "right", "left"
	p := planOf(t, l, Wide, DefaultOptions())
	seg := part(t, p, Beside, 1)
	for i, want := range []bool{false, true} {
		pane := seg.Panes[i]
		if pane.Mirror != want {
			t.Errorf("pane %d: mirrored %v, want %v", i, pane.Mirror, want)
		}
		src := p.Sources[pane.Source]
		x0, y0 := pane.Place(src, src.Ground.X, src.Ground.Y)
		x1, _ := pane.Place(src, src.Ground.X+src.Ground.DX, src.Ground.Y+src.Ground.DY)
		if x1 <= x0 || x0 < 0 || x0 > float64(pane.Box.W) || y0 < 0 || y0 > float64(pane.Box.H) {
			t.Errorf("pane %d: the target lies from (%.0f, %.0f) toward %.0f", i, x0, y0, x1)
		}
		a, err := newArtist(seg, pane, p.Sources, findings([]Clip{l.Before[0], l.After[0], l.Reference[0]}))
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range a.objects[0] { // as drawn it lies where the picture is
			if at := a.view.At(o.X, o.Y); o.Name == track.Putter && math.Hypot(at.X-x0, at.Y-y0) > 40 {
				t.Errorf("pane %d: the putter is drawn at %v, the ground below it is at (%.0f, %.0f)", i, at, x0, y0)
			}
		}
	}
	if n := seg.Panes[1].Notice; !strings.HasPrefix(n, "Mirrored: this player is left-handed.") || !strings.Contains(seg.Texts[0].Text, n) {
		t.Errorf("said %q on the picture, %q in the caption", n, seg.Texts[0].Text)
	}
	for _, pane := range part(t, p, Both, 0).Panes {
		if pane.Mirror {
			t.Error("the student beside himself is mirrored")
		}
	}
}

func TestPlanIsPlainData(t *testing.T) {
	p := planOf(t, lessonOf(usual().measured(), second().measured()), Tall, DefaultOptions())
	data, err := p.Marshal()
	if err != nil {
		t.Fatal(err)
	}
	var back Plan
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if back.Schema != Schema || !reflect.DeepEqual(back.Segments, p.Segments) || !reflect.DeepEqual(back.Sounds, p.Sounds) {
		t.Error("segments or sounds change on the way through reel.json")
	}
}
