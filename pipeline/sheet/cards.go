package sheet

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Cards are the cards of an academy's students, by code.
type Cards struct {
	byCode map[string]keptCard
	Broken []error // cards that cannot be read
}

// keptCard is a card and the file that was written last.
type keptCard struct {
	Card
	file string
	at   time.Time
}

// ReadCards reads every student's card below a folder. A card that names no
// student is of the student whom the sheet beside it names.
func ReadCards(dir string) (Cards, error) {
	c := Cards{byCode: map[string]keptCard{}}
	dir, err := filepath.EvalSymlinks(dir)
	if err == nil {
		err = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() && path != dir && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			if d.IsDir() || d.Name() != CardFile {
				return nil
			}
			if err := c.add(path); err != nil {
				rel, _ := filepath.Rel(dir, path)
				c.Broken = append(c.Broken, fmt.Errorf("card %q: %w", rel, err))
			}
			return nil
		})
	}
	if err != nil {
		return c, fmt.Errorf("reading the cards: %w", err)
	}
	return c, nil
}

// add reads one card.
func (c *Cards) add(path string) error {
	st, err := os.Stat(path)
	if err != nil {
		return err
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	card, err := ParseCard(data)
	if err != nil {
		return err
	}
	if card.Student == "" {
		// A sheet that cannot be read is reported with its lesson.
		if data, err := os.ReadFile(filepath.Join(filepath.Dir(path), SheetFile)); err == nil {
			s, _ := ParseSheet(data)
			card.Student = s.Student
		}
	}
	if card.Student == "" {
		return nil
	}
	latest, earlier := keptCard{card, path, st.ModTime()}, c.byCode[card.Student]
	if earlier.at.After(latest.at) {
		latest, earlier = earlier, latest
	}
	latest.Card = latest.WithAnswers(earlier.Card)
	c.byCode[card.Student] = latest
	return nil
}

// Of returns what all cards of a student say together: the answers of all, else
// what the card says that was written last.
func (c Cards) Of(student string) (card Card, ok bool) {
	kept, ok := c.byCode[student]
	return kept.Card, ok
}

// File is the card of a student that was written last, "" when there is none.
func (c Cards) File(student string) string { return c.byCode[student].file }

// WithAnswers adds the answers of another card of the same student: to each
// purpose the latest counts, of one day the stricter.
func (c Card) WithAnswers(other Card) Card {
	consents := map[Purpose]Consent{}
	for _, p := range Purposes() {
		a, okA := c.Consents[p]
		b, okB := other.Consents[p]
		switch {
		case okA && (!okB || a.On > b.On || a.On == b.On && stricter(a, b)):
			consents[p] = a
		case okB:
			consents[p] = b
		}
	}
	if other.Age == Minor || c.Age == "" {
		c.Age = other.Age
	}
	c.Consents = consents
	return c
}

// stricter reports whether an answer allows no more than another of its day.
func stricter(a, b Consent) bool {
	if a.Given != b.Given {
		return !a.Given
	}
	return a.Until < b.Until || a.Until == b.Until && !a.Guardian
}
