package body

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"strokereel/track"
)

// colours as Y, Cb-128, Cr-128 of matt cloth in a room.
var (
	skinTone = [3]float64{150, -20, 27}
	wall     = [3]float64{120, 2, -3}
	yellow   = [3]float64{160, -84, 19}
	blue     = [3]float64{60, 73, -33}
	steel    = [3]float64{140, 0, 0}
)

// canvas paints a picture by covering shares of pixels; x, y are luma px.
type canvas struct {
	w, h    int
	y, u, v []float64
}

func newCanvas(w, h int) *canvas {
	c := &canvas{w: w, h: h, y: make([]float64, w*h), u: make([]float64, w*h), v: make([]float64, w*h)}
	for i := range c.y {
		c.y[i], c.u[i], c.v[i] = wall[0], wall[1], wall[2]
	}
	return c
}

// cover blends a colour in by the share of each pixel, of 16 points, that is
// inside.
func (c *canvas) cover(colour [3]float64, inside func(x, y float64) bool) {
	for j := range c.h {
		for i := range c.w {
			n := 0
			for k := range 16 {
				if inside(float64(i)-0.375+0.25*float64(k%4), float64(j)-0.375+0.25*float64(k/4)) {
					n++
				}
			}
			if n > 0 {
				a, at := float64(n)/16, j*c.w+i
				c.y[at] += a * (colour[0] - c.y[at])
				c.u[at] += a * (colour[1] - c.u[at])
				c.v[at] += a * (colour[2] - c.v[at])
			}
		}
	}
}

// frame samples the picture as 4:2:0 with the colour in the middle of 2x2.
func (c *canvas) frame(index int, noise float64, rng *rand.Rand) *track.Frame {
	f := &track.Frame{Index: index, T: float64(index) / 60, Width: c.w, Height: c.h,
		Y: make([]byte, c.w*c.h), U: make([]byte, c.w*c.h/4), V: make([]byte, c.w*c.h/4)}
	grain := func() float64 {
		if noise == 0 {
			return 0
		}
		return noise * rng.NormFloat64()
	}
	code := func(v float64) byte { return byte(math.Max(0, math.Min(255, math.Round(v+grain())))) }
	for i, v := range c.y {
		f.Y[i] = code(v)
	}
	for j := range c.h / 2 {
		for i := range c.w / 2 {
			at := 2*j*c.w + 2*i
			mean := func(p []float64) float64 { return (p[at] + p[at+1] + p[at+c.w] + p[at+c.w+1]) / 4 }
			f.U[j*c.w/2+i], f.V[j*c.w/2+i] = code(128+mean(c.u)), code(128+mean(c.v))
		}
	}
	return f
}

// cuff paints a band round a forearm through (x, y): radius r, length l, the
// forearm at an angle from the vertical, bulging by b along the forearm as one
// seen from its end side does.
func (c *canvas) cuff(colour [3]float64, x, y, r, l, angle, b float64) {
	s, co := math.Sincos(angle)
	c.cover(skinTone, func(px, py float64) bool {
		return math.Abs((px-x)*co-(py-y)*s) < r-1 && math.Abs((px-x)*s+(py-y)*co) < 4*l
	})
	c.cover(colour, func(px, py float64) bool {
		across, along := (px-x)*co-(py-y)*s, (px-x)*s+(py-y)*co
		if math.Abs(across) > r {
			return false
		}
		return math.Abs(along-b*math.Sqrt(1-across*across/r/r)) < l/2
	})
}

// blur smooths the colour by a normal of a standard deviation, px.
func (c *canvas) blur(sd float64) {
	const reach = 4
	for _, p := range [][]float64{c.u, c.v} {
		for _, step := range []int{1, c.w} {
			from := append([]float64(nil), p...)
			for i := reach * step; i < len(p)-reach*step; i++ {
				sum, n := 0.0, 0.0
				for k := -reach; k <= reach; k++ {
					w := math.Exp(-float64(k*k) / (2 * sd * sd))
					sum, n = sum+w*from[i+k*step], n+w
				}
				p[i] = sum / n
			}
		}
	}
}

