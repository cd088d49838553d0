// Package slate makes and reads the card that is held before the camera at the
// beginning of a clip, so that nobody has to name files: in films such a card is
// called a slate.
//
// It shows a QR code of the student's code and, where the card has one, the role
// of the clip: SR:S-014:BEFORE. Capitals keep the code at its smallest version,
// whose modules (the small squares) are the largest on a given paper.
//
// # How far it reaches
//
// A camera of the shortest usual focal length of phones (26 mm on film of 36 mm)
// draws a module of m metres at a distance of d metres as 1920*26/36*m/d pixels in
// a picture of 1080p. Tests put cards into such pictures and clips, tilted, blurred,
// noisy, in a trembling hand, in a dim hall and coded as phones do, and find that
// modules of leastModule pixels are read.
//
// # What it refuses
//
// To make a card that is too small to be read from where it shall be.
package slate
