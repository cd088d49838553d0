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
	PageFile    = "practice.html"
	SoundFile   = "practice.wav"
	PictureFile = "practice.jpg"
)

// Files lists them, the page first.
func Files() []string { return []string{PageFile, SoundFile, PictureFile} }

//go:embed page.html
var pageText string

// WritePage writes the page, which needs no other file: the picture is in it, and
// the sound of one stroke, to be played over and over.
func (s Sheet) WritePage(w io.Writer) error {
	page, err := template.New("practice").Parse(pageText)
	if err != nil {
		return fmt.Errorf("making the practice page: %w", err)
	}
	data := struct {
		Sheet
		Sound, Shown template.URL
	}{Sheet: s}
	if len(s.Picture) > 0 {
		data.Shown = within("image/jpeg", s.Picture)
	}
	if s.Times != nil {
		var wav bytes.Buffer
		if err := s.Times.WriteSound(&wav, 1); err != nil {
			return err
		}
		data.Sound = within("audio/wav", wav.Bytes())
	}
	if err := page.Execute(w, data); err != nil {
		return fmt.Errorf("making the practice page: %w", err)
	}
	return nil
}

// within is data as part of a page.
func within(kind string, data []byte) template.URL {
	return template.URL("data:" + kind + ";base64," + base64.StdEncoding.EncodeToString(data))
}
