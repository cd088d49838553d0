package track

import (
	"fmt"
	"strings"
)

// Glance is one look of a finder at a place of a frame: what it expected, what it
// found, and why it did not take that. Glances are for people who want to see how
// a clip was read; nothing is made of them.
type Glance struct {
	Frame  int
	T      float64 // s
	Finder string  // Putter for stickers, Ball
	ID     int     // of what is followed; NoID for something new
	X, Y   float64 // px, where it was looked for
	W, H   float64 // px, how far from there it may be, either way
	Found  bool    // something was found, though it may not have been taken
	FX, FY float64 // px, where
	Radius float64 // px, of what was found
	Score  float64 // of a sticker its misfit, a share of the contrast; of a ball its edge, levels
	Why    Fault   // not taken; none when it was
}

// Taken reports that what was found was taken.
func (g Glance) Taken() bool { return g.Why.OK() }

// NoID marks a glance at something that is not followed yet.
const NoID = -1

// Listener hears glances. A finder without one does no work for it.
type Listener func(Glance)

// Fault is why something was not taken: a format with room for the number found
// and the limit it broke, put into words only when somebody asks. The zero Fault
// is none.
type Fault struct {
	Text       string
	Got, Limit float64
}

// OK reports that there is no fault.
func (f Fault) OK() bool { return f.Text == "" }

func (f Fault) String() string {
	switch strings.Count(f.Text, "%.") {
	case 0:
		return f.Text
	case 1:
		return fmt.Sprintf(f.Text, f.Got)
	}
	return fmt.Sprintf(f.Text, f.Got, f.Limit)
}

// Kind is a fault without the number found, for counting.
func (f Fault) Kind() string {
	before, after, numbered := strings.Cut(f.Text, "%.")
	if !numbered {
		return f.Text
	}
	_, after, _ = strings.Cut(after, "f")
	return fmt.Sprintf(before+"…"+after, []any{f.Limit}[:strings.Count(after, "%.")]...)
}
