package sheet

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track/roll"
)

// Wishes are what the coach would like of a stroke; 0 is no wish.
type Wishes struct {
	Distances     []float64 // m, of putts to say the stroke for
	ThroughToBack float64   // 1
	Backstroke    float64   // m
}

// none reports whether nothing is wished for.
func (w Wishes) none() bool {
	return len(w.Distances) == 0 && w.ThroughToBack == 0 && w.Backstroke == 0
}

// Putting is what the sheet and the settings of its lesson know of green and
// distances; nil when they say neither how fast the green is nor how far a ball
// rolled, and wish for nothing. The putt's own distance is among the wanted ones.
func (s Sheet) Putting(of settings.Settings) (*lesson.Putting, error) {
	if of.Sheet.GreenSpeed == 0 && len(s.Rolled) == 0 && s.Wishes.none() {
		return nil, nil
	}
	green, err := of.Green()
	if err != nil {
		return nil, fmt.Errorf("applying the sheet: %w", err)
	}
	p := &lesson.Putting{Green: green, Rolled: s.Rolled, ThroughToBack: s.Wishes.ThroughToBack, ToBack: s.Wishes.Backstroke, Options: of.Track.Roll}
	if s.PuttDistance > 0 {
		p.Distances = append(p.Distances, s.PuttDistance)
	}
	p.Distances = append(p.Distances, s.Wishes.Distances...)
	return p, nil
}

// lengths takes one length or a list of them.
func lengths(to *[]float64) setter {
	return func(n *yaml.Node) error { return takeLengths(n, to) }
}

func takeLengths(n *yaml.Node, to *[]float64) error {
	values := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		values = n.Content
	}
	for _, v := range values {
		var d float64
		if err := number(&d, roll.LeastDistance, roll.MostDistance)(v); err != nil {
			return err
		}
		if d > 0 {
			*to = append(*to, d)
		}
	}
	return nil
}
