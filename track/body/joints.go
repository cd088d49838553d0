package body

import (
	"math"

	"strokereel/track"
)

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
// is the middle of the ears. Starts are those of the strokes, s, in order.
func (p *Follower) Tracks(stamps []track.Sample, starts []float64) []track.Track {
	good := p.consistent()
	if len(good) < 5 {
		return nil
	}
	least := leastNoise * trunkLength(good)
	arms := followArms(good, starts)
	var out []track.Track
	for _, pair := range pairs {
		lead, trail := map[int]track.Sample{}, map[int]track.Sample{}
		for k, g := range good {
			a, b := bothWays(good, k, pair.left), bothWays(good, k, pair.left+1)
			var ua, ub float64
			facing := p.faces(a, b)
			switch l, r := arms[k][0], arms[k][1]; pair.left {
			case leftElbow:
				a, b, ua, ub = l.elbow, r.elbow, l.uElbow, r.uElbow
			case leftWrist:
				// The hands are together: which is on which side tells nothing.
				facing = p.faces(l.elbow, r.elbow)
				a, b, ua, ub = l.wrist, r.wrist, l.uWrist, r.uWrist
			}
			if math.Min(a.Seen, b.Seen) >= leastSure && facing {
				lead[g.frame] = track.Sample{Frame: g.frame, T: g.t, X: a.X, Y: a.Y, U: ua, Seen: true}
				trail[g.frame] = track.Sample{Frame: g.frame, T: g.t, X: b.X, Y: b.Y, U: ub, Seen: true}
			}
		}
		kept := 1.0
		if pair.left == leftShoulder || pair.left == leftEar {
			kept = bothKept
		}
		out = append(out, spread(pair.lead, lead, stamps, least, kept), spread(pair.trail, trail, stamps, least, kept))
	}
	return append(out, middleOf(track.Head, out[len(out)-2], out[len(out)-1]))
}

const (
	// turnedWithin is how far apart, s, looks at the player and at the mirror image are
	// that are taken together.
	turnedWithin = 0.1
	// bothKept is the share of the variance of second differences that is left when half
	// of a look and a quarter of each of its neighbours are taken together: of 1, -2, 1
	// it makes 1, 0, -2, 0, 1 over 4.
	bothKept = 1. / 16
)

// bothWays is a joint as the player and the mirror image tell it, in one of which the
// model errs one way and in the other another: half of it by the k-th pose and half
// by those before and after it; it is seen as surely as in the least sure of them. Hips
// and ankles are only told by the player.
func bothWays(poses []seenPose, k, joint int) Joint {
	q := poses[k]
	j := q.Joints[joint]
	if k == 0 || k == len(poses)-1 || joint >= leftHip {
		return j
	}
	a, b := poses[k-1], poses[k+1]
	if a.turned == q.turned || b.turned == q.turned || q.t-a.t > turnedWithin || b.t-q.t > turnedWithin {
		return j
	}
	c, d := a.Joints[joint], b.Joints[joint]
	return Joint{X: j.X/2 + (c.X+d.X)/4, Y: j.Y/2 + (c.Y+d.Y)/4, Seen: math.Min(j.Seen, math.Min(c.Seen, d.Seen))}
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
		hips := !g.hips() || p.faces(g.Joints[leftHip], g.Joints[leftHip+1])
		if hips && p.faces(g.Joints[leftShoulder], g.Joints[leftShoulder+1]) {
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

// hips reports whether a pose tells the hips.
func (q Pose) hips() bool { return q.Joints[leftHip].Seen > 0 }

func shoulderWidth(g seenPose) float64 {
	a, b := g.Joints[leftShoulder], g.Joints[leftShoulder+1]
	return math.Hypot(a.X-b.X, a.Y-b.Y)
}

func trunkLength(poses []seenPose) float64 {
	var l []float64
	for _, g := range poses {
		if !g.hips() {
			continue
		}
		a, b, c, d := g.Joints[leftShoulder], g.Joints[leftShoulder+1], g.Joints[leftHip], g.Joints[leftHip+1]
		l = append(l, math.Hypot(a.X+b.X-c.X-d.X, a.Y+b.Y-c.Y-d.Y)/2)
	}
	return median(l)
}

// inRow is the longest pause between samples that tell of each other, s.
const inRow = 0.07

// spread lays samples out over all frames and adds to the uncertainty of each the scatter
// of the joint about its neighbours: that of second differences, in
// which steady motion vanishes. Kept is the share of their variance that smoothing has
// left; neighbours that were smoothed err together, so what they err is told as it was
// before.
func spread(name string, at map[int]track.Sample, stamps []track.Sample, least, kept float64) track.Track {
	tr := track.Track{Object: name}
	var bends []float64
	var a, b track.Sample // the last two seen
	for _, s := range stamps {
		q, ok := at[s.Frame]
		if !ok {
			q = s
		}
		tr.Samples = append(tr.Samples, q)
		if !q.Seen {
			continue
		}
		if a.Seen && q.T-b.T < inRow && b.T-a.T < inRow {
			bends = append(bends, math.Abs(q.X-2*b.X+a.X), math.Abs(q.Y-2*b.Y+a.Y))
		}
		a, b = b, q
	}
	u := least
	if len(bends) > 10 { // median size of a normal deviate; variances 1, 4 and 1
		u = math.Hypot(u, median(bends)/0.6745/math.Sqrt(6*kept))
	}
	for i := range tr.Samples {
		tr.Samples[i].U = math.Hypot(u, tr.Samples[i].U)
	}
	bridge(tr.Samples)
	return tr
}

// bridge gives the frames between two looks that follow each other closely, which
// the model was not asked about, the places in between.
func bridge(s []track.Sample) {
	last := -1
	for i, q := range s {
		if !q.Seen {
			continue
		}
		if last >= 0 && q.T-s[last].T < inRow {
			for k := last + 1; k < i; k++ {
				w := (s[k].T - s[last].T) / (q.T - s[last].T)
				s[k].X, s[k].Y, s[k].Seen = s[last].X+w*(q.X-s[last].X), s[last].Y+w*(q.Y-s[last].Y), true
				s[k].U = math.Max(s[last].U, q.U)
			}
		}
		last = i
	}
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
