package track

// Point is one position of an object in metres of the putt (see the package
// comment). When Seen is false X, Y and U have no meaning.
type Point struct {
	Frame int
	T     float64 // s
	X, Y  float64 // m
	U     float64 // m, standard uncertainty of X and of Y (random part)
	UY    float64 // m, that of Y where it is another than that of X; else 0
	Seen  bool
	Given bool // by a person, whose word no filter takes back
}

// Path is the motion of one object, one point per frame, times rising.
type Path struct {
	Object string
	Points []Point
}
