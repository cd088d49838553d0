// Package marker finds coloured stickers in the picture and follows them from
// frame to frame with sub-pixel positions.
//
// # The idea
//
// A matt sticker is a small spot whose colour differs from everything around
// it. In 4:2:0 video the colour planes are already a half-size colour picture,
// so every frame is scanned for such spots there (spots.go), the spots are
// linked over time by place, motion and colour (tracker.go), and each sighting
// is refined by fitting the picture of a disc that moved during the exposure
// (fit.go), in the luma plane too where the sticker stands out there (luma.go); how
// much either errs is told by the motion (against.go). A second look goes closer where
// something of its colour lies behind the head, and past a highlight in linear light
// (gloss.go); a disc that looks smaller than it was is hidden in part and not taken
// (spot.go). What a codec does to a sticker's way is put right in the end: it pulls
// quick motion toward whole steps of a pixel (pull.go) and lets slow motion lag
// (lag.go), as far as the picture does not show that it has made up for that (pane.go).
// Where no codec is at work, the picture of the sticker, its head and what lies above
// and below is learnt from the clip (inlay.go, learn.go) and fitted to each frame. Which
// of the tracks is the putter's sticker is not decided here: that takes the ball and the
// motion of a stroke.
//
// # Units
//
// Positions are luma pixels of the upright picture, the centre of the top-left
// pixel being (0, 0). Colours are Cb and Cr less 128.
//
// # What it refuses
//
// A frame in which the spot does not stand out from its surroundings, or shows its
// place too badly, is not seen; no position is invented from the neighbours.
package marker
