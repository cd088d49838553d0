package sheet

import (
	"errors"
	"fmt"
	"time"

	"gopkg.in/yaml.v3"
)

// Purpose is what a person agreed to; each is asked for by itself.
type Purpose string

// Purposes of consent.
const (
	ToMeasure   Purpose = "measuring"  // films are measured and kept
	ToPublish   Purpose = "publishing" // the lesson is shown under its link
	ToReference Purpose = "reference"  // the stroke is shown to other students
	ToBench     Purpose = "bench"      // the clips are used to test the product
)

// Purposes lists them in the order in which they are asked for.
func Purposes() []Purpose { return []Purpose{ToMeasure, ToPublish, ToReference, ToBench} }

// Consent is one answer of a student, or of the guardian of a minor.
type Consent struct {
	Given    bool
	By       string // who answered: a name or code
	Guardian bool   // By is the student's guardian
	On       string // yyyy-mm-dd
	Until    string // yyyy-mm-dd, the last day on which it holds; "" for a refusal
}

// Age says whether a guardian has to answer.
type Age string

// Ages of a student.
const (
	Minor Age = "minor"
	Adult Age = "adult"
)

// Allows reports whether a card allows a purpose on a day; why says in words why
// not.
func (c Card) Allows(p Purpose, day time.Time) (ok bool, why string) {
	consent, asked := c.Consents[p]
	today := day.Format(time.DateOnly)
	switch {
	case !asked:
		return false, fmt.Sprintf("there is no consent to %s", p)
	case !consent.Given:
		return false, fmt.Sprintf("consent to %s was refused on %s", p, consent.On)
	case c.Age == "":
		return false, "the card does not say whether the student is a minor"
	case c.Age == Minor && !consent.Guardian:
		return false, fmt.Sprintf("consent to %s of a minor must come from a guardian", p)
	case today < consent.On:
		return false, fmt.Sprintf("consent to %s begins only on %s", p, consent.On)
	case today > consent.Until:
		return false, fmt.Sprintf("consent to %s ended with %s", p, consent.Until)
	}
	return true, ""
}

// ShowsReference reports whether the sheet says that the player of the
// reference clips lets this student see them on a day; why says why not.
func (s Sheet) ShowsReference(day time.Time) (ok bool, why string) {
	c, today := s.Reference, day.Format(time.DateOnly)
	switch {
	case c.On == "":
		return false, "the sheet has no reference_consent of the player in it"
	case !c.Given:
		return false, "its player refused it on " + c.On
	case today < c.On:
		return false, "the consent of its player begins only on " + c.On
	case today > c.Until:
		return false, "the consent of its player ended with " + c.Until
	}
	return true, ""
}

// consents reads the answers, one mapping for each purpose.
func consents(to *map[Purpose]Consent) setter {
	return func(n *yaml.Node) error {
		found := map[Purpose]Consent{}
		known := entries{}
		for _, p := range Purposes() {
			known[string(p)] = func(n *yaml.Node) error {
				c, err := consent(n)
				found[p] = c
				return err
			}
		}
		err := fill(n, known)
		*to = found
		return err
	}
}

func consent(n *yaml.Node) (Consent, error) {
	var c Consent
	var given string
	err := fill(n, entries{
		"given":    word(&given, "yes", "no", "true", "false"),
		"by":       code(&c.By),
		"guardian": yesNo(&c.Guardian),
		"on":       date(&c.On),
		"until":    date(&c.Until),
	})
	c.Given = given == "yes" || given == "true"
	switch {
	case err != nil:
		return c, err
	case given == "":
		return c, errors.New("must say given: yes or no")
	case c.By == "" || c.On == "":
		return c, errors.New("must say by whom and on which day it was answered")
	case c.Given && c.Until == "":
		return c, errors.New("must say until which day it holds")
	case c.Given && c.Until < c.On:
		return c, fmt.Errorf("ends on %s, before it was given", c.Until)
	}
	return c, nil
}
