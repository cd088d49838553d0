// Package phase finds the strokes in a clip and the events of each stroke.
//
// # Idea
//
// Speed of the marker along the putt line, toward the target upward:
//
//	speed
//	  |                                   impact
//	  |                                 .-'|
//	  |                               .'   |            the head loses 5 to 30 %
//	  |                             .'     '-.          of its speed: a step
//	  |                           .'          '-.
//	  |                          /               '-.
//	0 +-----.-----------------.-'-------------------'-.------------.-----> t
//	  |still '.  start       / top                stop ' hold       '. hold_end
//	  |        '-.         .'                                         '-. recoil
//	  |           '-.___.-'
//	  |          backstroke  downstroke  follow-through
//
// A stroke is a way back from a still address, and a forward swing through the
// place it left. That one sentence rejects waggles (no swing through), walking
// in and putting the putter down (no still address before the way back, or a
// way that does not follow the low arc of a putter), and carrying on after the
// finish (a finish is no address). A launched ball makes it a putt; without one
// it is a practice stroke, of which only the larger ones are believed.
//
// The events are moments at which a position is crossed, not moments at which a
// speed is zero: at rest the speed is zero for as long as one likes, so "the
// first moment of rest" moves with the noise, while a 2 mm line is crossed once.
//
//   - start: 2 mm from the address mean, the last time before the top, so that a
//     waggle that comes back does not count. Tremor (up to 0.5 mm) cannot reach it.
//   - top: the middle of the moments 1 mm short of the largest backward position.
//     The extreme itself is flat, its flanks are not. Longer than 150 ms is a
//     pause; the downstroke then begins with the later moment, less 25 ms. Close
//     to 150 ms the two rules differ by half a pause; U then says so.
//   - impact: first contact of face and ball, from up to four witnesses.
//   - stop: first within 2 mm of the largest forward position reached before the
//     first return of 5 mm. A later, farther drift does not move it.
//   - hold_end: more than 5 mm from the finish, in the plane: release, recoil and
//     lifting all end a hold.
//
// # Uncertainty
//
// The U of a crossing is half the time the path needs to pass from one U before
// the line to one U beyond it. Where the path is quick this is U over speed;
// where it creeps it grows, as it should. The largest of many noisy positions
// lies too far out; the expected excess is taken off.
//
// That U has two parts, each counted once: what every frame has of its own, which the
// fit to many lowers, and what neighbours share (a codec repeats what it got wrong),
// which it does not. A codec also lets slow motion lag, and mends that when the putter
// rests: a place passed slowly and the place where it is held do not share what that errs.
//
// Impact is the weighted mean of the witnesses that agree (chi-square). All are
// kept; when some disagree the stroke carries a warning and U is enlarged by the
// Birge ratio of all of them. The click of the ball proves which swing struck;
// with the device's offset unknown to 40 ms it says little about when.
//
// # Units
//
// Seconds and metres of the putt. Stroke positions are along the line toward the
// target; when Reversed is set the input's direction pointed the other way and
// was turned round, so x here is minus x there.
//
// # What it refuses
//
// Look-up is not found here. A clip in which the putter lies still or wanders
// has no strokes, which is no error. An event outside the clip is not measured,
// with the reason; a hold that the clip's end cuts off is at least.
package phase
