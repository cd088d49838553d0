package night

import (
	"fmt"
	"path/filepath"

	"strokereel/pipeline"
	"strokereel/pipeline/sheet"
)

// album is the students' cards: those in the inbox and, for students without one
// there any more, those kept with lessons that were made before.
type album struct{ inbox, earlier sheet.Cards }

func readAlbum(inbox, outbox string) (a album, err error) {
	if a.inbox, err = sheet.ReadCards(inbox); err != nil {
		return a, err
	}
	a.earlier, err = sheet.ReadCards(outbox)
	return a, err
}

// of returns a student's card and its file.
func (a album) of(student string) (card sheet.Card, file string, ok bool) {
	for _, cards := range []sheet.Cards{a.inbox, a.earlier} {
		if card, ok := cards.Of(student); ok {
			return card, cards.File(student), true
		}
	}
	return sheet.Card{}, "", false
}

// fill takes from a student's card what sheet and card of a lesson leave open,
// and says so.
func (a album) fill(w *sheet.Written) (note string, err error) {
	card, file, ok := a.of(w.Sheet.Student)
	if !ok {
		return "", nil
	}
	was := pipeline.Fingerprint(w.Sheet)
	if w.Sheet, err = w.Sheet.With(card); err != nil || pipeline.Fingerprint(w.Sheet) == was {
		return "", err
	}
	return fmt.Sprintf("What the sheet leaves open of %s is taken from the card in %s.", plain(w.Sheet.Student), plain(filepath.Base(filepath.Dir(file)))), nil
}

// file is the card to be kept with a lesson, "" when there is none.
func (a album) file(l found) string {
	_, file, _ := a.of(l.written.Sheet.Student)
	return file
}
