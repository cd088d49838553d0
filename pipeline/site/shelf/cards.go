package shelf

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"strokereel/pipeline/sheet"
)

// Cards are the answers to all purposes, by code of the student.
type Cards struct {
	cards  map[string]sheet.Card
	Broken []error // cards that cannot be read
}

// ReadCards reads every student's card below a folder. Where a student has
// several, the latest answer to a purpose counts, of one day the stricter.
func ReadCards(dir string) (Cards, error) {
	c := Cards{cards: map[string]sheet.Card{}}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != dir && strings.HasPrefix(d.Name(), ".") {
			return fs.SkipDir
		}
		if d.IsDir() || d.Name() != sheet.CardFile {
			return nil
		}
		data, err := os.ReadFile(path)
		if err == nil {
			var card sheet.Card
			if card, err = sheet.ParseCard(data); err == nil {
				c.add(card)
				return nil
			}
		}
		rel, _ := filepath.Rel(dir, path)
		c.Broken = append(c.Broken, fmt.Errorf("card %q: %w", rel, err))
		return nil
	})
	if err != nil {
		return c, fmt.Errorf("reading the cards: %w", err)
	}
	return c, nil
}

func (c *Cards) add(card sheet.Card) {
	if card.Student == "" {
		return
	}
	have, ok := c.cards[card.Student]
	if !ok {
		c.cards[card.Student] = card
		return
	}
	consents := map[sheet.Purpose]sheet.Consent{}
	for _, p := range sheet.Purposes() {
		a, okA := have.Consents[p]
		b, okB := card.Consents[p]
		switch {
		case okA && (!okB || a.On > b.On || a.On == b.On && stricter(a, b)):
			consents[p] = a
		case okB:
			consents[p] = b
		}
	}
	if card.Age == sheet.Minor || have.Age == "" {
		have.Age = card.Age
	}
	have.Consents = consents
	c.cards[card.Student] = have
}

// stricter reports whether an answer allows no more than another of its day.
func stricter(a, b sheet.Consent) bool {
	if a.Given != b.Given {
		return !a.Given
	}
	return a.Until < b.Until || a.Until == b.Until && !a.Guardian
}

// mayShow reports whether a student may be shown on a day, and why not.
func (c Cards) mayShow(student string, today time.Time) (bool, string) {
	card, ok := c.cards[student]
	if !ok {
		return false, "there is no card of the student"
	}
	for _, p := range []sheet.Purpose{sheet.ToMeasure, sheet.ToPublish} {
		if ok, why := card.Allows(p, today); !ok {
			return false, why
		}
	}
	return true, ""
}

// knows reports whether there is a readable card of a student.
func (c Cards) knows(student string) bool {
	_, ok := c.cards[student]
	return ok
}
