package reel

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/practice"
)

// practice makes what the student takes home.
func (d *desk) practice(ctx context.Context, c lesson.Comparison) error {
	l, dir := d.job.Lesson, filepath.Dir(d.job.Out)
	if l.Practice == nil {
		return nil
	}
	s := l.Practice.Choose(c)
	s.Title, s.Lines = l.Title, l.Lines
	var err error
	if s.Picture, err = d.wantedPicture(ctx, s.Wanted); err != nil {
		return fmt.Errorf("drawing the picture of the practice sheet: %w", err)
	}
	write := func(name string, content func(io.Writer) error) error {
		return d.write(filepath.Join(dir, name), name, content)
	}
	if err := write(practice.PageFile, s.WritePage); err != nil {
		return err
	}
	if s.Picture != nil {
		if err := write(practice.PictureFile, func(w io.Writer) error { _, err := w.Write(s.Picture); return err }); err != nil {
			return err
		}
	}
	if s.Times == nil {
		return nil
	}
	return write(practice.SoundFile, func(w io.Writer) error { return s.Times.WriteSound(w, practice.Repeats) })
}

// clearPractice removes what an earlier run left of a practice sheet and this one
// did not make.
func (d *desk) clearPractice() error {
	for _, name := range practice.Files() {
		path := filepath.Join(filepath.Dir(d.job.Out), name)
		if slices.ContainsFunc(d.files, func(f ready) bool { return f.to == path }) {
			continue
		}
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("removing an earlier practice sheet: %w", err)
		}
	}
	return nil
}
