package site

import (
	"bytes"
	"fmt"
	"html/template"
	"os"
	"path/filepath"
	"strings"

	"strokereel/pipeline/practice"
	"strokereel/pipeline/reel"
)

// filmView is a film as the page shows it.
type filmView struct {
	Shape, File, Poster string
	Width, Height       int
}

// chapter is a stretch of the reel by name.
type chapter struct {
	Name string
	At   string // s
}

// stillView is a picture in the shapes there are.
type stillView struct {
	Main, Tall, Alt string
	Width, Height   int
}

type pairView struct {
	Name          string
	Before, After stillView
}

type lessonView struct {
	base
	Lesson       Record
	Films        []filmView
	Main         filmView
	Tall         *filmView // for screens held upright; nil without
	Rate         int
	Captions     template.URL
	Chapters     []chapter
	Changed, All []Row
	Compared     string
	Pairs        []pairView
	Practice     string
	Lines, Sound string // picture and sound of the practice sheet
	CSV, JSON    string
	Download     string
}

// LessonPage makes the folder of a lesson's page; the page itself is the last
// file.
func LessonPage(l Lesson, look Look) ([]File, error) {
	l.Student, l.Coach = visible(l.Student), visible(l.Coach)
	var f folder
	v := lessonView{base: f.base(l.On(), "lesson.js", look), Lesson: l.Record}
	v.Note = "± is the half width of a 95 % interval."
	v.Download = fileName(l.Student + " " + l.Date)
	if err := v.addFilms(&f, l.Films); err != nil {
		return nil, err
	}
	if err := v.addStills(&f, l.Films); err != nil {
		return nil, err
	}
	v.Changed, v.All = rows(l.Comparison)
	if l.Comparison != nil {
		v.Compared = sentence(l.Comparison.LikeForLike.Text)
	}
	if err := v.addPractice(&f, l.Practice); err != nil {
		return nil, err
	}
	own := []Record{l.Record}
	csv, err := ownCSV(l.Student, own)
	if err != nil {
		return nil, err
	}
	json, err := ownJSON(l.Student, own)
	if err != nil {
		return nil, err
	}
	v.CSV, v.JSON = f.add("numbers.csv", csv), f.add("numbers.json", json)
	err = f.page(Index, "lesson.html", v)
	return f.files, err
}

// addFilms adds the films; of the first, which is the widest, the chapters and
// captions hold for all: the shapes of a reel have the same times.
func (v *lessonView) addFilms(f *folder, films []Film) error {
	for i, film := range films {
		p := film.Plan
		fv := filmView{Shape: string(p.Shape), Width: p.Width, Height: p.Height}
		var err error
		if fv.File, err = f.addFile("reel-"+fileName(fv.Shape)+".mp4", film.File); err != nil {
			return err
		}
		if film.Poster != "" {
			if fv.Poster, err = f.addFile("poster-"+fileName(fv.Shape)+".jpg", film.Poster); err != nil {
				return err
			}
		}
		v.Films = append(v.Films, fv)
		switch {
		case i == 0:
			v.Main, v.Rate, v.Captions = fv, p.Rate, captions(film.Captions)
			for _, s := range p.Segments {
				v.Chapters = append(v.Chapters, chapter{s.Chapter, seconds(s.Start, p.Rate)})
			}
		case p.Shape == reel.Tall && sameTimes(films[0].Plan, p):
			v.Tall = &fv
		}
	}
	return nil
}

func seconds(frame, rate int) string { return fmt.Sprintf("%.3f", float64(frame)/float64(rate)) }

func sameTimes(a, b reel.Plan) bool {
	if a.Rate != b.Rate || len(a.Segments) != len(b.Segments) {
		return false
	}
	for i := range a.Segments {
		if a.Segments[i].Start != b.Segments[i].Start || a.Segments[i].Chapter != b.Segments[i].Chapter {
			return false
		}
	}
	return true
}

// addStills adds the pictures of each moment, in both shapes where both have it.
func (v *lessonView) addStills(f *folder, films []Film) error {
	for i, pair := range films[0].Pairs {
		pv := pairView{Name: pair.Name}
		for _, side := range []struct {
			role string
			file func(Pair) string
			to   *stillView
		}{
			{"before", func(p Pair) string { return p.Before }, &pv.Before},
			{"after", func(p Pair) string { return p.After }, &pv.After},
		} {
			*side.to = stillView{Alt: pair.Name + ", " + side.role, Width: films[0].Plan.Width, Height: films[0].Plan.Height}
			var err error
			if side.to.Main, err = f.addFile(strings.ToLower(fileName(side.role+"-"+pair.Name))+".jpg", side.file(pair)); err != nil {
				return err
			}
			if tall := films[len(films)-1]; v.Tall != nil && i < len(tall.Pairs) && tall.Pairs[i].Name == pair.Name {
				if side.to.Tall, err = f.addFile(strings.ToLower(fileName("tall-"+side.role+"-"+pair.Name))+".jpg", side.file(tall.Pairs[i])); err != nil {
					return err
				}
			}
		}
		v.Pairs = append(v.Pairs, pv)
	}
	return nil
}

// SheetPolicy is what the practice sheet may load: it brings its style, picture
// and sound along, and has no script.
const SheetPolicy = "default-src 'none'; img-src data:; media-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"

// SheetName begins the name of a practice sheet's page.
const SheetName = "practice-sheet"

// addPractice adds the practice sheet, with the rules that hold for every page,
// and what belongs to it.
func (v *lessonView) addPractice(f *folder, files []string) (err error) {
	for _, path := range files {
		switch filepath.Base(path) {
		case practice.PageFile:
			v.Practice, err = addSheet(f, path)
		case practice.PictureFile:
			v.Lines, err = f.addFile("lines.jpg", path)
		case practice.SoundFile:
			v.Sound, err = f.addFile("rhythm.wav", path)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func addSheet(f *folder, path string) (name string, err error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("reading the practice sheet: %w", err)
	}
	head := []byte("<head>")
	if !bytes.Contains(data, head) {
		return "", fmt.Errorf("reading the practice sheet: %q has no <head>", filepath.Base(path))
	}
	rules := `<meta http-equiv="Content-Security-Policy" content="` + SheetPolicy + `"><meta name="robots" content="noindex, nofollow"><meta name="referrer" content="no-referrer">`
	return f.add(SheetName+".html", bytes.Replace(data, head, append(head, rules...), 1)), nil
}

// sentence begins a sentence and ends it.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}
