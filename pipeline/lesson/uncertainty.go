package lesson

import (
	"fmt"
	"math"
	"strconv"

	"strokereel/track"
)

// Uncertainty explains the 95 % interval of a value: its terms add up in squares
// to U, and K times U is half the interval's width.
type Uncertainty struct {
	U   float64  `json:"u"` // combined standard uncertainty
	K   float64  `json:"k"` // coverage factor
	DOF *float64 `json:"dof,omitempty"`
	// Log is set when U and the sensitivities are of the value's logarithm: the
	// interval then reaches from value/exp(k u) to value exp(k u).
	Log   bool   `json:"log,omitempty"`
	Terms []Term `json:"terms"` // largest first
}

// Term is what one independent input adds.
type Term struct {
	Symbol      string   `json:"symbol,omitempty"`
	Name        string   `json:"name"`
	Unit        string   `json:"unit"`
	Value       float64  `json:"value"`
	U           float64  `json:"u"`
	DOF         *float64 `json:"dof,omitempty"` // of U, when it was seen and not known beforehand
	Sensitivity float64  `json:"sensitivity"`   // change of the value per unit of the input
	Share       float64  `json:"share"`         // of the variance
}

// UncertaintyOf turns a budget into its report form.
func UncertaintyOf(b track.Budget) Uncertainty {
	out := Uncertainty{U: digits(b.U), K: digits(b.K), Log: b.Log, Terms: []Term{}}
	if !math.IsInf(b.DOF, 1) {
		out.DOF = number(b.DOF, 1)
	}
	for _, t := range b.Terms {
		term := Term{Symbol: t.Symbol, Name: t.Name, Unit: t.Unit, Value: digits(t.Value), U: digits(t.U),
			Sensitivity: digits(t.Sensitivity), Share: *number(t.Share, 5)}
		if t.DOF > 0 {
			term.DOF = number(t.DOF, 1)
		}
		out.Terms = append(out.Terms, term)
	}
	return out
}

// U95 is half the width of the 95 % interval, of the logarithm when Log is set.
func (u Uncertainty) U95() float64 { return u.K * u.U }

// Sum adds the terms up: the root of the sum of their squares.
func (u Uncertainty) Sum() float64 {
	var sum float64
	for _, t := range u.Terms {
		sum = math.Hypot(sum, t.Sensitivity*t.U)
	}
	return sum
}

// digits rounds to six digits, far below any uncertainty.
func digits(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// AddsUp checks that the terms of every number of a stroke add up to the interval
// reported, to the rounding of reports, and that every interval is explained.
func (s Stroke) AddsUp() error {
	for name, e := range s.Events {
		if e.Status == track.Measured {
			if err := s.addsUp(name, *e.U95S); err != nil {
				return err
			}
		}
	}
	for id, m := range s.Measures {
		switch {
		case m.U95 != nil:
			if err := s.addsUp(id, *m.U95); err != nil {
				return err
			}
		case m.Hi95 != nil:
			if err := s.addsUp(id, math.Log(*m.Hi95 / *m.Value)); err != nil {
				return err
			}
		}
	}
	return nil
}

func (s Stroke) addsUp(name string, u95 float64) error {
	u, ok := s.Uncertainty[name]
	if !ok {
		return fmt.Errorf("the interval of %s is not explained", name)
	}
	const rounding, relative = 6e-6, 3e-5 // the fifth decimal; six digits of every term
	shares := 0.0
	for _, t := range u.Terms {
		shares += t.Share
	}
	if sum := u.K * u.Sum(); math.Abs(sum-u95) > rounding+relative*u95 || math.Abs(shares-1) > 1e-3 {
		return fmt.Errorf("the terms of %s add up to %g with shares of %g, its interval is %g", name, sum, shares, u95)
	}
	return nil
}
