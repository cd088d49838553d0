package body

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// armAt paints an arm in a short sleeve before a trunk and a wall, and returns its joints
// (shoulder, elbow, wrist). The trunk's rim stays where it is.
func armAt(shoulder, elbow, wrist [2]float64) (*canvas, [3]Joint) {
	c := newCanvas(420, 520)
	c.cover([3]float64{150, 2, -4}, func(x, y float64) bool { return true })
	c.cover([3]float64{95, 10, -12}, func(x, y float64) bool { return x < 200 && y > 60 && y < 380 })
	c.capsule(skinTone, shoulder[0], shoulder[1], elbow[0], elbow[1], 24, 22)
	sleeve := func(i int) float64 { return shoulder[i] + 0.7*(elbow[i]-shoulder[i]) }
	c.capsule([3]float64{100, 12, -14}, shoulder[0], shoulder[1], sleeve(0), sleeve(1), 36, 30)
	c.capsule(skinTone, elbow[0], elbow[1], wrist[0], wrist[1], 22, 15)
	c.blur(1)
	return c, [3]Joint{{X: shoulder[0], Y: shoulder[1], Seen: 1}, {X: elbow[0], Y: elbow[1], Seen: 1}, {X: wrist[0], Y: wrist[1], Seen: 1}}
}

// lookAt is a look in which the model errs by some px at the elbow and by others at
// shoulder and wrist; both arms are the same one.
func lookAt(p *Follower, f *track.Frame, t float64, j [3]Joint, off [3][2]float64) seenPose {
	q := seenPose{frame: f.Index, t: t, Pose: Pose{Score: 1}}
	for i, n := range []int{leftShoulder, leftElbow, leftWrist} {
		for arm := range 2 {
			x := j[i].X + off[i][0]
			if p.mirrored {
				x = float64(f.Width-1) - x
			}
			q.Joints[n+arm] = Joint{X: x, Y: j[i].Y + off[i][1], Seen: 1}
		}
	}
	if p.mirrored {
		f = mirror(f)
	}
	q.arms = p.armsOf(f, q.Pose)
	return q
}

// bent are looks at an arm at address and later, bent otherwise and before other
// things, where the model errs differently by several px, and the true joints.
func bent(p *Follower) (looks []seenPose, address, later [3]Joint) {
	rng := rand.New(rand.NewPCG(1, 2))
	c, address := armAt([2]float64{230, 90}, [2]float64{245, 240}, [2]float64{190, 350})
	wrong := [3][2]float64{{-3, -12}, {-4, -9}, {3, 4}} // a model has its own idea of joints
	for i := range 4 {
		looks = append(looks, lookAt(p, c.frame(i, 1.5, rng), float64(i)*0.1, address, wrong))
	}
	c, later = armAt([2]float64{222, 80}, [2]float64{262, 225}, [2]float64{160, 318})
	for i := range 3 {
		off := wrong
		off[0], off[1], off[2] = [2]float64{wrong[0][0] + 2, wrong[0][1] - 2}, [2]float64{wrong[1][0] - 6, wrong[1][1] + 7}, [2]float64{wrong[2][0] + 6, wrong[2][1] + 8}
		looks = append(looks, lookAt(p, c.frame(4+i, 1.5, rng), 1+float64(i)*0.03, later, off))
	}
	return looks, address, later
}

// How far an elbow has moved and a forearm has turned since address is told better than
// by the model alone, and of the mirror image alike.
func TestArmsAreFollowedByTheirPicture(t *testing.T) {
	p := &Follower{}
	looks, address, later := bent(p)
	model, got := followArms(looks, nil), followArms(looks, []float64{0.3})
	moved := func(a [][2]armed) (x, y, turned float64) {
		dir := func(q armed) float64 { return math.Atan2(q.wrist.Y-q.elbow.Y, q.wrist.X-q.elbow.X) }
		u, v := a[1][0], a[5][0]
		x, y = v.elbow.X-u.elbow.X-(later[1].X-address[1].X), v.elbow.Y-u.elbow.Y-(later[1].Y-address[1].Y)
		turned = dir(v) - dir(u) - dir(unfollowed(later[1], later[2])) + dir(unfollowed(address[1], address[2]))
		return x, y, turned * 180 / math.Pi
	}
	x0, y0, a0 := moved(model)
	if math.Hypot(x0, y0) < 5 || math.Abs(a0) < 2 {
		t.Fatalf("the model errs by %.1f, %.1f px and %.1f degrees only: that tests nothing", x0, y0, a0)
	}
	x, y, a := moved(got)
	if math.Hypot(x, y) > 3.5 || math.Abs(a) > 1.5 {
		t.Errorf("the elbow moved by %.1f, %.1f px and the forearm turned by %.1f degrees too much, with the model alone by %.1f, %.1f and %.1f", x, y, a, x0, y0, a0)
	}
	other := &Follower{mirrored: true}
	looks, _, _ = bent(other)
	for k, q := range followArms(looks, []float64{0.3}) {
		for arm := range q {
			if d := math.Hypot(419-q[arm].elbow.X-got[k][arm].elbow.X, q[arm].elbow.Y-got[k][arm].elbow.Y); d > 1e-6 {
				t.Errorf("look %d: the elbow of the mirror image is %.2g px elsewhere", k, d)
			}
		}
	}
}

// Where the picture tells nothing the model stands, and without looks at address too.
func TestArmsThatCannotBeSeenAreTheModels(t *testing.T) {
	p := &Follower{}
	looks, _, _ := bent(p)
	want := followArms(looks, nil)
	grey := newCanvas(420, 520)
	for k := range looks {
		looks[k].arms = p.armsOf(grey.frame(k, 0, nil), looks[k].Pose)
	}
	for name, starts := range map[string][]float64{"a grey picture": {0.3}, "no looks at address": {9}} {
		for k, q := range followArms(looks, starts) {
			if d := math.Hypot(q[0].elbow.X-want[k][0].elbow.X, q[0].elbow.Y-want[k][0].elbow.Y); d > 0.1 {
				t.Errorf("%s: look %d: the elbow was moved by %.2f px", name, k, d)
			}
		}
	}
}
