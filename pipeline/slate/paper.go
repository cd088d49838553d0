package slate

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// paper is the size of a sheet, mm, upright.
type paper struct{ width, height float64 }

// papers by name (ISO 216).
var papers = map[string]paper{"a4": {210, 297}, "a5": {148, 210}, "a6": {105, 148}}

// Papers lists the names of the sizes.
func Papers() []string { return slices.Sorted(maps.Keys(papers)) }

const (
	margin = 6 // mm, that printers leave white
	// quiet is the white around a code, in modules (ISO/IEC 18004, 4 modules).
	quiet = 4

	// focal is that of the widest usual phone camera in a picture of 1080p, px:
	// 26 mm on film of 36 mm, common practice, no source.
	focal = 1920 * 26 / 36.
	// leastModule is the size in the picture from which the tests read a module, px.
	leastModule = 2.4
)

// Usual is the distance from which a card can be read unless another is asked
// for, m: the middle of where a camera should stand.
const Usual = 3.0

// module is the side of a module of a code on some paper, mm; the quiet zone may
// lie in the white margin.
func (p paper) module(modules int) float64 {
	return min((p.width-2*margin)/float64(modules), p.width/float64(modules+2*quiet))
}

// Reach is from how far a card on some paper can be read in a clip of 1080p, m.
func (s Slate) Reach(on string) (float64, error) {
	p, ok := papers[on]
	if !ok {
		return 0, fmt.Errorf("paper must be one of %s (got %q)", strings.Join(Papers(), ", "), on)
	}
	q, err := s.code()
	if err != nil {
		return 0, err
	}
	return focal * p.module(q.Size()) / 1000 / leastModule, nil
}

// Check refuses a card that cannot be read from a distance.
func (s Slate) Check(on string, distance float64) error {
	reach, err := s.Reach(on)
	if err != nil || distance <= reach {
		return err
	}
	return fmt.Errorf("a card of %s on %s can be read up to %.1f m only, not at %g m: take larger paper or hold it nearer to the camera", s, on, reach, distance)
}
