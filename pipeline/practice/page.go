package practice

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
)

// Names of the files in a lesson's folder.
const (
	PageFile  = "practice.html"
	SoundFile = "practice.wav"
)

//go:embed page.html
var pageText string

// WritePage writes the page, which needs no other file: the sound of one stroke,
// to be played over and over, is in it.
func (s Sheet) WritePage(w io.Writer) error {
	page, err := template.New("practice").Parse(pageText)
	if err != nil {
		return fmt.Errorf("making the practice page: %w", err)
	}
	data := struct {
		Sheet
		Sound template.URL
	}{Sheet: s}
	if s.Times != nil {
		var wav bytes.Buffer
		if err := s.Times.WriteSound(&wav, 1); err != nil {
			return err
		}
		data.Sound = template.URL("data:audio/wav;base64," + base64.StdEncoding.EncodeToString(wav.Bytes()))
	}
	if err := page.Execute(w, data); err != nil {
		return fmt.Errorf("making the practice page: %w", err)
	}
	return nil
}
