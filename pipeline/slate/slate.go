package slate

import (
	"fmt"
	"slices"
	"strings"

	qrcode "github.com/piglig/go-qr"

	"strokereel/pipeline/sheet"
)

// Slate is what a card says.
type Slate struct {
	Student string     // code
	Role    sheet.Role // of the clip, "" when the card leaves it open
}

// prefix tells our codes from others that hang on a wall.
const prefix = "SR:"

// Text is what the code on the card holds.
func (s Slate) Text() string { return prefix + s.Student + ":" + strings.ToUpper(string(s.Role)) }

// Parse understands the text of a code; ok is false when it is not one of ours.
func Parse(text string) (s Slate, ok bool) {
	text, ok = strings.CutPrefix(text, prefix)
	at := strings.LastIndexByte(text, ':')
	if !ok || at < 1 {
		return Slate{}, false
	}
	s = Slate{text[:at], sheet.Role(strings.ToLower(text[at+1:]))}
	known := s.Role == "" || slices.Contains(sheet.Roles(), s.Role)
	if !known || sheet.CheckCode(s.Student) != nil {
		return Slate{}, false
	}
	return s, true
}

func (s Slate) String() string {
	if s.Role == "" {
		return s.Student
	}
	return s.Student + " " + string(s.Role)
}

// code is the code of a card, as robust as its smallest version allows.
func (s Slate) code() (*qrcode.QrCode, error) {
	q, err := qrcode.EncodeText(s.Text(), qrcode.Low)
	if err != nil {
		return nil, fmt.Errorf("making a code of %q: %w", s.Text(), err)
	}
	return q, nil
}
