// Package measure turns the events of a stroke into the numbers that are
// reported, each with its uncertainty.
//
// # Idea
//
// Every measure is written as a function of inputs that know nothing of each
// other: event times, positions along the line, the scale, the turn of the
// camera. Its uncertainty is the law of propagation of the Guide (JCGM 100:2008,
// 5.1.2) over those inputs. Two measures made of the same event, such as the two
// times of the tempo which share the top, are therefore never treated as
// independent, and a scale that cancels, as in the ratio of two lengths, drops
// out by itself. A Budget keeps the terms, so that every number can be
// explained.
//
// The expanded uncertainty is Student's factor for 95 % at the effective degrees
// of freedom (Welch-Satterthwaite, JCGM 100:2008, G.4.1) times the combined one.
//
// # What the scale needs
//
// The ball is the ruler, but the sticker is nearer to the camera than the ball.
// MarkerScale moves the scale from the ball's plane to the sticker's; what is not
// known of that distance stays in the budget, as do the ball's diameter (never
// below 42.67 mm), a camera that is not quite square to the line, and the arc of
// the putter, which carries the sticker away from the camera at both ends.
//
// Lengths and speeds are those of the marker. Turning the face moves the marker
// about the head's centre; that is part of its motion, not an error of it.
//
// How far the ball rolls is predicted by package roll; it has an interval only.
//
// # Units
//
// Metres, seconds, metres per second; U95 is half the width of the 95 % interval.
//
// # What it refuses
//
// A measure whose events or positions are missing is not measured, with the
// reason; so is an angle or ratio of the body that is known too badly to be of
// use, and one that the grip makes meaningless.
//
// # The body, seen from the front
//
// Angles, ratios and distances of the body are those of the picture. An elbow
// that moves away from the camera, or a wrist that bends toward it, is partly
// unseen; the numbers say what a protractor on the picture would read.
package measure
