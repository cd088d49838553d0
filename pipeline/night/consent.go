package night

import (
	"time"

	"strokereel/pipeline/sheet"
)

// askAgain is what to do about clips that must not be measured.
const askAgain = "write the student's answer, or the guardian's of a minor, in student.yaml; or take the clips away and remove what was kept of them (strokereel erase)"

// refusal says why a lesson's clips must not be measured, "" when they may: by
// the card beside them and all other cards of the student in the inbox. Where no
// card has an answer to anything, consent is kept elsewhere and measuring is the
// coach's word; only publishing needs it written down.
func refusal(w sheet.Written, cards sheet.Cards, day time.Time) string {
	card := w.Card
	if all, ok := cards.Of(w.Sheet.Student); ok {
		card = card.WithAnswers(all)
	}
	if len(card.Consents) == 0 {
		return ""
	}
	_, why := card.Allows(sheet.ToMeasure, day)
	return why
}
