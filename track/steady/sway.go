package steady

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"strokereel/track"
)

// Sway tells how the picture lies in every frame against the first one: a camera in
// the hand wanders, trembles and turns a little. Small tiles at the picture's sides
// each tell how far they went along their steepest direction; shift and roll are what
// most of them agree in.
type Sway struct {
	tiles  []tile
	cx, cy float64
	pose   Pose
	poses  []Pose
	agreed int  // frames in which enough tiles went the same way
	held   bool // it has swayed by more than tiles do on a tripod
}

// Pose is how the picture of one frame lies against the first.
type Pose struct {
	X, Y float64 // px, shift of its middle
	Roll float64 // rad
	U    float64 // px, standard uncertainty of the shift
}

// Moved reports whether a camera with such poses was held in a hand: on a tripod they
// are the noise of the tiles.
func Moved(poses []Pose, width, height float64) bool {
	moved := 0
	for _, p := range poses {
		if p.sways(width, height) {
			moved++
		}
	}
	return moved > len(poses)/20
}

// sways reports whether a pose is more than the noise of the tiles.
func (p Pose) sways(width, height float64) bool {
	return math.Hypot(p.X, p.Y)+math.Abs(p.Roll)*width/4 > leastSway*math.Max(width, height)/1920
}

const (
	// leastSway is the sway, px of a picture 1920 px wide, from which it is put right:
	// less than that costs nothing, and tiles tell no less in poor light.
	leastSway = 0.4
	// tileSide is a tile's side, px; tileCell the raster in which tiles are looked
	// for, px; mostTiles how many there are of each direction on each side.
	tileSide, tileCell, mostTiles = 24, 48, 8
	// flattest is the least mean square of the slope in a tile, levels per px: less
	// is the noise of a plain wall.
	flattest = 1.5
	// sameWay is how far, px, a tile may go another way than the rest before it
	// counts less.
	sameWay = 0.15
	// fewestTiles of a kind make a pose.
	fewestTiles = 3
	// mostUneven is how many times more a hand may sway one way than the other.
	mostUneven = 6
	// lookAgain is the move, px, after which a frame's tiles are looked at once more:
	// slopes tell a far way less well.
	lookAgain = 0.1
	// agreeing is the share of the tiles that must go the same way, to astrayFrom px,
	// and mostFrames the share of frames in which they must.
	agreeing, astrayFrom, mostFrames = 0.6, 0.5, 0.98
	// mostAmiss is by how much of it a tile may misjudge a known way.
	mostAmiss = 0.3
	// mostAcross bounds how much like a shift along its direction one the other way
	// looks in a tile: a pose can slide along slanting edges.
	mostAcross = 0.7
	// leastAlike is the correlation with its first picture from which a tile is taken
	// to be seen: on a surface without marks a pose can slide away, tile by tile.
	leastAlike = 0.8
	// swayU is by how much the pose errs more than the tiles scatter: codecs hold
	// neighbouring ones back alike. On rendered clips held in the hand places are
	// 0.04 to 0.06 px off.
	swayU = 2
)

// Next takes the clip's next frame.
func (s *Sway) Next(f *track.Frame) {
	if len(s.poses) == 0 {
		s.cx, s.cy = float64(f.Width-1)/2, float64(f.Height-1)/2
		s.lay(f)
		s.agreed++
	} else if s.enough() {
		moved, agreed := s.step(f)
		if moved > lookAgain {
			_, agreed = s.step(f)
		}
		if agreed {
			s.agreed++
		}
	}
	s.poses = append(s.poses, s.pose)
	s.held = s.held || s.pose.sways(2*s.cx+1, 2*s.cy+1)
}

// At returns by how much a place lies elsewhere in the last frame than in the first; by
// nothing as long as the camera may stand on a tripod, or the tiles do not tell.
func (s *Sway) At(x, y float64) (dx, dy float64) {
	if !s.held || !s.trusted() {
		return 0, 0
	}
	stillX, stillY := s.pose.Still(x, y, s.cx, s.cy)
	return x - stillX, y - stillY
}

// Poses returns the pose of every frame; none when there were too few tiles, or when
// they did not go the same way throughout, or not as in a hand: something else than
// the camera moved.
func (s *Sway) Poses() []Pose {
	if !s.trusted() || !bothWays(s.poses) {
		return nil
	}
	return s.poses
}

// trusted reports whether there are enough tiles and they went the same way so far.
func (s *Sway) trusted() bool {
	return s.enough() && float64(s.agreed) >= mostFrames*float64(len(s.poses))
}

// Still is where a place of a picture of this pose lies in the first one; (cx, cy) is
// the picture's middle.
func (p Pose) Still(x, y, cx, cy float64) (float64, float64) {
	return x - p.X + p.Roll*(y-cy), y - p.Y - p.Roll*(x-cx)
}

// enough reports whether there are tiles that tell of a shift along x, and on both
// sides those that tell of one along y: of roll that is, and those of one side alone may
// all lie on the player.
func (s *Sway) enough() bool {
	var left, right, alongX int
	for _, t := range s.tiles {
		switch {
		case t.alongX:
			alongX++
		case float64(t.x0) > s.cx:
			right++
		default:
			left++
		}
	}
	return min(left, right, alongX) >= fewestTiles
}

