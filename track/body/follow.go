package body

import (
	"math"

	"strokereel/track"
)

// Follower follows the joints of the player with a model.
type Follower struct {
	model    *Model
	mirrored bool // the target is at the picture's left
	region   region
	known    bool
	tries    int
	looks    int // poses that have moved the region
	poses    []seenPose
}

type seenPose struct {
	frame int
	t     float64
	Pose
}

// Club is where the club is in a frame: the player is whoever holds it.
type Club struct {
	X, Y   float64 // px, the putter's sticker
	PxPerM float64
}

const (
	// handsUp is how far above the sticker the hands are, m; a child's are lower.
	handsUp = 0.65
	// handsNear is how far from there they may be, m.
	handsNear = 0.45
	// mostTries is how often nobody may be found before the clip is left alone.
	mostTries = 3
)

// NewFollower returns a follower. A left-hander's picture is looked at mirrored,
// so that the model tells the same of it as of its mirror image.
func NewFollower(m *Model, targetLeft bool) *Follower {
	return &Follower{model: m, mirrored: targetLeft}
}

// Next looks at a frame. Frames may be left out between calls.
func (p *Follower) Next(f *track.Frame, club Club) error {
	if p.tries >= mostTries {
		return nil
	}
	if p.known {
		pose, err := p.model.pose(f, p.region, p.mirrored)
		if err != nil {
			return err
		}
		if p.keep(f, pose, club) {
			return nil
		}
	}
	p.known, p.looks = false, 0
	people, err := p.model.people(f, p.mirrored)
	if err != nil {
		return err
	}
	for _, q := range people {
		pose, err := p.model.pose(f, q.region, p.mirrored)
		if err != nil {
			return err
		}
		if p.keep(f, pose, club) {
			return nil
		}
	}
	p.tries++
	return nil
}

// keep notes a pose whose hands are where the club's are.
func (p *Follower) keep(f *track.Frame, pose Pose, club Club) bool {
	a, b := pose.Joints[leftWrist], pose.Joints[leftWrist+1]
	x, y := (a.X+b.X)/2-club.X, (a.Y+b.Y)/2-(club.Y-handsUp*club.PxPerM)
	if pose.Score < leastScore || math.Hypot(x, y) > handsNear*club.PxPerM {
		return false
	}
	p.poses = append(p.poses, seenPose{f.Index, f.T, pose})
	p.known, p.tries = true, 0
	if pose.cold() > mostCold {
		p.looks = 0 // look from elsewhere
	}
	p.look(pose.next)
	return true
}

// mostCold is how many joints of a pose may be unsure before the region moves.
const mostCold = 1

// cold counts the joints of a pose that are unsure.
func (q Pose) cold() int {
	n := 0
	for _, pair := range pairs {
		for _, j := range q.Joints[pair.left : pair.left+2] {
			if j.Seen < leastSure {
				n++
			}
		}
	}
	return n
}

// settling is over how many poses the region is averaged. A player stays in
// place, and a region that stays too lets the model err alike in every frame.
const settling = 5

// look moves the region looked at to the mean of what the first poses propose.
func (p *Follower) look(r region) {
	p.looks++
	switch k := 1 / float64(p.looks); {
	case p.looks == 1:
		p.region = r
	case p.looks <= settling:
		p.region.x += k * (r.x - p.region.x)
		p.region.y += k * (r.y - p.region.y)
		p.region.size += k * (r.size - p.region.size)
		p.region.angle += k * (r.angle - p.region.angle)
	}
}

// Numbers of the network's joints on the person's left; the right one follows.
const (
	leftEar      = 7
	leftShoulder = 11
	leftElbow    = 13
	leftWrist    = 15
	leftHip      = 23
	leftAnkle    = 27
)

// pairs are the joints that are used, lead and trail.
var pairs = []struct {
	left        int
	lead, trail string
}{
	{leftShoulder, track.LeadShoulder, track.TrailShoulder}, {leftElbow, track.LeadElbow, track.TrailElbow},
	{leftWrist, track.LeadWrist, track.TrailWrist}, {leftHip, track.LeadHip, track.TrailHip},
	{leftAnkle, track.LeadAnkle, track.TrailAnkle}, {leftEar, track.LeadEar, track.TrailEar},
}

