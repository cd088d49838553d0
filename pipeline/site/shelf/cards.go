package shelf

import (
	"time"

	"strokereel/pipeline/sheet"
)

// mayShow reports whether a student may be shown on a day, and why not.
func mayShow(cards sheet.Cards, student string, today time.Time) (bool, string) {
	card, ok := cards.Of(student)
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
