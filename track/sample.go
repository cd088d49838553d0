package track

// Names of the objects in a track file.
const (
	Putter = "putter"
	Ball   = "ball"
)

// Sample is the observation of one object in one frame. When Seen is false the
// position fields have no meaning.
type Sample struct {
	Frame int
	T     float64 // s
	X, Y  float64 // px
	U     float64 // px, standard uncertainty of X and of Y (random part)
	Seen  bool
	Given bool `json:",omitempty"` // by a person, whose word no filter takes back
}

// Track is the observations of one object, one per frame of the clip.
type Track struct {
	Object  string
	Samples []Sample
}
