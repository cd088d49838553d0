// Package body finds what of the player is measured: the bands and stickers worn
// on arms, shoulders and cap, and the line of the shaft.
//
// # The idea
//
// A band round a forearm is no round sticker: it is wide, bent, partly hidden.
// Its colour is named beforehand, so every sample of the colour planes can be
// given a share of that colour, and the middle of the connected patch is the
// band's place (blob.go). Patches are followed from frame to frame and looked for
// again where they were lost (bands.go); which patch is which joint is decided at
// the end by colour, height above the ball and side (choose.go).
//
// The shaft is a narrow line that passes the putter's sticker at a distance that
// does not change, since both are parts of one rigid club. In each row of the
// picture it differs from what is on either side; the line that gathers most of
// these differences is refined to a fraction of a pixel (shaft.go).
//
// Without bands a model tells the joints of every look (follow.go, joints.go), and errs
// otherwise as an arm bends otherwise. What counts is how far elbow and forearm have gone
// since address, so the pictures of upper arm and forearm at address (patch.go) are laid
// over those of later looks (lay.go); the elbow is the point about which the two turn
// against each other (arms.go).
//
// # Units
//
// Pixels of the upright picture, the centre of the top-left pixel being (0, 0),
// unless a name says chroma px: those of the half-size colour planes.
//
// # What it refuses
//
// A band that shows less than three fifths of itself is not seen; a place is
// never filled in from its neighbours. A shaft that does not differ from what is
// behind it has no line in that frame.
package body
