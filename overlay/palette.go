package overlay

import "image/color"

// Colours for data: four of the eight of M. Okabe and K. Ito, Color Universal
// Design (2008): of those light enough to stand on Ink, the four that stay
// furthest apart for colour-blind eyes. None of them stands for good or bad.
var (
	Sky       = color.RGBA{0x56, 0xB4, 0xE9, 255}
	Yellow    = color.RGBA{0xF0, 0xE4, 0x42, 255}
	Purple    = color.RGBA{0xCC, 0x79, 0xA7, 255}
	Vermilion = color.RGBA{0xD5, 0x5E, 0x00, 255}
)

// Colours of plates, casings, pages and text.
var (
	Ink   = color.RGBA{0x10, 0x17, 0x1F, 255} // plates and casings
	Slate = color.RGBA{0x17, 0x21, 0x2C, 255} // pages
	Rule  = color.RGBA{0x3A, 0x49, 0x58, 255} // lines that only order a page
	Chalk = color.RGBA{0xF4, 0xF5, 0xF1, 255} // text
	Mist  = color.RGBA{0xC6, 0xCF, 0xD6, 255} // text that stands back
)

// PlateOpacity lets the picture shine through a plate just enough to belong to
// it, and keeps Mist on a plate over pure white well above TextContrast.
const PlateOpacity = 0.86

// CasingOpacity keeps every data colour above GraphicContrast against its
// casing over pure white.
const CasingOpacity = 0.9