const (
	// oddWidth is how far the width of the shoulders may be from the clip's
	// usual one, as a share: a model in two minds about which way the player
	// faces draws left and right together.
	oddWidth = 0.15
	// leastSure is how surely a joint must be where it is said to be, and not hidden.
	leastSure = 0.5
	// leastNoise is the least scatter of a joint, as a share of the trunk.
	leastNoise = 0.006
)

// Tracks returns the joints, px, one sample per frame of stamps; a frame that
// was not looked at, or in which the model is in two minds, is unseen. The head
// is the middle of the ears.
func (p *Follower) Tracks(stamps []track.Sample) []track.Track {
	good := p.consistent()
	if len(good) < 5 {
		return nil
	}
	least := leastNoise * trunkLength(good)
	var out []track.Track
	for _, pair := range pairs {
		lead, trail := map[int]track.Sample{}, map[int]track.Sample{}
		for _, g := range good {
			a, b := g.Joints[pair.left], g.Joints[pair.left+1]
			if math.Min(a.Seen, b.Seen) >= leastSure && p.faces(a, b) {
				lead[g.frame] = track.Sample{Frame: g.frame, T: g.t, X: a.X, Y: a.Y, Seen: true}
				trail[g.frame] = track.Sample{Frame: g.frame, T: g.t, X: b.X, Y: b.Y, Seen: true}
			}
		}
		out = append(out, spread(pair.lead, lead, stamps, least), spread(pair.trail, trail, stamps, least))
	}
	return append(out, middleOf(track.Head, out[len(out)-2], out[len(out)-1]))
}

// faces reports whether the left one of a pair is on the target's side, as it is
// of a player who faces the camera.
func (p *Follower) faces(left, right Joint) bool { return (left.X > right.X) != p.mirrored }

// consistent leaves out poses in which the player seems to face away, and those
// whose shoulders are not as wide as usual.
func (p *Follower) consistent() []seenPose {
	var facing, out []seenPose
	var widths []float64
	for _, g := range p.poses {
		if p.faces(g.Joints[leftShoulder], g.Joints[leftShoulder+1]) && p.faces(g.Joints[leftHip], g.Joints[leftHip+1]) {
			facing, widths = append(facing, g), append(widths, shoulderWidth(g))
		}
	}
	if len(facing) < len(p.poses)/2 {
		return nil // the model cannot tell front from back here
	}
	usual := median(widths)
	for i, g := range facing {
		if math.Abs(widths[i]-usual) <= oddWidth*usual {
			out = append(out, g)
		}
	}
	return out
}

func shoulderWidth(g seenPose) float64 {
	a, b := g.Joints[leftShoulder], g.Joints[leftShoulder+1]
	return math.Hypot(a.X-b.X, a.Y-b.Y)
}

func trunkLength(poses []seenPose) float64 {
	var l []float64
	for _, g := range poses {
		a, b, c, d := g.Joints[leftShoulder], g.Joints[leftShoulder+1], g.Joints[leftHip], g.Joints[leftHip+1]
		l = append(l, math.Hypot(a.X+b.X-c.X-d.X, a.Y+b.Y-c.Y-d.Y)/2)
	}
	return median(l)
}

// spread lays samples out over all frames and gives each the scatter of the
// joint from frame to frame as its uncertainty.
func spread(name string, at map[int]track.Sample, stamps []track.Sample, least float64) track.Track {
	tr := track.Track{Object: name}
	var steps []float64
	last := track.Sample{}
	for _, s := range stamps {
		q, ok := at[s.Frame]
		if !ok {
			q = s
		}
		tr.Samples = append(tr.Samples, q)
		if q.Seen && last.Seen && q.Frame-last.Frame <= 2 {
			steps = append(steps, math.Abs(q.X-last.X), math.Abs(q.Y-last.Y))
		}
		if q.Seen {
			last = q
		}
	}
	u := least
	if len(steps) > 10 { // median size of a normal deviate, of a difference of two
		u = math.Hypot(u, median(steps)/0.6745/math.Sqrt2)
	}
	for i := range tr.Samples {
		tr.Samples[i].U = u
	}
	return tr
}

func middleOf(name string, a, b track.Track) track.Track {
	out := track.Track{Object: name}
	for i, s := range a.Samples {
		if r := b.Samples[i]; s.Seen && r.Seen {
			s.X, s.Y, s.U = (s.X+r.X)/2, (s.Y+r.Y)/2, math.Hypot(s.U, r.U)/2
		} else {
			s.Seen = false
		}
		out.Samples = append(out.Samples, s)
	}
	return out
}