func mirror(f *track.Frame) *track.Frame {
	g := &track.Frame{Index: f.Index, T: f.T, Width: f.Width, Height: f.Height}
	turn := func(p []byte, w int) []byte {
		q := make([]byte, len(p))
		for i := range p {
			q[i] = p[i/w*w+w-1-i%w]
		}
		return q
	}
	g.Y, g.U, g.V = turn(f.Y, f.Width), turn(f.U, f.Width/2), turn(f.V, f.Width/2)
	return g
}

// Two bands of one colour and one of another move; their middles are found to a
// fraction of a pixel although they bulge, sides follow the target, and the
// mirror image gives the mirrored places.
func TestBandsAreFollowed(t *testing.T) {
	opt := DefaultOptions()
	opt.LeadElbow, opt.TrailElbow, opt.LeadWrist = "yellow", "yellow", "blue"
	if err := opt.Validate(); err != nil {
		t.Fatal(err)
	}
	const w, h = 320, 240
	opt.MaxGap = 0.2
	rng := rand.New(rand.NewPCG(1, 2))
	here, there := NewBands(opt, w, h), NewBands(opt, w, h)
	// The picture is small: sizes are those of a 1920 px clip, so stay with its
	// unit.
	here.unit, there.unit = 0.6, 0.6
	want := map[string][][2]float64{}
	for i := range 20 {
		c := newCanvas(w, h)
		k := float64(i)
		places := map[string][2]float64{
			track.LeadElbow: {210 + 1.3*k, 80 - 0.4*k}, track.TrailElbow: {100 + 1.1*k, 90}, track.LeadWrist: {150 + 1.7*k, 170 + 0.6*k},
		}
		c.cuff(yellow, places[track.LeadElbow][0], places[track.LeadElbow][1], 17, 14, 0.5, 4-0.2*k)
		c.cuff(yellow, places[track.TrailElbow][0], places[track.TrailElbow][1], 17, 14, -0.4, -2)
		c.cuff(blue, places[track.LeadWrist][0], places[track.LeadWrist][1], 13, 11, 0.3, 0.15*k)
		for name, p := range places {
			want[name] = append(want[name], p)
		}
		f := c.frame(i, 1.5, rng)
		here.Next(f)
		there.Next(mirror(f))
	}
	tracks := here.Patches().Tracks(Scene{Toward: 1, SiteX: 0.5, SiteY: 0.5})
	if len(tracks) != 3 {
		t.Fatalf("got %d tracks, want 3", len(tracks))
	}
	mirrored := map[string]track.Track{}
	for _, tr := range there.Patches().Tracks(Scene{Toward: -1, SiteX: 0.5, SiteY: 0.5}) {
		mirrored[tr.Object] = tr
	}
	for _, tr := range tracks {
		for i, s := range tr.Samples {
			p := want[tr.Object][i]
			if !s.Seen || math.Hypot(s.X-p[0], s.Y-p[1]) > 0.9 {
				t.Errorf("%s frame %d: seen %v at %.2f, %.2f, want %.2f, %.2f", tr.Object, i, s.Seen, s.X, s.Y, p[0], p[1])
			}
			m := mirrored[tr.Object].Samples[i]
			if math.Abs(m.X-(w-1-s.X)) > 1e-6 || math.Abs(m.Y-s.Y) > 1e-6 {
				t.Errorf("%s frame %d: the mirror image is at %.6f, %.6f", tr.Object, i, m.X, m.Y)
			}
		}
	}
}

