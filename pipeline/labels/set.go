package labels

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Place is something in a frame of a clip.
type Place struct {
	Clip   string // its name in runs
	Frame  int
	Object string // as in track files
}

// Point is where a person marked it, px. Hidden means that it is behind
// something and was guessed.
type Point struct {
	X, Y   float64
	Hidden bool
}

// Moment is an event of a stroke of a clip.
type Moment struct {
	Clip   string
	Stroke int // 1 for the first
	Event  string
}

// Set is what one person marked.
type Set struct {
	Points  map[Place]Point
	Moments map[Moment]float64 // s
	Sizes   map[string][2]int  // of a clip's pictures, px
}

// NewSet returns one with nothing marked.
func NewSet() Set {
	return Set{Points: map[Place]Point{}, Moments: map[Moment]float64{}, Sizes: map[string][2]int{}}
}

// Names of the files in a folder of labels.
const (
	PlacesFile  = "places.json"
	MomentsFile = "events.csv"
)

// Centre says where a file of places has the centre of the top-left pixel.
type Centre string

// Centres; InFile leaves it to the file.
const (
	InFile Centre = ""
	AtZero Centre = "0"
	AtHalf Centre = "0.5"
)

// Read reads what one person marked: a file of places (.json), one of events
// (.csv), or a folder with either or both under their usual names.
func Read(path string, centre Centre) (Set, error) {
	set := NewSet()
	st, err := os.Stat(path)
	if err != nil {
		return set, fmt.Errorf("reading labels: %w", err)
	}
	files := []string{path}
	if st.IsDir() {
		files = nil
		for _, name := range []string{PlacesFile, MomentsFile} {
			if f := filepath.Join(path, name); isFile(f) {
				files = append(files, f)
			}
		}
		if len(files) == 0 {
			return set, fmt.Errorf("reading labels: there is no %s and no %s in %q", PlacesFile, MomentsFile, path)
		}
	}
	for _, f := range files {
		if err := set.read(f, centre); err != nil {
			return set, fmt.Errorf("reading labels %q: %w", f, err)
		}
	}
	return set, nil
}

func isFile(path string) bool {
	st, err := os.Stat(path)
	return err == nil && st.Mode().IsRegular()
}

func (s Set) read(path string, centre Centre) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	switch strings.ToLower(filepath.Ext(path)) {
	case ".json":
		return s.readCOCO(f, centre)
	case ".csv":
		return s.readMoments(f)
	}
	return fmt.Errorf("labels are COCO keypoints (.json) or events (.csv)")
}

// Mean is the mean of several persons' labels, of whatever at least one marked.
func Mean(sets ...Set) Set {
	out := NewSet()
	counts := map[any]float64{}
	for _, s := range sets {
		for p, at := range s.Points {
			n := counts[p]
			was := out.Points[p]
			out.Points[p] = Point{(was.X*n + at.X) / (n + 1), (was.Y*n + at.Y) / (n + 1), was.Hidden || at.Hidden}
			counts[p]++
		}
		for m, t := range s.Moments {
			n := counts[m]
			out.Moments[m] = (out.Moments[m]*n + t) / (n + 1)
			counts[m]++
		}
		for c, size := range s.Sizes {
			out.Sizes[c] = size
		}
	}
	return out
}

// Clips lists the clips in which something was marked.
func (s Set) Clips() []string {
	var out []string
	for p := range s.Points {
		out = append(out, p.Clip)
	}
	for m := range s.Moments {
		out = append(out, m.Clip)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func byPlace(a, b Place) int {
	return cmp.Or(strings.Compare(a.Clip, b.Clip), cmp.Compare(a.Frame, b.Frame), strings.Compare(a.Object, b.Object))
}
