package track

// Where a scale comes from.
const (
	RulerBall    = "ball"
	RulerSticker = "sticker"
	RulerRod     = "rod"
	RulerSheet   = "sheet"
)

// Scale turns pixels into metres in one plane parallel to the picture.
type Scale struct {
	PxPerM float64
	U      float64 // px/m, standard uncertainty
	From   string  // ball, sticker, rod or sheet
	Plane  string  // "ball" or "marker"
}