// The middle of a band is found on the axis of a forearm however far this points at
// the camera, in a picture as blurred as those of phones.
func TestBandOfAForearmThatPointsAtTheCamera(t *testing.T) {
	opt := DefaultOptions()
	opt.LeadElbow = "yellow"
	c := NewBands(opt, 160, 140).classes[0]
	rng := rand.New(rand.NewPCG(3, 4))
	const angle, places = 0.5, 10
	for _, r := range []float64{14, 18, 22} {
		for _, tilt := range []float64{-0.9, -0.35, 0, 0.6, 0.9} {
			off := 0.0 // px, along the forearm
			for k := range places {
				pic := newCanvas(160, 140)
				x, y := 80+0.37*float64(k), 70+0.61*float64(k)
				pic.cuff(yellow, x, y, r, 0.78*r*math.Cos(tilt), angle, r*math.Sin(tilt))
				pic.blur(1.2)
				f := pic.frame(0, 1.5, rng)
				var l looker
				s, ok := l.see(f, x/2-0.25, y/2-0.25, 40, c, 86)
				if ok {
					s, ok = l.see(f, s.x, s.y, 40, c, s.chroma)
				}
				if !ok {
					t.Fatalf("radius %g px, tilt %g: not seen", r, tilt)
				}
				sin, cos := math.Sincos(angle)
				off += ((2*s.x+0.5-x)*sin + (2*s.y+0.5-y)*cos) / places
			}
			if math.Abs(off) > 0.75 {
				t.Errorf("radius %g px, tilt %g rad: %.2f px off along the forearm", r, tilt, off)
			}
		}
	}
}

// One end of a band lies in shade, or the upper arm covers a corner of it: its middle is
// where it was.
func TestBandInShadeAndUnderTheUpperArm(t *testing.T) {
	opt := DefaultOptions()
	opt.LeadElbow = "yellow"
	c := NewBands(opt, 160, 140).classes[0]
	rng := rand.New(rand.NewPCG(3, 5))
	const x, y, r, length, angle = 80.2, 70.4, 18, 15, 0.5
	sin, cos := math.Sincos(angle)
	for _, tc := range []struct {
		name           string
		shade, covered float64 // less light at one end, a share; how far the upper arm reaches over the upper rim at the other, px
	}{{"in full view", 0, 0}, {"in shade", 0.5, 0}, {"covered", 0, 9}, {"both", 0.4, 9}} {
		pic := newCanvas(160, 140)
		pic.cuff(yellow, x, y, r, length, angle, 5)
		across := func(px, py float64) float64 { return ((px-x)*cos - (py-y)*sin) / r }
		pic.cover(skinTone, func(px, py float64) bool {
			along := (px-x)*sin + (py-y)*cos
			return along < tc.covered*(1-across(px, py))/2-length/2. && math.Abs(across(px, py)) < 1.1 && tc.covered > 0
		})
		for i := range pic.y {
			light := 1 - tc.shade*(1+math.Max(-1, math.Min(1, across(float64(i%160), float64(i/160)))))/2
			pic.y[i], pic.u[i], pic.v[i] = pic.y[i]*light, pic.u[i]*light, pic.v[i]*light
		}
		pic.blur(1.2)
		var l looker
		s, ok := l.see(pic.frame(0, 1.5, rng), x/2-0.25, y/2-0.25, 40, c, 86)
		if off := math.Hypot(2*s.x+0.5-x, 2*s.y+0.5-y); !ok || off > 1.2 {
			t.Errorf("%s: seen %v, %.2f px off", tc.name, ok, off)
		}
	}
}

func TestBandHalfHiddenIsNotSeen(t *testing.T) {
	opt := DefaultOptions()
	opt.LeadWrist = "blue"
	rng := rand.New(rand.NewPCG(5, 2))
	b := NewBands(opt, 320, 240)
	b.unit = 0.6
	for i := range 14 {
		c := newCanvas(320, 240)
		c.cuff(blue, 150, 120, 13, 11, 0.2, 1)
		if i >= 10 {
			c.cover(skinTone, func(x, y float64) bool { return x < 151 })
		}
		b.Next(c.frame(i, 1, rng))
	}
	tr := b.Patches().Tracks(Scene{Toward: 1})
	if len(tr) != 1 {
		t.Fatalf("got %d tracks, want 1", len(tr))
	}
	for i, s := range tr[0].Samples {
		if s.Seen != (i < 10) {
			t.Errorf("frame %d: seen %v", i, s.Seen)
		}
	}
}

