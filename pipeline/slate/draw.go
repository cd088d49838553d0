package slate

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// dots of the picture of a card per millimetre: 300 per inch.
const dots = 300 / 25.4

// PNG writes a card as a picture of the sheet of paper.
func (s Slate) PNG(w io.Writer, on string, distance float64) error {
	img, err := s.draw(on, distance)
	if err != nil {
		return err
	}
	return png.Encode(w, img)
}

// PDF writes a card as a page to print in its true size.
func (s Slate) PDF(w io.Writer, on string, distance float64) error {
	var picture bytes.Buffer
	if err := s.PNG(&picture, on, distance); err != nil {
		return err
	}
	p := papers[on]
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: p.width, Ht: p.height}})
	doc.SetTitle(s.String(), true)
	doc.SetAutoPageBreak(false, 0)
	doc.AddPage()
	as := fpdf.ImageOptions{ImageType: "PNG"}
	doc.RegisterImageOptionsReader("card", as, &picture)
	doc.ImageOptions("card", 0, 0, p.width, p.height, false, as, 0, "")
	return doc.Output(w)
}

// draw makes the picture of a card.
func (s Slate) draw(on string, distance float64) (*image.Gray, error) {
	if err := s.Check(on, distance); err != nil {
		return nil, err
	}
	q, err := s.code()
	if err != nil {
		return nil, err
	}
	p := papers[on]
	img := image.NewGray(image.Rect(0, 0, px(p.width), px(p.height)))
	draw.Draw(img, img.Rect, image.White, image.Point{}, draw.Src)
	m := p.module(q.Size())
	left, top := (p.width-m*float64(q.Size()))/2, max(margin, m*quiet)
	for y := range q.Size() {
		for x := range q.Size() {
			if q.Module(x, y) {
				at := image.Rect(px(left+float64(x)*m), px(top+float64(y)*m), px(left+float64(x+1)*m), px(top+float64(y+1)*m))
				draw.Draw(img, at, image.Black, image.Point{}, draw.Src)
			}
		}
	}
	below := top + m*float64(q.Size()+quiet)
	room := p.height - margin - below
	reach, err := s.Reach(on)
	if err != nil {
		return nil, err
	}
	return img, write(img, p.width, []line{
		{s.String(), gobold.TTF, room * 0.34, below + room*0.34},
		{"Hold it up toward the camera for two seconds,", goregular.TTF, room * 0.13, below + room*0.66},
		{fmt.Sprintf("flat and uncovered, at most %.1f m away.", math.Floor(10*reach)/10), goregular.TTF, room * 0.13, below + room*0.86},
	})
}

// px is a length on paper in the picture.
func px(mm float64) int { return int(math.Round(mm * dots)) }

// line is a line of text in the middle of the sheet; lengths in mm.
type line struct {
	text     string
	face     []byte
	size     float64
	baseline float64
}

// write sets lines of text, each as large as it may be and as fits.
func write(img *image.Gray, width float64, lines []line) error {
	for _, l := range lines {
		f, err := opentype.Parse(l.face)
		if err != nil {
			return fmt.Errorf("reading the built-in typeface: %w", err)
		}
		for size := l.size; ; size *= 0.95 {
			face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: size * dots, DPI: 72})
			if err != nil {
				return fmt.Errorf("setting text: %w", err)
			}
			wide := font.MeasureString(face, l.text)
			if wide > fixed.I(px(width-4*margin)) {
				continue
			}
			d := font.Drawer{Dst: img, Src: image.NewUniform(color.Black), Face: face,
				Dot: fixed.Point26_6{X: (fixed.I(img.Rect.Dx()) - wide) / 2, Y: fixed.I(px(l.baseline))}}
			d.DrawString(l.text)
			break
		}
	}
	return nil
}
