package reel

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"strokereel/overlay"
	"strokereel/pipeline/practice"
)

// sheetOf makes the practice sheet of a lesson in a folder, without a film.
func sheetOf(t *testing.T, l Lesson, dir string) []string {
	t.Helper()
	c := l.Compare()
	plan, err := Make(l, c, Wide, brief())
	if err != nil {
		t.Fatal(err)
	}
	d := desk{plan: plan, job: Job{Lesson: l, Shape: Wide, Out: filepath.Join(dir, "reel.mp4")}, o: brief(), work: t.TempDir()}
	if err := d.practice(context.Background(), c); err != nil {
		t.Fatal(err)
	}
	if _, err := d.publish(); err != nil {
		t.Fatal(err)
	}
	var there []string
	for _, name := range practice.Files() {
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			there = append(there, name)
		}
	}
	return there
}

func practising(t *testing.T, l Lesson) Lesson {
	t.Helper()
	drills, err := practice.Load(practice.DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	l.Practice = &drills
	return l
}

// What a run no longer makes does not stay from an earlier one.
func TestPracticeSheetLeavesNothingStale(t *testing.T) {
	dir := t.TempDir()
	l := smallLesson(t, dir)
	blind := l
	mark := 1.5
	blind.After = []Clip{withoutNumbers(l.After[0], "no_sticker")}
	blind.After[0].Mark = &mark
	own := filepath.Join(dir, "notes.txt")
	if err := os.WriteFile(own, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		in   Lesson
		want []string
	}{
		{"all is known", practising(t, l), practice.Files()},
		{"no numbers after", practising(t, blind), []string{practice.PageFile}},
		{"all is known again", practising(t, l), practice.Files()},
		{"no book of drills", l, nil},
	} {
		if got := sheetOf(t, c.in, dir); !slices.Equal(got, c.want) {
			t.Errorf("%s: there are %q, want %q", c.name, got, c.want)
		}
	}
	if _, err := os.Stat(own); err != nil {
		t.Error(err)
	}
}

// The picture is the clip's own at address, with upright lines as far apart as
// backstroke and follow-through together: the two take 0.40 of its width with
// what is not known of them.
func TestPracticePicture(t *testing.T) {
	for _, left := range []bool{false, true} {
		dir := t.TempDir()
		l := practising(t, smallLesson(t, dir))
		if left {
			f := small("after.mp4", 140, 1.5)
			f.left = true
			file := l.After[0].File
			l.After[0] = f.measured()
			l.After[0].File = file
		}
		sheetOf(t, l, dir)
		data, err := os.ReadFile(filepath.Join(dir, practice.PictureFile))
		if err != nil {
			t.Fatal(err)
		}
		img, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil || img.Bounds() != image.Rect(0, 0, 1080, 864) {
			t.Fatalf("%v, %v", img.Bounds(), err)
		}
		// The start is at 1.0 s; 0.85 s is frame 51, of luma 71 in 16 to 235.
		if got := color.GrayModel.Convert(img.At(540, 30)).(color.Gray).Y; got < 61 || got > 67 {
			t.Errorf("left %v: the picture is of brightness %d, want 64", left, got)
		}
		yellow := columns(img, overlay.Yellow)
		if len(yellow) != 2 {
			t.Fatalf("left %v: upright lines at %v, want two", left, yellow)
		}
		if got, want := float64(yellow[1]-yellow[0]), 0.7/(0.307+0.410)*0.40*1080; got < want-6 || got > want+6 {
			t.Errorf("left %v: the lines are %g px apart, want %.0f", left, got, want)
		}
	}
}

// columns finds upright lines of a colour: the middles of runs of columns that
// have much of it.
func columns(img image.Image, c color.RGBA) (out []int) {
	near := func(x, y int) bool {
		r, g, b, _ := img.At(x, y).RGBA()
		return abs(complex(float64(r>>8)-float64(c.R), 0)) < 40 && abs(complex(float64(g>>8)-float64(c.G), 0)) < 40 && abs(complex(float64(b>>8)-float64(c.B), 0)) < 60
	}
	first := -1
	for x := range img.Bounds().Dx() {
		n := 0
		for y := range img.Bounds().Dy() {
			if near(x, y) {
				n++
			}
		}
		switch {
		case n > 40 && first < 0:
			first = x
		case n <= 40 && first >= 0:
			out, first = append(out, (first+x-1)/2), -1
		}
	}
	return out
}
