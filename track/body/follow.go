package body

import (
	"math"

	"strokereel/track"
)

// Follower follows the joints of the player with a model. It looks twice: at the
// whole player, for hips, ankles and where to look next, and closer at arms and
// head, which then fill more of what the network sees and err less.
type Follower struct {
	model    *Model
	mirrored bool // the target is at the picture's left
	region   region
	known    bool
	tries    int
	looks    int     // poses that have moved the region
	whole    float64 // s, last look at the whole player
	turned   bool    // the next closer look is at the mirror image
	poses    []seenPose
}

type seenPose struct {
	frame  int
	t      float64
	turned bool // arms and head were told by the mirror image
	arms   *arms
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
	// wholeEvery is how often the whole player is looked at, s: hips and ankles move
	// little. At address that is at every look.
	wholeEvery = 0.075
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
		if p.looks >= settling && f.T-p.whole < wholeEvery {
			return p.closer(f, club, Pose{})
		}
		pose, err := p.model.pose(f, p.region, p.mirrored)
		if err != nil {
			return err
		}
		if p.holds(pose, club) {
			return p.closer(f, club, p.keep(f, pose))
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
		if p.holds(pose, club) {
			return p.closer(f, club, p.keep(f, pose))
		}
	}
	p.tries++
	return nil
}

// holds reports whether a pose is that of somebody whose hands are where the
// club's are.
func (p *Follower) holds(pose Pose, club Club) bool {
	a, b := pose.Joints[leftWrist], pose.Joints[leftWrist+1]
	x, y := (a.X+b.X)/2-club.X, (a.Y+b.Y)/2-(club.Y-handsUp*club.PxPerM)
	return pose.Score >= leastScore && math.Hypot(x, y) <= handsNear*club.PxPerM
}

// keep follows the player to where a pose says.
func (p *Follower) keep(f *track.Frame, pose Pose) Pose {
	p.known, p.tries, p.whole = true, 0, f.T
	if pose.cold() > mostCold {
		p.looks = 0 // look from elsewhere
	}
	p.look(pose.next)
	return pose
}

// closer looks at arms and head, every other time at their mirror image, and notes
// what they and the rest of a look at the whole player tell. Where the closer look
// finds nobody, the other one stands.
func (p *Follower) closer(f *track.Frame, club Club, whole Pose) error {
	turned := p.turned
	p.turned = !turned
	pose, err := p.near(f, turned)
	if err != nil {
		return err
	}
	if p.holds(pose, club) {
		copy(pose.Joints[leftHip:], whole.Joints[leftHip:])
	} else {
		pose, turned = whole, false
	}
	if pose.Score > 0 {
		p.poses = append(p.poses, seenPose{f.Index, f.T, turned, p.armsOf(f, pose), pose})
	}
	return nil
}

// near looks closer at the player, or at the player's mirror image.
func (p *Follower) near(f *track.Frame, turned bool) (Pose, error) {
	if !turned {
		return p.model.pose(f, p.region.part(nearerSize, nearerAt), p.mirrored)
	}
	pose, err := p.model.pose(f, p.region.part(nearerSize, nearerAt).mirror(float64(f.Width)), !p.mirrored)
	for i := leftEar; i <= leftAnkle; i += 2 {
		pose.Joints[i], pose.Joints[i+1] = pose.Joints[i+1], pose.Joints[i]
	}
	return pose, err
}

// Ears looks closely at the head in a frame that was just looked at, and tells where
// the ears are, px, if they are seen.
func (p *Follower) Ears(f *track.Frame) (ax, ay, bx, by float64, ok bool, err error) {
	if len(p.poses) == 0 || p.poses[len(p.poses)-1].frame != f.Index {
		return 0, 0, 0, 0, false, nil
	}
	q, err := p.model.pose(f, p.region.part(headSize, headAt), p.mirrored)
	if err != nil {
		return 0, 0, 0, 0, false, err
	}
	a, b := q.Joints[leftEar], q.Joints[leftEar+1]
	return a.X, a.Y, b.X, b.Y, math.Min(a.Seen, b.Seen) >= leastSure, nil
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