// shaft paints a shaft, lit from one side, that crosses the row y0 at x0.
func (c *canvas) shaft(x0, y0, angle float64, light [4]float64) {
	const half = 2.7
	s, co := math.Sincos(angle)
	for k, level := range light {
		from := half * (float64(k)/2 - 1)
		c.cover([3]float64{level, 0, 0}, func(x, y float64) bool {
			d := (x-x0)*co + (y-y0)*s
			return d >= from && d < from+half/2
		})
	}
}

func TestShaftIsFound(t *testing.T) {
	const w, h, scale = 400, 320, 500.
	rng := rand.New(rand.NewPCG(7, 7))
	opt := DefaultOptions()
	here, there := NewShaft(opt, scale, 1.0/60), NewShaft(opt, scale, 1.0/60)
	at := append(make([]float64, lessonFrames), 2, -6, -14, 9, 21)
	for i, degrees := range at {
		angle := degrees * math.Pi / 180
		x0, y0 := 180.3+2*float64(i), 300.2
		c := newCanvas(w, h)
		// Trousers on either side make edges that are no shaft.
		c.cover([3]float64{60, 0, 0}, func(x, y float64) bool { return x < 150 || x > 260+0.1*y })
		c.shaft(x0+6, y0, angle, [4]float64{steel[0], steel[0], steel[0], steel[0]})
		f := c.frame(i, 2, rng)
		got, ok := here.Find(f, x0, y0, 0)
		m, found := there.Find(mirror(f), w-1-x0, y0, 0)
		if i < lessonFrames {
			continue
		}
		if !ok || math.Abs(got.Angle-angle) > 0.15*math.Pi/180 || math.Abs(got.Angle-angle) > 3*got.U {
			t.Errorf("lean of %g degrees: got %.2f +- %.2f, found %v", degrees, got.Angle*180/math.Pi, got.U*180/math.Pi, ok)
		}
		if !found || math.Abs(m.Angle+got.Angle) > 0.05*math.Pi/180 {
			t.Errorf("mirror image of %g degrees: got %.3f", degrees, m.Angle*180/math.Pi)
		}
	}
	if _, ok := NewShaft(opt, scale, 1.0/60).Find(newCanvas(w, h).frame(0, 2, rng), 180, 300, 0); ok {
		t.Error("found a shaft on a bare wall")
	}
}

// A shaft that is lit from one side, before a dark floor and a wall as bright as itself:
// where it crosses the sticker's row must not go with what is behind it.
func TestShaftBesideTheStickerWhateverIsBehind(t *testing.T) {
	const w, h, scale, beside = 400, 320, 500., 6.
	rng := rand.New(rand.NewPCG(7, 9))
	s := NewShaft(DefaultOptions(), scale, 1.0/60)
	var sum, square, n float64
	for i := range 40 {
		var move float64
		if i > lessonFrames {
			move = float64(i - lessonFrames)
		}
		x0, y0, wall := 150.3+4.3*move, 300.2, 210+1.2*move
		c := newCanvas(w, h)
		c.cover([3]float64{55, 0, 0}, func(x, y float64) bool { return y > wall })
		c.cover([3]float64{178, 0, 0}, func(x, y float64) bool { return y <= wall })
		c.shaft(x0+beside, y0, (0.1+0.6*move)*math.Pi/180, [4]float64{205, 190, 170, 145})
		c.blur(0.6)
		got, ok := s.Find(c.frame(i, 1.5, rng), x0, y0, 0)
		if !ok || got.Studied != (i >= lessonFrames) {
			t.Fatalf("frame %d: found %v, studied %v", i, ok, got.Studied)
		}
		if got.Studied {
			d := got.X - x0 - beside
			sum, square, n = sum+d, square+d*d, n+1
		}
	}
	mean := sum / n
	if sd := math.Sqrt(square/n - mean*mean); sd > 0.06 || math.Abs(mean) > 0.5 {
		t.Errorf("crosses %.3f px off the place, scattering by %.3f px", mean, sd)
	}
}

