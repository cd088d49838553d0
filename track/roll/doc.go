// Package roll relates the speed of a struck ball to the distance it rolls, and
// both to the strokes of a player: how long a backstroke this player would need
// for a putt.
//
// # The ball
//
// A struck ball first slides. Friction slows it and turns it until it rolls
// without sliding; from then on the green takes a constant part of its speed
// every second, so that the distance grows with the square of the speed:
//
//	speed
//	  |\
//	  | \   skid: mu g, until v = r w
//	  |  \
//	  |    `-._        roll: the green's own deceleration, slope added
//	  |        `-._
//	  +------------`-.---- time
//
// Ball and Ground hold the formulas; each names its source. All are of a rigid
// sphere on a plane and know nothing of grain, of bumps at the hole, or of a
// ball that bounces. A putt that breaks is longer than its straight line.
//
// # What is not known
//
// Friction, the spin a face gives, the instrument's ramp, the part a slope plays:
// published values of each differ. They are settings with two ends, and the
// width between them is part of every interval. There is no single distance
// anywhere in this package, only an Estimate with its 95 % interval. A Green
// gathers them; balls whose speed and roll were both measured narrow it (Fit).
//
// Distance is never taken from the putter's speed alone: tour means (head 1.51
// m/s, Marquardt 2007, Annual Review of Golf Coaching, 101-114) with the usual
// ratio would roll 2.5 to 4.3 m on one green, depending on how the ball was
// launched. The ball's own speed is needed.
//
// # The player
//
// A Player is fitted to this player's own strokes: length over ball speed, both
// as logarithms, so that the time of the downstroke is free to grow or shrink
// with length. Strokes of one length only tell the size, not the slope; then the
// slope is that of a constant downstroke time, with room for one that is not, and
// the Budget says so.
//
// # Units
//
// Metres, seconds, radians, m/s, rad/s; green speeds in feet, as they are read.
//
// # What it refuses
//
// Greens, distances and slopes that cannot be, a slope on which the ball would
// not stop, a budget without a stroke of the player. It gives no verdicts:
// published spreads stand beside a number, nothing more.
package roll
