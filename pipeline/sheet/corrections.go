package sheet

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"gopkg.in/yaml.v3"

	"strokereel/track"
)

// Correction is what a person put right about one clip. It wins over whatever is
// found in the clip, now and in every later run.
type Correction struct {
	Student string  // code: whose clip it is
	Role    Role    // "" leaves it
	Impact  float64 // s from the first frame, 0 when not given: lines up a clip of which nothing is measured
	Strokes []Stroke
	Points  []Point
}

// Stroke is what a person put right about one stroke.
type Stroke struct {
	At     float64            // s, a moment of the stroke, to say which is meant
	Kind   string             // track.Practice or track.Unusable, "" leaves it
	Events map[string]float64 // s from the first frame, by the event's name
}

// Point is where a person saw something, in pixels of the upright picture.
type Point struct {
	Object  string  // track.Putter or track.Ball
	T, X, Y float64 // s from the first frame, px
}

// Corrections are by name of the clip within the lesson's folder.
type Corrections map[string]Correction

// longestClip bounds moments in clips, s.
const longestClip = 36000

// ParseCorrections reads a corrections.yaml.
func ParseCorrections(data []byte) (Corrections, error) {
	out := Corrections{}
	return out, parse(data, entries{"clips": func(n *yaml.Node) error {
		return each(n, func(clip string, value *yaml.Node) error {
			c, err := correction(value)
			out[clip] = c
			return err
		})
	}})
}

func correction(n *yaml.Node) (Correction, error) {
	var c Correction
	var unusable bool
	err := fill(n, entries{
		"student":  code(&c.Student),
		"role":     role(&c.Role),
		"unusable": yesNo(&unusable),
		"impact_s": number(&c.Impact, 0.001, longestClip),
		"strokes":  list(&c.Strokes, stroke),
		"points":   list(&c.Points, point),
	})
	if unusable {
		c.Role = Unusable
	}
	if c.Impact == 0 {
		for _, s := range c.Strokes {
			if t, ok := s.Events[track.Impact]; ok && s.Kind == "" {
				c.Impact = t
				break
			}
		}
	}
	return c, err
}

// list takes one mapping or a list of them.
func list[T any](to *[]T, read func(*yaml.Node) (T, error)) setter {
	return func(n *yaml.Node) error {
		items := []*yaml.Node{n}
		if n.Kind == yaml.SequenceNode {
			items = n.Content
		}
		for _, item := range items {
			if empty(item) {
				continue
			}
			v, err := read(item)
			if err != nil {
				return err
			}
			*to = append(*to, v)
		}
		return nil
	}
}

func stroke(n *yaml.Node) (Stroke, error) {
	s := Stroke{Events: map[string]float64{}}
	err := fill(n, entries{
		"at_s":     number(&s.At, 0, longestClip),
		"kind":     word(&s.Kind, track.Practice, track.Unusable),
		"events_s": events(s.Events),
	})
	if err != nil {
		return s, err
	}
	if len(s.Events) == 0 && s.At == 0 {
		return s, errors.New("must say which stroke is meant: at_s, a moment of it, or events_s")
	}
	last := 0.0
	for _, name := range track.EventNames[:4] { // hold_end and look_up come in either order
		if t, ok := s.Events[name]; ok {
			if t < last {
				return s, fmt.Errorf("must give the events in the order in which they happen, %s comes too early", name)
			}
			last = t
		}
	}
	if s.At == 0 {
		for _, name := range track.EventNames { // in a fixed order: the sum is part of a fingerprint
			s.At += s.Events[name] / float64(len(s.Events))
		}
	}
	return s, nil
}

func events(to map[string]float64) setter {
	return func(n *yaml.Node) error {
		return each(n, func(name string, value *yaml.Node) error {
			if !slices.Contains(track.EventNames, name) {
				return fmt.Errorf("is not a known event, known are %v", track.EventNames)
			}
			if empty(value) {
				return nil
			}
			var t float64
			err := number(&t, 0, longestClip)(value)
			to[name] = t
			return err
		})
	}
}

func point(n *yaml.Node) (Point, error) {
	var p Point
	given := map[string]bool{}
	need := func(key string, set setter) setter {
		return func(n *yaml.Node) error {
			given[key] = true
			return set(n)
		}
	}
	known := entries{
		"object": need("object", word(&p.Object, track.Putter, track.Ball)),
		"t_s":    need("t_s", number(&p.T, 0, longestClip)),
		"x_px":   need("x_px", number(&p.X, 0, 16384)),
		"y_px":   need("y_px", number(&p.Y, 0, 16384)),
	}
	if err := fill(n, known); err != nil {
		return p, err
	}
	for _, key := range slices.Sorted(maps.Keys(known)) {
		if !given[key] {
			return p, fmt.Errorf("must say %s", key)
		}
	}
	return p, nil
}
