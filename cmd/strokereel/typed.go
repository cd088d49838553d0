package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"strokereel/track/roll"
)

// typed is a flag that may be left out, and how its text is read.
type typed struct {
	name, text string
	to         *float64
	parse      func(string) (float64, error)
}

// read reads the flags that were given.
func read(flags ...typed) error {
	for _, f := range flags {
		if f.text == "" {
			continue
		}
		v, err := f.parse(f.text)
		if err != nil {
			return fmt.Errorf("--%s: %w", f.name, err)
		}
		*f.to = v
	}
	return nil
}

// units of lengths, m.
var units = []struct {
	suffix string
	metres float64
}{{"cm", 0.01}, {"ft", roll.FootLength}, {"m", 1}}

// length reads a length with its unit, a bare number as metres.
func length(text string) (float64, error) {
	rest, factor := strings.TrimSpace(text), 1.0
	for _, u := range units {
		if bare, ok := strings.CutSuffix(rest, u.suffix); ok {
			rest, factor = strings.TrimSpace(bare), u.metres
			break
		}
	}
	v, err := strconv.ParseFloat(rest, 64)
	if err != nil || !(v > 0) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("must be a length above zero such as 6m, 240cm or 20ft (got %q)", text)
	}
	return v * factor, nil
}

// number reads a number above zero, with or without the unit it is in.
func number(text string) (float64, error) {
	rest := strings.TrimSpace(text)
	for _, u := range []string{"ft", "m/s", "s"} {
		rest = strings.TrimSpace(strings.TrimSuffix(rest, u))
	}
	v, err := strconv.ParseFloat(rest, 64)
	if err != nil || !(v > 0) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("must be a number above zero (got %q)", text)
	}
	return v, nil
}

// green reads a green speed; what is no number or no green is told alike.
func green(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "ft")), 64)
	if err != nil {
		return 0, fmt.Errorf("must be a green speed in ft such as 9 (got %q)", text)
	}
	return v, roll.CheckSpeed(v)
}

// degrees reads a slope.
func degrees(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "deg")), 64)
	if err != nil {
		return 0, fmt.Errorf("must be a number of degrees (got %q)", text)
	}
	return v, nil
}
