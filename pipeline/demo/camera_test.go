package demo

import (
	"math"
	"testing"
)

// spun turns an upright pixel about the picture's centre.
func spun(x, y, cx, cy, angle float64) (float64, float64) {
	s, c := math.Sin(angle), math.Cos(angle)
	return cx + c*(x-cx) + s*(y-cy), cy - s*(x-cx) + c*(y-cy)
}

// The pinhole formula written out for a level camera and its three turns.
func TestCameraAgainstThePinholeFormula(t *testing.T) {
	c := Camera{Width: 1920, Height: 1080, FocalMM: 30, Distance: 3, Rise: 1, Aside: 0.2}
	f := 30.0 / 36 * 1920
	p := vec{0.5, 0.3, 0.1}
	x, y := 959.5+f*(0.5-0.2)/2.9, 539.5+f*(1-0.3)/2.9
	near := func(what string, got point, x, y float64) {
		t.Helper()
		if math.Hypot(got.x-x, got.y-y) > 1e-6 {
			t.Errorf("%s: seen at %.4f, %.4f, want %.4f, %.4f", what, got.x, got.y, x, y)
		}
	}
	near("level", newView(c).see(p), x, y)

	roll := c
	roll.Roll = 2
	rx, ry := spun(x, y, 959.5, 539.5, 2*math.Pi/180)
	near("rolled", newView(roll).see(p), rx, ry)

	pitch := c
	pitch.Pitch = -6
	down := math.Atan2(1-0.3, 2.9) - 6*math.Pi/180
	far := math.Hypot(0.7, 2.9) * math.Cos(down)
	near("pitched down", newView(pitch).see(p), 959.5+f*0.3/far, 539.5+f*math.Tan(down))

	yaw := c
	yaw.Yaw = 3
	side := math.Atan2(0.3, 2.9) - 3*math.Pi/180
	far = math.Hypot(0.3, 2.9) * math.Cos(side)
	near("yawed toward the target", newView(yaw).see(p), 959.5+f*math.Tan(side), 539.5+f*0.7/far)

	left := c
	left.Mirrored = true
	near("left-hander", newView(left).see(p), 959.5+f*(-0.5-0.2)/2.9, y)

	tall := c
	tall.Width, tall.Height, tall.Turned = 1080, 1920, true
	v := newView(tall)
	near("upright phone", v.see(p), 539.5+f*0.3/2.9, 959.5+f*0.7/2.9)
	near("upright phone as stored", v.project(p), 959.5+f*0.7/2.9, 539.5-f*0.3/2.9)
	if v.width != 1920 || v.height != 1080 {
		t.Errorf("stored size %dx%d, want landscape", v.width, v.height)
	}
}

func TestRayIsTheWayBack(t *testing.T) {
	v := drawn(t, "portrait", 3).view
	p := vec{0.3, 0, -0.2}
	if got := v.onFloor(v.project(p)); got.sub(p).length() > 1e-9 {
		t.Errorf("floor point %v comes back as %v", p, got)
	}
}

// A sphere on the optical axis is a circle of radius f r / sqrt(d^2 - r^2).
func TestOutlineOfASphere(t *testing.T) {
	v := newView(Camera{Width: 1000, Height: 500, FocalMM: 36, Distance: 2, Rise: 0.5})
	r := 0.3
	want := 1000 * r / math.Sqrt(4-r*r)
	for _, p := range v.outline(vec{0, 0.5, 0}, r, 720) {
		within(t, "radius", math.Hypot(p.x-499.5, p.y-249.5), want*0.9999, want*1.0001)
	}
}

func TestRasterCoversTheArea(t *testing.T) {
	r := &raster{}
	white := func(x, y float64) (rgb, float32) { return rgb{1, 1, 1}, 1 }
	for name, poly := range map[string][]point{
		"triangle":           {{3.2, 4.7}, {25.1, 9.3}, {11.9, 30.4}},
		"thin sliver":        {{2, 2}, {30, 2.3}, {30, 2.6}},
		"turned round":       {{11.9, 30.4}, {25.1, 9.3}, {3.2, 4.7}},
		"inside one pixel":   {{5.1, 5.1}, {5.4, 5.1}, {5.4, 5.3}},
		"partly to the left": {{-10, 5}, {10, 5}, {10, 15}, {-10, 15}},
	} {
		dst := newPatch(40, 40)
		r.fill(dst, poly, white)
		var area, sx, sy, twice, wx, wy float64
		for i, c := range dst.pix {
			area += float64(c[0])
			sx += float64(c[0]) * float64(i%40)
			sy += float64(c[0]) * float64(i/40)
		}
		if name == "partly to the left" {
			within(t, name, area, 10.5*10-1e-3, 10.5*10+1e-3)
			continue
		}
		for i, p := range poly { // shoelace formula
			q := poly[(i+1)%len(poly)]
			k := p.x*q.y - q.x*p.y
			twice, wx, wy = twice+k, wx+k*(p.x+q.x), wy+k*(p.y+q.y)
		}
		within(t, name, area, math.Abs(twice/2)-1e-3, math.Abs(twice/2)+1e-3)
		if area > 100 {
			within(t, name+", centre x", sx/area, wx/(3*twice)-0.06, wx/(3*twice)+0.06)
			within(t, name+", centre y", sy/area, wy/(3*twice)-0.06, wy/(3*twice)+0.06)
		}
	}
}