func TestLeadHandKeepsItsPlaceOnTheShaft(t *testing.T) {
	var foot, top, elbow, wrist track.Track
	for i := range 10 {
		at := func(tr *track.Track, x, y float64) {
			tr.Samples = append(tr.Samples, track.Sample{Frame: i, T: float64(i) / 60, X: x, Y: y, U: 0.1, Seen: true})
		}
		shift := 3 * float64(max(0, i-4)) // after address
		at(&foot, 100+shift, 400)
		at(&top, 100+shift, 200)
		at(&elbow, 180, 20)
		at(&wrist, 130, 100)
	}
	hand, ok := LeadHand(foot, top, elbow, wrist, 500, 0, 4./60)
	// 55 px on from the wrist in the direction (-50, 80).
	y := 100 + 55*80/math.Hypot(50, 80)
	if s := hand.Samples[9]; !ok || math.Abs(s.X-115) > 1e-9 || math.Abs(s.Y-y) > 1e-9 {
		t.Errorf("got %.2f, %.2f, want 115, %.2f", hand.Samples[9].X, hand.Samples[9].Y, y)
	}
	if _, ok := LeadHand(foot, top, track.Track{}, wrist, 500, 0, 1); ok {
		t.Error("found a hand without a forearm")
	}
}

func TestOptionsSayWhatIsWrong(t *testing.T) {
	for _, c := range []struct {
		change func(*Options)
		want   string
	}{
		{func(o *Options) { o.Cap = "mauve" }, `cap: must be none or one of`},
		{func(o *Options) { o.LeadElbow, o.Cap = "red", "red" }, `cap: "red" is also the colour of the lead elbow`},
		{func(o *Options) { o.ShaftTo = 50 }, "shaft_to: must be"},
		{func(o *Options) { o.MinChroma = 0 }, "min_chroma: must be between"},
	} {
		o := DefaultOptions()
		c.change(&o)
		if err := o.Validate(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %q", err, c.want)
		}
	}
}

// How far a moving shaft is smeared tells for how long a picture is exposed, whatever share
// of the time between pictures that is, and its place does not go with it.
func TestSmearedShaftTellsTheExposure(t *testing.T) {
	const w, h, scale, interval, beside = 230, 310, 500., 1.0 / 60, 6.
	for _, exposure := range []float64{0, 0.003, 0.013} {
		rng := rand.New(rand.NewPCG(3, uint64(1e6*exposure)))
		s := NewShaft(DefaultOptions(), scale, interval)
		x := 60.3
		for i := range lessonFrames + 10 {
			speed, parts := 0.0, 1
			if i >= lessonFrames {
				speed, parts = 300+60*float64(i-lessonFrames), 1+2*int(math.Ceil(300*exposure))
				x += speed * interval * 0.8
			}
			if x > w-60 {
				x -= 110
			}
			mean := newCanvas(w, h)
			for k := range mean.y {
				mean.y[k] = 0
			}
			for part := range parts {
				// A putter turns about the player's shoulders.
				at := speed * exposure * (float64(part) - float64(parts-1)/2) / float64(parts)
				c := newCanvas(w, h)
				c.cover([3]float64{55, 0, 0}, func(_, y float64) bool { return y > 215 })
				c.cover([3]float64{110, 0, 0}, func(_, y float64) bool { return y <= 215 })
				c.shaft(x+at+beside, 300.2, 0.02-at/(1.4*scale), [4]float64{205, 190, 170, 145})
				for k, v := range c.y {
					mean.y[k] += v / float64(parts)
				}
			}
			mean.blur(0.6)
			got, ok := s.Find(mean.frame(i, 1.5, rng), x, 300.2, speed)
			if !ok {
				t.Fatalf("exposed for %g s, frame %d: not found", exposure, i)
			}
			if off := got.X - x - beside; i > lessonFrames+4 && math.Abs(off) > 0.3 {
				t.Errorf("exposed for %g s, frame %d: %.2f px off", exposure, i, off)
			}
		}
		if got := s.Exposure(); math.Abs(got-exposure) > math.Max(0.0005, 0.06*exposure) {
			t.Errorf("exposed for %g s: got %.4f s", exposure, got)
		}
	}
}

func TestNoExposureBeforeAPicture(t *testing.T) {
	if got := NewShaft(DefaultOptions(), 500, 1.0/60).Exposure(); got != 0 {
		t.Errorf("got %g s before a picture was seen", got)
	}
}