// bothWays reports whether the picture went up and down as well as to and fro, as in
// a hand. Where it did only one of them, what moved is a player in whose clothes the
// tiles lie, or the pose slid along level edges.
func bothWays(poses []Pose) bool {
	var x, y []float64
	for _, p := range poses {
		x, y = append(x, p.X), append(y, p.Y)
	}
	dx, dy := stat.PopStdDev(x, nil), stat.PopStdDev(y, nil)
	return math.Max(dx, dy) <= mostUneven*math.Min(dx, dy)
}

// lay picks the steepest tiles of both sides of the first picture.
func (s *Sway) lay(f *track.Frame) {
	width := int(side * float64(f.Width))
	for _, from := range [2]int{0, f.Width - width} {
		var found []tile
		for y := tileCell / 4; y+tileSide+1 < f.Height; y += tileCell {
			for x := from + tileCell/4; x+tileSide+1 < from+width; x += tileCell {
				for _, alongX := range [2]bool{true, false} {
					if t := newTile(f, x, y, alongX); t.weight > flattest*tileSide*tileSide && math.Abs(t.across) < mostAcross {
						found = append(found, t)
					}
				}
			}
		}
		slices.SortStableFunc(found, func(a, b tile) int { return cmp.Compare(b.weight, a.weight) })
		var n [2]int
		for _, t := range found {
			k := 0
			if t.alongX {
				k = 1
			}
			if n[k] < mostTiles && s.tells(f, t) {
				n[k]++
				s.tiles = append(s.tiles, t)
			}
		}
	}
}

// arm is how a tile's way follows from shift along x, along y and roll.
func (s *Sway) arm(t tile) [3]float64 {
	const half = float64(tileSide-1) / 2
	turnX, turnY := -(float64(t.y0) + half - s.cy), float64(t.x0)+half-s.cx
	if t.alongX {
		return [3]float64{1, t.across, turnX + t.across*turnY}
	}
	return [3]float64{t.across, 1, turnY + t.across*turnX}
}

// step looks where the tiles lie and moves the pose there; it returns how far, and
// whether enough of them went so, of either direction: level edges agree in a shift
// along them whatever it is.
func (s *Sway) step(f *track.Frame) (moved float64, agreed bool) {
	ways := make([]float64, len(s.tiles))
	for i, t := range s.tiles {
		ways[i] = s.way(f, t, s.pose)
	}
	var move [3]float64
	var all, together [2]float64 // tiles along y, along x
	for pass := range 5 {        // of reweighing (Huber 1981), all alike at first
		all, together = [2]float64{}, [2]float64{}
		var n [3][3]float64
		var g [3]float64
		var scatter [2]float64
		for i, t := range s.tiles {
			along := 0
			if t.alongX {
				along = 1
			}
			all[along]++
			if math.IsNaN(ways[i]) {
				continue
			}
			a := s.arm(t)
			off := ways[i] - a[0]*move[0] - a[1]*move[1] - a[2]*move[2]
			w := math.Min(t.weight, evenWeight)
			if d := math.Abs(off); pass > 0 && d > sameWay {
				w *= sameWay / d
			}
			if math.Abs(off) < astrayFrom {
				together[along]++
			}
			for p := range 3 {
				g[p] += w * a[p] * ways[i]
				for q := range 3 {
					n[p][q] += w * a[p] * a[q]
				}
			}
			scatter[along] += w * off * off
		}
		m, ok := solve3(n, g)
		if !ok {
			return 0, false
		}
		move = m
		x, _ := solve3(n, [3]float64{1, 0, 0})
		y, _ := solve3(n, [3]float64{0, 1, 0})
		of := func(along int, inverse float64) float64 { return scatter[along] / math.Max(1, all[along]-2) * inverse }
		s.pose.U = swayU * math.Sqrt(math.Max(of(1, x[0]), of(0, y[1])))
	}
	s.pose.X, s.pose.Y, s.pose.Roll = s.pose.X+move[0], s.pose.Y+move[1], s.pose.Roll+move[2]
	return math.Hypot(move[0], move[1]) + math.Abs(move[2])*s.cx, together[0] >= agreeing*all[0] && together[1] >= agreeing*all[1]
}

// evenWeight is the weight from which a steeper tile counts no more: one sharp edge
// must not outvote the rest.
const evenWeight = 20 * tileSide * tileSide

// solve3 solves three equations by Cramer's rule.
func solve3(n [3][3]float64, g [3]float64) (x [3]float64, ok bool) {
	det := func(m [3][3]float64) float64 {
		return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) - m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) + m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
	}
	d := det(n)
	if !(math.Abs(d) > 1e-9*n[0][0]*n[1][1]*n[2][2]) {
		return x, false
	}
	for k := range 3 {
		m := n
		for r := range 3 {
			m[r][k] = g[r]
		}
		x[k] = det(m) / d
	}
	return x, true
}
